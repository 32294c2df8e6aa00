import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { ALLERGENS, createIngredientBook, standardIngredients } from "../ingredients/index.js";
import { allergenWord, designation, type IngredientList, type IngredientListOptions, ingredientList } from "./index.js";

const book = createIngredientBook();
const gb: IngredientListOptions = { place: "gb", date: "2026-11-25" };
const text = ({ runs }: IngredientList) => runs.map((run) => (run.emphasised ? `*${run.text}*` : run.text)).join("");
const mix = (weights: Readonly<Record<string, number | null>>, lossPercent = 0): Formula => ({
  name: "Cake",
  components: [
    {
      name: "Cake",
      kind: "cake",
      ...(lossPercent > 0 ? { loss: { percent: lossPercent, basis: "measured" as const } } : {}),
      stages: [{ name: "Mix", uses: Object.entries(weights).map(([ingredient, grams]) => ({ ingredient, grams })) }],
    },
  ],
});

// Published: Bread and Flour Regulations as they stand on the two days (reference: legislation text and summary, seen).
it.each([
  ["2026-12-12", "*Wheat* flour (with calcium carbonate, iron, niacin, thiamin)."],
  ["2026-12-13", "*Wheat* flour (with calcium carbonate, iron, niacin, thiamin, folic acid)."],
])("names the additions to flour as of %s", (date, words) => {
  expect(text(ingredientList(mix({ "plain-flour": 100 }), book, { place: "gb", date }))).toBe(`Ingredients: ${words}`);
  expect(text(ingredientList(mix({ "plain-flour": 100 }), book, { place: "eu", date }))).toBe("Ingredients: *Wheat* flour.");
});

it("lists by weight at mixing, and takes two sugars as one", () => {
  const list = ingredientList(
    mix({ "butter-unsalted": 120, "caster-sugar": 70, "icing-sugar-uk": 60, "egg-whole-uk": 110 }),
    book,
    { place: "eu", date: gb.date },
  );
  expect(text(list)).toBe("Ingredients: Sugar, butter (*milk*), *egg*.");
});

// Published: local-authority guide's sultana cake: 200 g of sultanas, 800 g after baking, 25 %.
it("declares a quantity against the finished product", () => {
  const cake = mix({ "plain-flour": 400, "egg-whole-uk": 400, sultanas: 200 }, 20);
  const list = ingredientList(cake, book, { ...gb, declareQuantityOf: ["sultanas"] });
  expect(list.items.find(({ ingredient }) => ingredient === "sultanas")?.quantity).toBe("25 %");
});

// Computed from Annex VIII, point 4: four parts of 25 g that bake to 90 g are 27.8 % each; declared all, they exceed 100 %.
it("changes to weights when percentages would exceed a hundred", () => {
  const cake = mix({ "plain-flour": 25, "caster-sugar": 25, "butter-unsalted": 25, "egg-whole-uk": 25 }, 10);
  const all = ingredientList(cake, book, {
    ...gb,
    declareQuantityOf: ["plain-flour", "caster-sugar", "butter-unsalted", "egg-whole-uk"],
  });
  expect(new Set(all.items.map(({ quantity }) => quantity))).toEqual(new Set(["27.8 g per 100 g"]));
  const one = ingredientList(cake, book, { ...gb, declareQuantityOf: ["butter-unsalted"] });
  expect(one.items.map(({ quantity }) => quantity).filter((quantity) => quantity !== undefined)).toEqual(["28 %"]);
});

// Computed from Annex VII, Part A: flour 200, others 100, water 150; 320 g finished leaves 20 g of water (6.25 %), 310 g leaves 10 g (3.2 %).
it("lists added water by what is left of it, and leaves out what is little", () => {
  const dough = (finished: number) =>
    mix({ "plain-flour": 200, "caster-sugar": 100, water: 150 }, (100 * (450 - finished)) / 450);
  expect(text(ingredientList(dough(320), book, gb))).toMatch(/water\.$/);
  expect(text(ingredientList(dough(310), book, gb))).not.toContain("water");
});

it("gives the US line of allergens, and leaves it out elsewhere", () => {
  const cake = mix({
    "all-purpose-flour-us": 100,
    "egg-whole": 100,
    "butter-unsalted-us": 100,
    "ground-almonds": 50,
    "rye-flour": 10,
  });
  expect(ingredientList(cake, book, { place: "us", date: gb.date }).contains).toBe(
    "Contains: Wheat, Eggs, Milk, Tree nuts (almond).",
  );
  expect(ingredientList(cake, book, gb).contains).toBeUndefined();
});

it("unfolds a compound of the baker's own", () => {
  const own = createIngredientBook([
    {
      ...book.get("raspberry-jam")!,
      id: "my-jam",
      name: "Our raspberry jam",
      basis: "compound",
      checkSupplier: [],
      parts: [
        { ingredient: "raspberries", grams: 40 },
        { ingredient: "granulated-sugar", grams: 60 },
      ],
    },
  ]);
  expect(text(ingredientList(mix({ "my-jam": 50 }), own, gb))).toBe("Ingredients: Our raspberry jam (sugar, raspberries).");
});

it("says what packets have to settle, what is unknown, and what may be in it", () => {
  const list = ingredientList(mix({ "raspberry-jam": 50, "baking-powder": 4, yuzu: 3, salt: null }), book, {
    ...gb,
    mayContain: [{ allergen: "nuts", kind: "walnut" }],
  });
  expect(list.checks.join("\n")).toMatch(
    /Raspberry jam.*packet[\s\S]*Baking powder[\s\S]*yuzu: the book does not know it[\s\S]*Salt: it has no weight/,
  );
  expect(list.mayContain).toBe("May contain walnut.");
});

// Published: the fourteen allergens of Annex II of Regulation (EU) 1169/2011: each is named and emphasised wherever it is.
it("emphasises every allergen of every shipped ingredient", () => {
  for (const ingredient of standardIngredients()) {
    for (const allergen of ingredient.contains) {
      const { words } = designation(ingredient, "gb", "2026-11-25");
      const stem = allergenWord(allergen).replace(/s$/, "");
      expect(words, `${ingredient.id}: ${words}`).toMatch(new RegExp(`\\[[^\\]]*${stem}[^\\]]*\\]`, "i"));
    }
  }
  expect(ALLERGENS).toHaveLength(14);
});
