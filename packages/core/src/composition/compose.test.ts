import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula, bookWith, ingredientOf } from "../../testing/formulas.js";
import type { Formula } from "../formula/index.js";
import { createIngredientBook, NUTRIENTS } from "../ingredients/index.js";
import { amountsIn, missingFigures, per100g, perPortion } from "./amounts.js";
import { composeFormula, composePart } from "./compose.js";

const book = bookWith([
  ingredientOf(
    "flour",
    "flour",
    { water: 12, protein: 10, fat: 1, carbohydrate: 77, fibre: 4, starch: 72 },
    { contains: [{ allergen: "cereals-gluten", kind: "wheat" }] },
  ),
  ingredientOf("sugar", "sugar", { carbohydrate: 100, sugars: 100, sucrose: 100 }),
  ingredientOf("butter", "fat", { water: 16, fat: 82, protein: 1, sodium: 0.01 }, { contains: [{ allergen: "milk" }] }),
  ingredientOf("egg", "egg", { water: 76, protein: 13, fat: 9, sodium: 0.14 }, { contains: [{ allergen: "eggs" }] }),
  ingredientOf("milk", "dairy", { water: 88, fat: 4, protein: 3, carbohydrate: 5 }, { contains: [{ allergen: "milk" }] }),
  ingredientOf("salt", "salt", { sodium: 39 }),
  ingredientOf(
    "nuts",
    "nut",
    { fat: 50, fibre: null, carbohydrate: 20 },
    { mayContain: [{ allergen: "sesame" }, { allergen: "milk" }], checkSupplier: [{ allergen: "sulphites" }] },
  ),
  ingredientOf("mystery", "other", { fat: null }),
]);

const cake = (loss?: number): Formula => ({
  name: "Cake",
  portions: 8,
  components: [
    {
      name: "Sponge",
      kind: "cake",
      ...(loss === undefined ? {} : { loss: { percent: loss, basis: "measured" as const } }),
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter", grams: 200 },
            { ingredient: "sugar", grams: 200 },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "egg", grams: 200 },
            { ingredient: "flour", grams: 200 },
          ],
        },
      ],
    },
    {
      name: "Syrup",
      kind: "syrup",
      stages: [
        {
          name: "Boil",
          uses: [
            { ingredient: "sugar", grams: 100 },
            { ingredient: "salt", grams: null },
          ],
        },
      ],
    },
  ],
});

