import fc from "fast-check";
import highsLoader from "highs";
import { beforeAll, expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import {
  createIngredientBook,
  type Ingredient,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Role,
} from "../ingredients/index.js";
import { nearestByProjections } from "./dykstra.js";
import {
  demandWords,
  type HighsLike,
  type OptimisationModel,
  type OptimisationSolver,
  polishQuadratic,
  type RebalanceRequest,
  rebalance,
  SWAPS,
  solverFromHighs,
} from "./index.js";
import type { Unknown } from "./unknowns.js";
import { weighableSteps } from "./weighable.js";

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

// Exact: whole eggs beside each other are found by branching; here every pair of counts is tried with the rest solved as before.
it("finds the nearest whole pieces, as trying every count does", () => {
  const hold = { kind: "hold", measure: { kind: "nutrient", nutrient: "water" } } as const;
  const total = { kind: "hold", measure: { kind: "total" } } as const;
  const pieces = [
    { ingredient: "egg-whole-uk", gramsEach: 51 },
    { ingredient: "butter-unsalted", gramsEach: 62.5 },
  ];
  const answer = rebalance(ask({ pieces, demands: [hold, total], mayAdd: ["water"] }), book, solver);
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  let best = Number.POSITIVE_INFINITY;
  for (let eggs = 1; eggs <= 7; eggs += 1) {
    for (let packs = 1; packs <= 6; packs += 1) {
      const exactly = (ingredient: string, grams: number) =>
        ({ kind: "between", measure: { kind: "ingredient", ingredient }, per: "batch", least: grams, most: grams }) as const;
      const tried = rebalance(
        ask({
          demands: [hold, total, exactly("egg-whole-uk", eggs * 51), exactly("butter-unsalted", packs * 62.5)],
          mayAdd: ["water"],
          stepGrams: () => 0.1,
        }),
        book,
        solver,
      );
      if (tried.status === "optimal") best = Math.min(best, tried.objective);
    }
  }
  expect(answer.objective).toBeCloseTo(best, 9);
  expect(gramsOf(answer.formula, "egg-whole-uk") % 51).toBe(0);
  expect(gramsOf(answer.formula, "butter-unsalted") % 62.5).toBe(0);
});

it("buys cheapest within the demands, and never takes a missing price for nothing", () => {
  const price = (one: Ingredient, perKgMinor: number): Ingredient => ({
    ...one,
    packs: [{ grams: 1000, priceMinor: perKgMinor, currency: "GBP" }],
  });
  const priced = bookOf([price(butter, 900), price(oil, 200), water, price(sugar, 120), price(flour, 90), price(egg, 400)]);
  const demands = [
    { kind: "hold", measure: { kind: "total" } },
    { kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } },
  ] as const;
  const answer = rebalance(ask({ aim: "cheapest", demands, mayAdd: ["sunflower-oil"] }), priced, solver);
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  // By hand: butter goes down to the half that is the limit, oil brings its fat, and the rest shifts from egg to flour.
  expect(gramsOf(answer.formula, "butter-unsalted")).toBe(100);
  expect(gramsOf(answer.formula, "sunflower-oil")).toBeGreaterThan(75);
  const cost = ({ components }: Formula) =>
    components[0]!.stages
      .flatMap(({ uses }) => uses)
      .reduce((sum, use) => sum + ((use.grams ?? 0) * (priced.get(use.ingredient)?.packs?.[0]?.priceMinor ?? 0)) / 1000, 0);
  expect(cost(answer.formula)).toBeLessThan(cost(sponge));
  expect(Math.abs(cost(answer.formula) - answer.objective)).toBeLessThan(2);

  expect(rebalance(ask({ aim: "cheapest", demands, mayAdd: ["water"] }), priced, solver)).toMatchObject({
    status: "problems",
    problems: [{ code: "no-figure", found: "none for water" }],
  });
  expect(rebalance(ask({ aim: "cheapest", demands }), book, solver)).toMatchObject({ status: "problems" });
  const half = bookOf([price(butter, 900), price(oil, 200), sugar, price(flour, 90), price(egg, 400)]);
  const kept = rebalance(ask({ aim: "cheapest", demands, mayAdd: ["sunflower-oil"] }), half, solver);
  if (kept.status !== "optimal") throw new Error(JSON.stringify(kept));
  expect(gramsOf(kept.formula, "caster-sugar")).toBe(200);
  expect(kept.cautions).toContain("caster-sugar has no price: its weight stays.");
});

