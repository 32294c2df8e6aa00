import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula, bookOf } from "../../testing/formulas.js";
import type { Formula } from "./formula.js";
import { percentages } from "./percent.js";

const book = bookOf({ flour: "flour", cornflour: "flour", sugar: "sugar", honey: "sugar", butter: "fat", egg: "egg" });

const equalWeights: Formula = {
  name: "Equal weights",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter", grams: 200 },
            { ingredient: "sugar", grams: 180 },
          ],
        },
        { name: "Egg", uses: [{ ingredient: "egg", grams: 200 }] },
        {
          name: "Fold",
          uses: [
            { ingredient: "flour", grams: 200 },
            { ingredient: "honey", grams: 20 },
          ],
        },
      ],
    },
  ],
};

describe("percentages", () => {
  // Common practice, no source: the cake of equal weights is a quarter each.
  it("gives a quarter each for equal weights", () => {
    const [sponge] = percentages(equalWeights, book).components;
    expect(sponge?.groups.map((group) => [group.role, group.batchPercent, group.bakersPercent])).toEqual([
      ["fat", 25, 100],
      ["sugar", 25, 100],
      ["egg", 25, 100],
      ["flour", 25, 100],
    ]);
  });

  it("gives each use its share of the batch, of the flour and of its group", () => {
    const [sponge] = percentages(equalWeights, book).components;
    expect(sponge?.stages[0]?.uses[1]).toEqual({
      ingredient: "sugar",
      name: "sugar",
      role: "sugar",
      grams: 180,
      batchPercent: 22.5,
      bakersPercent: 90,
      groupSharePercent: 90,
    });
    expect(sponge?.stages[0]).toMatchObject({ totalGrams: 380, batchPercent: 47.5, bakersPercent: 190 });
  });

  it("has no baker's percent without flour, and no share at all of nothing", () => {
    const curd: Formula = {
      name: "Curd",
      components: [
        { name: "Curd", kind: "filling", stages: [{ name: "Heat", uses: [{ ingredient: "sugar", grams: 100 }] }] },
        { name: "Empty", kind: "other", stages: [{ name: "-", uses: [{ ingredient: "sugar", grams: 0 }] }] },
      ],
    };
    const [first, second] = percentages(curd, book).components;
    expect(first?.stages[0]?.uses[0]).toMatchObject({ batchPercent: 100, bakersPercent: null, groupSharePercent: 100 });
    expect(second?.stages[0]?.uses[0]).toMatchObject({ batchPercent: null, bakersPercent: null, groupSharePercent: null });
  });

  it("lists what is not weighed and what the book does not know", () => {
    const found = percentages(
      {
        name: "Half typed",
        components: [
          { name: "A", kind: "cake", stages: [{ name: "Mix", uses: [{ ingredient: "flour", grams: 50 }] }] },
          {
            name: "B",
            kind: "cake",
            stages: [
              {
                name: "Mix",
                uses: [
                  { ingredient: "moon-dust", grams: 50 },
                  { ingredient: "sugar", grams: null },
                ],
              },
            ],
          },
        ],
      },
      book,
    );
    expect(found.unweighed).toEqual([{ component: 1, stage: 0, use: 1 }]);
    expect(found.unknownIngredients).toEqual(["moon-dust"]);
    expect(found.components[1]?.stages[0]?.uses[0]).toMatchObject({ role: null, batchPercent: 100, groupSharePercent: null });
    expect(found.totalGrams).toBe(100);
  });

  it("sums to 100 in every component and in every group (property)", () => {
    fc.assert(
      fc.property(anyFormula(), (formula) => {
        const anyBook = bookOf({ flour: "flour", sugar: "sugar", butter: "fat", egg: "egg", milk: "dairy", salt: "salt" });
        for (const component of percentages(formula, anyBook).components) {
          if (component.totalGrams === 0) continue;
          const uses = component.stages.flatMap((stage) => stage.uses);
          expect(uses.reduce((total, use) => total + (use.batchPercent ?? 0), 0)).toBeCloseTo(100, 6);
          for (const group of component.groups) {
            if (group.totalGrams === 0) continue;
            const shares = uses.filter((use) => use.role === group.role).map((use) => use.groupSharePercent ?? 0);
            expect(shares.reduce((total, value) => total + value, 0)).toBeCloseTo(100, 6);
          }
        }
      }),
    );
  });
});
