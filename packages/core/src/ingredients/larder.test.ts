import { gzipSync } from "node:zlib";
import { describe, expect, it } from "vitest";
import { eggParts } from "../quantities/index.js";
import { LARDER_ROWS } from "./data/larderRows.js";
import { displayName } from "./displayName.js";
import { FOOD_TABLES, standardIngredients } from "./expandLarder.js";
import { ALLERGENS, type Ingredient, NUTRIENTS, type Nutrient, ROLES } from "./ingredient.js";
import { createIngredientBook } from "./ingredientBook.js";
import { ENERGY_FACTORS } from "./plausible.js";

const all = standardIngredients();
const book = createIngredientBook();
const of = (ingredient: Ingredient, nutrient: Nutrient) => {
  const figure = ingredient.per100g[nutrient];
  return figure.known ? figure.value : undefined;
};
const need = (id: string) => {
  const found = book.get(id);
  if (!found) throw new Error(`no ingredient ${id}`);
  return found;
};

describe("the shipped ingredients", () => {
  it("are at least 280 with a table or named arithmetic behind them", () => {
    const sourced = all.filter(({ basis }) => basis === "dataset" || basis === "computed");
    expect(sourced.length).toBe(291);
    expect(all.length).toBe(302);
  });
  it("come only from tables whose terms allow it", () => {
    for (const { basis, source, id } of all) {
      if (basis === "dataset")
        expect(source, id).toMatch(
          /^(?:USDA SR28 \d{5}|UK CoFID 2021 \d\d-\d+|USDA SR abbreviated \d{5}|USDA FoodData Central \d+) /,
        );
    }
    expect(LARDER_ROWS).not.toMatch(/Frida|Danish|FOODfiles|New Zealand|Austral|AFCD/);
    expect(Object.keys(FOOD_TABLES)).toEqual(["SR28", "CoFID", "SRA", "FDC"]);
  });
  it("have a kebab-case id and a British name of their own, a role, and known allergens", () => {
    expect(new Set(all.map(({ id }) => id)).size).toBe(all.length);
    expect(new Set(all.map(({ name }) => name.toLowerCase())).size).toBe(all.length);
    for (const { id, role, contains, checkSupplier, otherNames } of all) {
      expect(id).toMatch(/^[a-z0-9]+(?:-[a-z0-9]+)*$/);
      expect(ROLES).toContain(role);
      for (const { allergen } of [...contains, ...checkSupplier]) expect(ALLERGENS).toContain(allergen);
      for (const name of otherNames) expect(name.trim()).not.toBe("");
    }
  });
  it("give every figure with its source, or the reason why there is none", () => {
    for (const ingredient of all) {
      for (const nutrient of NUTRIENTS) {
        const figure = ingredient.per100g[nutrient];
        if (figure.known) {
          expect(figure.source.length).toBeGreaterThan(10);
          expect(figure.value).toBeGreaterThanOrEqual(0);
          expect(figure.value).toBeLessThanOrEqual(nutrient === "energyKj" ? 3800 : nutrient === "energyKcal" ? 905 : 100);
        } else expect(figure.why.length).toBeGreaterThan(10);
      }
    }
  });
  it("know water, protein, fat and carbohydrate of all but the vanilla pod", () => {
    const lacking = all.filter((one) =>
      (["water", "protein", "fat", "carbohydrate"] as const).some((nutrient) => of(one, nutrient) === undefined),
    );
    expect(lacking.map(({ id }) => id)).toEqual(["vanilla-pod"]);
  });
  it("stay small enough for the first load of the app", () => {
    expect(gzipSync(LARDER_ROWS, { level: 9 }).length).toBeLessThan(60_000);
  });
  it("show the names that the reader chose", () => {
    expect(displayName(need("bicarbonate-of-soda"))).toBe("Bicarbonate of soda");
    expect(displayName(need("bicarbonate-of-soda"), "us")).toBe("Baking soda");
    expect(displayName(need("salt"), "us")).toBe("Salt");
  });
});

