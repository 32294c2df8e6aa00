import { performance } from "node:perf_hooks";
import type { Formula } from "@evencrumb/core/formula";
import { createIngredientBook, standardIngredients } from "@evencrumb/core/ingredients";
import { type LabelInputs, labelFor, labelHtml, labelSvg, layoutLabel } from "@evencrumb/core/label";
import { renderLabelPdf } from "@evencrumb/server";

// A product of forty ingredients in three components, more than any label of a baker's has.
const ids = standardIngredients()
  .map(({ id }) => id)
  .filter((_id, index) => index % 6 === 0)
  .slice(0, 40);
const formula: Formula = {
  name: "Forty ingredients",
  portions: 12,
  components: (["cake", "filling", "icing"] as const).map((kind, part) => ({
    name: kind,
    kind,
    ...(kind === "cake" ? { loss: { percent: 10, basis: "measured" as const } } : {}),
    stages: [
      {
        name: "Mix",
        uses: ids.filter((_id, index) => index % 3 === part).map((ingredient, index) => ({ ingredient, grams: 20 + 7 * index })),
      },
    ],
  })),
};
const book = createIngredientBook();
const inputs: LabelInputs = {
  place: "gb",
  mode: "prepacked",
  date: "2026-11-25",
  bakeDate: "2026-11-25",
  packs: 1,
  portionGrams: 100,
  nutrition: "always",
  frontOfPack: true,
  gtin: "5012345678900",
  business: { name: "Millrace Yard", address: "1 Mill Lane, Exampleford EX1 2AB" },
};

const [GOAL_MS, PDF_GOAL_MS] = [50, 500];

interface Time {
  readonly wallMs: number;
  /** Of this process alone: on a busy machine the wall clock counts the others too. */
  readonly cpuMs: number;
}

function report(what: string, times: readonly Time[], goal: number): void {
  const [first, ...later] = times;
  const of = (list: readonly number[]) => list.toSorted((one, other) => one - other);
  const sorted = of(later.map(({ wallMs }) => wallMs));
  const median = sorted[Math.floor(sorted.length / 2)]!;
  const cpu = of(later.map(({ cpuMs }) => cpuMs))[Math.floor(later.length / 2)]!;
  console.log(
    `${what.padEnd(34)} first ${first!.wallMs.toFixed(0).padStart(5)} ms, median ${median.toFixed(1).padStart(6)} ms (CPU ${cpu.toFixed(1)}), slowest ${sorted.at(-1)!.toFixed(0).padStart(5)} ms; goal ${goal} ms: ${median <= goal ? "met" : cpu <= goal ? "met by CPU time only" : "MISSED"}`,
  );
}

async function timed(work: () => unknown): Promise<Time> {
  const [started, before] = [performance.now(), process.cpuUsage()];
  await work();
  const { user, system } = process.cpuUsage(before);
  return { wallMs: performance.now() - started, cpuMs: (user + system) / 1000 };
}

async function rounds(work: () => unknown): Promise<readonly Time[]> {
  const times: Time[] = [];
  for (let round = 0; round < 15; round += 1) times.push(await timed(work));
  return times;
}

for (const place of ["gb", "us"] as const) {
  const asked = { ...inputs, place };
  const size = place === "us" ? { widthMm: 150, heightMm: 190 } : { widthMm: 120, heightMm: 120 };
  report(`label, ${place}: what it says`, await rounds(() => labelFor(formula, book, asked)), GOAL_MS);
  const drawn = () => {
    const label = labelFor(formula, book, asked);
    return [labelSvg(layoutLabel(label, size)), labelHtml(label)];
  };
  report(`label, ${place}: with layout, SVG, HTML`, await rounds(drawn), GOAL_MS);
  const layout = layoutLabel(labelFor(formula, book, asked), size);
  report(`label, ${place}: PDF`, await rounds(() => renderLabelPdf(layout, { title: "Bench", language: "en-GB" })), PDF_GOAL_MS);
}
