import highsLoader from "highs";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type HighsLike, solverFromHighs } from "../rebalance/index.js";
import { type Binding, formulaOfRun } from "./binding.js";
import type { Factor } from "./factors.js";
import { settleByRebalancing, settledWords } from "./settle.js";

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

const hold = (nutrient: "fat" | "water") => ({ kind: "hold", measure: { kind: "nutrient", nutrient } }) as const;
const fatOf = (formula: Formula) =>
  formula.components[0]!.stages.flatMap(({ uses }) => uses).reduce((total, { ingredient, grams }) => {
    const { fat } = book.get(ingredient)!.per100g;
    return total + ((grams ?? 0) * (fat.known ? fat.value : Number.NaN)) / 100;
  }, 0);

// Conserved: fat and total of the standard, from the book's own figures. Butter is about a sixth water, so less oil and some water.
it.each([0, 50, 100])("replaces %i %% of the butter by oil and holds fat and total, water coming along", async (percent) => {
  const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
  const swap: Binding[] = [
    { factor: "oil for butter", kind: "replace", component: "Sponge", ingredient: "butter-unsalted", by: "rapeseed-oil" },
  ];
  const share: Factor[] = [{ kind: "amount", name: "oil for butter", unit: "%", low: 0, high: 100 }];
  const words = { demands: [hold("fat"), { kind: "hold", measure: { kind: "total" } } as const] };
  const settle = settleByRebalancing(standard, swap, words, book, solver);
  const run = formulaOfRun(
    standard,
    share,
    swap,
    { "oil for butter": percent },
    { hold: "others", settle, settled: settledWords(words, ["Sponge"]) },
  );
  if (!run.ok) throw new Error(run.error.map(({ found }) => found).join());
  const grams = (id: string) =>
    run.value.weighable.components[0]!.stages.flatMap(({ uses }) => uses).reduce(
      (sum, use) => sum + (use.ingredient === id ? (use.grams ?? 0) : 0),
      0,
    );
  expect(grams("butter-unsalted")).toBe(2 * (100 - percent));
  const butterFat = book.get("butter-unsalted")!.per100g.fat;
  const oilFat = book.get("rapeseed-oil")!.per100g.fat;
  if (!butterFat.known || !oilFat.known) throw new Error("no figure");
  // To a step of the scale.
  expect(Math.abs(grams("rapeseed-oil") - (2 * percent * butterFat.value) / oilFat.value)).toBeLessThanOrEqual(1);
  expect(Math.abs(fatOf(run.value.weighable) - fatOf(standard))).toBeLessThan(1);
  expect(
    run.value.weighable.components[0]!.stages.flatMap(({ uses }) => uses).reduce((sum, use) => sum + (use.grams ?? 0), 0),
  ).toBeCloseTo(840, 0);
  expect(run.value.realised["oil for butter"]).toBe(percent);
  expect(run.value.held).toEqual([
    "the fat of Sponge",
    "the total weight of Sponge",
    "all else as near to the standard as that allows",
  ]);
});

it("swaps a whole ingredient by level with the fat held, and refuses two swaps at once", async () => {
  const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
  const fat: Binding = {
    factor: "fat",
    kind: "swap",
    component: "Sponge",
    ingredient: "butter-unsalted",
    by: { butter: "butter-unsalted", oil: "rapeseed-oil" },
  };
  const levels: Factor[] = [{ kind: "choice", name: "fat", levels: ["butter", "oil"] }];
  const settle = settleByRebalancing(standard, [fat], { demands: [hold("fat")] }, book, solver);
  const run = formulaOfRun(standard, levels, [fat], { fat: "oil" }, { hold: "others", settle });
  if (!run.ok) throw new Error(run.error.map(({ found }) => found).join());
  expect(Math.abs(fatOf(run.value.weighable) - fatOf(standard))).toBeLessThan(1);
  const flour: Binding = { factor: "flour", kind: "replace", component: "Sponge", ingredient: "plain-flour", by: "cornflour" };
  const both = settleByRebalancing(standard, [fat, flour], { demands: [hold("fat")] }, book, solver);
  const refused = formulaOfRun(
    standard,
    [...levels, { kind: "amount", name: "flour", low: 0, high: 20 }],
    [fat, flour],
    { fat: "oil", flour: 20 },
    { hold: "others", settle: both },
  );
  expect(!refused.ok && refused.error[0]!.expected).toContain("one swap at a time");
});
