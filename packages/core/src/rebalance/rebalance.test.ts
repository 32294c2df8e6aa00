import fc from "fast-check";
import highsLoader from "highs";
import { beforeAll, expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import {
  type Ingredient,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Role,
} from "../ingredients/index.js";
import {
  type HighsLike,
  type OptimisationModel,
  type OptimisationSolver,
  polishQuadratic,
  type RebalanceRequest,
  rebalance,
  solverFromHighs,
} from "./index.js";

let solver: OptimisationSolver;
beforeAll(async () => {
  solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
});

// Figures for the hand calculations: butter 16 % water and 82.2 % fat, oil all fat, egg and flour of the usual tables, rounded.
const butter = make("butter-unsalted", "fat", { water: 16, fat: 82.2 }, ["milk"]);
const oil = make("sunflower-oil", "fat", { water: 0, fat: 100 });
const water = make("water", "liquid", { water: 100, fat: 0 });
const sugar = make("caster-sugar", "sugar", { water: 0, fat: 0, sugars: 100, sucrose: 100 });
const flour = make("plain-flour", "flour", { water: 12, fat: 1.4, starch: 73 });
const egg = make("egg-whole-uk", "egg", { water: 76.8, fat: 9 });
const mystery = make("mystery", "other", { water: 50 });
delete (mystery.per100g as Record<string, unknown>).fat;
(mystery.per100g as Record<Nutrient, unknown>).fat = { known: false, why: "the packet does not say" };
const book = bookOf([butter, oil, water, sugar, flour, egg, mystery]);

const sponge: Formula = {
  name: "Sponge",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "Cream",
          uses: [
            { ingredient: "butter-unsalted", grams: 200 },
            { ingredient: "caster-sugar", grams: 200 },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "egg-whole-uk", grams: 200 },
            { ingredient: "plain-flour", grams: 200 },
          ],
        },
      ],
    },
  ],
};
const ask = (over: Partial<RebalanceRequest>): RebalanceRequest => ({
  formula: sponge,
  component: "Sponge",
  demands: [],
  aim: "nearest",
  ...over,
});
const gramsOf = (formula: Formula, id: string) =>
  formula.components
    .flatMap(({ stages }) => stages.flatMap(({ uses }) => uses))
    .reduce((sum, use) => sum + (use.ingredient === id ? (use.grams ?? 0) : 0), 0);

// Exact, by hand: 40 % of 200 g butter is 80 g, with 65.76 g fat and 12.8 g water. With everything else kept, oil must bring the
// fat and water the water: 65.76 g and 12.8 g.
it("swaps butter for oil and water as worked out by hand", () => {
  const answer = rebalance(
    ask({
      swap: { from: "butter-unsalted", percent: 40, to: ["sunflower-oil"] },
      mayAdd: ["water"],
      keep: ["caster-sugar", "egg-whole-uk", "plain-flour"],
      demands: [
        { kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } },
        { kind: "hold", measure: { kind: "nutrient", nutrient: "water" } },
      ],
    }),
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  const exact = Object.fromEntries(answer.changes.map(({ ingredient, exactGrams }) => [ingredient, exactGrams]));
  expect(exact["sunflower-oil"]).toBeCloseTo(65.76, 6);
  expect(exact.water).toBeCloseTo(12.8, 6);
  expect(exact["butter-unsalted"]).toBeCloseTo(120, 6);
  expect(gramsOf(answer.formula, "sunflower-oil")).toBe(66);
  expect(gramsOf(answer.formula, "water")).toBe(13);
  expect(answer.residual).toBeLessThan(1e-9);
});

it("holds fat, water and total together by moving the rest a little, in grams a scale can weigh", () => {
  const hold = (measure: "fat" | "water") => ({ kind: "hold", measure: { kind: "nutrient", nutrient: measure } }) as const;
  const answer = rebalance(
    ask({
      swap: { from: "butter-unsalted", percent: 40, to: ["sunflower-oil"] },
      mayAdd: ["water"],
      demands: [hold("fat"), hold("water"), { kind: "hold", measure: { kind: "total" } }],
    }),
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  expect(answer.residual).toBeLessThan(1e-7);
  for (const { before, after } of answer.outcomes) expect(Math.abs(after! / before! - 1)).toBeLessThan(0.004);
  for (const { afterGrams } of answer.changes) expect(Math.abs(afterGrams * 10 - Math.round(afterGrams * 10))).toBeLessThan(1e-9);
  // 1.44 g of milk solids have no carrier: sugar and flour take them up, and nothing moves by more than a gram or three.
  for (const { ingredient, beforeGrams, afterGrams } of answer.changes) {
    if (!["butter-unsalted", "sunflower-oil", "water"].includes(ingredient))
      expect(Math.abs(afterGrams - beforeGrams)).toBeLessThan(3);
  }
});

it("names a smallest set of demands that cannot hold together", () => {
  const demands = [
    { kind: "hold", measure: { kind: "total" } },
    { kind: "between", measure: { kind: "nutrient", nutrient: "fat" }, per: "100g", most: 5 },
    { kind: "between", measure: { kind: "role", role: "fat" }, per: "batch", least: 150 },
    { kind: "between", measure: { kind: "role", role: "flour" }, per: "batch", most: 400 },
  ] as const;
  const answer = rebalance(ask({ demands }), book, solver);
  if (answer.status !== "conflict") throw new Error(JSON.stringify(answer));
  expect(answer.conflicts).toHaveLength(3);
  expect(answer.words).toContain("cannot all hold");
  // Minimal: drop any one of the named demands and the rest can be satisfied.
  const named = demands.slice(0, 3);
  for (const left of named) {
    expect(rebalance(ask({ demands: named.filter((demand) => demand !== left) }), book, solver).status).toBe("optimal");
  }
});

it("keeps an allergen out, or says that it cannot", () => {
  const without = rebalance(
    ask({
      demands: [
        { kind: "absent", allergen: "milk" },
        { kind: "hold", measure: { kind: "total" } },
      ],
      mayAdd: ["sunflower-oil"],
    }),
    book,
    solver,
  );
  if (without.status !== "optimal") throw new Error(JSON.stringify(without));
  expect(gramsOf(without.formula, "butter-unsalted")).toBe(0);
});

it("refuses a demand on a figure that is missing, and names the ingredient", () => {
  const answer = rebalance(
    ask({ mayAdd: ["mystery"], demands: [{ kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } }] }),
    book,
    solver,
  );
  expect(answer).toMatchObject({ status: "problems", problems: [{ code: "no-figure", found: "none for mystery" }] });
});

