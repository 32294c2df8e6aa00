import { expect, it } from "vitest";
import { composeFormula } from "../composition/index.js";
import { createIngredientBook, type Nutrient, standardIngredients } from "../ingredients/index.js";
import { nutrientBounds } from "./bounds.js";
import { labelFor } from "./index.js";

/** The most that a figure of one ingredient can be when nobody gives it. */
function mostOf(id: string, nutrient: Nutrient): number {
  const whole = standardIngredients().find((one) => one.id === id)!;
  const hidden = { ...whole, id: "hidden", per100g: { ...whole.per100g, [nutrient]: { known: false, why: "hidden" } as const } };
  const book = createIngredientBook([hidden]);
  const stages = [{ name: "Mix", uses: [{ ingredient: "hidden", grams: 100 }] }];
  const { product } = composeFormula({ name: "A", components: [{ name: "A", kind: "other", stages }] }, book);
  return nutrientBounds(product.finished)(nutrient).mostGrams;
}

// Peer: the food tables. A figure that is hidden has to lie within what the others of its row leave for it.
it.each(["fibre", "saturates", "sugars", "starch"] as const)("bounds %s of every ingredient that has it", (nutrient) => {
  const off = standardIngredients().flatMap(({ id, per100g }) => {
    const figure = per100g[nutrient];
    // 0.6 g: what the larder's own check allows the parts to exceed their whole by.
    return figure.known && mostOf(id, nutrient) < figure.value - 0.6 ? [`${id} ${figure.value}`] : [];
  });
  // SR28 01050 prints more sugars than carbohydrate.
  expect(off).toEqual(nutrient === "sugars" ? ["light-cream-us 3.67"] : []);
});

it("does not take all the sugar of a jam for fibre that its table leaves out", () => {
  // Exact: 100 less water, protein, carbohydrate and ash of CoFID 17-073, and the slack.
  expect(mostOf("raspberry-jam", "fibre")).toBeCloseTo(100 - 29.8 - 0.6 - 67.73 - 0.11 + 0.6, 6);
});

it("knows the carbohydrate of a jam whose table adds its sugars up, whatever its fibre is", () => {
  const book = createIngredientBook();
  const stages = [{ name: "Fill", uses: [{ ingredient: "raspberry-jam", grams: 100 }] }];
  const jam = { name: "Jam", components: [{ name: "Jam", kind: "filling" as const, stages }] };
  const { nutrition } = labelFor(jam, book, {
    place: "gb",
    mode: "prepacked",
    date: "2026-11-25",
    packs: 1,
    nutrition: "always",
  });
  // Exact: the sugars of CoFID 17-073 as weight, 27.4 + 14.9 + 17.81 + 7.62; what the body uses, which is what a label wants.
  expect(nutrition!.rows.find(({ id }) => id === "carbohydrate")?.per100g).toMatchObject({
    known: true,
    declared: { text: "68 g" },
    note: expect.stringContaining("no figure for Raspberry jam (fibre)"),
  });
});

it("prints a declaration without fibre where it is not known, unless the baker asks for it", () => {
  const book = createIngredientBook();
  const stages = [{ name: "Fill", uses: [{ ingredient: "raspberry-jam", grams: 100 }] }];
  const jam = { name: "Jam", components: [{ name: "Jam", kind: "filling" as const, stages }] };
  const inputs = { place: "gb", mode: "prepacked", date: "2026-11-25", packs: 1, nutrition: "always" } as const;
  const rows = (showRows?: readonly string[]) =>
    labelFor(jam, book, { ...inputs, ...(showRows === undefined ? {} : { showRows }) }).nutrition!.rows;
  expect(rows().map(({ id }) => id)).not.toContain("fibre");
  expect(rows(["fibre"]).find(({ id }) => id === "fibre")?.per100g.known).toBe(false);
});
