import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { expectTableOn, markdownTable } from "../../testing/docsTable.js";
import { bookWith, ingredientOf } from "../../testing/formulas.js";
import type { Component } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type FatName, SOLID_FAT_CURVES, type SolidFatCurve, softnessOf, solidShare } from "./index.js";

const book = createIngredientBook();
const NAMES = Object.keys(SOLID_FAT_CURVES) as FatName[];
const cakeOf = (uses: Readonly<Record<string, number | null>>, over: Partial<Component> = {}): Component => ({
  name: "Cake",
  kind: "cake",
  stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
  ...over,
});

describe("curves", () => {
  // Published, single points: a dairy course prints about 0.4 at 10 °C, 0.2 at 20 °C and 0.03 at 35 °C for milk fat; a
  // calorimetry abstract (J. Dairy Sci.) 0.59 to 0.65 at 10 °C, which reads higher. The range of the row has to reach to both.
  it.each([
    [10, 0.4],
    [10, 0.59],
    [20, 0.2],
    [35, 0.03],
  ])("holds the printed solid share of milk fat at %s °C, %s, within its range", (temperature, printed) => {
    const { from, to } = solidShare("milk", temperature);
    expect(printed).toBeGreaterThanOrEqual(from - 0.011);
    expect(printed).toBeLessThanOrEqual(to + 0.011);
  });

  it("keeps every likely value inside its range, and only melts as it warms (property)", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...NAMES),
        fc.double({ min: -18, max: 39, noNaN: true }),
        fc.double({ min: 0, max: 1, noNaN: true }),
        (name, temperature, warmer) => {
          const [cold, warm] = [solidShare(name, temperature), solidShare(name, temperature + warmer)];
          expect(cold.from).toBeLessThanOrEqual(cold.likely);
          expect(cold.likely).toBeLessThanOrEqual(cold.to);
          expect(cold.to).toBeLessThanOrEqual(1);
          for (const end of ["likely", "from", "to"] as const) expect(warm[end]).toBeLessThanOrEqual(cold[end] + 1e-12);
        },
      ),
    );
  });

  it("refuses temperatures without a curve", () => {
    for (const t of [-19, 41, Number.NaN]) expect(() => solidShare("milk", t)).toThrow("-18 to 40");
  });

  it("prints the table that stands in docs/models/softness.md", () => {
    const TEMPERATURES = [5, 10, 18, 20, 22, 25, 30, 35];
    const cell = (name: FatName, t: number) => {
      const { likely, from, to } = solidShare(name, t);
      return `${(100 * likely).toFixed(0)} (${(100 * from).toFixed(0)}-${(100 * to).toFixed(0)})`;
    };
    const rows = NAMES.map((name) => {
      const curve: SolidFatCurve = SOLID_FAT_CURVES[name];
      return [curve.words, ...TEMPERATURES.map((t) => cell(name, t)), curve.basis];
    });
    expectTableOn(
      "docs/models/softness.md",
      "solid-fat",
      markdownTable(["% solid at °C", ...TEMPERATURES.map(String), "basis"], rows),
    );
  });
});

