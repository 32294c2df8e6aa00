import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { readCommonName } from "./commonNames.js";
import { createIngredientBook } from "./ingredientBook.js";
import { editDistance, foldName, stemOf } from "./nameMatching.js";
import { SEARCHES } from "./searchIngredients.cases.js";
import { searchIngredients } from "./searchIngredients.js";

const book = createIngredientBook();

describe("what a baker types finds what a baker means", () => {
  it.each(SEARCHES)("%s is %s (%s)", (typed, id, names) => {
    const [first] = searchIngredients(book, typed, { names });
    expect(first?.ingredient.id).toBe(id);
  });
  it("holds more than 280 such cases", () => {
    expect(SEARCHES.length).toBeGreaterThan(280);
  });
});

it("offers nothing rather than something else", () => {
  for (const typed of ["vanilla paste", "stem ginger", "xyzzy", "", "  ", "!!!", "123"])
    expect(searchIngredients(book, typed)).toEqual([]);
});

it("tells the very name from a likeness", () => {
  expect(searchIngredients(book, "Unsalted Butter")[0]).toMatchObject({ exact: true, score: 1, matchedName: "Unsalted butter" });
  expect(searchIngredients(book, "unsalted buter")[0]).toMatchObject({ exact: false });
  expect(searchIngredients(book, "unsalted buter")[0]!.score).toBeLessThan(1);
});

it("lists what else a bare word may mean, likeliest first", () => {
  const ids = (typed: string, names: "british" | "us" = "british") =>
    searchIngredients(book, typed, { names, limit: 3 }).map((match) => match.ingredient.id);
  expect(ids("cream")).toEqual(["double-cream", "single-cream", "whipping-cream"]);
  expect(ids("cream", "us")).toEqual(["heavy-cream", "light-cream-us", "half-and-half"]);
  expect(ids("butter").slice(0, 2)).toEqual(["butter-unsalted", "butter-unsalted-us"]);
});

it("never offers what was to be left out", () => {
  const contains = (typed: string, allergen: string) =>
    searchIngredients(book, typed, { limit: 20 }).some((match) =>
      match.ingredient.contains.some((one) => one.allergen === allergen),
    );
  expect(contains("gluten-free flour", "cereals-gluten")).toBe(false);
  expect(searchIngredients(book, "gluten free flour").length).toBeGreaterThan(0);
  expect(contains("dairy free milk", "milk")).toBe(false);
  expect(contains("nut-free chocolate spread", "nuts")).toBe(false);
  expect(searchIngredients(book, "eggs, free range")[0]?.ingredient.id).toBe("egg-whole-uk");
});

it("helps while a second word is being typed", () => {
  const first = (typed: string) => searchIngredients(book, typed)[0]?.ingredient.id;
  expect(first("egg y")).toBe("egg-yolk-uk");
  expect(first("egg w")).toMatch(/^egg-w/);
  expect(first("self r")).toBe("self-raising-flour");
  expect(first("double c")).toBe("double-cream");
});

it("says which bare words have to be asked about", () => {
  expect(readCommonName("sugar")).toMatchObject({ doubtful: true, ids: ["caster-sugar", "granulated-sugar", "icing-sugar-uk"] });
  expect(readCommonName("Flour")).toMatchObject({ doubtful: false, ids: expect.arrayContaining(["plain-flour"]) });
  expect(readCommonName("eggs")?.ids[0]).toBe("egg-whole-uk");
  expect(readCommonName("eggs", "us")?.ids[0]).toBe("egg-whole");
  expect(readCommonName("cream")?.doubtful).toBe(true);
  expect(readCommonName("unobtainium")).toBeUndefined();
  expect(readCommonName("constructor")).toBeUndefined();
});

it("knows every ingredient that a common word points to", () => {
  const words = [
    "flour",
    "sugar",
    "brown sugar",
    "syrup",
    "egg",
    "butter",
    "margarine",
    "milk",
    "cream",
    "yoghurt",
    "oil",
    "chocolate",
    "yeast",
    "nuts",
    "jam",
    "lemon",
    "coffee",
    "wine",
  ];
  for (const word of words) {
    for (const names of ["british", "us"] as const) {
      for (const id of readCommonName(word, names)!.ids) expect(book.get(id), id).toBeDefined();
    }
  }
});

