import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Component } from "../formula/index.js";
import { parseFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { balanceOf, type CakeFamily, type RatioName, setTemperature } from "./ratios.js";

const book = createIngredientBook();
const mix = (uses: Readonly<Record<string, number>>): Component => ({
  name: "Mix",
  kind: "cake",
  stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
});
const equal = mix({ "butter-unsalted": 200, "caster-sugar": 200, "egg-whole-uk": 200, "self-raising-flour": 200 });
const ratio = (component: Component, name: RatioName, family?: CakeFamily) =>
  balanceOf(component, book, family === undefined ? {} : { family }).ratios.find((one) => one.name === name)!;

describe("balanceOf", () => {
  // Published: Cake Balancing Guidelines; the cake of equal weights fulfils every rule for shortened cakes.
  it("finds equal weights within every rule", () => {
    const report = balanceOf(equal, book);
    expect(report.family).toBe("creamed");
    for (const { name, stands } of report.ratios) if (stands !== "no-range") expect([name, stands]).toEqual([name, "within"]);
    expect(ratio(equal, "sugar-to-flour").percent).toBe(100);
    expect(ratio(equal, "egg-to-fat").percent).toBe(100);
  });

  it("says in one sentence where a ratio stands, by what evidence, and what bakers see", () => {
    const sweet = mix({
      "butter-unsalted": 200,
      "caster-sugar": 220,
      "egg-whole-uk": 150,
      "plain-flour": 200,
      "baking-powder": 8,
    });
    expect(ratio(sweet, "sugar-to-flour").sentence).toBe(
      "Sugar is 110 % of the flour, above the usual 100 % or less (published): sweeter and more tender, setting later, and it may sink.",
    );
    expect(ratio(sweet, "egg-to-fat").sentence).toBe(
      "Egg is 75 % of the fat, below the usual 90 to 110 % (published): little to carry the fat, and the crumb may fall apart.",
    );
    expect(ratio(sweet, "baking-powder-to-flour").sentence).toBe(
      "Baking powder is 4.0 % of the flour, within the usual 0 to 5 % (common practice, no source).",
    );
  });

  it("counts bicarbonate and self-raising flour as baking powder, and milk powder not as liquid", () => {
    expect(ratio(equal, "baking-powder-to-flour").percent).toBeCloseTo(3.33, 2);
    expect(ratio(mix({ "plain-flour": 100, "bicarbonate-of-soda": 1 }), "baking-powder-to-flour").percent).toBeCloseTo(4, 9);
    expect(
      ratio(mix({ "plain-flour": 100, "milk-powder-skimmed": 20, "milk-whole": 30 }), "egg-and-liquid-to-flour").percent,
    ).toBeCloseTo(30, 9);
  });

  it.each([
    ["whisked", mix({ "egg-whole-uk": 200, "caster-sugar": 120, "plain-flour": 120, "butter-unsalted": 30 })],
    ["oil", mix({ "egg-whole-uk": 150, "caster-sugar": 200, "plain-flour": 250, "sunflower-oil": 150 })],
    [
      "melted",
      mix({
        "butter-unsalted": 120,
        "black-treacle": 120,
        "golden-syrup": 100,
        "plain-flour": 300,
        "milk-whole": 200,
        "egg-whole-uk": 100,
      }),
    ],
    [
      "high-ratio",
      mix({ "butter-unsalted": 110, "caster-sugar": 260, "plain-flour": 200, "egg-whole-uk": 150, "milk-whole": 150 }),
    ],
    ["little-flour", mix({ "ground-almonds": 250, "caster-sugar": 200, "egg-whole-uk": 300, "plain-flour": 10 })],
  ] as const)("knows a %s cake by its weights, and says why", (family, component) => {
    const report = balanceOf(component, book);
    expect(report.family).toBe(family);
    expect(report.familyBecause.length).toBeGreaterThan(10);
    expect(balanceOf(component, book, { family: "creamed" })).toMatchObject({ family: "creamed", familyBecause: "as chosen" });
  });

  it("gives no verdict where there is no flour, and no range where none is known", () => {
    const curd = mix({ "egg-yolk-uk": 80, "caster-sugar": 200, "lemon-juice": 120, "butter-unsalted": 100 });
    expect(ratio(curd, "sugar-to-flour")).toMatchObject({
      percent: null,
      stands: "no-value",
      sentence: "Sugar to flour: there is no flour to compare with.",
    });
    expect(ratio(curd, "egg-to-fat")).toMatchObject({ percent: 80, stands: "no-range" });
  });

  it("allows more sugar where there is cocoa", () => {
    const chocolate = mix({
      "butter-unsalted": 110,
      "caster-sugar": 350,
      "plain-flour": 200,
      "cocoa-powder": 40,
      "egg-whole-uk": 150,
      "milk-whole": 250,
    });
    expect(ratio(chocolate, "sugar-to-flour", "high-ratio")).toMatchObject({ stands: "within", range: { to: 180 } });
  });

  it("gives each of the demo's cakes a family and a finding for each ratio", () => {
    for (const file of readdirSync("examples/formulas")) {
      const formula = parseFormulaFile(readFileSync(`examples/formulas/${file}`, "utf8")).value!;
      for (const component of formula.components.filter((one) => one.kind === "cake")) {
        const report = balanceOf(component, book);
        expect(report.ratios.filter((one) => one.stands === "within").length, file).toBeGreaterThanOrEqual(
          report.family === "little-flour" ? 0 : 1,
        );
      }
    }
  });
});

describe("sugar in the water", () => {
  it("is exact for sugar and water, and tells where the starch sets", () => {
    const syrup = balanceOf(mix({ "caster-sugar": 100, water: 100 }), book).sugarInWater;
    expect(syrup.share).toBeCloseTo(0.5, 3);
    expect(syrup.setCelsius?.likely).toBeCloseTo(81.5, 0);
    expect(syrup.sentence).toContain("assumption");
    expect(balanceOf(mix({ "caster-sugar": 300, water: 100 }), book).sugarInWater).toMatchObject({ setCelsius: null });
    expect(balanceOf(mix({}), book).sugarInWater.sentence).toBe("Nothing weighed yet.");
    expect(balanceOf(mix({ "moon-dust": 5 }), book).sugarInWater.sentence).toContain("moon-dust");
  });

  // From memory, give or take 4 °C: the set temperatures that the curve was drawn through.
  it.each([
    [0, 62],
    [0.2, 66],
    [0.3, 69.5],
    [0.4, 74],
    [0.5, 81],
    [0.6, 89.5],
  ])("sets at a sugar share of %d near %d °C", (share, celsius) => {
    // The points are good to 4 °C; the curve drawn through them misses none by more than 1.2.
    expect(Math.abs(setTemperature(share) - celsius)).toBeLessThan(1.2);
  });

  it("refuses a share beyond its table", () => {
    for (const share of [-0.1, 0.61, Number.NaN]) expect(() => setTemperature(share)).toThrow("0 to 0.6");
  });
});
