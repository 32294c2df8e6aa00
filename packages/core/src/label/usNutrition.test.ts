import { describe, expect, it } from "vitest";
import { composeFormula, composeFurther } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import {
  createIngredientBook,
  FURTHER_NUTRIENTS,
  type FurtherNutrient,
  type Ingredient,
  ingredientFromPacket,
} from "../ingredients/index.js";
import { labelFor } from "./labelFor.js";
import type { NutritionDeclaration, NutritionRow } from "./nutritionLines.js";
import { usNutrition } from "./usNutrition.js";

const plain = createIngredientBook();
const formulaOf = (uses: Readonly<Record<string, number>>, lossPercent = 0): Formula => ({
  name: "Cake",
  components: [
    {
      name: "Cake",
      kind: "cake",
      ...(lossPercent === 0 ? {} : { loss: { percent: lossPercent, basis: "stated" } }),
      stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
    },
  ],
});
const panelOf = (uses: Readonly<Record<string, number>>, servingGrams: number, book = plain, stated = {}, lossPercent = 0) => {
  const formula = formulaOf(uses, lossPercent);
  return usNutrition(
    composeFormula(formula, book).product.finished,
    servingGrams,
    undefined,
    stated,
    composeFurther(formula, book).product,
  );
};
const rowOf = (panel: NutritionDeclaration, id: string): NutritionRow => panel.rows.find((row) => row.id === id)!;
const shown = (row: NutritionRow) => {
  const cell = row.perPortion!;
  return [cell.known ? cell.declared.text : cell.why, row.percent];
};

/** A food of 100 g of which a serving of 100 g holds just this much. */
const foodOf = (figures: Partial<Record<FurtherNutrient, number>>): Ingredient =>
  ingredientFromPacket({
    name: "Test food",
    role: "other",
    per100g: { energyKj: 2000, fat: 40, saturates: 20, carbohydrate: 20, sugars: 5, fibre: 0, protein: 10, salt: 0 },
    furtherPer100g: figures,
    contains: [],
  }).value;
const roundedOf = (nutrient: FurtherNutrient, amount: number) => {
  const food = foodOf({ [nutrient]: amount });
  return shown(rowOf(panelOf({ [food.id]: 100 }, 100, createIngredientBook([food])), nutrient));
};

// Published: 21 CFR 101.9(c)(2)(ii) trans fat, (c)(3) cholesterol, (c)(8)(iii) percent of vitamins and minerals, (c)(8)(iv) daily values (20 µg,
// 1300 mg, 18 mg, 4700 mg; cholesterol 300 mg by (c)(9)), at and around every threshold. Steps of the amounts (0.1, 10, 0.1, 10): the agency's
// guidance, from memory.
it.each<[FurtherNutrient, number, string, number | undefined]>([
  ["transFatGrams", 0.49, "0g", undefined],
  ["transFatGrams", 0.5, "0.5g", undefined],
  ["transFatGrams", 0.74, "0.5g", undefined],
  ["transFatGrams", 0.75, "1g", undefined],
  ["transFatGrams", 4.74, "4.5g", undefined],
  ["transFatGrams", 4.9, "5g", undefined],
  ["transFatGrams", 5.4, "5g", undefined],
  ["transFatGrams", 5.5, "6g", undefined],
  ["cholesterolMg", 1.9, "0mg", 1],
  ["cholesterolMg", 2, "less than 5mg", 1],
  ["cholesterolMg", 5, "less than 5mg", 2],
  ["cholesterolMg", 5.1, "5mg", 2],
  ["cholesterolMg", 7.4, "5mg", 2],
  ["cholesterolMg", 7.5, "10mg", 3],
  ["cholesterolMg", 203, "205mg", 68],
  ["vitaminDMcg", 0.04, "0mcg", 0],
  ["vitaminDMcg", 0.39, "0.4mcg", 0],
  ["vitaminDMcg", 0.4, "0.4mcg", 2],
  ["vitaminDMcg", 0.59, "0.6mcg", 2],
  ["vitaminDMcg", 0.6, "0.6mcg", 4],
  ["vitaminDMcg", 2, "2mcg", 10],
  ["vitaminDMcg", 2.4, "2.4mcg", 10],
  ["vitaminDMcg", 2.5, "2.5mcg", 15],
  ["vitaminDMcg", 10, "10mcg", 50],
  ["vitaminDMcg", 10.9, "10.9mcg", 50],
  ["vitaminDMcg", 11, "11mcg", 60],
  ["calciumMg", 4.9, "0mg", 0],
  ["calciumMg", 5, "10mg", 0],
  ["calciumMg", 25.9, "30mg", 0],
  ["calciumMg", 26, "30mg", 2],
  ["calciumMg", 130, "130mg", 10],
  ["calciumMg", 164, "160mg", 15],
  ["ironMg", 0.04, "0mg", 0],
  ["ironMg", 0.35, "0.4mg", 0],
  ["ironMg", 0.36, "0.4mg", 2],
  ["ironMg", 1.8, "1.8mg", 10],
  ["ironMg", 9.5, "9.5mg", 50],
  ["ironMg", 9.9, "9.9mg", 60],
  ["potassiumMg", 93, "90mg", 0],
  ["potassiumMg", 94, "90mg", 2],
  ["potassiumMg", 235, "240mg", 6],
  ["potassiumMg", 470, "470mg", 10],
])("prints %s %s as the rule does", (nutrient, amount, text, percent) => {
  expect(roundedOf(nutrient, amount)).toEqual([text, percent]);
});