// Conserved: water, protein, fat, carbohydrate, ash and alcohol make up the food. The tables' own analyses do not always add up:
// the exceptions are named in docs/models/ingredients.md with the reason.
it("adds up to 100 g within 1.5 g, but for the rows whose published analyses do not", () => {
  const off = all.flatMap((one) => {
    const parts = (["water", "protein", "fat", "carbohydrate", "ash", "alcohol"] as const).map(
      (nutrient) => of(one, nutrient) ?? 0,
    );
    const sum = parts.reduce((a, b) => a + b, 0);
    return sum < 98.5 || sum > 101.5 ? [one.id] : [];
  });
  expect(off.sort()).toEqual([
    "bicarbonate-of-soda", // ashing drives off water and carbon dioxide
    "blackcurrant-jam",
    "butter-unsalted", // 98.4: published water and fat
    "digestive-biscuits", // published analyses of different samples
    "double-cream-cofid", // published water and fat disagree; double-cream is the row to use
    "egg-yolk-uk", // ash from six minerals is low
    "golden-syrup", // the same
    "marzipan", // published analyses of different samples
    "marzipan-homemade", // fibre by the older method
    "milk-chocolate-uk", // published analyses of different samples
    "mincemeat", // the same
    "mixed-peel", // ash from six minerals is low
    "plain-chocolate-uk", // fibre by the older method
    "raspberry-jam", // fibre not given; the two other jams with seeds have the same figures
    "single-cream", // published water and fat overlap
    "strawberry-jam",
    "vanilla-pod", // no data at all
    "vinegar-balsamic", // acetic acid is in no column
    "vinegar-cider", // acetic acid stands apart, in organicAcids
    "vinegar-red-wine",
    "vinegar-white",
  ]);
});

it("keeps the parts within their wholes", () => {
  const beyond: string[] = [];
  for (const one of all) {
    const within = (parts: readonly Nutrient[], whole: Nutrient, slack: number) => {
      const total = of(one, whole);
      const sum = parts.reduce((a, nutrient) => a + (of(one, nutrient) ?? 0), 0);
      if (total !== undefined && sum > total + slack)
        beyond.push(`${one.id}: ${parts.join(" + ")} ${sum.toFixed(2)} > ${whole} ${total}`);
    };
    within(["saturates", "monounsaturates", "polyunsaturates"], "fat", 0.3);
    within(["sucrose", "glucose", "fructose", "lactose", "maltose", "galactose"], "sugars", 0.3);
    within(["sugars", "starch", "fibre"], "carbohydrate", 0.6);
  }
  // As published; the tables carry analyses of different samples, and lactose beside carbohydrate by difference.
  expect(beyond.map((line) => line.split(":")[0])).toEqual(["rolled-oats", "light-cream-us", "half-and-half", "cashews"]);
});

// Peer: energy computed with the factors of Annex XIV of Regulation (EU) 1169/2011 against what the tables print. The tables use
// factors of their own for syrups, dried fruit, cocoa, spices and gums, so only the plain foods are held to 5 %.
it("prints the energy that the EU factors give, for plain foods", () => {
  const plain = all.filter(({ group, id }) => /flours|dairy|eggs|fats|nuts/.test(group) && !/lecithin|bran|chia/.test(id));
  expect(plain.length).toBeGreaterThan(120);
  const off: string[] = [];
  for (const one of plain) {
    const [fat, protein, carbohydrate, fibre] = (["fat", "protein", "carbohydrate", "fibre"] as const).map(
      (nutrient) => of(one, nutrient) ?? 0,
    );
    const factors = ENERGY_FACTORS;
    const kj =
      factors.fat.kj * fat! +
      factors.protein.kj * protein! +
      factors.carbohydrate.kj * (carbohydrate! - fibre!) +
      factors.fibre.kj * fibre!;
    const printed = of(one, "energyKj");
    if (printed !== undefined && Math.abs(kj - printed) > Math.max(60, 0.08 * printed))
      off.push(`${one.id} ${printed} ${Math.round(kj)}`);
  }
  expect(off).toEqual([]);
});

// Published: the abbreviated file of an earlier release of the USDA database (water, kcal, protein, fat, ash, carbohydrate, fibre,
// sugars, sodium mg, saturates, mono, poly), read apart from the nutrient file of release 28 that the rows were made from. Foods that
// were analysed anew in between (coconut oil, for one) are left out.
it.each([
  ["barley-flour", 12.11, 345, 10.5, 1.6, 1.28, 74.52, 10.1, 0.8, 4, 0.335, 0.205, 0.771],
  ["oat-flour", 8.55, 404, 14.66, 9.12, 1.97, 65.7, 6.5, 0.8, 19, 1.607, 2.866, 3.329],
  ["buttermilk-whole", 87.91, 62, 3.21, 3.31, 0.68, 4.88, 0, 4.88, 105, 1.899, 0.827, 0.198],
  ["groundnut-oil", 0, 884, 0, 100, 0, 0, 0, 0, 0, 16.9, 46.2, 32],
  ["soya-oil", 0, 884, 0, 100, 0, 0, 0, 0, 0, 15.65, 22.783, 57.74],
])("agrees with the abbreviated USDA file on %s", (id, ...printed) => {
  const order = [
    "water",
    "energyKcal",
    "protein",
    "fat",
    "ash",
    "carbohydrate",
    "fibre",
    "sugars",
    "sodium",
    "saturates",
    "monounsaturates",
    "polyunsaturates",
  ] as const;
  order.forEach((nutrient, index) => {
    const expected = nutrient === "sodium" ? printed[index]! / 1000 : printed[index]!;
    // The rows keep two decimals of the fatty acids' three.
    expect(Math.abs(of(need(id), nutrient)! - expected), nutrient).toBeLessThanOrEqual(0.006);
  });
});

