import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { ALLERGENS, createIngredientBook, standardIngredients } from "../ingredients/index.js";
import {
  allergenWord,
  canBeReconstituted,
  designation,
  type IngredientList,
  type IngredientListOptions,
  ingredientList,
  labelWords,
} from "./index.js";

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
  expect(list.items.find(({ ingredients }) => ingredients.includes("sultanas"))?.quantity).toBe("25 %");
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
  expect(list.checks.map(({ words }) => words).join("\n")).toMatch(
    /Raspberry jam.*packet[\s\S]*Baking powder[\s\S]*yuzu: the book does not know it[\s\S]*Salt: it has no weight/,
  );
  expect(list.mayContain).toBe("May contain walnut.");
});

// Published: the fourteen allergens of Annex II of Regulation (EU) 1169/2011: each is named and stands out wherever it is, in every language.
it.each(["en", "fr", "de", "es", "it"] as const)(
  "makes every allergen of every shipped ingredient stand out (%s)",
  (language) => {
    let count = 0;
    for (const ingredient of standardIngredients()) {
      for (const allergen of ingredient.contains) {
        const { runs, words } = designation(ingredient, { place: "eu", date: "2026-11-25", language });
        const stem = allergenWord(allergen, language)
          .toLowerCase()
          .replace(/s$/, "")
          .replace(/^sulphite$/, "sul");
        expect(
          runs.some((run) => run.emphasised && run.text.toLowerCase().includes(stem)),
          `${ingredient.id}: ${words}`,
        ).toBe(true);
        count += 1;
      }
    }
    expect(count).toBeGreaterThan(80);
    expect(ALLERGENS).toHaveLength(14);
    expect(Object.keys(labelWords(language).allergens)).toHaveLength(14);
  },
);

// Published: the nine of the United States (Food, Drug, and Cosmetic Act, section 403(w), sesame since 2023): every shipped ingredient that holds one.
it("names the nine in the US line for every shipped ingredient", () => {
  const line = {
    milk: "Milk",
    eggs: "Eggs",
    peanuts: "Peanuts",
    soybeans: "Soybeans",
    sesame: "Sesame",
    nuts: "Tree nuts",
  } as const;
  for (const { id, contains } of standardIngredients()) {
    const printed = ingredientList(mix({ [id]: 100 }), book, { place: "us", date: gb.date }).contains ?? "";
    for (const { allergen, kind } of contains) {
      if (allergen === "cereals-gluten") expect(printed.includes("Wheat"), `${id} ${printed}`).toBe(kind === "wheat");
      else if (allergen in line) expect(printed, id).toContain(line[allergen as keyof typeof line]);
      else expect(printed.toLowerCase(), id).not.toContain(allergen);
    }
    if (contains.length === 0) expect(printed, id).toBe("");
  }
});

// Published: 21 CFR 101.4(a)(2), 2006 revision seen: at 2 percent or less after the phrase, in any order.
it("puts what is little behind the phrase in the United States", () => {
  const cake = mix({
    "all-purpose-flour-us": 300,
    "granulated-sugar": 290,
    "butter-unsalted-us": 280,
    "egg-whole": 130,
    salt: 5,
    cinnamon: 5,
  });
  expect(text(ingredientList(cake, book, { place: "us", date: gb.date }))).toMatch(
    /butter \(cream\), eggs, contains 2 percent or less of: cinnamon, salt\.$/,
  );
});

// Published: Annex VII, Part A, point 6: under 2 % the order is free, so one class of additives is named once.
it("names additives by class and name or number, small ones of a class together", () => {
  const cake = mix({
    "plain-flour": 400,
    "caster-sugar": 300,
    "butter-unsalted": 290,
    "cream-of-tartar": 6,
    "bicarbonate-of-soda": 4,
  });
  const eu: IngredientListOptions = { place: "eu", date: gb.date };
  expect(text(ingredientList(cake, book, eu))).toContain("raising agents (potassium tartrates, sodium carbonates).");
  expect(text(ingredientList(cake, book, { ...eu, additives: "number" }))).toContain("raising agents (E336, E500).");
  expect(text(ingredientList(mix({ "soya-lecithin": 5 }), book, { ...eu, additives: "number" }))).toBe(
    "Ingredients: Emulsifier (E322 (*soya*)).",
  );
});

it("copies the packet's own list, makes its allergens stand out, and says where they disagree", () => {
  const chocolate = book.get("dark-chocolate-60-69")!;
  const own = createIngredientBook([
    {
      ...chocolate,
      contains: [{ allergen: "soybeans" }],
      packetList:
        "Ingredients: cocoa mass, sugar, whole milk powder, emulsifier (soya lecithins), vanilla extract. May contain nuts.",
    },
  ]);
  const list = ingredientList(mix({ "dark-chocolate-60-69": 100 }), own, gb);
  expect(text(list)).toContain(
    "Dark chocolate (cocoa mass, sugar, whole milk powder, emulsifier (*soya* lecithins), vanilla extract",
  );
  const words = list.checks.map((check) => check.words).join(" ");
  expect(words).toContain('its packet says "may contain nuts": state that as may-contain');
  expect(words).toContain("its packet's list names milk, and its allergens do not");
});

it("does not take coconut milk for milk, nor buttermilk for named", () => {
  const own = createIngredientBook([
    { ...book.get("plain-chocolate-uk")!, contains: [{ allergen: "milk" }], packetList: "sugar, coconut milk, buttermilk" },
  ]);
  expect(text(ingredientList(mix({ "plain-chocolate-uk": 10 }), own, gb))).toBe(
    "Ingredients: Plain chocolate (sugar, coconut milk, buttermilk) (*milk*).",
  );
});

