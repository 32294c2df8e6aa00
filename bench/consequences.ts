import { readFileSync } from "node:fs";
import { performance } from "node:perf_hooks";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { consequences } from "@evencrumb/core/plan";

// Two revisions side by side with every consequence, two bakes at coarse accuracy among them (aim: under 150 ms).
const read = (name: string) => {
  const path = new URL(`../examples/formulas/${name}.yaml`, import.meta.url);
  return parseFormulaFile(readFileSync(path, "utf8")).value!;
};
for (const [before, after, tin] of [
  ["sandwich.2", "sandwich.3", "two round tins"],
  ["cup-cakes.1", "cup-cakes.2", "a tray of cups"],
  ["ginger-slab.1", "ginger-slab.2", "a square tin, in three dimensions"],
] as const) {
  const [one, other] = [read(before), read(after)];
  const times: { wall: number; busy: number }[] = [];
  for (let round = 0; round < 9; round += 1) {
    // A new book each round, so that no bake is remembered.
    const book = createIngredientBook();
    const busy = process.cpuUsage();
    const from = performance.now();
    consequences(one, other, book, { bake: true });
    const { user, system } = process.cpuUsage(busy);
    times.push({ wall: performance.now() - from, busy: (user + system) / 1000 });
  }
  const median = (key: "wall" | "busy") => times.map((time) => time[key]).toSorted((a, b) => a - b)[4]!;
  console.log(
    `${tin}: median ${median("wall").toFixed(0)} ms, processor time ${median("busy").toFixed(0)} ms (aim: under 150 ms)`,
  );
}