// Published: UK CoFID 2021 as printed, in monosaccharide equivalents: sugar weighs 1/1.05 of them, starch 1/1.10.
it.each([
  ["caster-sugar", "17-063 Sugar, white", "sucrose", 105.0 / 1.05],
  ["icing-sugar-uk", "17-062 Sugar, icing", "sucrose", 103.8 / 1.05],
  ["icing-sugar-uk", "17-062 Sugar, icing", "starch", 1.1 / 1.1],
  ["demerara-sugar", "17-061 Sugar, Demerara", "sucrose", 104.5 / 1.05],
  ["suet-shredded", "17-011 Suet, shredded", "fat", 86.7],
  ["suet-shredded", "17-011 Suet, shredded", "starch", 11.9 / 1.1],
  ["suet-shredded", "17-011 Suet, shredded", "saturates", 49.9],
  ["rye-flour", "11-897 Flour, rye", "water", 10.7],
  ["rye-flour", "11-897 Flour, rye", "protein", 7.3],
  ["rye-flour", "11-897 Flour, rye", "fat", 1.6],
  ["rye-flour", "11-897 Flour, rye", "starch", 72.0 / 1.1],
  ["rye-flour", "11-897 Flour, rye", "sucrose", 1.2 / 1.05],
  ["rye-flour", "11-897 Flour, rye", "fibre", 14.1],
  ["rye-flour", "11-897 Flour, rye", "energyKj", 1359],
] as const)("agrees with CoFID on %s (%s, %s)", (id, source, nutrient, printed) => {
  expect(need(id).source).toContain(source);
  expect(of(need(id), nutrient)).toBeCloseTo(printed, 1);
});

// Common practice, no source: what bakers read on their packets.
it.each([
  ["plain-flour", "protein", 9, 11],
  ["strong-white-flour", "protein", 11, 14],
  ["butter-unsalted", "fat", 80, 84],
  ["butter-unsalted-us", "fat", 80, 82],
  ["double-cream", "fat", 47, 49],
  ["heavy-cream", "fat", 35, 37],
  ["single-cream", "fat", 17, 20],
  ["milk-whole", "fat", 3.5, 3.9],
  ["egg-whole-uk", "water", 74, 78],
  ["honey", "water", 15, 20],
  ["caster-sugar", "sugars", 99, 100],
  ["dark-chocolate-70-85", "fat", 38, 46],
] as const)("keeps %s in its usual %s", (id, nutrient, from, to) => {
  const value = of(need(id), nutrient)!;
  expect(value).toBeGreaterThanOrEqual(from);
  expect(value).toBeLessThanOrEqual(to);
});

// Published: USDA SR28 cup weights, the customary cup of 236.588 mL.
it.each([
  ["all-purpose-flour-us", 125],
  ["granulated-sugar", 200],
  ["honey", 339],
  ["cocoa-powder", 86],
  ["butter-unsalted-us", 227],
])("fills a US cup with the published weight of %s", (id, gramsPerCup) => {
  const density = need(id).densityGPerMl;
  expect(density.known && density.value * 236.5882365).toBeCloseTo(gramsPerCup, 1);
});

it("has no density that cannot be", () => {
  for (const { id, densityGPerMl: density } of all) {
    if (!density.known) continue;
    expect(density.value, id).toBeGreaterThan(0.1);
    expect(density.value, id).toBeLessThan(1.5);
    expect(density.source.length, id).toBeGreaterThan(10);
  }
});

it("weighs the eggs of each British grade as the quantities do", () => {
  const words = { S: "small", M: "medium", L: "large", XL: "very large" } as const;
  for (const grade of ["S", "M", "L", "XL"] as const) {
    const parts = eggParts({ scheme: "uk", grade });
    const weightOf = (id: string) => need(id).householdWeights.find(({ measure }) => measure === words[grade])?.grams;
    expect(weightOf("egg-whole-uk")).toBeCloseTo(parts.edibleGrams, 1);
    expect(weightOf("egg-white-uk")).toBeCloseTo(parts.whiteGrams, 1);
    expect(weightOf("egg-yolk-uk")).toBeCloseTo(parts.yolkGrams, 1);
  }
});
