import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula, bookWith, ingredientOf } from "../../testing/formulas.js";
import { createIngredientBook } from "../ingredients/index.js";
import { compareFormulas } from "./compare.js";
import { parseFormulaFile } from "./file.js";
import type { Component, Formula } from "./formula.js";

const book = bookWith([
  ingredientOf("butter", "fat", {}, { name: "Butter" }),
  ingredientOf("oil", "fat", {}, { name: "Sunflower oil" }),
  ingredientOf("sugar", "sugar", {}, { name: "Caster sugar" }),
  ingredientOf("flour", "flour", {}, { name: "Plain flour" }),
  ingredientOf("egg", "egg", {}, { name: "Egg" }),
  ingredientOf("water", "liquid", {}, { name: "Water" }),
]);

const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  stages: [
    {
      name: "Cream",
      method: "Beat.",
      uses: [
        { ingredient: "butter", grams: 200 },
        { ingredient: "sugar", grams: 200 },
      ],
    },
    { name: "Egg", uses: [{ ingredient: "egg", grams: 200 }] },
    { name: "Fold", targets: [{ kind: "time", seconds: 60 }], uses: [{ ingredient: "flour", grams: 200, note: "sifted" }] },
  ],
};
const cake: Formula = { name: "Cake", portions: 10, components: [sponge] };
const withStages = (stages: Component["stages"], more: Partial<Component> = {}): Formula => ({
  ...cake,
  components: [{ ...sponge, ...more, stages }],
});
const [CREAM, EGG, FOLD] = sponge.stages as [Component["stages"][0], Component["stages"][0], Component["stages"][0]];

