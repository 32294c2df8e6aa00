import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type CompoundDescription, compoundIngredient } from "./compound.js";
import { NUTRIENTS, type Nutrient } from "./ingredient.js";
import { createIngredientBook } from "./ingredientBook.js";

const book = createIngredientBook();
const JAM: CompoundDescription = {
  id: "own-strawberry-jam",
  name: "Strawberry jam of ours",
  role: "fruit",
  parts: [
    { ingredient: "strawberries", grams: 1000 },
    { ingredient: "granulated-sugar", grams: 800 },
    { ingredient: "lemon-juice", grams: 50 },
  ],
  partsLossPercent: 30,
};
const value = (id: string, nutrient: Nutrient) => {
  const figure = book.get(id)!.per100g[nutrient];
  return figure.known ? figure.value : Number.NaN;
};

// Exact: 1850 g of parts lose 555 g of water; 1295 g are left, with all the sugar of the parts in them.
it("makes a jam whose sugar stays and whose water leaves", () => {
  const { value: jam, problems } = compoundIngredient(JAM, book);
  expect(problems).toEqual([]);
  const water =
    value("strawberries", "water") * 10 + value("granulated-sugar", "water") * 8 + value("lemon-juice", "water") * 0.5;
  expect(jam.per100g.water).toMatchObject({ known: true, value: expect.closeTo(((water - 555) / 1295) * 100, 6) });
  const sugars =
    value("strawberries", "sugars") * 10 + value("granulated-sugar", "sugars") * 8 + value("lemon-juice", "sugars") * 0.5;
  expect(jam.per100g.sugars).toMatchObject({ known: true, value: expect.closeTo((sugars / 1295) * 100, 6) });
  expect(jam.basis).toBe("compound");
  expect(jam.source).toBe("made from 1000 g Strawberries, 800 g Granulated sugar, 50 g Lemon juice; 30 % lost as water");
});

// Published: bought jams hold about 65 to 70 g of sugars in 100 g (CoFID 17-073 in this larder); a jam boiled down to 65 % is near them.
it("lands near the published sugar of a jam", () => {
  const { value: jam } = compoundIngredient(JAM, book);
  const sugars = jam.per100g.sugars;
  expect(sugars.known && sugars.value).toBeGreaterThan(60);
  expect(sugars.known && sugars.value).toBeLessThan(value("raspberry-jam", "sugars") + 5);
});

// Peer: lemon curd of home recipe from its parts against the analysed bought curd is not equal, but the figures must mix.
it("mixes by weight without loss (property)", () => {
  const ids = fc.constantFrom("plain-flour", "caster-sugar", "butter-unsalted", "egg-whole-uk", "milk-whole", "salt", "honey");
  const parts = fc.array(fc.record({ ingredient: ids, grams: fc.double({ min: 0.1, max: 2000, noNaN: true }) }), {
    minLength: 1,
    maxLength: 8,
  });
  fc.assert(
    fc.property(parts, (mixture) => {
      const { value: mix, problems } = compoundIngredient({ id: "own-mix", name: "Mix", role: "other", parts: mixture }, book);
      expect(problems).toEqual([]);
      const total = mixture.reduce((sum, part) => sum + part.grams, 0);
      for (const nutrient of ["water", "fat", "protein", "carbohydrate", "sodium"] as const) {
        const expected = mixture.reduce((sum, part) => sum + value(part.ingredient, nutrient) * part.grams, 0) / total;
        const figure = mix.per100g[nutrient];
        expect(figure.known && figure.value).toBeCloseTo(expected, 6);
      }
    }),
  );
});

it("keeps missing what one part does not know, and names it", () => {
  const { value: mix } = compoundIngredient(
    {
      id: "own-syrup",
      name: "Vanilla syrup",
      role: "sugar",
      parts: [
        { ingredient: "caster-sugar", grams: 100 },
        { ingredient: "vanilla-pod", grams: 2 },
      ],
    },
    book,
  );
  expect(mix.per100g.sugars).toEqual({ known: false, why: "not known for Vanilla pod" });
  for (const nutrient of NUTRIENTS) expect(mix.per100g[nutrient]).toBeDefined();
});

it("unites the allergens, and the maybes that the baker states", () => {
  const { value: mix } = compoundIngredient(
    {
      id: "own-praline",
      name: "Praline",
      role: "nut",
      parts: [
        { ingredient: "hazelnuts", grams: 100 },
        { ingredient: "almonds", grams: 100 },
        { ingredient: "dark-chocolate-60-69", grams: 100 },
      ],
      mayContain: [{ allergen: "peanuts" }],
    },
    book,
  );
  expect(mix.contains).toEqual([
    { allergen: "nuts", kind: "almond" },
    { allergen: "nuts", kind: "hazelnut" },
  ]);
  expect(mix.mayContain).toEqual([{ allergen: "peanuts" }]);
  expect(mix.checkSupplier.map(({ allergen }) => allergen)).toEqual(["soybeans", "milk"]);
});

describe("what cannot be made", () => {
  const problemsOf = (change: Partial<CompoundDescription>, inBook = book) =>
    compoundIngredient({ ...JAM, ...change }, inBook).problems;
  it.each([
    [{ parts: [] }, ["parts"], "missing-field", "Add what it is made from."],
    [{ parts: [{ ingredient: "strawbery", grams: 100 }] }, ["parts", 0, "ingredient"], "unknown-ingredient", "strawberries"],
    [{ parts: [{ ingredient: "salt", grams: 0 }] }, ["parts", 0, "grams"], "not-a-weight", "Give the weight of this part"],
    [
      { parts: [{ ingredient: "salt", grams: Number.NaN }] },
      ["parts", 0, "grams"],
      "not-a-weight",
      "Give the weight of this part",
    ],
    [
      { parts: [{ ingredient: "own-strawberry-jam", grams: 5 }] },
      ["parts", 0, "ingredient"],
      "conflict",
      "cannot be made from itself",
    ],
    [{ partsLossPercent: 100 }, ["partsLossPercent"], "out-of-range", "Weigh the parts before"],
    [{ partsLossPercent: 90 }, ["partsLossPercent"], "out-of-range", "only water leaves"],
  ] as const)("%j is told", (change, path, code, remedy) => {
    expect(problemsOf(change as Partial<CompoundDescription>)).toContainEqual(
      expect.objectContaining({ code, path, remedy: expect.stringContaining(remedy) }),
    );
  });
  it("is a circle of two", () => {
    const filling = compoundIngredient(
      { id: "own-filling", name: "Filling", role: "other", parts: [{ ingredient: "salt", grams: 1 }] },
      book,
    ).value;
    const circular = createIngredientBook([{ ...filling, parts: [{ ingredient: JAM.id, grams: 1 }] }]);
    expect(problemsOf({ parts: [{ ingredient: "own-filling", grams: 100 }] }, circular)).toContainEqual(
      expect.objectContaining({ code: "conflict" }),
    );
  });
  it("still gives an ingredient, with nothing known", () => {
    const { value: jam } = compoundIngredient({ ...JAM, partsLossPercent: 90 }, book);
    expect(jam.per100g.water).toEqual({ known: false, why: "more water is lost than the parts hold" });
  });
});
