import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula, bookOf, bookWith, ingredientOf } from "../../testing/formulas.js";
import type { Formula } from "./formula.js";
import { componentGrams, formulaGrams } from "./percent.js";
import {
  countEggs,
  roundFormula,
  type ScaleResult,
  scaleByFactor,
  scaleFormula,
  scaleToEggs,
  scaleToGrams,
  scaleToIngredient,
  scaleToPortions,
} from "./scale.js";

const book = bookWith([
  ...bookOf({ flour: "flour", butter: "fat", egg: "egg" }).all,
  ingredientOf("egg-white", "egg"),
  ingredientOf("egg-yolk", "egg"),
  ingredientOf("egg-whole-dried", "egg"),
]);

const cake: Formula = {
  name: "Cake",
  portions: 10,
  components: [
    {
      name: "Sponge",
      kind: "cake",
      tins: [{ count: 2, tin: "round 20x5 cm" }],
      stages: [
        {
          name: "Mix",
          uses: [
            { ingredient: "flour", grams: 200 },
            { ingredient: "egg", grams: 204 },
            { ingredient: "salt", grams: null },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "soda", grams: 3.3 },
            { ingredient: "butter", grams: 92.7 },
          ],
        },
      ],
    },
    { name: "Glaze", kind: "glaze", stages: [{ name: "Stir", uses: [{ ingredient: "butter", grams: 100 }] }] },
  ],
};
const done = (result: ScaleResult) => {
  if (!result.ok) throw new Error(`refused: ${result.error.found}`);
  return result.value;
};
const refused = (result: ScaleResult) => {
  if (result.ok) throw new Error("was not refused");
  return result.error;
};

describe("scaleFormula", () => {
  it("multiplies every weight and the portions, and leaves the tins", () => {
    const next = scaleFormula(cake, 1.5);
    expect(next.components.map(componentGrams)).toEqual([750, 150]);
    expect(next).toMatchObject({ portions: 15 });
    expect(next.components[0]?.tins).toEqual([{ count: 2, tin: "round 20x5 cm" }]);
    expect(next.components[0]?.stages[0]?.uses[2]).toEqual({ ingredient: "salt", grams: null });
  });

  it("scales one component by its name, and then not the portions", () => {
    const next = scaleFormula(cake, 2, { component: "glaze" });
    expect(next.components.map(componentGrams)).toEqual([500, 200]);
    expect(next.portions).toBe(10);
    expect(next.components[0]).toBe(cake.components[0]);
  });

  it("throws for what is no factor or no component", () => {
    for (const factor of [0, -1, Number.NaN, Number.POSITIVE_INFINITY])
      expect(() => scaleFormula(cake, factor)).toThrow(RangeError);
    expect(() => scaleFormula(cake, 1, { component: "Icing" })).toThrow('no component "Icing"');
  });

  it("scales back to where it was (property)", () => {
    fc.assert(
      fc.property(anyFormula(), fc.double({ min: 0.01, max: 100, noNaN: true }), (formula, factor) => {
        const there = formulaGrams(scaleFormula(formula, factor));
        expect(Math.abs(there - formulaGrams(formula) * factor)).toBeLessThanOrEqual(1e-9 * Math.max(there, 1e-300));
      }),
    );
  });
});

describe("rounding to weighable amounts", () => {
  it("says which use it bends the most", () => {
    const { formula, largestDistortion } = roundFormula(scaleFormula(cake, 0.5));
    expect(formula.components[0]?.stages[1]?.uses.map((use) => use.grams)).toEqual([1.7, 46]);
    expect(largestDistortion).toMatchObject({
      ingredient: "soda",
      component: 0,
      stage: 1,
      use: 0,
      exactGrams: 1.65,
      roundedGrams: 1.7,
    });
    expect(largestDistortion?.percent).toBeCloseTo(3.03, 2);
  });

  it("keeps the sum of a component within one gram and loses no ingredient (property)", () => {
    fc.assert(
      fc.property(anyFormula(), (formula) => {
        const { formula: rounded } = roundFormula(formula);
        formula.components.forEach((component, index) => {
          const uses = component.stages.flatMap((stage) => stage.uses);
          const tiny = uses.filter((use) => use.grams !== null && use.grams > 0 && use.grams < 0.1).length;
          expect(Math.abs(componentGrams(rounded.components[index]!) - componentGrams(component))).toBeLessThanOrEqual(
            1 + tiny * 0.1 + uses.length * 1e-6,
          );
          const after = rounded.components[index]!.stages.flatMap((stage) => stage.uses);
          for (const [at, use] of uses.entries())
            if (use.grams !== null && use.grams > 0) expect(after[at]!.grams).toBeGreaterThan(0);
        });
      }),
    );
  });
});