describe("compareFormulas", () => {
  it("finds nothing between a formula and itself", () => {
    const found = compareFormulas(cake, structuredClone(cake), book);
    expect(found).toMatchObject({ same: true, summary: [], fields: [] });
    expect(found.components[0]).toMatchObject({ status: "same", held: [] });
  });

  it("says in plain words what changed and what moved between stages", () => {
    const after = withStages([
      { ...CREAM, uses: [CREAM.uses[0]!, { ingredient: "sugar", grams: 160 }] },
      EGG,
      { ...FOLD, uses: [...FOLD.uses, { ingredient: "sugar", grams: 20 }] },
    ]);
    const found = compareFormulas(cake, after, book);
    expect(found.summary).toEqual([
      "Caster sugar: 200 g to 180 g (−10.0 %); 20 g of it moved from Cream to Fold",
      "Kept: the flour (200 g)",
    ]);
    expect(found.components[0]?.ingredients.find((change) => change.ingredient === "sugar")).toMatchObject({
      status: "changed",
      grams: { before: 200, after: 180 },
      changeGrams: -20,
      spread: "split",
      moved: [{ from: "Cream", to: "Fold", grams: 20 }],
      stages: { before: ["Cream"], after: ["Cream", "Fold"] },
      percent: { batch: { before: 25 }, bakers: { before: 100, after: 90 }, group: { before: 100, after: 100 } },
    });
  });

  it("tells a swap within a group, and that the group and the total were held", () => {
    const after = withStages([
      { ...CREAM, uses: [{ ingredient: "butter", grams: 120 }, CREAM.uses[1]!, { ingredient: "oil", grams: 80 }] },
      EGG,
      FOLD,
    ]);
    expect(compareFormulas(cake, after, book).summary).toEqual([
      "Butter: 200 g to 120 g (−40.0 %)",
      "Sunflower oil: added, 80 g in Cream",
      "Kept: the total (800 g), the flour (200 g), all fats (200 g)",
    ]);
  });

  it("tells added and removed ingredients, stages and components, and new names", () => {
    const after: Formula = {
      ...cake,
      name: "Better cake",
      portions: 12,
      components: [
        {
          ...sponge,
          name: "Base",
          loss: { percent: 10, basis: "measured" },
          tins: [{ count: 1, tin: "round 23x7 cm" }],
          stages: [
            { name: "Beat", method: "Beat well.", uses: CREAM.uses },
            { name: "Loosen", uses: [{ ingredient: "water", grams: 30 }] },
            { ...FOLD, targets: [{ kind: "time", seconds: 90 }], uses: [{ ingredient: "flour", grams: 200 }] },
          ],
        },
        { name: "Syrup", kind: "syrup", stages: [{ name: "Boil", uses: [{ ingredient: "sugar", grams: 100 }] }] },
      ],
    };
    expect(compareFormulas(cake, after, book).summary).toEqual([
      "Name: Cake to Better cake",
      "Portions: 10 to 12",
      "Component Sponge renamed to Base",
      "Base: Tins: 2 × round 20x5 cm to 1 × round 23x7 cm",
      "Base: Loss: 10 % (measured)",
      "Base: Water: added, 30 g in Loosen",
      'Base: Plain flour: note "sifted" removed',
      "Base: Egg: removed, 200 g",
      "Base: Stage Cream renamed to Beat",
      "Base: Beat: Method changed",
      "Base: Stage Loosen added",
      "Base: Fold: Targets: 1 min to 90 s",
      "Base: Stage Egg removed",
      "Base: Kept: the flour (200 g)",
      "Component Syrup added: 100 g",
    ]);
    expect(compareFormulas(after, cake, book).summary.at(-1)).toBe("Component Syrup removed: 100 g");
  });

  it("tells that an ingredient moved entirely, and that the stages changed places", () => {
    const moved = withStages([{ ...CREAM, uses: [CREAM.uses[0]!] }, EGG, { ...FOLD, uses: [...FOLD.uses, CREAM.uses[1]!] }]);
    expect(compareFormulas(cake, moved, book).summary).toEqual(["Caster sugar: moved from Cream to Fold"]);
    expect(compareFormulas(cake, withStages([EGG, CREAM, FOLD]), book).summary).toEqual([
      "Order: Cream, Egg, Fold to Egg, Cream, Fold",
    ]);
    expect(compareFormulas(cake, withStages([EGG, FOLD]), book).summary[0]).toBe("Butter: removed, 200 g");
  });

  it("does not report what no scale can see, and does report a weight that was taken away", () => {
    const nearly = withStages([{ ...CREAM, uses: [{ ingredient: "butter", grams: 200.0000001 }, CREAM.uses[1]!] }, EGG, FOLD]);
    expect(compareFormulas(cake, nearly, book).same).toBe(true);
    const emptied = withStages([{ ...CREAM, uses: [{ ingredient: "butter", grams: null }, CREAM.uses[1]!] }, EGG, FOLD]);
    expect(compareFormulas(cake, emptied, book).summary[0]).toBe("Butter: 200 g to not weighed");
  });

  it("reads the demo's revisions as a baker would tell them", () => {
    const read = (name: string) => parseFormulaFile(readFileSync(`examples/formulas/${name}`, "utf8")).value!;
    const larder = createIngredientBook();
    const lines = compareFormulas(read("cup-cakes.1.yaml"), read("cup-cakes.2.yaml"), larder).summary;
    expect(lines).toEqual(["Cup cakes: Whole milk: 30 g to 36 g (+20.0 %)", "Cup cakes: Kept: the flour (155 g)"]);
    expect(compareFormulas(read("sandwich.1.yaml"), read("sandwich.3.yaml"), larder).same).toBe(false);
  });

  it("is the mirror image the other way round (property)", () => {
    fc.assert(
      fc.property(anyFormula(), anyFormula(), (a, b) => {
        const there = compareFormulas(a, b, book);
        const back = compareFormulas(b, a, book);
        expect(there.same).toBe(back.same);
        expect(there.totalGrams).toEqual({ before: back.totalGrams.after, after: back.totalGrams.before });
        expect(there.components.length).toBe(back.components.length);
      }),
      { numRuns: 100 },
    );
  });

  it("says something exactly when the formulas differ by more than a scale can see (property)", () => {
    fc.assert(
      fc.property(anyFormula(), (formula) => {
        expect(compareFormulas(formula, structuredClone(formula), book)).toMatchObject({ same: true, summary: [] });
        const first = formula.components[0]?.stages[0]?.uses[0];
        if (first?.grams == null) return;
        const next = structuredClone(formula) as unknown as { components: { stages: { uses: { grams: number }[] }[] }[] };
        next.components[0]!.stages[0]!.uses[0]!.grams = first.grams + 5;
        const found = compareFormulas(formula, next as unknown as Formula, book);
        expect(found.same).toBe(false);
        expect(found.summary.length).toBeGreaterThan(0);
      }),
      { numRuns: 100 },
    );
  });
});
