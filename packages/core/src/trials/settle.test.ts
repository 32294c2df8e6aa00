import highsLoader from "highs";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type HighsLike, solverFromHighs } from "../rebalance/index.js";
import { type Binding, formulaOfRun } from "./binding.js";
import type { Factor } from "./factors.js";
import { settleByRebalancing } from "./settle.js";

const standard: Formula = {
  name: "Butter sponge",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter-unsalted", grams: 200 },
            { ingredient: "caster-sugar", grams: 200 },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "egg-whole-uk", grams: 200 },
            { ingredient: "plain-flour", grams: 200 },
            { ingredient: "sunflower-oil", grams: 20 },
            { ingredient: "milk-whole", grams: 20 },
          ],
        },
      ],
    },
  ],
};
const factors: Factor[] = [{ kind: "amount", name: "oil", unit: "g", low: 20, high: 120 }];
const bindings: Binding[] = [{ factor: "oil", kind: "ingredient", component: "Sponge", ingredient: "sunflower-oil" }];
const book = createIngredientBook();

// Conserved: fat, water and total are those of the standard, worked out from the book's own figures.
it("holds fat, water and the total while oil takes the place of butter", async () => {
  const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
  const hold = (nutrient: "fat" | "water") => ({ kind: "hold", measure: { kind: "nutrient", nutrient } }) as const;
  const settle = settleByRebalancing(
    standard,
    bindings,
    { demands: [hold("fat"), hold("water"), { kind: "hold", measure: { kind: "total" } }], mayAdd: ["water"] },
    book,
    solver,
  );
  const run = formulaOfRun(standard, factors, bindings, { oil: 120 }, { hold: "others", settle });
  if (!run.ok) throw new Error(run.error.map(({ found }) => found).join());
  const sum = (formula: Formula, nutrient?: "fat" | "water") =>
    formula.components[0]!.stages.flatMap(({ uses }) => uses).reduce((total, { ingredient, grams }) => {
      const figure = nutrient === undefined ? undefined : book.get(ingredient)!.per100g[nutrient];
      return total + (grams ?? 0) * (figure === undefined ? 1 : figure.known ? figure.value / 100 : Number.NaN);
    }, 0);
  const { weighable } = run.value;
  expect(
    weighable.components[0]!.stages.flatMap(({ uses }) => uses).find(({ ingredient }) => ingredient === "sunflower-oil")!.grams,
  ).toBe(120);
  // To what the scale can weigh: steps of 1 g over six ingredients.
  expect(Math.abs(sum(weighable, "fat") - sum(standard, "fat"))).toBeLessThan(1);
  expect(Math.abs(sum(weighable, "water") - sum(standard, "water"))).toBeLessThan(1);
  expect(Math.abs(sum(weighable) - sum(standard))).toBeLessThan(1);
});

it("says which demands cannot hold together with a setting", async () => {
  const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
  const settle = settleByRebalancing(
    standard,
    bindings,
    { demands: [{ kind: "hold", measure: { kind: "total" } }] },
    book,
    solver,
  );
  const run = formulaOfRun(standard, factors, bindings, { oil: 2000 }, { hold: "others", settle });
  expect(run.ok).toBe(false);
  if (!run.ok) expect(run.error[0]!.code).toBe("conflict");
});
