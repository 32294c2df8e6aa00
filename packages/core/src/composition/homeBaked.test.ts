import { readFileSync, writeFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type Amounts, per100g } from "./amounts.js";
import { composeFormula } from "./compose.js";

/*
 * Published: UK CoFID 2021 (McCance and Widdowson's Composition of Foods Integrated Dataset) prints the composition of home-made
 * cakes that its compilers calculated from recipes. The foods and their figures were read in a stored copy of the table; the
 * recipes stand in the printed book and are from memory here (equal weights; two of egg to one of sugar and of flour).
 *
 * CoFID prints starch and sugars as monosaccharide equivalents; ours are weights, so its figures are divided by 1.10 (starch),
 * 1.05 (sucrose, maltose, lactose) and 1 (glucose, fructose), from memory of its user guide.
 */
interface HomeBaked {
  readonly code: string;
  readonly name: string;
  readonly recipe: string;
  readonly components: readonly (Omit<Component, "kind" | "stages"> & {
    readonly uses: Readonly<Record<string, number>>;
    readonly water?: number;
    readonly finishedGrams?: number;
  })[];
  /** Per 100 g, as weights. */
  readonly printed: Readonly<Partial<Record<keyof Amounts, number>>>;
  /** Figures that were used to find what the recipe does not say; they are no evidence. */
  readonly fitted: readonly (keyof Amounts)[];
  /** Figures that miss the tolerance; they are named on the model page and their check stays, marked as failing. */
  readonly missed?: readonly (keyof Amounts)[];
}

const FATLESS = { "plain-flour": 100, "caster-sugar": 100, "egg-whole-uk": 200 };
// A teaspoon of baking powder to 4 ounces of flour, from memory.
const SPONGE = { "plain-flour": 100, "caster-sugar": 100, "egg-whole-uk": 100, "butter-salted": 100, "baking-powder": 5 };

const CAKES: readonly HomeBaked[] = [
  {
    code: "11-957",
    name: "Cake, sponge, fatless, homemade",
    recipe: "flour 1, sugar 1, egg 2",
    components: [{ name: "Sponge", uses: FATLESS, water: 31.9 }],
    printed: {
      waterGrams: 31.9,
      proteinGrams: 9.9,
      fatGrams: 5.6,
      saturatesGrams: 1.59,
      sugarsGrams: 30.6 / 1.05,
      starchGrams: 23.3 / 1.1,
      fibreGrams: 1.2,
      sodiumGrams: 0.091,
      energyKj: 1240,
    },
    fitted: ["waterGrams"],
  },
  {
    code: "11-956",
    name: "Cake, sponge, homemade",
    recipe: "flour, sugar, salted butter, egg 1 each, baking powder 0.05",
    components: [{ name: "Sponge", uses: SPONGE, water: 14.6 }],
    printed: {
      waterGrams: 14.6,
      proteinGrams: 6.4,
      fatGrams: 26.4,
      saturatesGrams: 15.69,
      sugarsGrams: 30.3 / 1.05,
      starchGrams: 22.8 / 1.1,
      fibreGrams: 1.1,
      sodiumGrams: 0.43,
      energyKj: 1935,
    },
    fitted: ["waterGrams"],
  },
  {
    code: "11-1125",
    name: "Cake, Swiss roll, homemade",
    // The table does not say how much jam and how much sugar to dust with: the glucose and the sugars tell.
    recipe: "the fatless sponge 72.9, jam with edible seeds 24.1, caster sugar to dust 3.0",
    components: [
      { name: "Sponge", uses: FATLESS, water: 31.9, finishedGrams: 72.9 },
      { name: "Jam", uses: { "raspberry-jam": 24.1 } },
      { name: "Dusting", uses: { "caster-sugar": 3 } },
    ],
    printed: {
      waterGrams: 31.0,
      proteinGrams: 7.4,
      fatGrams: 4.2,
      saturatesGrams: 1.18,
      sugarsGrams: 6.6 + 3.6 + (30.0 + 2.0) / 1.05,
      glucoseGrams: 6.6,
      fructoseGrams: 3.6,
      starchGrams: 16.2 / 1.1,
      sodiumGrams: 0.075,
      energyKj: 1214,
    },
    fitted: ["glucoseGrams", "sugarsGrams"],
    missed: ["starchGrams"],
  },
  {
    code: "11-1118",
    name: "Cake, sponge, with butter icing, homemade",
    // How much icing, and how sweet: the starch and the sugars tell.
    recipe: "the sponge 69, icing sugar 18.7, salted butter 12.3",
    components: [
      { name: "Sponge", uses: SPONGE, water: 14.6, finishedGrams: 69 },
      { name: "Icing", uses: { "icing-sugar-uk": 18.7, "butter-salted": 12.3 } },
    ],
    printed: {
      waterGrams: 12.8,
      proteinGrams: 4.5,
      fatGrams: 27.3,
      saturatesGrams: 16.57,
      sugarsGrams: 40.0 / 1.05,
      starchGrams: 16.2 / 1.1,
      fibreGrams: 0.8,
      sodiumGrams: 0.382,
      energyKj: 1991,
    },
    fitted: ["starchGrams", "sugarsGrams"],
    missed: ["waterGrams", "fatGrams", "saturatesGrams"],
  },
];

