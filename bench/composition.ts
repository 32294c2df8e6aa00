import { performance } from "node:perf_hooks";
import { composeFormula } from "@evencrumb/core/composition";
import { type Formula, percentages } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";

const book = createIngredientBook();
const ids = book.all.slice(0, 60).map(({ id }) => id);
const formula: Formula = {
  name: "Sixty",
  components: [0, 1, 2].map((part) => ({
    name: `Part ${part}`,
    kind: "cake",
    loss: { percent: 5, basis: "stated" },
    stages: [{ name: "Mix", uses: ids.slice(part * 20, part * 20 + 20).map((ingredient) => ({ ingredient, grams: 50 })) }],
  })),
};
const measure = (name: string, work: () => unknown) => {
  for (let warm = 0; warm < 50; warm += 1) work();
  const times = Array.from({ length: 201 }, () => {
    const from = performance.now();
    work();
    return performance.now() - from;
  }).toSorted((one, other) => one - other);
  console.log(`${name}, 60 uses: median ${times[100]!.toFixed(3)} ms, ninth decile ${times[180]!.toFixed(3)} ms`);
};
measure("percentages", () => percentages(formula, book));
measure("composition (aim: under 2 ms)", () => composeFormula(formula, book));
