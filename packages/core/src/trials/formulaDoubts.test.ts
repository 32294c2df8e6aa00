import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { type Formula, parseFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { formulaDoubts, judgeBakes } from "./formulaDoubts.js";

const text = readFileSync(new URL("../../../../examples/formulas/sandwich.1.yaml", import.meta.url), "utf8");
const standard = parseFormulaFile(text).value!;
const book = createIngredientBook();
const sponge = standard.components[0]!;
const withSponge = (change: Partial<typeof sponge>): Formula => ({
  ...standard,
  components: [{ ...sponge, ...change }, ...standard.components.slice(1)],
});
const bake = (ovenC: number, minutes: number) => withSponge({ bake: { ovenC, fan: false, minutes } });
const heavier = withSponge({
  stages: sponge.stages.map((stage) => ({ ...stage, uses: stage.uses.map((use) => ({ ...use, grams: (use.grams ?? 0) * 4 })) })),
});

function judged(runs: readonly Formula[], stopAfter = Number.POSITIVE_INFINITY) {
  const steps = judgeBakes(standard, runs, book, { owned: [] });
  let step = steps.next();
  let told = 0;
  while (!step.done) step = steps.next(++told >= stopAfter ? "stop" : "go on");
  return step.value;
}

it("has no doubts about the standard itself, whatever the model says of it", () => {
  expect(judged([standard]).doubts).toEqual([[]]);
  expect(formulaDoubts(standard, standard, book, [])).toEqual([]);
});

it("doubts a bake that is too short or too long beside the standard, and batter that does not fit", () => {
  const { doubts, judged: count } = judged([bake(140, 20), bake(185, 34), bake(172, 24), heavier]);
  expect(count).toBe(4);
  expect(doubts[0]!.join(" ")).toMatch(
    /20 min look too short for Sponge; beside the standard it is predicted to take about \d+ min/,
  );
  expect(doubts[1]!.join(" ")).toContain("34 min look too long for Sponge");
  expect(doubts[2]).toEqual([]);
  expect(doubts[3]!.join(" ")).toMatch(/mL|rim/);
  expect(formulaDoubts(heavier, standard, book, []).length).toBeGreaterThan(0);
});

it("keeps what it has judged when it is stopped", () => {
  const { doubts, judged: count } = judged([bake(140, 20), bake(185, 34)], 1);
  expect(count).toBe(1);
  expect(doubts[0]!.length).toBe(1);
  expect(doubts[1]).toEqual([]);
});
