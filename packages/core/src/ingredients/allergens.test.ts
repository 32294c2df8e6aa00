import { describe, expect, it } from "vitest";
import { ALLERGEN_KINDS, ALLERGEN_WORDS, formatAllergen, hasAllergen, summariseAllergens, uniteAllergens } from "./allergens.js";
import { standardIngredients } from "./expandLarder.js";
import { ALLERGENS } from "./ingredient.js";
import { createIngredientBook } from "./ingredientBook.js";

// Published: Annex II of Regulation (EU) 1169/2011, its fourteen points in order (wording shortened, from memory).
const ANNEX_II = [
  "Cereals containing gluten",
  "Crustaceans",
  "Eggs",
  "Fish",
  "Peanuts",
  "Soybeans",
  "Milk",
  "Nuts",
  "Celery",
  "Mustard",
  "Sesame seeds",
  "Sulphur dioxide and sulphites",
  "Lupin",
  "Molluscs",
];
it("has the fourteen allergens of Annex II, in its order", () => {
  expect(ALLERGENS).toHaveLength(14);
  ANNEX_II.forEach((point, index) => {
    const firstWord = point.toLowerCase().split(" ")[0]!;
    expect(`${ALLERGENS[index]} ${ALLERGEN_WORDS[ALLERGENS[index]!]}`.toLowerCase(), point).toContain(
      firstWord === "soybeans" ? "soya" : firstWord,
    );
  });
});
// Published: point 1 names wheat (with spelt and khorasan), rye, barley, oats; point 8 names eight nuts (from memory).
it("names the cereals and the eight nuts of Annex II", () => {
  expect(ALLERGEN_KINDS["cereals-gluten"]).toEqual(["wheat", "rye", "barley", "oats"]);
  expect(ALLERGEN_KINDS.nuts).toHaveLength(8);
});
it("names the cereal or the nut wherever the law wants it named", () => {
  for (const { id, contains } of standardIngredients()) {
    for (const { allergen, kind } of contains) {
      const kinds = ALLERGEN_KINDS[allergen];
      if (kinds) expect(kinds, id).toContain(kind);
    }
  }
});

describe("what the larder declares", () => {
  const book = createIngredientBook();
  // Common practice, no source, and Annex II: the obvious ones, each of which would hurt someone if it were missing.
  it.each([
    ["plain-flour", "cereals-gluten"],
    ["spelt-flour-wholemeal", "cereals-gluten"],
    ["khorasan-flour", "cereals-gluten"],
    ["rye-flour", "cereals-gluten"],
    ["rolled-oats", "cereals-gluten"],
    ["oat-drink", "cereals-gluten"],
    ["malt-extract", "cereals-gluten"],
    ["malted-barley-flour", "cereals-gluten"],
    ["digestive-biscuits", "cereals-gluten"],
    ["sponge-fingers", "eggs"],
    ["suet-shredded", "cereals-gluten"],
    ["beer", "cereals-gluten"],
    ["egg-white-dried", "eggs"],
    ["egg-duck", "eggs"],
    ["royal-icing", "eggs"],
    ["butter-unsalted", "milk"],
    ["ghee", "milk"],
    ["whey-powder", "milk"],
    ["milk-chocolate-uk", "milk"],
    ["white-chocolate", "milk"],
    ["soya-flour", "soybeans"],
    ["soya-lecithin", "soybeans"],
    ["ground-almonds", "nuts"],
    ["marzipan", "nuts"],
    ["almond-drink", "nuts"],
    ["chocolate-hazelnut-spread", "nuts"],
    ["peanut-butter", "peanuts"],
    ["groundnut-oil", "peanuts"],
    ["tahini", "sesame"],
    ["sesame-oil", "sesame"],
    ["apricots-dried", "sulphites"],
    ["wine-red", "sulphites"],
  ] as const)("%s contains %s", (id, allergen) => {
    expect(hasAllergen(book.get(id)!.contains, allergen)).toBe(true);
  });
  // Annex II leaves out pine nuts, chestnuts, coconut, buckwheat and maize (from memory).
  it.each(["pine-nuts", "chestnuts", "desiccated-coconut", "buckwheat-flour", "cornflour", "rice-flour", "caster-sugar"])(
    "%s contains none",
    (id) => {
      expect(book.get(id)!.contains).toEqual([]);
    },
  );
  it("asks for the specification of dark chocolate", () => {
    const { checkSupplier } = book.get("dark-chocolate-60-69")!;
    expect(hasAllergen(checkSupplier, "milk")).toBe(true);
    expect(hasAllergen(checkSupplier, "soybeans")).toBe(true);
  });
});

it("unites lists once each, in the order of Annex II", () => {
  const united = uniteAllergens([
    [{ allergen: "nuts", kind: "walnut" }, { allergen: "milk" }],
    [{ allergen: "milk" }, { allergen: "nuts", kind: "almond" }, { allergen: "cereals-gluten", kind: "wheat" }],
  ]);
  expect(united.map(formatAllergen)).toEqual(["wheat (gluten)", "milk", "nuts (almond)", "nuts (walnut)"]);
});

it("does not repeat as a maybe what is contained", () => {
  const summary = summariseAllergens([
    { contains: [{ allergen: "milk" }], mayContain: [], checkSupplier: [] },
    {
      contains: [],
      mayContain: [{ allergen: "milk" }, { allergen: "sesame" }],
      checkSupplier: [{ allergen: "milk" }, { allergen: "soybeans" }],
    },
  ]);
  expect(summary).toEqual({
    contains: [{ allergen: "milk" }],
    mayContain: [{ allergen: "sesame" }],
    checkSupplier: [{ allergen: "soybeans" }],
  });
});

it("takes an entry without a kind for any kind", () => {
  expect(hasAllergen([{ allergen: "nuts" }], "nuts", "almond")).toBe(true);
  expect(hasAllergen([{ allergen: "nuts", kind: "walnut" }], "nuts", "almond")).toBe(false);
  expect(hasAllergen([], "nuts")).toBe(false);
});
