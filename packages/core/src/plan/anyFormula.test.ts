import fc from "fast-check";
import { expect, it } from "vitest";
import { anyFormula } from "../../testing/formulas.js";
import { softnessOf } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { assembleCake, coverNeeds, keepFormula, moistureInCake } from "../keeping/index.js";
import { consequences } from "./index.js";

const book = createIngredientBook();
const pool = book.all.map(({ id }) => id);

/** Any valid formula, its ingredients mostly of the larder so that figures are really worked with. */
const anyMix = (): fc.Arbitrary<Formula> =>
  fc
    .tuple(anyFormula(), fc.array(fc.integer({ min: 0, max: pool.length + 20 }), { minLength: 40, maxLength: 40 }))
    .map(([formula, dice]) => {
      let at = 0;
      return {
        ...formula,
        components: formula.components.map((component) => ({
          ...component,
          stages: component.stages.map((stage) => ({
            ...stage,
            uses: stage.uses.map((use) => ({ ...use, ingredient: pool[dice[at++ % 40]!] ?? use.ingredient })),
          })),
        })),
      };
    });

it("keeps, softens and assembles any valid formula without an exception or a figure that is none (property)", () => {
  fc.assert(
    fc.property(anyMix(), (formula) => {
      const kept = keepFormula(formula, book, { bakeDate: "2026-02-28", place: "us" });
      expect(kept.product.days).toBeGreaterThanOrEqual(1);
      expect(kept.product.days).toBeLessThanOrEqual(60);
      for (const { waterActivity } of kept.components) {
        if (waterActivity === undefined) continue;
        expect(waterActivity.from).toBeGreaterThanOrEqual(0);
        expect(waterActivity.from).toBeLessThanOrEqual(waterActivity.likely);
        expect(waterActivity.likely).toBeLessThanOrEqual(waterActivity.to);
        expect(waterActivity.to).toBeLessThanOrEqual(1);
      }
      for (const component of formula.components)
        for (const { gramsPer100g } of softnessOf(component, book).at) {
          expect(gramsPer100g.from).toBeLessThanOrEqual(gramsPer100g.likely + 1e-9);
          expect(gramsPer100g.to).toBeLessThanOrEqual(100.001);
        }
      const cake = assembleCake(formula, book).value;
      if (cake !== undefined) expect(cake.heightMm.likely).toBeGreaterThan(0);
      expect(JSON.stringify([kept, cake, coverNeeds(formula, book).value])).not.toMatch(/NaN|Infinity/);
      moistureInCake(formula, book, 24);
    }),
    { numRuns: 60 },
  );
});

it("compares any two valid formulas, and finds nothing between one and itself (property)", () => {
  fc.assert(
    fc.property(anyMix(), anyMix(), (one, other) => {
      const report = consequences(one, other, book);
      for (const { change } of report.consequences) expect(Number.isNaN(change ?? 0)).toBe(false);
      for (const sentence of report.sentences) expect(sentence).not.toMatch(/NaN|Infinity/);
      expect(consequences(one, one, book).sentences).toEqual([]);
    }),
    { numRuns: 40 },
  );
});