it("names the swap and what is kept when they are the conflict", () => {
  const answer = rebalance(
    ask({
      swap: { from: "butter-unsalted", percent: 40, to: ["sunflower-oil"] },
      demands: [{ kind: "absent", allergen: "milk" }],
    }),
    book,
    solver,
  );
  expect(answer).toMatchObject({ status: "conflict", conflicts: ["replace 40 % of butter-unsalted", "no milk"] });
});

// Property: every conflict found on random demands is minimal - with all of it nothing holds, without any one of it something does.
it("only ever names minimal conflicts (property)", () => {
  const limits = ["fat", "water", "sugars", "starch"] as const;
  let conflicts = 0;
  fc.assert(
    fc.property(
      fc.array(
        fc.integer({ min: 0, max: 1000 }).map((value) => value / 1000),
        { minLength: 12, maxLength: 12 },
      ),
      (dice) => {
        const demands = limits.flatMap((nutrient, index) => {
          const middle = Math.round(5 + 60 * dice[index]!);
          const measure = { kind: "nutrient", nutrient } as const;
          return dice[index + 4]! < 0.25
            ? []
            : [{ kind: "between", measure, per: "100g", least: middle, most: middle + 10 * dice[index + 8]! } as const];
        });
        const answer = rebalance(ask({ demands }), book, solver);
        if (answer.status !== "conflict" || answer.conflicts[0] === "amounts a scale can weigh") return;
        conflicts += 1;
        const named = demands.filter((demand) => answer.conflicts.includes(demandWords(demand)));
        expect(named).toHaveLength(answer.conflicts.length);
        expect(rebalance(ask({ demands: named, stepGrams: () => 1e-4 }), book, solver).status).toBe("conflict");
        for (const one of named) {
          const rest = rebalance(ask({ demands: named.filter((other) => other !== one), stepGrams: () => 1e-4 }), book, solver);
          expect(rest.status).toBe("optimal");
        }
      },
    ),
    { numRuns: 120, seed: 20_261_125 },
  );
  expect(conflicts).toBeGreaterThan(15);
});

// Exact: the scale steps found by the search are those that trying all of them finds.
it("weighs in the steps nearest to the exact answer, as trying all of them does", () => {
  const exact = [120.37, 65.71, 200.42, 3.26];
  const unknowns = exact.map((grams, index): Unknown => {
    const name = `v${index}`;
    const base = { id: name, name, ingredient: undefined, before: 0, lower: 0, upper: 1000, weight: 1, isNewcomer: false };
    return { ...base, reference: grams };
  });
  const rows = [row([1, 1, 1, 1], 389.76), row([0.82, 1, 0.09, 0], 0.82 * 120.37 + 65.71 + 0.09 * 200.42)];
  const found = weighableSteps(unknowns, rows, exact, (grams) => (grams < 10 ? 0.1 : 1), [])!;
  let best: { cost: number; values: number[] } = { cost: Number.POSITIVE_INFINITY, values: [] };
  for (let a = -3; a <= 3; a += 1)
    for (let b = -3; b <= 3; b += 1)
      for (let c = -3; c <= 3; c += 1)
        for (let d = -3; d <= 3; d += 1) {
          const values = [120 + a, 66 + b, 200 + c, Number((3.3 + d / 10).toFixed(6))];
          const keeps = rows.every(({ terms, upper }) => {
            const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * values[variable]!, 0);
            return Math.abs(at / upper - 1) <= 0.002;
          });
          const scale = (grams: number) => Math.max(grams, 1);
          const cost = values.reduce((sum, value, index) => sum + Math.abs(value - exact[index]!) / scale(exact[index]!), 0);
          if (keeps && cost < best.cost) best = { cost, values };
        }
  expect(found.values).toEqual(best.values);
  expect(found.miss).toBeLessThanOrEqual(0.002);

  function row(coefficients: readonly number[], at: number) {
    return { name: "row", lower: at, upper: at, terms: coefficients.map((coefficient, variable) => ({ variable, coefficient })) };
  }
});

