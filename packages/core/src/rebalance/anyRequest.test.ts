import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import highsLoader from "highs";
import { expect, it } from "vitest";
import { type Formula, parseFormulaFile } from "../formula/index.js";
import { createIngredientBook, NUTRIENTS, ROLES } from "../ingredients/index.js";
import { type Demand, type HighsLike, type Measure, type RebalanceRequest, rebalance, solverFromHighs } from "./index.js";

const book = createIngredientBook();
const folder = "examples/formulas";
const formulas = readdirSync(folder).map((file) => parseFormulaFile(readFileSync(`${folder}/${file}`, "utf8")).value!);
const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);

const anyMeasure = (): fc.Arbitrary<Measure> =>
  fc.oneof(
    fc.constantFrom(...NUTRIENTS).map((nutrient) => ({ kind: "nutrient", nutrient }) as const),
    fc.constantFrom(...ROLES).map((role) => ({ kind: "role", role }) as const),
    fc.constantFrom<Measure>({ kind: "total" }, { kind: "sweetness" }, { kind: "gas" }),
  );
const anyDemand = (): fc.Arbitrary<Demand> =>
  fc.oneof(
    { weight: 3, arbitrary: anyMeasure().map((measure) => ({ kind: "hold", measure }) as const) },
    {
      weight: 2,
      arbitrary: fc
        .tuple(anyMeasure(), fc.constantFrom("batch", "100g"), fc.boolean(), fc.integer({ min: 0, max: 150 }))
        .map(
          ([measure, per, isLeast, value]) =>
            ({ kind: "between", measure, per, ...(isLeast ? { least: value } : { most: value }) }) as const,
        ),
    },
    { weight: 1, arbitrary: fc.constantFrom("milk", "eggs", "nuts").map((allergen) => ({ kind: "absent", allergen }) as const) },
  );
const anyRequest = (): fc.Arbitrary<RebalanceRequest> =>
  fc.constantFrom(...formulas).chain((formula: Formula) =>
    fc.constantFrom(...formula.components).chain((component) =>
      fc
        .record({
          demands: fc.array(anyDemand(), { minLength: 1, maxLength: 4 }),
          from: fc.constantFrom(...component.stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
          percent: fc.option(fc.integer({ min: 1, max: 100 }), { nil: undefined }),
          to: fc.constantFrom(...book.all.map(({ id }) => id)),
          mayAdd: fc.boolean(),
          pieces: fc.boolean(),
        })
        .map(({ demands, from, percent, to, mayAdd, pieces }) => ({
          formula,
          component: component.name,
          demands,
          aim: "nearest" as const,
          ...(percent === undefined ? {} : { swap: { from, percent, to: [to] } }),
          ...(mayAdd ? { mayAdd: ["water"] } : {}),
          ...(pieces ? { pieces: [{ ingredient: "egg-whole-uk", gramsEach: 51 }] } : {}),
        })),
    ),
  );

it("answers any request with a proved optimum, a conflict or a problem in words (property)", () => {
  const seen = { optimal: 0, conflict: 0, problems: 0 };
  fc.assert(
    fc.property(anyRequest(), (request) => {
      const answer = rebalance(request, book, solver);
      seen[answer.status] += 1;
      if (answer.status === "optimal") {
        expect(answer.residual).toBeLessThan(1e-7);
        for (const { afterGrams } of answer.changes) expect(afterGrams).toBeGreaterThanOrEqual(0);
      } else if (answer.status === "conflict") expect(answer.conflicts.length).toBeGreaterThan(0);
      else for (const { found } of answer.problems) expect(found).not.toContain("solver");
    }),
    { numRuns: 200, seed: 20_261_125 },
  );
  for (const status of ["optimal", "conflict", "problems"] as const) expect(seen[status], status).toBeGreaterThan(10);
});
