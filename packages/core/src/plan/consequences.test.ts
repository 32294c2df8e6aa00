import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { composePart } from "../composition/index.js";
import { type Component, type Formula, parseFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type Consequence, consequences, driversOf } from "./index.js";

const book = createIngredientBook();
const demo = (name: string) => parseFormulaFile(readFileSync(`examples/formulas/${name}.yaml`, "utf8")).value!;
const cakeOf = (uses: Readonly<Record<string, number>>, over: Partial<Component> = {}): Component => ({
  name: "Sponge",
  kind: "cake",
  stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
  ...over,
});
const formulaOf = (...components: Component[]): Formula => ({ name: "Cake", portions: 10, components });
const BUTTER = { "butter-unsalted": 225, "caster-sugar": 220, "egg-whole-uk": 230, "self-raising-flour": 225, "milk-whole": 30 };
const swapped = { ...BUTTER, "butter-unsalted": 135, "sunflower-oil": 90 };
const find = (figures: readonly Consequence[], what: string, where = "Sponge") =>
  figures.find((one) => one.what === what && one.where === where)!;

describe("reasons", () => {
  // Exact: the effects of all ingredients add to the change of the share.
  it("shares a change out over the ingredients without leaving any of it", () => {
    const [before, after] = [composePart(cakeOf(BUTTER), book).value.mixed, composePart(cakeOf(swapped), book).value.mixed];
    for (const nutrient of ["fat", "water", "sugars", "protein"] as const) {
      const share = (mix: typeof before) => (100 * mix.totals[nutrient].amount) / mix.totalGrams;
      const sum = driversOf(nutrient, before, after).reduce((effect, driver) => effect + driver.effect, 0);
      expect(sum).toBeCloseTo(share(after) - share(before), 9);
    }
  });

  // By hand: 90 g of butter (82.2 % fat, 14.9 % water) for 90 g of oil in 930 g: 16.02 g more fat, 13.41 g less water.
  it("says what a swap by weight does, and why", () => {
    const report = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf(swapped)), book);
    expect(find(report.consequences, "fat in 100 g of the mix").change).toBeCloseTo(16.02 / 9.3, 6);
    expect(find(report.consequences, "water in 100 g of the mix").change).toBeCloseTo(-13.41 / 9.3, 6);
    expect(report.sentences[0]).toBe(
      "1.7 % more fat and 1.4 % less water in the batter, because sunflower oil is 100 % fat (90 g more) and unsalted butter is 15 % water (90 g less).",
    );
    expect(report.held.join()).toContain("the total (930 g)");
    expect(report.sentences.join("\n")).toMatch(/Sponge: softer when cold, solid fat in 100 g is \d\.\d g less at 5 °C/);
  });

  it("lets weight alone explain what holds none of it", () => {
    const report = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf({ ...BUTTER, "caster-sugar": 180 })), book);
    expect(report.sentences[0]).toContain("because caster sugar is 100 % sugar (40 g less)");
    expect(report.sentences[0]).not.toMatch(/ 0 %/);
    expect(report.sentences.join()).toMatch(/It sets about \d °C sooner/);
  });
});