it("works out every offered swap with total, water and sweetness held, as a mix of the larder", () => {
  const larder = createIngredientBook();
  const base = {
    "plain-flour": 200,
    "caster-sugar": 200,
    "egg-whole-uk": 200,
    "butter-unsalted": 180,
    "milk-whole": 40,
    salt: 2,
    "baking-powder": 6,
  };
  for (const { from, to, carries, holds = [] } of SWAPS) {
    const uses = Object.entries({ ...base, [from]: 200 }).map(([ingredient, grams]) => ({ ingredient, grams }));
    const formula: Formula = { name: "Mix", components: [{ name: "Mix", kind: "cake", stages: [{ name: "Mix", uses }] }] };
    const answer = rebalance(
      {
        formula,
        component: "Mix",
        swap: { from, percent: 50, to },
        mayAdd: carries,
        demands: [
          { kind: "hold", measure: { kind: "total" } },
          { kind: "hold", measure: { kind: "nutrient", nutrient: "water" } },
          ...holds.map((measure) => ({ kind: "hold", measure }) as const),
          ...(larder.get(from)!.role === "sugar" ? [{ kind: "hold", measure: { kind: "sweetness" } } as const] : []),
        ],
        aim: "nearest",
      },
      larder,
      solver,
    );
    if (answer.status !== "optimal") throw new Error(`${from} to ${to.join()}: ${JSON.stringify(answer)}`);
    expect(answer.residual).toBeLessThan(1e-7);
    expect(gramsOf(answer.formula, from)).toBe(100);
    for (const { before, after } of answer.outcomes) expect(Math.abs(after! / before! - 1)).toBeLessThan(0.005);
    // Nothing that was to stay moves by more than a fifth.
    for (const { ingredient, beforeGrams, afterGrams } of answer.changes)
      if (![from, ...to, ...carries].includes(ingredient))
        expect(Math.abs(afterGrams / beforeGrams - 1), `${from} to ${to.join()}: ${ingredient}`).toBeLessThan(0.2);
  }
});

