import { expect, it } from "vitest";
import { bookWith, ingredientOf } from "../../testing/formulas.js";
import { createIngredientBook } from "../ingredients/index.js";
import { contributionPerGram } from "./demands.js";
import { demandWords, offeredSwap, RELATIVE_SWEETNESS, SWAPS } from "./index.js";

it("says a demand as a baker would", () => {
  expect(demandWords({ kind: "hold", measure: { kind: "nutrient", nutrient: "saturates" } })).toBe(
    "keep the saturated fat as it is",
  );
  expect(demandWords({ kind: "absent", allergen: "milk" })).toBe("no milk");
  expect(demandWords({ kind: "between", measure: { kind: "total" }, per: "batch", least: 500, most: 600 })).toBe(
    "the total weight: at least 500 g and at most 600 g",
  );
  expect(demandWords({ kind: "between", measure: { kind: "nutrient", nutrient: "sugars" }, per: "100g", most: 30 })).toBe(
    "the sugars: at most 30 g in 100 g",
  );
});

// Exact: sweetness is the sum of the sugars by their sweetness; a sum without its kinds counts as sucrose.
it("adds sweetness up, and treats a missing figure as missing", () => {
  const syrup = ingredientOf("syrup", "sugar", { sugars: 80, glucose: 40, fructose: 40 });
  expect(contributionPerGram({ kind: "sweetness" }, syrup)).toBeCloseTo(
    0.4 * RELATIVE_SWEETNESS.glucose + 0.4 * RELATIVE_SWEETNESS.fructose,
    12,
  );
  expect(contributionPerGram({ kind: "sweetness" }, ingredientOf("sum", "sugar", { sugars: 50, sucrose: null }))).toBeCloseTo(
    0.5,
    12,
  );
  expect(contributionPerGram({ kind: "sweetness" }, ingredientOf("none", "sugar", { sugars: null }))).toBeUndefined();
  expect(contributionPerGram({ kind: "nutrient", nutrient: "fat" }, ingredientOf("none", "fat", { fat: null }))).toBeUndefined();
  expect(contributionPerGram({ kind: "cost" }, bookWith([]).get("x") ?? ingredientOf("x", "fat"))).toBeUndefined();
});

it("offers swaps of ingredients that the larder holds, with what they carry", () => {
  const larder = createIngredientBook();
  for (const { from, to, carries } of SWAPS) for (const id of [from, ...to, ...carries]) expect(larder.get(id), id).toBeDefined();
  expect(offeredSwap("butter-unsalted", ["sunflower-oil"])!.carries).toEqual(["water"]);
  expect(offeredSwap("butter-unsalted", ["honey"])).toBeUndefined();
});

it("takes the price seen last", () => {
  const priced = ingredientOf(
    "p",
    "fat",
    {},
    {
      packs: [
        { grams: 1000, priceMinor: 900, currency: "GBP", date: "2026-03-01" },
        { grams: 250, priceMinor: 200, currency: "GBP", date: "2025-01-01" },
      ],
    },
  );
  expect(contributionPerGram({ kind: "cost" }, priced)).toBeCloseTo(0.9, 12);
});
