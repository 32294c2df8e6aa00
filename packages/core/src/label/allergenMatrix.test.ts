import fc from "fast-check";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { ALLERGENS, createIngredientBook, standardIngredients } from "../ingredients/index.js";
import { allergenChange, allergenMatrix, allergenMatrixCsv, allergenMatrixHtml, matrixWord } from "./index.js";

const book = createIngredientBook();
const of = (name: string, ...ids: readonly string[]): Formula => ({
  name,
  components: [
    { name: "All", kind: "cake", stages: [{ name: "Mix", uses: ids.map((ingredient) => ({ ingredient, grams: 10 })) }] },
  ],
});
const product = (formula: Formula) => ({ id: formula.name, formula });

// Published: the fourteen of Annex II of Regulation (EU) 1169/2011, in its order, on every shipped ingredient.
it("shows every allergen of every shipped ingredient in its column", () => {
  for (const { id, contains, checkSupplier } of standardIngredients()) {
    const [row] = allergenMatrix([product(of("One", id))], book, { date: "2026-11-25" }).rows;
    expect(row!.cells.map(({ allergen }) => allergen)).toEqual(ALLERGENS);
    for (const { allergen, state } of row!.cells) {
      const isIn = contains.some((one) => one.allergen === allergen);
      const isDoubtful = checkSupplier.some((one) => one.allergen === allergen);
      expect(state, `${id} ${allergen}`).toBe(isIn ? "contains" : isDoubtful ? "check" : "none");
    }
  }
});

it("names cereals and nuts, and what brings them; shows nothing as free while an ingredient is unknown", () => {
  const { rows } = allergenMatrix(
    [{ ...product(of("Torte", "hazelnuts", "plain-flour", "yuzu")), revision: "revision 2" }],
    book,
    {
      date: "2026-11-25",
      bakeryMayContain: [{ allergen: "sesame" }],
    },
  );
  const cell = (allergen: string) => rows[0]!.cells.find((one) => one.allergen === allergen)!;
  expect(matrixWord(cell("nuts"))).toBe("contains hazelnut");
  expect(cell("cereals-gluten")).toMatchObject({ kinds: ["wheat"], from: ["Plain flour"] });
  expect(cell("milk")).toMatchObject({ state: "unknown", from: ["yuzu"] });
  expect(rows[0]).toMatchObject({ revision: "revision 2", unknownIngredients: ["yuzu"] });
  const known = allergenMatrix([product(of("Torte", "hazelnuts"))], book, {
    date: "2026-11-25",
    bakeryMayContain: [{ allergen: "sesame" }],
  });
  expect(known.rows[0]!.cells.find((one) => one.allergen === "sesame")).toMatchObject({
    state: "may-contain",
    from: ["the bakery"],
  });
});

it("shows which products gain an allergen before a change is saved", () => {
  const products = [product(of("Loaf", "plain-flour", "raspberry-jam")), product(of("Biscuit", "rice-flour"))];
  const changed = createIngredientBook([
    { ...book.get("raspberry-jam")!, contains: [{ allergen: "sulphites" }], checkSupplier: [] },
  ]);
  const [one, ...rest] = allergenChange({ products, book }, { products, book: changed });
  expect(rest).toEqual([]);
  expect(one).toMatchObject({
    name: "Loaf",
    gained: [{ allergen: "sulphites", from: ["Raspberry jam"], wasMaybe: true }],
    lost: [],
  });
  const swap = allergenChange(
    { products: [product(of("Loaf", "butter-unsalted", "rice-flour"))], book },
    { products: [product(of("Loaf", "sunflower-oil", "ground-almonds", "rice-flour"))], book },
  );
  expect(swap[0]).toMatchObject({ gained: [{ allergen: "nuts", kind: "almond" }], lost: [{ allergen: "milk" }] });
  expect(allergenChange({ products, book }, { products, book })).toEqual([]);
});

it("writes CSV and HTML that hostile names cannot break (property)", () => {
  fc.assert(
    fc.property(
      fc.oneof(fc.string({ unit: "binary", maxLength: 30 }), fc.constantFrom("=1+1", "<script>", '"><b>', "a,b\n")),
      (name) => {
        const matrix = allergenMatrix([{ ...product(of(name, "plain-flour")), revision: name }], book, {
          date: "2026-11-25",
          bakery: name,
        });
        const csv = allergenMatrixCsv(matrix);
        expect(csv.split("\r\n")).toHaveLength(3);
        expect(csv.split("\r\n")[1]).not.toMatch(/^[=+\-@]/);
        const tags = [...allergenMatrixHtml(matrix).matchAll(/<\/?([a-z!][a-z0-9]*)/gi)].map(([, tag]) => tag!.toLowerCase());
        for (const tag of tags)
          expect("!doctype html head meta title style body main h1 p table thead tbody tr th td span small".split(" ")).toContain(
            tag,
          );
      },
    ),
    { seed: 20261125, numRuns: 300 },
  );
});
