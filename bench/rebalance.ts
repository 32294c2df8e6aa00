import { performance } from "node:perf_hooks";
import type { Formula } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { type Demand, type HighsLike, rebalance, solverFromHighs } from "@evencrumb/core/rebalance";
import highsLoader from "highs";

// A butter sponge with a share of the butter swapped for oil, fat, water and weight held: the usual question.
const book = createIngredientBook();
const formula: Formula = {
  name: "Sponge",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "All",
          uses: (
            [
              ["butter-unsalted", 225],
              ["caster-sugar", 220],
              ["egg-whole-uk", 230],
              ["self-raising-flour", 225],
              ["milk-whole", 30],
              ["salt", 2],
              ["vanilla-extract", 4],
            ] as const
          ).map(([ingredient, grams]) => ({ ingredient, grams })),
        },
      ],
    },
  ],
};
const demands: readonly Demand[] = [
  { kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } },
  { kind: "hold", measure: { kind: "nutrient", nutrient: "water" } },
  { kind: "hold", measure: { kind: "total" } },
];

const started = performance.now();
const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
console.log(`loading the solver: ${(performance.now() - started).toFixed(0)} ms`);
const times: number[] = [];
const busyMs = () => (process.cpuUsage().user + process.cpuUsage().system) / 1000;
const busyFrom = busyMs();
for (let percent = 5; percent <= 100; percent += 5) {
  const from = performance.now();
  const answer = rebalance(
    {
      formula,
      component: "Sponge",
      swap: { from: "butter-unsalted", percent, to: ["sunflower-oil"] },
      mayAdd: ["water"],
      demands,
      aim: "nearest",
    },
    book,
    solver,
  );
  times.push(performance.now() - from);
  if (answer.status !== "optimal") console.log(`${percent} %: ${JSON.stringify(answer).slice(0, 200)}`);
  else if (percent === 40)
    console.log(
      answer.changes
        .map(
          ({ name, beforeGrams, afterGrams, exactGrams }) =>
            `${name}: ${beforeGrams} g to ${afterGrams} g (${exactGrams.toFixed(2)})`,
        )
        .join("\n"),
    );
}
times.sort((one, other) => one - other);
console.log(
  `a rebalance: median ${times[10]!.toFixed(1)} ms, slowest ${times.at(-1)!.toFixed(1)} ms of ${times.length} (aim: under 50 ms); processor time ${((busyMs() - busyFrom) / times.length).toFixed(1)} ms each`,
);