describe("softness of a component", () => {
  // Exact, by hand: 100 g of butter hold 82.2 g of milk fat, 54 % solid at 5 °C: 44.4 g; nothing else in the mix holds fat.
  it("adds fats up by weight, per 100 g of what is finished", () => {
    const mix = cakeOf(
      { "butter-unsalted": 100, "sunflower-oil": 50, "caster-sugar": 150 },
      { loss: { percent: 4, basis: "stated" } },
    );
    const [cold] = softnessOf(mix, book, [5]).at;
    expect(cold!.gramsPer100g.likely).toBeCloseTo((82.2 * 0.54) / 2.88, 6);
    expect(cold!.share!.likely).toBeCloseTo((82.2 * 0.54) / 132.2, 6);
  });

  it("is softer from the refrigerator with oil in place of butter, and about as soft warm", () => {
    const butter = softnessOf(
      cakeOf({ "butter-unsalted": 225, "plain-flour": 225, "caster-sugar": 225, "egg-whole-uk": 230 }),
      book,
    );
    const half = softnessOf(
      cakeOf({ "butter-unsalted": 112, "sunflower-oil": 93, "plain-flour": 225, "caster-sugar": 225, "egg-whole-uk": 230 }),
      book,
    );
    const drop = (index: number) => butter.at[index]!.gramsPer100g.likely - half.at[index]!.gramsPer100g.likely;
    expect(drop(0)).toBeGreaterThan(4);
    expect(drop(2)).toBeLessThan(2.5);
    // The cold difference is larger than both ranges together can hide.
    expect(half.at[0]!.gramsPer100g.to).toBeLessThan(butter.at[0]!.gramsPer100g.from);
  });

  it("shows a fat without a curve as missing, never as liquid", () => {
    const curd = softnessOf(cakeOf({ "butter-unsalted": 100, "chocolate-hazelnut-spread": 100 }), book, [5]);
    expect(curd.missing).toMatchObject([{ ingredient: "chocolate-hazelnut-spread", why: "no curve is known for its fat" }]);
    const { from, to } = curd.at[0]!.gramsPer100g;
    expect(to - from).toBeGreaterThan(29.73 / 2);
    expect(curd.words.at(-1)).toContain("Without a curve");
  });

  it("says when even the amount of fat is unknown, and when there is none", () => {
    const odd = bookWith([ingredientOf("odd", "other", { fat: null })]);
    expect(softnessOf(cakeOf({ odd: 10, nowhere: 5 }), odd).missing.map(({ why }) => why)).toEqual([
      "there is no figure for its fat",
      "the ingredient is not in the book",
    ]);
    expect(softnessOf(cakeOf({ "caster-sugar": 100 }), book).words).toEqual(["There is no fat in it."]);
    expect(softnessOf(cakeOf({}), book)).toMatchObject({ fatGrams: 0, fats: [], missing: [] });
    expect(softnessOf(cakeOf({ "butter-unsalted": null }), book).fatGrams).toBe(0);
  });

  it("knows the fat of every everyday ingredient that holds a lot of it", () => {
    const without = book.all.filter(({ id, per100g: { fat } }) => {
      if (!fat.known || fat.value < 20) return false;
      return softnessOf(cakeOf({ [id]: 100 }), book).missing.length > 0;
    });
    // Made with whatever fat the maker chose, so that no curve is right.
    expect(without.map(({ id }) => id)).toEqual([
      "digestive-biscuits",
      "butter-spreadable",
      "chocolate-hazelnut-spread",
      "nutmeg",
      "mace",
    ]);
  });

  it("looks into the baker's own compounds", () => {
    const own = ingredientOf(
      "own-ganache",
      "other",
      { fat: 40 },
      {
        basis: "compound",
        parts: [
          { ingredient: "dark-chocolate-60-69", grams: 100 },
          { ingredient: "double-cream", grams: 100 },
        ],
      },
    );
    const fats = softnessOf(cakeOf({ "own-ganache": 100 }), createIngredientBook([own])).fats;
    expect(fats.map(({ fat }) => fat).sort()).toEqual(["cocoa", "milk"]);
    expect(fats.reduce((sum, { grams }) => sum + grams, 0)).toBeCloseTo(40, 6);
  });

  it("does not take a milk-free spread for butter because of its name", () => {
    const own = ingredientOf("butter-of-plants", "fat", { fat: 75 });
    expect(softnessOf(cakeOf({ "butter-of-plants": 100 }), createIngredientBook([own])).missing).toHaveLength(1);
    const packet = { ...book.get("butter-unsalted")!, basis: "own" as const };
    expect(softnessOf(cakeOf({ "butter-unsalted": 100 }), createIngredientBook([packet])).fats[0]!.fat).toBe("milk");
  });

  it("gives sugar, water and egg as ratios with the direction they work in, and no score", () => {
    const { tenderness } = softnessOf(
      cakeOf({ "butter-unsalted": 225, "plain-flour": 225, "caster-sugar": 225, "egg-whole-uk": 230 }),
      book,
    );
    expect(tenderness.map(({ name }) => name)).toEqual(["sugar-to-flour", "fat-to-flour", "egg-to-fat", "water-to-flour"]);
    for (const { effect, sentence } of tenderness) expect(`${effect}${sentence}`.length).toBeGreaterThan(40);
    expect(softnessOf(cakeOf({ "double-cream": 100 }, { kind: "filling" }), book).tenderness).toEqual([]);
  });
});
