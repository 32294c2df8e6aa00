import { expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { compoundIngredient, createIngredientBook, FURTHER_NUTRIENTS } from "../ingredients/index.js";
import { composeFurther } from "./further.js";

const book = createIngredientBook();
const component = (name: string, uses: Readonly<Record<string, number | null>>, lossPercent = 0): Component => ({
  name,
  kind: "cake",
  ...(lossPercent === 0 ? {} : { loss: { percent: lossPercent, basis: "stated" } }),
  stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
});
const formula = (...components: Component[]): Formula => ({ name: "Cake", components });

const POUND = { "butter-unsalted-us": 225, "granulated-sugar": 225, "egg-whole": 225, "all-purpose-flour-us": 225 };

// By hand from USDA SR28 01145, 19335, 01123, 20081 (per 100 g: cholesterol 215, 0, 372, 0 mg; calcium 24, 1, 56, 15; iron 0.02, 0.05, 1.75,
// 4.64; potassium 24, 2, 138, 107; vitamin D 0, 0, 2, 0 µg), times 2.25.
it("adds up a pound cake as one does by hand, and no water that leaves takes anything away", () => {
  for (const loss of [0, 12]) {
    const { product } = composeFurther(formula(component("Pound", POUND, loss)), book);
    expect(product.cholesterolMg).toMatchObject({ amount: expect.closeTo(2.25 * 587, 6), missing: [], mostMissing: 0 });
    expect(product.calciumMg.amount).toBeCloseTo(2.25 * 96, 6);
    expect(product.ironMg.amount).toBeCloseTo(2.25 * 6.46, 6);
    expect(product.potassiumMg.amount).toBeCloseTo(2.25 * 271, 6);
    expect(product.vitaminDMcg.amount).toBeCloseTo(4.5, 6);
  }
});

it("gives for each total what it is made of, and the components add up to the product", () => {
  const { components, product } = composeFurther(
    formula(component("Cake", POUND, 9), component("Icing", { "icing-sugar": 300, "butter-unsalted": 150, "milk-whole": 20 })),
    book,
  );
  for (const nutrient of FURTHER_NUTRIENTS) {
    const { amount, contributions, missing } = product[nutrient];
    expect(contributions.reduce((sum, one) => sum + one.amount!, 0)).toBeCloseTo(amount, 9);
    expect(components.reduce((sum, { totals }) => sum + totals[nutrient].amount, 0)).toBeCloseTo(amount, 9);
    expect(contributions.length + missing.length).toBe(7);
    for (const { source } of [...contributions, ...missing]) expect(source.length).toBeGreaterThan(9);
  }
});

it("names what lacks a figure, and says how much that can be at most", () => {
  const { product } = composeFurther(
    formula(component("Cake", { "groundnut-oil": 50, "egg-whole": 50, "own-mystery": 5, milk: null })),
    book,
  );
  const { fat, saturates } = book.get("groundnut-oil")!.per100g;
  const unsaturated = fat.known && saturates.known ? fat.value - saturates.value : Number.NaN;
  expect(product.transFatGrams.missing.map(({ name }) => name)).toEqual(["Groundnut oil", "own-mystery"]);
  // Half of the oil that is not saturated, and all of the 5 g that nobody knows.
  expect(product.transFatGrams.mostMissing).toBeCloseTo(unsaturated / 2 + 5, 9);
  expect(product.cholesterolMg.missing.map(({ name }) => name)).toEqual(["own-mystery"]);
  expect(product.cholesterolMg.mostMissing).toBeCloseTo(5000, 9);
});

// Peer: the same parts put in one by one.
it("counts an ingredient made of others as its parts", () => {
  const parts = [
    { ingredient: "butter-unsalted-us", grams: 60 },
    { ingredient: "granulated-sugar", grams: 40 },
  ];
  const made = compoundIngredient({ id: "own-cream", name: "Creamed butter", role: "fat", parts }, book).value;
  const whole = composeFurther(formula(component("Cake", { "own-cream": 100 })), createIngredientBook([made])).product;
  const apart = composeFurther(formula(component("Cake", { "butter-unsalted-us": 60, "granulated-sugar": 40 })), book).product;
  for (const nutrient of FURTHER_NUTRIENTS) expect(whole[nutrient].amount, nutrient).toBeCloseTo(apart[nutrient].amount, 6);
  expect(apart.cholesterolMg.amount).toBeCloseTo(0.6 * 215, 9);
});