describe("composeFormula", () => {
  // exact: by hand
  it("adds what each use brings", () => {
    const { product, components } = composeFormula(cake(), book);
    expect(components[0]?.mixed.totalGrams).toBe(800);
    expect(components[0]?.mixed.totals.water.amount).toBeCloseTo(24 + 32 + 152, 9);
    expect(components[0]?.mixed.totals.fat.amount).toBeCloseTo(164 + 18 + 2, 9);
    expect(product.mixed.totals.sucrose.amount).toBeCloseTo(300, 9);
    expect(product.unweighed).toEqual([{ component: "Syrup", stage: "Boil", ingredient: "salt", name: "salt" }]);
  });

  it("takes the loss from the water and from nothing else", () => {
    const { product, components, problems } = composeFormula(cake(10), book);
    expect(problems).toEqual([]);
    expect(components[0]?.finished).toMatchObject({ totalGrams: 720, lostGrams: 80 });
    expect(components[0]?.finished.totals.water.amount).toBeCloseTo(128, 9);
    expect(components[0]?.finished.totals.fat).toBe(components[0]?.mixed.totals.fat);
    expect(product.finished).toMatchObject({ totalGrams: 820, lostGrams: 80 });
    expect(components[0]?.finished.totals.water.contributions.at(-1)).toMatchObject({
      amount: -80,
      source: "measured loss of 10 % of the weight",
    });
  });

  it("cuts a loss down to the water there is, and says so", () => {
    const { components, problems } = composeFormula(cake(60), book);
    expect(components[0]?.finished.totals.water.amount).toBe(0);
    expect(components[0]?.finished.lostGrams).toBeCloseTo(208, 9);
    expect(problems).toMatchObject([
      {
        code: "conflict",
        path: ["components", 0, "loss", "percent"],
        expected: "a loss of at most 26 %, which is all the known water in Sponge",
        found: "60 %",
      },
    ]);
  });

  it("shows a missing figure as missing, with why, and an unknown ingredient as all missing", () => {
    const formula: Formula = {
      name: "Odd",
      components: [
        {
          name: "A",
          kind: "cake",
          stages: [
            {
              name: "Mix",
              uses: [
                { ingredient: "mystery", grams: 10 },
                { ingredient: "moon-dust", grams: 90 },
              ],
            },
          ],
        },
      ],
    };
    const { product } = composeFormula(formula, book);
    expect(product.mixed.totalGrams).toBe(100);
    expect(product.mixed.totals.fat).toMatchObject({ amount: 0, contributions: [] });
    expect(product.mixed.totals.fat.missing.map(({ ingredient, source, useGrams }) => [ingredient, source, useGrams])).toEqual([
      ["mystery", "not analysed", 10],
      ["moon-dust", "the ingredient is not in the book", 90],
    ]);
    expect(missingFigures(product.mixed, ["fat", "protein"])).toEqual([
      {
        ingredient: "moon-dust",
        name: "moon-dust",
        why: "the ingredient is not in the book",
        nutrients: ["fat", "protein"],
        useGrams: 90,
      },
      { ingredient: "mystery", name: "mystery", why: "not analysed", nutrients: ["fat"], useGrams: 10 },
    ]);
    expect(product.mixed.totals.energyKj.missing.map(({ source }) => source)).toEqual([
      "no figure for fat",
      "the ingredient is not in the book",
    ]);
    expect(product.allergens.unknownIngredients).toEqual(["moon-dust"]);
  });

  it("summarises allergens in the order of the annex, counts an unweighed line, and does not repeat what is in it", () => {
    const formula: Formula = {
      name: "N",
      components: [
        {
          name: "A",
          kind: "cake",
          stages: [
            { name: "Mix", uses: ["nuts", "milk", "butter", "flour", "egg"].map((ingredient) => ({ ingredient, grams: null })) },
          ],
        },
      ],
    };
    const { allergens } = composeFormula(formula, book).product;
    expect(allergens.contains).toEqual([
      { allergen: "cereals-gluten", kind: "wheat", from: ["flour"] },
      { allergen: "eggs", from: ["egg"] },
      { allergen: "milk", from: ["milk", "butter"] },
    ]);
    expect(allergens.mayContain).toEqual([{ allergen: "sesame", from: ["nuts"] }]);
    expect(allergens.checkSupplier).toEqual([{ allergen: "sulphites", from: ["nuts"] }]);
  });

  it("computes energy by the factors of the regulation, kJ and kcal each by their own", () => {
    // exact: 200 g flour, per 100 g: fat 1, protein 10, carbohydrate without fibre 73, fibre 4
    const { product } = composeFormula(
      {
        name: "F",
        components: [{ name: "A", kind: "cake", stages: [{ name: "-", uses: [{ ingredient: "flour", grams: 200 }] }] }],
      },
      book,
    );
    expect(product.mixed.totals.energyKj.amount).toBeCloseTo(2 * (37 + 170 + 73 * 17 + 4 * 8), 9);
    expect(product.mixed.totals.energyKcal.amount).toBeCloseTo(2 * (9 + 40 + 73 * 4 + 4 * 2), 9);
  });

  it("conserves weight, and unfolds every total to the uses that make it (property)", () => {
    fc.assert(
      fc.property(anyFormula(), (formula) => {
        const { product, components } = composeFormula(formula, book);
        for (const part of [product, ...components]) {
          expect(part.finished.totalGrams + part.finished.lostGrams).toBeCloseTo(part.mixed.totalGrams, 3);
          expect(part.finished.totals.water.amount).toBeGreaterThanOrEqual(0);
          for (const composition of [part.mixed, part.finished]) {
            for (const nutrient of NUTRIENTS) {
              const { amount, contributions } = composition.totals[nutrient];
              const sum = contributions.reduce((total, contribution) => total + contribution.amount!, 0);
              expect(Math.abs(sum - amount)).toBeLessThanOrEqual(1e-9 * Math.max(1, part.mixed.totalGrams) * 100);
            }
          }
        }
      }),
    );
  });

  it("holds no more than it weighs: water, protein, fat, carbohydrate and ash of the shipped ingredients (conserved)", () => {
    const larder = createIngredientBook();
    const all: Formula = {
      name: "All",
      components: [
        { name: "All", kind: "cake", stages: [{ name: "-", uses: larder.all.map(({ id }) => ({ ingredient: id, grams: 10 })) }] },
      ],
    };
    const { mixed } = composeFormula(all, larder).product;
    const parts = (["water", "protein", "fat", "carbohydrate", "ash", "alcohol"] as const).map(
      (nutrient) => mixed.totals[nutrient].amount,
    );
    // The tables themselves add to 98.5 to 101.5 % for nearly all rows.
    expect(parts.reduce((sum, part) => sum + part, 0) / mixed.totalGrams).toBeGreaterThan(0.985);
    expect(parts.reduce((sum, part) => sum + part, 0) / mixed.totalGrams).toBeLessThan(1.015);
  });
});

describe("amounts", () => {
  it("are given per 100 g, per portion and for any weight, with salt from sodium", () => {
    const { finished } = composePart(cake(10).components[0]!, book).value;
    expect(per100g(finished)?.fatGrams).toBeCloseTo((184 / 720) * 100, 9);
    expect(per100g(finished)?.saltGrams).toBeCloseTo(((0.02 + 0.28) * 2.5 * 100) / 720, 9);
    expect(perPortion(finished, 8)?.fatGrams).toBeCloseTo(23, 9);
    expect(amountsIn(finished, 720)?.sugarsGrams).toBeCloseTo(200, 9);
  });

  it("are not there while nothing is weighed", () => {
    const { product } = composeFormula({ name: "Empty", components: [] }, book);
    expect(per100g(product.mixed)).toBeNull();
    expect(perPortion(composeFormula(cake(), book).product.mixed, 0)).toBeNull();
  });
});