it("moves whole eggs only", () => {
  const answer = rebalance(
    ask({
      pieces: [{ ingredient: "egg-whole-uk", gramsEach: 51 }],
      demands: [{ kind: "hold", measure: { kind: "nutrient", nutrient: "water" } }],
    }),
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  expect(gramsOf(answer.formula, "egg-whole-uk")).toBe(204);
});

it("reaches a bent demand by straightening it, and checks the true value", () => {
  const ratio = (component: Formula["components"][number]) => {
    const at = (id: string) =>
      component.stages.flatMap(({ uses }) => uses).reduce((sum, use) => sum + (use.ingredient === id ? (use.grams ?? 0) : 0), 0);
    return (at("caster-sugar") / at("plain-flour")) ** 2;
  };
  const answer = rebalance(
    ask({
      demands: [{ kind: "hold", measure: { kind: "total" } }],
      bent: [{ words: "sugar over flour, squared, at most 0.81", most: 0.81, value: ratio }],
    }),
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  expect(ratio(answer.formula.components[0]!)).toBeLessThan(0.815);
  expect(ratio(answer.formula.components[0]!)).toBeGreaterThan(0.78);
});

// Property: the conditions of Karush, Kuhn and Tucker hold to 1e-7 on random convex quadratic models.
it("proves its quadratic optima on 200 random models", () => {
  let worst = 0;
  fc.assert(
    fc.property(
      fc.integer({ min: 2, max: 8 }),
      fc.integer({ min: 1, max: 3 }),
      fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 60, maxLength: 60 }),
      (size, rowCount, dice) => {
        const inside = Array.from({ length: size }, (_, index) => 100 + 50 * dice[index]!);
        const model: OptimisationModel = {
          variables: inside.map((_, index) => ({
            name: `v${index}`,
            lower: 0,
            upper: 400,
            linear: -2 * (1 + dice[10 + index]!),
            quadratic: (1.5 + dice[20 + index]!) / 100,
          })),
          rows: Array.from({ length: rowCount }, (_, row) => {
            const terms = inside.map((_, variable) => ({
              variable,
              coefficient: Math.round(100 * dice[(30 + row * 8 + variable) % 60]!) / 100,
            }));
            const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * inside[variable]!, 0);
            return { name: `r${row}`, terms, lower: row === 0 ? at : Number.NEGATIVE_INFINITY, upper: at };
          }),
        };
        const rough = solver.solve(model);
        if (rough.status !== "optimal") return false;
        const { residual, objective } = polishQuadratic(model, rough.values);
        worst = Math.max(worst, residual);
        return residual < 1e-7 && objective <= rough.objective + 1e-5 * (1 + Math.abs(rough.objective));
      },
    ),
    { numRuns: 200, seed: 20_261_125 },
  );
  expect(worst).toBeLessThan(1e-7);
});

function make(id: string, role: Role, figures: Partial<Record<Nutrient, number>>, allergens: readonly "milk"[] = []): Ingredient {
  const per100g = Object.fromEntries(
    NUTRIENTS.map((nutrient) => [nutrient, { known: true, value: figures[nutrient] ?? 0, source: "test" }]),
  ) as unknown as NutrientFigures;
  return {
    id,
    name: id,
    otherNames: [],
    group: "test",
    role,
    per100g,
    densityGPerMl: { known: false, why: "not needed" },
    householdWeights: [],
    contains: allergens.map((allergen) => ({ allergen })),
    checkSupplier: [],
    mayContain: [],
    basis: "own",
    source: "test",
  };
}

function bookOf(all: readonly Ingredient[]): IngredientBook {
  return { all, get: (id) => all.find((one) => one.id === id) };
}