const LABELS: Readonly<Partial<Record<keyof Amounts, readonly [name: string, unit: string, digits: number]>>> = {
  waterGrams: ["water", "g", 1],
  proteinGrams: ["protein", "g", 1],
  fatGrams: ["fat", "g", 1],
  saturatesGrams: ["saturates", "g", 2],
  sugarsGrams: ["sugars", "g", 1],
  glucoseGrams: ["glucose", "g", 1],
  fructoseGrams: ["fructose", "g", 1],
  starchGrams: ["starch", "g", 1],
  fibreGrams: ["fibre", "g", 1],
  sodiumGrams: ["sodium", "g", 3],
  energyKj: ["energy", "kJ", 0],
};

const book = createIngredientBook();

function compute(cake: HomeBaked): { readonly amounts: Amounts; readonly lossPercent: number } {
  const components = cake.components.map(({ name, uses, water, finishedGrams }): Component => {
    const mixOf = (factor: number): Component => ({
      name,
      kind: "cake",
      stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams: grams * factor })) }],
    });
    const raw = mixOf(1);
    if (water === undefined) return raw;
    // The loss that leaves the printed water: (W - L) / (T - L) = w.
    const { totalGrams, totals } = composeFormula({ name, components: [raw] }, book).product.mixed;
    const lostGrams = (totals.water.amount - (water / 100) * totalGrams) / (1 - water / 100);
    const factor = finishedGrams === undefined ? 1 : finishedGrams / (totalGrams - lostGrams);
    return { ...mixOf(factor), loss: { percent: (lostGrams / totalGrams) * 100, basis: "stated" } };
  });
  const formula: Formula = { name: cake.name, components };
  const { product, problems } = composeFormula(formula, book);
  expect(problems).toEqual([]);
  return { amounts: per100g(product.finished)!, lossPercent: components[0]!.loss!.percent };
}

function table(): string {
  const rows = CAKES.flatMap((cake) => {
    const { amounts, lossPercent } = compute(cake);
    const head = `| **${cake.code} ${cake.name}** | ${cake.recipe}; loss ${lossPercent.toFixed(1)} % of the batter | | |`;
    const lines = (Object.keys(cake.printed) as (keyof Amounts)[]).map((key) => {
      const [name, unit, digits] = LABELS[key]!;
      const [printed, ours] = [cake.printed[key]!, amounts[key]];
      const difference = cake.fitted.includes(key)
        ? "fitted"
        : `${ours - printed < 0 ? "−" : "+"}${Math.abs(ours - printed).toFixed(digits)}`;
      return `| ${name} [${unit}/100 g] | ${printed.toFixed(digits)} | ${ours.toFixed(digits)} | ${difference} |`;
    });
    return [head, ...lines];
  });
  return ["| food | CoFID, as weights | computed | difference |", "| --- | --- | --- | --- |", ...rows].join("\n");
}

describe("home-baked cakes of a published table", () => {
  // CoFID prints one decimal, and its compilers rounded once more on the way: 0.15 g. Beyond that 3 % is left for what a recipe
  // from memory may miss.
  const check = (cake: HomeBaked, amounts: Amounts, key: keyof Amounts) => {
    const printed = cake.printed[key]!;
    const allowed = key === "energyKj" ? 0.02 * printed : Math.max(key === "sodiumGrams" ? 0.015 : 0.15, 0.03 * printed);
    expect(Math.abs(amounts[key] - printed), `${key}: printed ${printed}, computed ${amounts[key]}`).toBeLessThanOrEqual(allowed);
  };

  it.each(CAKES)("computes $code $name within the table's rounding and 3 %", (cake) => {
    const { amounts, lossPercent } = compute(cake);
    for (const key of Object.keys(cake.printed) as (keyof Amounts)[])
      if (!cake.fitted.includes(key) && !cake.missed?.includes(key)) check(cake, amounts, key);
    // The loss that was found must be one that a bake has: measured 9.8 give or take 2 % for a small pound cake; sponges lose more.
    expect(lossPercent).toBeGreaterThan(8);
    expect(lossPercent).toBeLessThan(17);
  });

  // The recipes of the two cakes put together from parts are not known well enough; docs/models/composition.md says what seems to differ.
  it.fails.each(CAKES.flatMap((cake) => (cake.missed ?? []).map((key) => [cake.name, key, cake] as const)))(
    "%s: %s within 3 %",
    (_name, key, cake) => {
      check(cake, compute(cake).amounts, key);
    },
  );

  it("prints the table that stands in docs/models/composition.md", () => {
    const path = "docs/models/composition.md";
    if (process.env.EVENCRUMB_WRITE_DOCS === "1") {
      const page = readFileSync(path, "utf8");
      writeFileSync(path, page.replace(/(<!-- table: home-baked -->\n)[\s\S]*?(<!-- end -->)/, `$1${table()}\n$2`));
    }
    const printed = /<!-- table: home-baked -->\n([\s\S]*?)\n<!-- end -->/.exec(readFileSync(path, "utf8"))?.[1];
    expect(printed, "run again with EVENCRUMB_WRITE_DOCS=1 to renew the table").toBe(table());
  });
});