// Published: Annex VIII, point 4(b) and Annex VII, Part A, point 1: volatile ingredients by what is left (local-authority guide, seen).
it("declares brandy by what is left of it, and asks when it is not known", () => {
  const cake = mix({ "plain-flour": 500, sultanas: 440, "spirits-40": 60 }, 10);
  const asked = { ...gb, declareQuantityOf: ["spirits-40"] };
  expect(ingredientList(cake, book, asked).checks.some(({ kind }) => kind === "volatile")).toBe(true);
  const known = ingredientList(cake, book, { ...asked, leftGrams: { "spirits-40": 18 } });
  expect(known.checks.some(({ kind }) => kind === "volatile")).toBe(false);
  expect(known.items.at(-1)).toMatchObject({ ingredients: ["spirits-40"], quantity: "2 %" });
});

// Published: Annex VII, Part A, point 3: dried ingredients made up with water may stand by their weight before drying.
it("lists milk powder made up with water by the weight of both", () => {
  const dough = mix({ "plain-flour": 220, "milk-powder-skimmed": 20, water: 180, "caster-sugar": 100 }, 10);
  const list = ingredientList(dough, book, { ...gb, place: "eu", reconstitutedWithGrams: { "milk-powder-skimmed": 180 } });
  expect(text(list)).toBe("Ingredients: *Wheat* flour, reconstituted skimmed *milk* powder, sugar.");
  expect(list.rules.map(({ id }) => id)).toContain("reconstituted");
  // An English word does not stand on a French label: the baker's own name says it.
  const names = { "milk-powder-skimmed": "lait écrémé reconstitué", "plain-flour": "farine de blé", "caster-sugar": "sucre" };
  const french = ingredientList(dough, book, {
    ...gb,
    place: "eu",
    language: "fr",
    names,
    reconstitutedWithGrams: { "milk-powder-skimmed": 180 },
  });
  expect(text(french).replaceAll("*", "")).toBe("Ingrédients: Farine de blé, lait écrémé reconstitué, sucre.");
  expect(french.checks.map(({ words }) => words).join(" ")).toContain("say so in its name");
});

it("takes dried egg and milk for what may be made up with water, and no other", () => {
  expect(
    book.all
      .filter(canBeReconstituted)
      .map(({ id }) => id)
      .toSorted(),
  ).toEqual([
    "buttermilk-powder",
    "egg-white-dried",
    "egg-whole-dried",
    "egg-yolk-dried",
    "milk-powder-skimmed",
    "milk-powder-whole",
    "whey-powder",
  ]);
});

// Published: Annex VII, Part E, point 2(a): composition set by law and under 2 %: no list of its own, allergens always.
it("lets jam go without its list when it is little", () => {
  const [little, much] = [10, 100].map((grams) => ingredientList(mix({ "plain-flour": 900, "raspberry-jam": grams }), book, gb));
  expect(little!.checks.some(({ kind }) => kind === "packet")).toBe(false);
  expect(much!.checks.some(({ kind }) => kind === "packet")).toBe(true);
});

it("asks for names in the language of the label, and names allergens in it anyway", () => {
  const list = ingredientList(mix({ "plain-flour": 100, "butter-unsalted": 50 }), book, {
    place: "eu",
    date: gb.date,
    language: "fr",
    names: { "plain-flour": "farine de blé" },
  });
  expect(text(list)).toBe("Ingrédients: Farine de *blé*, butter (milk) (*lait*).");
  expect(list.checks.filter(({ kind }) => kind === "translation").map(({ ingredient }) => ingredient)).toEqual([
    "butter-unsalted",
  ]);
});

it("finds the allergen inside a German word, and no egg where there is none", () => {
  const names = {
    "plain-flour": "Weizenmehl",
    "milk-whole": "Vollmilch",
    "egg-whole-uk": "Vollei",
    "egg-yolk-uk": "Eigelb",
    hazelnuts: "Haselnüsse",
  };
  const list = ingredientList(
    mix({ "plain-flour": 50, "milk-whole": 40, "egg-whole-uk": 30, "egg-yolk-uk": 20, hazelnuts: 10 }),
    book,
    {
      place: "eu",
      date: gb.date,
      language: "de",
      names,
    },
  );
  expect(text(list)).toBe("Zutaten: *Weizen*mehl, Voll*milch*, *Vollei*, *Eigelb*, *Haselnüss*e.");
  const own = createIngredientBook([{ ...book.get("egg-whole-uk")!, labelName: "Eischnee-Teilchen aus Reis" }]);
  expect(
    text(
      ingredientList(mix({ "egg-whole-uk": 5 }), own, {
        place: "eu",
        date: gb.date,
        language: "de",
        names: { "egg-whole-uk": "Reisteilchen" },
      }),
    ),
  ).toBe("Zutaten: Reisteilchen (*Ei*).");
});

it("keeps words from outside from marking, turning or breaking the list", () => {
  const own = createIngredientBook([
    {
      ...book.get("plain-flour")!,
      id: "own-x",
      name: "Best\u202e [Flour]\u0000\uE000bold\uE001 \uD800",
      basis: "own",
      contains: [],
    },
  ]);
  expect(ingredientList(mix({ "own-x": 5 }), own, gb).runs).toEqual([
    { text: "Ingredients: Best [Flour] bold.", emphasised: false },
  ]);
});