it("finds every shipped ingredient by its own name and by its US name", () => {
  const lost: string[] = [];
  for (const ingredient of book.all) {
    const found = (text: string, names: "british" | "us") =>
      searchIngredients(book, text, { names, limit: 3 }).some((match) => match.ingredient === ingredient);
    if (!found(ingredient.name, "british")) lost.push(ingredient.name);
    if (ingredient.usName && !found(ingredient.usName, "us")) lost.push(ingredient.usName);
  }
  expect(lost).toEqual([]);
});

it("finds the baker's own ingredients too, in their place", () => {
  const own = {
    ...book.get("butter-unsalted")!,
    id: "own-butter",
    name: "Farm butter from Dunmoor",
    otherNames: [],
    basis: "own" as const,
  };
  const replaced = { ...book.get("salt")!, name: "Salt of ours" };
  const ours = createIngredientBook([own, replaced]);
  expect(ours.all.length).toBe(book.all.length + 1);
  expect(ours.get("salt")?.name).toBe("Salt of ours");
  expect(searchIngredients(ours, "farm buter dunmoor")[0]?.ingredient.id).toBe("own-butter");
});

describe("any text (property)", () => {
  it("gives at most the limit, best first, with scores from 0.55 to 1, the same each time", () => {
    fc.assert(
      fc.property(
        fc.oneof(fc.string({ maxLength: 200 }), fc.constantFrom("__proto__", "constructor", "flour ".repeat(60))),
        (text) => {
          const once = searchIngredients(book, text, { limit: 5 });
          expect(once.length).toBeLessThanOrEqual(5);
          for (const match of once) {
            expect(match.score).toBeGreaterThanOrEqual(0.55);
            expect(match.score).toBeLessThanOrEqual(1);
          }
          expect(searchIngredients(book, text, { limit: 5 })).toEqual(once);
        },
      ),
      { numRuns: 300 },
    );
  });
  it("still finds a name with one letter left out, doubled or swapped", () => {
    const names = book.all.map((ingredient) => ingredient).filter(({ name }) => /^[A-Za-z]{6,}( [a-z]+)*$/.test(name));
    const slip = fc.record({
      ingredient: fc.constantFrom(...names),
      at: fc.nat(4),
      kind: fc.constantFrom("drop", "double", "swap"),
    });
    fc.assert(
      fc.property(slip, ({ ingredient, at, kind }) => {
        const name = ingredient.name;
        const place = Math.min(1 + at, name.length - 2);
        const typed =
          kind === "drop"
            ? name.slice(0, place) + name.slice(place + 1)
            : kind === "double"
              ? name.slice(0, place) + name[place]! + name.slice(place)
              : name.slice(0, place) + name[place + 1]! + name[place]! + name.slice(place + 2);
        const found = searchIngredients(book, typed, { limit: 6 }).map((match) => match.ingredient.id);
        expect(found, typed).toContain(ingredient.id);
      }),
      { numRuns: 400 },
    );
  });
});

// Published: the usual examples of the distance; "ca" to "abc" is 3 in its restricted form (optimal string alignment).
it.each([
  ["kitten", "sitting", 3],
  ["flour", "fluor", 1],
  ["butter", "buter", 1],
  ["ca", "abc", 3],
  ["", "abc", 3],
  ["sugar", "sugar", 0],
])("counts the mistakes from %s to %s", (a, b, distance) => {
  expect(editDistance(a, b, 5)).toBe(distance);
  expect(editDistance(b, a, 5)).toBe(distance);
  if (distance > 1) expect(editDistance(a, b, 1)).toBe(2); // beyond the limit
});

it("makes one form of accents, hyphens, plurals and spellings", () => {
  expect(foldName("Crème-fraîche, 30 %")).toBe("creme fraiche 30");
  expect(foldName("Plain yogurt")).toBe("plain yoghurt");
  expect(["cherries", "halves", "eggs", "peaches", "hibiscus", "molasses", "oats"].map(stemOf)).toEqual([
    "cherry",
    "half",
    "egg",
    "peach",
    "hibiscus",
    "molass",
    "oat",
  ]);
});
