import fc from "fast-check";
import { expect, it } from "vitest";
import {
  formatFraction,
  householdAmount,
  householdMillilitres,
  householdSource,
  type MeasureSystem,
} from "./householdMeasures.js";

const SYSTEMS: readonly MeasureSystem[] = ["us", "metric", "imperial", "australian"];

// Published: UCUM project ticket 120 prints the customary cup, tablespoon, teaspoon and fluid ounce to four decimals.
it.each([
  ["cup", 236.5882],
  ["tablespoon", 14.7868],
  ["teaspoon", 4.9289],
  ["fluid-ounce", 29.5735],
] as const)("agrees with the published US %s", (measure, printed) => {
  expect(householdMillilitres(measure, "us")).toBeCloseTo(printed, 4);
});

// Common practice, no source.
it("knows metric and Australian spoons", () => {
  expect(householdMillilitres("tablespoon", "metric")).toBe(15);
  expect(householdMillilitres("tablespoon", "australian")).toBe(20);
  expect(householdMillilitres("teaspoon", "australian")).toBe(5);
  expect(householdMillilitres("cup", "metric")).toBe(250);
});

it("takes the imperial pint where a metric kitchen says pint, and says where each size comes from", () => {
  expect(householdMillilitres("pint", "metric")).toBeCloseTo(568.26125, 9);
  expect(householdMillilitres("pint", "us")).toBeCloseTo(473.176473, 9);
  expect(householdSource("pint", "metric")).toContain("Weights and Measures Act 1985");
  expect(householdSource("cup", "us")).toContain("231 cubic inches");
});

it.each([
  [0.25, "¼"],
  [1 / 3, "⅓"],
  [0.5, "½"],
  [2 / 3, "⅔"],
  [0.75, "¾"],
  [1.5, "1½"],
  [2.97, "3"],
  [3, "3"],
  [0, "0"],
])("writes %d as %s", (value, text) => {
  expect(formatFraction(value)).toBe(text);
});

it.each([
  [250, "metric", "1 cup"],
  [125, "metric", "½ cup"],
  [236.588, "us", "1 cup"],
  [118.294, "us", "½ cup"],
  [15, "metric", "1 tbsp"],
  [5, "metric", "1 tsp"],
  [2.5, "metric", "½ tsp"],
  [30, "us", "2 tbsp"],
  [250, "us", "1 cup + 1 tbsp"],
  [265, "metric", "1 cup + 1 tbsp"],
  // Rows of spoons become cups: what 200 g of flour, 200 g of caster sugar and 210 g of hazelnuts come to.
  [378, "us", "1½ cups + 1½ tbsp"],
  [261, "us", "1 cup + 1½ tbsp"],
  [432, "us", "1¾ cups + 1 tbsp"],
  [125.7, "us", "½ cup + 1½ tsp"],
  [11, "us", "2¼ tsp"],
  [1.6, "us", "¼ tsp + ⅛ tsp"],
  [16.5, "us", "1 tbsp + ¼ tsp"],
  [0.5, "us", "⅛ tsp"],
] as const)("spoons out %d mL in %s measures as %s", (ml, system, text) => {
  expect(householdAmount(ml, system).text).toBe(text);
});

it("misses by less than 6 % from two tablespoons up, and says by how much (property)", () => {
  fc.assert(
    fc.property(fc.double({ min: 30, max: 3000, noNaN: true }), fc.constantFrom(...SYSTEMS), (ml, system) => {
      const amount = householdAmount(ml, system);
      expect(Math.abs(amount.differencePercent)).toBeLessThan(6);
      expect(amount.millilitres).toBeCloseTo(ml * (1 + amount.differencePercent / 100), 6);
    }),
  );
});

it("asks only for cups and spoons that a set holds, and never for a row of tablespoons (property)", () => {
  const held: Readonly<Record<string, (amount: number) => boolean>> = {
    cup: (amount) => [0, 1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4].some((part) => Math.abs((amount % 1) - part) < 1e-9),
    tablespoon: (amount) => Number.isInteger(amount * 2) && amount >= 1 && amount < 4,
    teaspoon: (amount) => amount === 1 / 8 || (Number.isInteger(amount * 4) && amount < 4),
  };
  fc.assert(
    fc.property(fc.double({ min: 0.4, max: 3000, noNaN: true }), fc.constantFrom(...SYSTEMS), (ml, system) => {
      const { parts } = householdAmount(ml, system);
      expect(parts.length).toBeLessThanOrEqual(2);
      for (const { amount, measure } of parts)
        expect([measure, amount, held[measure]?.(amount)]).toEqual([measure, amount, true]);
    }),
    { numRuns: 400 },
  );
});

it("refuses nothing and less than nothing", () => {
  for (const ml of [0, -1, Number.NaN]) expect(() => householdAmount(ml, "us")).toThrow("is not above 0");
  expect(() => formatFraction(-1)).toThrow("0 or more");
});