// A pound cake of USDA SR28 01145, 19335, 01123, 20081 in equal weights, 12 % lost: per serving of 80 g, by hand from the rows and
// 0.25 x 80 / 0.88 = 22.73 g of each: cholesterol 22.73 x 5.87 = 133 mg, calcium 22.73 x 0.96 = 21.8, iron 22.73 x 0.0646 = 1.47,
// potassium 22.73 x 2.71 = 61.6, vitamin D 22.73 x 0.02 = 0.45 µg.
const POUND = { "butter-unsalted-us": 250, "granulated-sugar": 250, "egg-whole": 250, "all-purpose-flour-us": 250 };
it("computes a whole panel with nothing left to type, in the order of the panel", () => {
  const panel = panelOf(POUND, 80, plain, {}, 12);
  expect(panel.rows.map(({ id }) => id)).toEqual([
    "calories",
    "fat",
    "saturates",
    "transFatGrams",
    "cholesterolMg",
    "sodium",
    "carbohydrate",
    "fibre",
    "sugars",
    "addedSugars",
    "protein",
    "vitaminDMcg",
    "calciumMg",
    "ironMg",
    "potassiumMg",
  ]);
  expect(shown(rowOf(panel, "cholesterolMg"))).toEqual(["135mg", 44]);
  expect(shown(rowOf(panel, "vitaminDMcg"))).toEqual(["0.5mcg", 2]);
  expect(shown(rowOf(panel, "calciumMg"))).toEqual(["20mg", 0]);
  expect(shown(rowOf(panel, "ironMg"))).toEqual(["1.5mg", 8]);
  expect(shown(rowOf(panel, "potassiumMg"))).toEqual(["60mg", 0]);
  // Butter of CoFID: 2.87 g trans in 82.2 g fat; 22.73 g of butter of 81.11 % bring 0.64 g.
  expect(shown(rowOf(panel, "transFatGrams"))[0]).toBe("0.5g");
});

it("unfolds each figure to the ingredients and their sources", () => {
  const panel = panelOf(POUND, 80);
  for (const nutrient of FURTHER_NUTRIENTS) {
    const { per100g, sources } = rowOf(panel, nutrient);
    const sum = sources.reduce((total, one) => total + (one.per100g ?? 0), 0);
    expect(sum, nutrient).toBeCloseTo(per100g.known ? per100g.unrounded : Number.NaN, 9);
    for (const one of sources) expect(one.source.length).toBeGreaterThan(9);
  }
  expect(rowOf(panel, "cholesterolMg").sources.map(({ name }) => name)).toEqual([
    plain.get("egg-whole")!.name,
    plain.get("butter-unsalted-us")!.name,
  ]);
});

describe("a figure that an ingredient lacks", () => {
  const silent = foodOf({ calciumMg: 20 });
  const book = createIngredientBook([silent]);
  it("stops its line, names the ingredient to ask about, and stops no other", () => {
    const panel = panelOf({ ...POUND, [silent.id]: 100 }, 80, book);
    expect(shown(rowOf(panel, "potassiumMg"))).toEqual(["no figure for the potassium of Test food: ask the supplier", undefined]);
    expect(shown(rowOf(panel, "calciumMg"))[0]).toBe("20mg");
    const label = labelFor(formulaOf({ ...POUND, [silent.id]: 100 }), book, {
      place: "us",
      mode: "prepacked",
      date: "2026-11-20",
      packs: 1,
      nutrition: "always",
    });
    expect(label.missing.join(" ")).toContain("potassium of Test food: ask the supplier");
  });
  it("gives way to what the baker states of the whole cake, which wins over what is computed too", () => {
    const panel = panelOf({ ...POUND, [silent.id]: 100 }, 100, book, { potassiumMg: 94, cholesterolMg: 1.9 });
    expect(shown(rowOf(panel, "potassiumMg"))).toEqual(["90mg", 2]);
    expect(rowOf(panel, "cholesterolMg")).toMatchObject({
      perPortion: { declared: { text: "0mg" }, note: "stated by the baker" },
      sources: [],
    });
  });
  it("stops nothing where the most that it can be prints alike, and that is said", () => {
    // 1 g of oil in 1000 g: less than 1 g of fat that could be trans; 0.1 g in a serving of 100 g.
    const cell = rowOf(panelOf({ "caster-sugar": 999, "groundnut-oil": 1 }, 100), "transFatGrams").perPortion!;
    expect(cell).toMatchObject({ known: true, declared: { text: "0g" }, note: expect.stringContaining("Groundnut oil") });
    const much = rowOf(panelOf({ "caster-sugar": 900, "groundnut-oil": 100 }, 100), "transFatGrams").perPortion!;
    expect(much.known).toBe(false);
  });
});

// UK CoFID 2021 11-886 and USDA SR28 20081 were analysed as sold, fortified: what the law adds is inside, and naming it in the list adds nothing.
it.each([
  ["plain-flour", "calciumMg", 96],
  ["plain-flour", "ironMg", 1.94],
  ["all-purpose-flour-us", "ironMg", 4.64],
] as const)("counts what is added to %s once: %s %d per 100 g", (flour, nutrient, per100g) => {
  const inputs = { place: "us", mode: "prepacked", date: "2026-11-20", packs: 1, nutrition: "always" } as const;
  const { nutrition } = labelFor(formulaOf({ [flour]: 500 }), plain, inputs);
  expect(rowOf(nutrition!, nutrient).per100g).toMatchObject({ known: true, unrounded: expect.closeTo(per100g, 9) });
});