describe("scaling to what is wanted", () => {
  it("reaches a weight, of the whole or of a component", () => {
    expect(done(scaleToGrams(cake, 1200)).factor).toBeCloseTo(2, 12);
    // Two components, each within half a gram of its exact sum: small weights keep their own tenths.
    expect(Math.abs(formulaGrams(done(scaleToGrams(cake, 1500)).formula) - 1500)).toBeLessThanOrEqual(1);
    expect(
      componentGrams(done(scaleToGrams(cake, 250, { component: "Sponge", weighing: false })).formula.components[0]!),
    ).toBeCloseTo(250, 9);
  });

  it("reaches a number of portions", () => {
    const { formula, factor } = done(scaleToPortions(cake, 24));
    expect(factor).toBe(2.4);
    expect(formula.portions).toBe(24);
    expect(refused(scaleToPortions({ ...cake, portions: undefined } as unknown as Formula, 24)).path).toEqual(["portions"]);
    expect(refused(scaleToPortions(cake, 2.5)).code).toBe("out-of-range");
  });

  const egg = { wholeGrams: 51, whiteGrams: 34, yolkGrams: 17 };
  it("reaches a whole number of eggs", () => {
    const { formula, factor } = done(scaleToEggs(cake, book, 6, egg));
    expect(factor).toBeCloseTo(1.5, 12);
    expect(countEggs(formula, book, egg).eggs).toBeCloseTo(6, 12);
    expect(formula.components[0]?.stages[0]?.uses[1]?.grams).toBe(306);
    expect(refused(scaleToEggs(cake, book, 6, egg, { component: "Glaze" })).code).toBe("conflict");
  });

  it("counts separated eggs by whichever part needs more, and says what is spare", () => {
    const separated: Formula = {
      name: "S",
      components: [
        {
          name: "A",
          kind: "cake",
          stages: [
            {
              name: "-",
              uses: [
                { ingredient: "egg-white", grams: 136 },
                { ingredient: "egg-yolk", grams: 34 },
                { ingredient: "egg", grams: 51 },
                { ingredient: "egg-whole-dried", grams: 20 },
              ],
            },
          ],
        },
      ],
    };
    expect(countEggs(separated, book, egg)).toEqual({ eggs: 5, spareWhiteGrams: 0, spareYolkGrams: 34 });
  });

  it("uses up what is left of one ingredient, over all components or in one", () => {
    expect(done(scaleToIngredient(cake, "butter", 385.4)).factor).toBeCloseTo(2, 12);
    expect(done(scaleToIngredient(cake, "butter", 50, { component: "Glaze" })).factor).toBe(0.5);
    expect(refused(scaleToIngredient(cake, "cocoa", 50))).toMatchObject({ code: "unknown-ingredient", found: '"cocoa"' });
    expect(refused(scaleToIngredient(cake, "salt", 50)).code).toBe("unknown-ingredient");
  });

  it("refuses what cannot be, with what to do", () => {
    expect(refused(scaleByFactor(cake, 0)).remedy).toBe("Type a factor such as 1.5.");
    expect(refused(scaleByFactor(cake, 1e6)).code).toBe("out-of-range");
    expect(refused(scaleToGrams(cake, -5)).code).toBe("not-a-weight");
    expect(refused(scaleToGrams({ name: "Empty", components: [] }, 100)).found).toBe("nothing weighed yet");
    expect(refused(scaleByFactor(cake, 2, { component: "Icing" }))).toMatchObject({
      code: "unknown-component",
      expected: 'one of: "Sponge", "Glaze"',
    });
  });

  it("leaves exact weights when told to", () => {
    expect(done(scaleByFactor(cake, 1 / 3, { weighing: false })).formula.components[0]?.stages[1]?.uses[0]?.grams).toBeCloseTo(
      1.1,
      12,
    );
  });
});
