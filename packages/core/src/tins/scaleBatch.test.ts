import { describe, expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { parseTins } from "./parseTin.js";
import { type BatchRequest, scaleBatch, unscaledBatch } from "./scaleBatch.js";

const book = createIngredientBook();
const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  specificGravity: { value: 0.8, basis: "measured" },
  bake: { ovenC: 170, fan: false, minutes: 24 },
  stages: [
    {
      name: "Mix",
      uses: ["butter-unsalted", "caster-sugar", "egg-whole-uk", "self-raising-flour"].map((ingredient) => ({
        ingredient,
        grams: 225.25,
      })),
    },
  ],
};
const cake: Formula = {
  name: "Sandwich",
  portions: 10,
  components: [
    sponge,
    { name: "Jam", kind: "filling", stages: [{ name: "Spread", uses: [{ ingredient: "raspberry-jam", grams: 99 }] }] },
  ],
};
const egg = { wholeGrams: 45.05, whiteGrams: 30, yolkGrams: 15.05 };
const made = (request: BatchRequest, options: Partial<Parameters<typeof scaleBatch>[2]> = {}) => {
  const result = scaleBatch(cake, request, { book, ...options });
  if (!result.ok) throw new Error(result.error.remedy);
  return result.value;
};

describe("every way of asking for a batch", () => {
  it.each<[string, BatchRequest, number, number]>([
    ["tins", { by: "tins", tins: parseTins("4 round 20x5 cm").value }, 2, 4],
    ["grams", { by: "grams", grams: 1500 }, 1.5, 3],
    ["portions", { by: "portions", portions: 20 }, 2, 4],
    ["eggs", { by: "eggs", count: 10, egg }, 2, 4],
    ["what is left of the jam", { by: "ingredient", ingredient: "raspberry-jam", grams: 49.5 }, 0.5, 1],
    ["a factor", { by: "factor", factor: 2 }, 2, 4],
  ])("by %s", (_name, request, factor, tinCount) => {
    const { formula, exact, filling, before, ...batch } = made(request);
    expect(batch.factor).toBeCloseTo(factor, 9);
    expect(filling!.tins.map(({ count }) => count)).toEqual([tinCount]);
    expect(filling!.tins[0]!.depthMm).toBeCloseTo(before![0]!.depthMm, 6);
    expect(formula.components[0]!.tins).toEqual([{ count: tinCount, tin: "round 20x5 cm" }]);
    // Conserved: tins hold the sponge; rounding moves no weight by a gram, and only in `formula`.
    expect(filling!.batterGrams).toBeCloseTo(901 * factor, 6);
    exact.components[0]!.stages[0]!.uses.forEach((use, index) => {
      expect(use.grams).toBeCloseTo(225.25 * factor, 9);
      const weighable = formula.components[0]!.stages[0]!.uses[index]!.grams!;
      expect(Number.isInteger(weighable)).toBe(true);
      expect(Math.abs(weighable - use.grams!)).toBeLessThan(1);
    });
  });
  it("one component only", () => {
    const { formula, factor } = made({ by: "grams", grams: 1802 }, { component: "sponge" });
    expect(factor).toBeCloseTo(2, 9);
    expect(formula.components[1]).toEqual(cake.components[1]);
  });
  it("unrounded where that is wanted", () => {
    const { formula, exact } = made({ by: "factor", factor: 1.3 }, { weighing: false });
    expect(formula).toBe(exact);
  });
  it("unscaled: the formula itself, and how it stands in its tins", () => {
    const { formula, filling, factor } = unscaledBatch(cake, { book });
    expect([formula.components[0], factor]).toEqual([sponge, 1]);
    expect(filling!.tins[0]!.batterGrams).toBeCloseTo(450.5, 9);
  });
});

it.each<[string, BatchRequest, string | undefined, string]>([
  ["a component that is not there", { by: "factor", factor: 2 }, "Custard", 'one of: "Sponge", "Jam"'],
  ["portions of a component", { by: "portions", portions: 5 }, "Jam", "portions of the whole formula"],
  ["no tins", { by: "tins", tins: [] }, undefined, "at least one tin"],
  ["no weight", { by: "grams", grams: Number.NaN }, undefined, "a weight above 0"],
])("refuses %s", (_name, request, component, expected) => {
  const result = scaleBatch(cake, request, { book, ...(component ? { component } : {}) });
  expect(result).toMatchObject({ ok: false, error: { expected: expect.stringContaining(expected) } });
});