// Exact, by hand: 225 g of self-raising flour at 0.4 % set free 0.9 g of carbon dioxide, which 7.5 g of powder at 12 % do too.
it("gives plain flour the baking powder that self-raising flour held", () => {
  const larder = createIngredientBook();
  const uses = Object.entries({ "butter-unsalted": 225, "caster-sugar": 225, "egg-whole-uk": 225, "self-raising-flour": 225 });
  const stages = [{ name: "Mix", uses: uses.map(([ingredient, grams]) => ({ ingredient, grams })) }];
  const answer = rebalance(
    {
      formula: { name: "Mix", components: [{ name: "Mix", kind: "cake", stages }] },
      component: "Mix",
      swap: { from: "self-raising-flour", percent: 100, to: ["plain-flour"] },
      mayAdd: ["baking-powder"],
      keep: ["butter-unsalted", "caster-sugar", "egg-whole-uk"],
      demands: [
        { kind: "hold", measure: { kind: "gas" } },
        { kind: "hold", measure: { kind: "total" } },
      ],
      aim: "nearest",
    },
    larder,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  expect(gramsOf(answer.formula, "baking-powder")).toBe(7.5);
  const flour = answer.changes.find(({ ingredient }) => ingredient === "plain-flour")!;
  expect(flour.exactGrams).toBeCloseTo(217.5, 6);
  expect([217, 218]).toContain(flour.afterGrams);
});

it("brings in no gum, salt or soda by the spoonful to make up a weight", () => {
  const larder = createIngredientBook();
  const uses = [
    { ingredient: "plain-flour", grams: 200 },
    { ingredient: "water", grams: 200 },
  ];
  const answer = rebalance(
    {
      formula: { name: "Mix", components: [{ name: "Mix", kind: "cake", stages: [{ name: "Mix", uses }] }] },
      component: "Mix",
      swap: { from: "plain-flour", percent: 100, to: ["rice-flour", "potato-starch"] },
      mayAdd: ["xanthan-gum"],
      demands: [
        { kind: "hold", measure: { kind: "total" } },
        { kind: "hold", measure: { kind: "nutrient", nutrient: "fibre" } },
      ],
      aim: "nearest",
    },
    larder,
    solver,
  );
  if (answer.status === "optimal") expect(gramsOf(answer.formula, "xanthan-gum")).toBeLessThanOrEqual(1.2);
  else expect(answer.status).toBe("conflict");
});

it("leaves what is not weighed and what the book does not know as they are", () => {
  const stages = sponge.components[0]!.stages;
  const odd: Formula = {
    ...sponge,
    components: [
      {
        ...sponge.components[0]!,
        stages: [
          ...stages,
          {
            name: "Taste",
            uses: [
              { ingredient: "nowhere", grams: 10 },
              { ingredient: "water", grams: null },
            ],
          },
        ],
      },
    ],
  };
  const swap = { from: "butter-unsalted", percent: 40, to: ["sunflower-oil"] };
  const answer = rebalance(
    ask({ formula: odd, swap, demands: [{ kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } }] }),
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  expect(gramsOf(answer.formula, "nowhere")).toBe(10);
  expect(answer.formula.components[0]!.stages.at(-1)!.uses).toContainEqual({ ingredient: "water", grams: null });
  // Allowed to be added, the water that was not weighed takes its weight in its own place.
  const wet = rebalance(
    ask({
      formula: odd,
      swap,
      mayAdd: ["water"],
      keep: ["caster-sugar", "egg-whole-uk", "plain-flour"],
      demands: [
        { kind: "hold", measure: { kind: "nutrient", nutrient: "fat" } },
        { kind: "hold", measure: { kind: "total" } },
      ],
    }),
    book,
    solver,
  );
  if (wet.status !== "optimal") throw new Error(JSON.stringify(wet));
  expect(wet.formula.components[0]!.stages.at(-1)!.uses[1]).toEqual({ ingredient: "water", grams: 14 });
});

it.each([
  [{ swap: { from: "nothing", percent: 40, to: ["sunflower-oil"] } }, "unknown-ingredient"],
  [{ swap: { from: "butter-unsalted", percent: 0, to: ["sunflower-oil"] } }, "out-of-range"],
  [{ swap: { from: "butter-unsalted", percent: Number.NaN, to: ["sunflower-oil"] } }, "out-of-range"],
  [{ swap: { from: "butter-unsalted", percent: 40, to: [] } }, "conflict"],
  [{ swap: { from: "butter-unsalted", percent: 40, to: ["marble"] } }, "unknown-ingredient"],
  [{ component: "Icing" }, "unknown-component"],
  [{ keep: ["marble"] }, "unknown-ingredient"],
  [{ pieces: [{ ingredient: "egg-whole-uk", gramsEach: 0 }] }, "out-of-range"],
] as const)("refuses %j with a problem that says what to do", (over, code) => {
  const answer = rebalance(ask(over), book, solver);
  if (answer.status !== "problems") throw new Error(JSON.stringify(answer));
  expect(answer.problems[0]).toMatchObject({ code });
  expect(answer.problems[0]!.remedy.length).toBeGreaterThan(10);
});

// Peer: projections and the general solver, both sharpened, agree on random models; so nothing hangs on which of them answered.
it("finds the same quadratic optimum by projections where the general solver breaks off", () => {
  let compared = 0;
  fc.assert(
    fc.property(fc.array(fc.integer({ min: -100, max: 100 }), { minLength: 30, maxLength: 30 }), (dice) => {
      const inside = dice.slice(0, 6).map((value) => 100 + value / 2);
      const model: OptimisationModel = {
        variables: inside.map((_, index) => ({
          name: `v${index}`,
          lower: 0,
          upper: 500,
          linear: -1 - dice[6 + index]! / 200,
          quadratic: 0.01,
        })),
        rows: [0, 1].map((row) => {
          const terms = inside.map((_, variable) => ({ variable, coefficient: dice[12 + row * 6 + variable]! / 100 }));
          const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * inside[variable]!, 0);
          return { name: `r${row}`, terms, lower: row === 0 ? at : Number.NEGATIVE_INFINITY, upper: at };
        }),
      };
      const [general, own] = [solver.solve(model), polishQuadratic(model, nearestByProjections(model))];
      if (general.status !== "optimal" || own.residual > 1e-7) return;
      compared += 1;
      expect(own.objective).toBeCloseTo(polishQuadratic(model, general.values).objective, 6);
    }),
    { numRuns: 100, seed: 20_261_125 },
  );
  expect(compared).toBeGreaterThan(80);
});

it("turns a solver that breaks off into a problem", () => {
  let calls = 0;
  const broken = solverFromHighs({
    solve: () => {
      calls += 1;
      if (calls > 3) throw new Error("Aborted()");
      return { Status: "Optimal", Columns: {} };
    },
  });
  expect(rebalance(ask({ demands: [{ kind: "hold", measure: { kind: "total" } }] }), book, broken)).toMatchObject({
    status: "problems",
    problems: [{ found: "the solver broke off: Aborted()" }],
  });
});

it("says that the solver gave up instead of calling it a conflict", () => {
  const tired: OptimisationSolver = { solve: () => ({ status: "failed", words: "time is up" }) };
  expect(rebalance(ask({ demands: [{ kind: "hold", measure: { kind: "total" } }] }), book, tired)).toMatchObject({
    status: "problems",
    problems: [{ found: "time is up" }],
  });
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