describe("figures", () => {
  it("finds nothing between a formula and itself", () => {
    const report = consequences(demo("sandwich.1"), demo("sandwich.1"), book, { bake: true });
    expect(report).toMatchObject({ same: true, changed: [], sentences: [] });
    expect(report.consequences.length).toBeGreaterThan(40);
    for (const figure of report.consequences) {
      expect(figure.exceeds, figure.what).toBe(false);
      expect(figure.change ?? 0).toBe(0);
    }
  });

  it("changes nothing in composition when sugar moves between stages", () => {
    const one = demo("hazelnut-torte.1");
    const cake = one.components[0]!;
    const moved: Formula = {
      ...one,
      components: [
        {
          ...cake,
          stages: cake.stages.map((stage, index) => ({
            ...stage,
            uses: stage.uses.map((use) => (use.ingredient === "caster-sugar" ? { ...use, grams: index === 0 ? 120 : 60 } : use)),
          })),
        },
        ...one.components.slice(1),
      ],
    };
    const report = consequences(one, moved, book);
    expect(report.changed.length).toBeGreaterThan(0);
    expect(report.sentences).toEqual([]);
    expect(report.consequences.filter(({ exceeds }) => exceeds)).toEqual([]);
  });

  it("has a size, a unit and what it is unsure by for everything it compares", () => {
    const report = consequences(demo("sandwich.2"), demo("sandwich.3"), book, { bake: true });
    const topics = new Set(report.consequences.map(({ topic }) => topic));
    expect([...topics].sort()).toEqual(
      ["allergens", "bake", "composition", "energy", "keeping", "ratio", "setting", "softness"].sort(),
    );
    for (const figure of report.consequences) {
      if (figure.change === undefined) continue;
      expect(figure.change).toBeCloseTo((figure.after as number) - (figure.before as number), 9);
      if (figure.uncertainty !== undefined)
        expect(figure.exceeds, figure.what).toBe(Math.abs(figure.change) > figure.uncertainty + 1e-9);
    }
    // Fat and water were held when the butter was swapped, so the bake hardly changes and the cold crumb does.
    expect(find(report.consequences, "time until done").exceeds).toBe(false);
    expect(find(report.consequences, "solid fat in 100 g at 5 °C").exceeds).toBe(true);
    expect(find(report.consequences, "water activity").exceeds).toBe(false);
  });

  it("keeps longer and sets later with more sugar", () => {
    const report = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf({ ...BUTTER, "caster-sugar": 280 })), book);
    expect(find(report.consequences, "set temperature").change).toBeGreaterThan(2);
    expect(find(report.consequences, "water activity").change).toBeLessThan(-0.01);
    expect(find(report.consequences, "mould-free days, wrapped at 21 °C").change).toBeGreaterThan(1);
    expect(report.sentences.join("\n")).toMatch(
      /water held more tightly, water activity 0\.\d\d instead of 0\.\d\d; mould-free about/,
    );
  });

  it("puts a gained allergen first and says what brings it", () => {
    const nutty = { ...BUTTER, "ground-almonds": 50 };
    const report = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf(nutty)), book);
    expect(report.sentences[0]).toBe("It now contains nuts (almond), from Ground almonds: the label and the notice change.");
    const back = consequences(formulaOf(cakeOf(nutty)), formulaOf(cakeOf(BUTTER)), book);
    expect(back.sentences.join()).toContain("It no longer contains nuts (almond)");
  });

  it("says when the product has to be kept cold from now on", () => {
    const icing = (uses: Readonly<Record<string, number>>): Component => ({ ...cakeOf(uses), name: "Icing", kind: "icing" });
    const before = formulaOf(cakeOf(BUTTER), icing({ "butter-unsalted": 140, "icing-sugar-uk": 260 }));
    const after = formulaOf(
      cakeOf(BUTTER),
      icing({ "butter-unsalted": 60, "icing-sugar-uk": 130, "soft-cheese-full-fat-uk": 200 }),
    );
    const report = consequences(before, after, book);
    expect(report.sentences).toContain("Icing: now to be kept cold.");
    expect(find(report.consequences, "kept at", "Icing")).toMatchObject({ before: "room", after: "chilled", exceeds: true });
  });

  it("compares the cost where there are prices, and says what has none", () => {
    const priced = createIngredientBook(
      ["butter-unsalted", "sunflower-oil", "caster-sugar", "egg-whole-uk", "self-raising-flour"].map((id, index) => ({
        ...book.get(id)!,
        packs: [{ grams: 1000, priceMinor: [800, 200, 120, 400, 90][index]!, currency: "GBP" }],
      })),
    );
    const report = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf(swapped)), priced, {
      price: { currency: "GBP", date: "2026-11-25", cakes: 1, portionsPerCake: 10 },
    });
    // By hand: 90 g of butter at 8.00 a kilo for 90 g of oil at 2.00.
    expect(find(report.consequences, "cost of one cake sold", "Cake")).toMatchObject({
      unit: "GBP",
      change: expect.closeTo(-0.54, 8),
      exceeds: true,
    });
    expect(find(report.consequences, "cost of a portion", "Cake").change).toBeCloseTo(-0.054, 8);
    expect(find(report.consequences, "ingredients of a batch", "Cake").change).toBeCloseTo(-0.54, 8);
    expect(report.sentences.at(-1)).toBe("A cake costs £0.54 less (some prices are missing).");
    expect(report.missing.join()).toContain("Whole milk");
  });

  it("names what has nothing beside it and what has no figure", () => {
    const report = consequences(demo("sandwich.1"), demo("lemon-loaf.1"), book, { bake: true });
    expect(report.missing).toContain("Sponge is in one of the two only; its own figures have nothing beside them.");
    const odd = consequences(formulaOf(cakeOf(BUTTER)), formulaOf(cakeOf({ ...BUTTER, nowhere: 40 })), book);
    expect(odd.missing.join("\n")).toContain("Allergens are not known of nowhere.");
    expect(odd.missing.join("\n")).toContain("no figure for water of nowhere");
    expect(consequences(formulaOf(), formulaOf(), book)).toMatchObject({ same: true, sentences: [] });
  });
});
