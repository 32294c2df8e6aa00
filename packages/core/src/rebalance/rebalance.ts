import type { Component, Formula, Stage, Use } from "../formula/index.js";
import type { Ingredient, IngredientBook } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";
import { brings, contributionPerGram, type Demand, demandWords, type Measure, measureWords } from "./demands.js";
import type { ModelRow, ModelVariable, OptimisationModel, OptimisationSolver } from "./model.js";
import { type Optimum, polishQuadratic } from "./polish.js";

/** A demand that is no straight sum: water activity, set temperature, solid fat. Answered by a model of another folder. */
export interface BentDemand {
  /** "water activity at most 0.85". */
  readonly words: string;
  readonly least?: number;
  readonly most?: number;
  /** Its value for the component; undefined when it cannot be told. */
  value(component: Component): number | undefined;
}

export interface RebalanceRequest {
  readonly formula: Formula;
  /** Name of the component to change. */
  readonly component: string;
  /** Replace `percent` (0 to 100) of the weight of `from` by `to`; how much of each is found. */
  readonly swap?: { readonly from: string; readonly percent: number; readonly to: readonly string[] };
  /** Ingredients that may be added besides those of the formula. */
  readonly mayAdd?: readonly string[];
  /** Ingredients whose weight must stay. */
  readonly keep?: readonly string[];
  readonly demands: readonly Demand[];
  readonly bent?: readonly BentDemand[];
  /** "nearest": change as little as possible; "cheapest": cost as little as possible, no weight by more than half. */
  readonly aim: "nearest" | "cheapest";
  /** Whole pieces only: eggs of 51 g, packs of 250 g. */
  readonly pieces?: readonly { readonly ingredient: string; readonly gramsEach: number }[];
  /** Smallest step of the scale [g] by the weight on it; 0.1 g below 10 g and 1 g above when left out. */
  readonly stepGrams?: (grams: number) => number;
}

export interface RebalanceChange {
  readonly ingredient: string;
  readonly name: string;
  readonly beforeGrams: number;
  /** In weighable steps. */
  readonly afterGrams: number;
  /** Before rounding to the scale. */
  readonly exactGrams: number;
}

/** One demand after the fact: what was asked and what came out, per batch unless the words say otherwise. */
export interface DemandOutcome {
  readonly words: string;
  readonly before: number | undefined;
  readonly after: number | undefined;
}

export type RebalanceAnswer =
  | {
      readonly status: "optimal";
      readonly formula: Formula;
      readonly changes: readonly RebalanceChange[];
      /** Sum of squared relative changes ("nearest") or cost in minor units ("cheapest"), before rounding. */
      readonly objective: number;
      /** Proof of optimality of the exact answer: see `Optimum.residual`. */
      readonly residual: number;
      /** Largest relative miss of a held amount that weighing in steps brings, 0 to 1. */
      readonly roundingMiss: number;
      readonly outcomes: readonly DemandOutcome[];
      readonly cautions: readonly string[];
    }
  | { readonly status: "conflict"; readonly conflicts: readonly string[]; readonly words: string }
  | { readonly status: "problems"; readonly problems: readonly Problem[] };

interface Unknown {
  readonly ingredient: Ingredient;
  readonly before: number;
  readonly lower: number;
  readonly upper: number;
  /** Weight it should stay near to, and what a change of it costs. */
  readonly reference: number;
  readonly weight: number;
}

interface NamedRow extends ModelRow {
  readonly demand: number;
}

/** Newcomers of a swap and what they carry are meant to change: they cost little beside what was to stay. */
const FREE_WEIGHT = 1e-6;
const BENT_ROUNDS = 12;
/**
 * How far weighing in steps may move a held amount: a fifth of a per cent is less than a scale and a spatula leave behind.
 * Closer is not better: steps that happen to hit the amount exactly lie far from the exact answer.
 */
const HOLD_TOLERANCES = [2e-3, 5e-3, 1e-2, 2e-2];

/**
 * The nearest (or cheapest) version of a component that satisfies every demand, in weighable amounts.
 *
 * The exact optimum comes from the solver and is proved by the conditions of Karush, Kuhn and Tucker; the weighable one is
 * the set of scale steps nearest to it that keeps the held amounts as closely as the steps allow. When no amounts satisfy all
 * demands, the answer is a smallest set of demands that cannot hold together: leave any one of them out and the rest can.
 */
export function rebalance(request: RebalanceRequest, book: IngredientBook, solver: OptimisationSolver): RebalanceAnswer {
  const setUp = unknownsOf(request, book);
  if ("problems" in setUp) return { status: "problems", problems: setUp.problems };
  const { component, unknowns } = setUp;
  const rows = rowsOf(request, unknowns);
  if ("problems" in rows) return { status: "problems", problems: rows.problems };

  const bentRows: NamedRow[] = [];
  let optimum = solve(unknowns, rows.rows);
  if (optimum === undefined) return conflictOf(request, unknowns, rows.rows, solver);

  for (const [index, bent] of (request.bent ?? []).entries()) {
    for (let round = 0; round < BENT_ROUNDS; round += 1) {
      const point = optimum.values;
      const value = bent.value(componentWith(component, unknowns, point, request));
      if (value === undefined) return { status: "problems", problems: [cannotTell(bent)] };
      if (value <= (bent.most ?? Number.POSITIVE_INFINITY) + 1e-6 && value >= (bent.least ?? Number.NEGATIVE_INFINITY) - 1e-6)
        break;
      const row = straightened(bent, index + request.demands.length, component, unknowns, point, value, request);
      const next: Optimum | undefined = solve(unknowns, [
        ...rows.rows,
        ...bentRows.filter(({ demand }) => demand !== row.demand),
        row,
      ]);
      if (next === undefined) {
        return {
          status: "conflict",
          conflicts: [...request.demands.map(demandWords), bent.words],
          words: `"${bent.words}" cannot be reached together with the other demands by changing these ingredients.`,
        };
      }
      bentRows.splice(0, bentRows.length, ...bentRows.filter(({ demand }) => demand !== row.demand), row);
      optimum = next;
    }
  }

  const steps = weighable(request, unknowns, [...rows.rows, ...bentRows], optimum.values, solver);
  if (steps === undefined) {
    return {
      status: "conflict",
      conflicts: ["amounts a scale can weigh"],
      words: "The demands leave no amounts that the scale can weigh; allow a finer step.",
    };
  }
  const after = componentWith(component, unknowns, steps.values, request);
  const missed = (request.bent ?? []).flatMap((bent) => {
    const value = bent.value(after);
    const holds =
      value !== undefined &&
      value <= (bent.most ?? Number.POSITIVE_INFINITY) + 5e-4 &&
      value >= (bent.least ?? Number.NEGATIVE_INFINITY) - 5e-4;
    return holds ? [] : [`"${bent.words}" is missed: ${value?.toPrecision(4) ?? "no figure"} with the weighable amounts.`];
  });
  return {
    status: "optimal",
    formula: { ...request.formula, components: request.formula.components.map((one) => (one === component ? after : one)) },
    changes: unknowns
      .map(({ ingredient, before }, index) => ({
        ingredient: ingredient.id,
        name: ingredient.name,
        beforeGrams: before,
        afterGrams: steps.values[index]!,
        exactGrams: optimum.values[index]!,
      }))
      .filter(
        ({ beforeGrams, afterGrams, exactGrams }) =>
          Math.abs(afterGrams - beforeGrams) > 1e-9 || Math.abs(exactGrams - beforeGrams) > 1e-6,
      ),
    // The solver's cost leaves out the constant part of the squares; it is put back so that "nothing changed" costs 0.
    objective:
      optimum.objective +
      (request.aim === "nearest"
        ? unknowns.reduce((sum, one) => sum + one.weight * (one.reference / scaleOf(one, unknowns)) ** 2, 0)
        : 0),
    residual: optimum.residual,
    roundingMiss: steps.miss,
    outcomes: request.demands.map((demand) => ({
      words: demandWords(demand),
      before: amountOf(
        demand,
        unknowns,
        unknowns.map(({ before }) => before),
      ),
      after: amountOf(demand, unknowns, steps.values),
    })),
    cautions: [
      ...missed,
      ...(steps.miss > 0.002 ? [`Weighing in steps moves a held amount by ${(steps.miss * 100).toFixed(1)} %.`] : []),
    ],
  };

  function solve(of: readonly Unknown[], within: readonly ModelRow[]): Optimum | undefined {
    const model = modelOf(request.aim, of, within);
    const pieces = request.pieces ?? [];
    const rough = solver.solve(model);
    if (rough.status !== "optimal") return undefined;
    const exact =
      request.aim === "nearest"
        ? polishQuadratic(model, rough.values)
        : { values: rough.values, objective: rough.objective, residual: 0 };
    if (pieces.length === 0) return exact;
    const whole = nearestSteps(
      of,
      within,
      exact.values,
      solver,
      (one) => pieces.find(({ ingredient }) => ingredient === one.ingredient.id)?.gramsEach,
    );
    if (whole === undefined) return undefined;
    const fixed = of.map((one, index) =>
      pieces.some(({ ingredient }) => ingredient === one.ingredient.id)
        ? { ...one, lower: whole[index]!, upper: whole[index]! }
        : one,
    );
    const again = modelOf(request.aim, fixed, within);
    const answer = solver.solve(again);
    if (answer.status !== "optimal") return undefined;
    return request.aim === "nearest"
      ? polishQuadratic(again, answer.values)
      : { values: answer.values, objective: answer.objective, residual: 0 };
  }
}

/** Every ingredient whose weight may move, with its limits. */
function unknownsOf(
  request: RebalanceRequest,
  book: IngredientBook,
): { component: Component; unknowns: readonly Unknown[] } | { problems: readonly Problem[] } {
  const index = request.formula.components.findIndex(({ name }) => name === request.component);
  const component = request.formula.components[index];
  if (component === undefined) {
    return {
      problems: [
        {
          code: "unknown-component",
          path: ["component"],
          expected: `one of ${request.formula.components.map(({ name }) => name).join(", ")}`,
          found: request.component,
          remedy: "Name a component of this formula.",
        },
      ],
    };
  }
  const weights = new Map<string, number>();
  for (const { uses } of component.stages)
    for (const use of uses) weights.set(use.ingredient, (weights.get(use.ingredient) ?? 0) + (use.grams ?? 0));
  const { swap } = request;
  const problems: Problem[] = [];
  if (swap !== undefined && !(weights.get(swap.from)! > 0)) {
    problems.push({
      code: "unknown-ingredient",
      path: ["swap", "from"],
      expected: "an ingredient of this component with a weight",
      found: swap.from,
      remedy: "Swap something that the component holds.",
    });
  }
  if (swap !== undefined && !(swap.percent > 0 && swap.percent <= 100)) {
    problems.push({
      code: "out-of-range",
      path: ["swap", "percent"],
      expected: "more than 0 and at most 100",
      found: String(swap.percent),
      remedy: "Say how many percent of it are replaced.",
    });
  }
  const newcomers = [...(swap?.to ?? []), ...(request.mayAdd ?? [])];
  for (const id of newcomers) if (!weights.has(id)) weights.set(id, 0);
  const removed = swap === undefined ? 0 : ((weights.get(swap.from) ?? 0) * swap.percent) / 100;
  const forbidden = request.demands.flatMap((demand) => (demand.kind === "absent" ? [demand.allergen] : []));

  const unknowns: Unknown[] = [];
  for (const [id, before] of weights) {
    const ingredient = book.get(id);
    if (ingredient === undefined) {
      problems.push({
        code: "unknown-ingredient",
        path: ["components", index],
        expected: "an ingredient of the book",
        found: id,
        remedy: "Add it to your ingredients, or name another.",
      });
      continue;
    }
    const absent = forbidden.some((allergen) => brings(ingredient, allergen));
    const kept = request.keep?.includes(id) ?? false;
    const isFrom = swap?.from === id;
    const isNew = newcomers.includes(id);
    const start = isFrom ? before - removed : before;
    const half = request.aim === "cheapest" && !isNew ? 0.5 : 1;
    unknowns.push({
      ingredient,
      before,
      // A newcomer of a swap that the mix holds already can only be added to.
      lower: absent
        ? 0
        : kept || isFrom
          ? start
          : swap?.to.includes(id)
            ? before
            : request.aim === "cheapest" && !isNew
              ? before * (1 - half)
              : 0,
      upper: absent
        ? 0
        : kept || isFrom
          ? start
          : request.aim === "cheapest" && !isNew
            ? before * (1 + half)
            : Number.POSITIVE_INFINITY,
      reference: isFrom ? start : swap?.to.includes(id) ? before + removed / swap.to.length : before,
      weight: isNew ? FREE_WEIGHT : 1,
    });
  }
  return problems.length > 0 ? { problems } : { component, unknowns };
}

/** The demands as rows. A weight whose figure is missing is not moved, so that what it brings, unknown as it is, stays the same. */
function rowsOf(
  request: RebalanceRequest,
  unknowns: readonly Unknown[],
): { rows: readonly NamedRow[] } | { problems: readonly Problem[] } {
  const problems: Problem[] = [];
  const rows: NamedRow[] = [];
  const demands: readonly Demand[] =
    request.demands.some(({ kind }) => kind !== "absent") || request.swap === undefined
      ? request.demands
      : [...request.demands, { kind: "hold", measure: { kind: "total" } }];
  demands.forEach((demand, index) => {
    if (demand.kind === "absent") return;
    const perGram = unknowns.map(({ ingredient }) => contributionPerGram(demand.measure, ingredient));
    const unknown = unknowns.filter((one, at) => perGram[at] === undefined && !(one.lower === one.upper && one.upper === 0));
    const movable = unknown.filter(({ before, lower, upper }) => before === 0 || lower === upper);
    if (unknown.length > 0 && (demand.kind === "between" || movable.length > 0)) {
      problems.push(
        noFigure(
          demand.measure,
          unknown.map(({ ingredient }) => ingredient),
        ),
      );
      return;
    }
    for (const one of unknown) {
      const variable = unknowns.indexOf(one);
      rows.push({
        name: `keep ${one.ingredient.name}`,
        demand: index,
        terms: [{ variable, coefficient: 1 }],
        lower: one.before,
        upper: one.before,
      });
    }
    const sumBefore = unknowns.reduce((sum, { before }, at) => sum + before * (perGram[at] ?? 0), 0);
    const [least, most, offset] =
      demand.kind === "hold"
        ? [sumBefore, sumBefore, 0]
        : demand.per === "batch"
          ? [demand.least ?? Number.NEGATIVE_INFINITY, demand.most ?? Number.POSITIVE_INFINITY, 0]
          : [0, 0, 1];
    if (offset === 0) {
      rows.push({
        name: demandWords(demand),
        demand: index,
        lower: least,
        upper: most,
        terms: perGram.map((coefficient = 0, variable) => ({ variable, coefficient })),
      });
      return;
    }
    // Per 100 g: sum (c - limit / 100) x >= 0 or <= 0 keeps it a straight sum.
    const limited = demand.kind === "between" ? demand : undefined;
    for (const [limit, lower, upper] of [
      [limited?.least, 0, Number.POSITIVE_INFINITY],
      [limited?.most, Number.NEGATIVE_INFINITY, 0],
    ] as const) {
      if (limit === undefined) continue;
      rows.push({
        name: demandWords(demand),
        demand: index,
        lower,
        upper,
        terms: perGram.map((coefficient = 0, variable) => ({ variable, coefficient: coefficient - limit / 100 })),
      });
    }
  });
  return problems.length > 0 ? { problems } : { rows };
}

function modelOf(aim: "nearest" | "cheapest", unknowns: readonly Unknown[], rows: readonly ModelRow[]): OptimisationModel {
  const variables: ModelVariable[] = unknowns.map((one) => {
    const { ingredient, lower, upper, reference, weight } = one;
    if (aim === "cheapest")
      return { name: ingredient.id, lower, upper, linear: contributionPerGram({ kind: "cost" }, ingredient) ?? 0 };
    const quadratic = weight / scaleOf(one, unknowns) ** 2;
    return { name: ingredient.id, lower, upper, linear: -2 * quadratic * reference, quadratic };
  });
  return { variables, rows };
}

/** A change counts relative to the weight itself, but a gram of salt is not as dear as a gram of vanilla would make it. */
function scaleOf({ reference }: Unknown, unknowns: readonly Unknown[]): number {
  const total = unknowns.reduce((sum, { before }) => sum + before, 0);
  return Math.max(reference, total * 0.01, 1);
}

/** Leaves demands out one at a time; those without which the rest can hold are the conflict, and no smaller set is one. */
function conflictOf(
  request: RebalanceRequest,
  unknowns: readonly Unknown[],
  rows: readonly NamedRow[],
  solver: OptimisationSolver,
): RebalanceAnswer {
  const feasible = (within: readonly NamedRow[]) =>
    solver.solve({
      variables: modelOf("nearest", unknowns, []).variables.map((variable) => ({ ...variable, linear: 0, quadratic: 0 })),
      rows: within,
    }).status === "optimal";
  let left = [...new Set(rows.map(({ demand }) => demand))];
  for (const demand of [...left]) {
    const without = left.filter((one) => one !== demand);
    if (!feasible(rows.filter((row) => without.includes(row.demand)))) left = without;
  }
  const words = left.map((demand) =>
    request.demands[demand] === undefined ? "keep the total weight as it is" : demandWords(request.demands[demand]),
  );
  const limits = request.demands.filter(({ kind }) => kind === "absent").map(demandWords);
  const all = [
    ...words,
    ...limits,
    ...(request.swap === undefined ? [] : [`replace ${request.swap.percent} % of ${request.swap.from}`]),
  ];
  return {
    status: "conflict",
    conflicts: words.length > 0 ? words : all,
    words:
      words.length > 1
        ? `These cannot all hold: ${words.join("; ")}. Leave one of them out, or allow another ingredient.`
        : `With these ingredients this cannot be reached: ${(words.length > 0 ? words : all).join("; ")}. Allow another ingredient.`,
  };
}

/** The steps of the scale nearest to the exact answer, with the held amounts kept as closely as steps allow. */
function weighable(
  request: RebalanceRequest,
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  exact: readonly number[],
  solver: OptimisationSolver,
): { values: readonly number[]; miss: number } | undefined {
  const stepGrams = request.stepGrams ?? ((grams: number) => (grams < 10 ? 0.1 : 1));
  const step = (one: Unknown, index: number) =>
    request.pieces?.find(({ ingredient }) => ingredient === one.ingredient.id)?.gramsEach ??
    (one.lower === one.upper && one.before === exact[index] ? undefined : stepGrams(exact[index]!));
  for (const tolerance of HOLD_TOLERANCES) {
    const loosened = rows.map((row) => {
      const size = row.terms.reduce((sum, { variable, coefficient }) => sum + Math.abs(coefficient * exact[variable]!), 0);
      const slack = row.lower === row.upper ? tolerance * Math.max(Math.abs(row.upper), size * 0.01) : size * 1e-9;
      return { ...row, lower: row.lower - slack, upper: row.upper + slack };
    });
    // Limits that fixed a weight to an amount between two steps give way by one step.
    const roomy = unknowns.map((one, index) => {
      const size = step(one, index);
      return size === undefined || one.upper === 0
        ? one
        : {
            ...one,
            lower: Math.max(0, Math.floor(one.lower / size + 1e-9) * size),
            upper: one.upper === Number.POSITIVE_INFINITY ? one.upper : Math.ceil(one.upper / size - 1e-9) * size,
          };
    });
    // Where each weight's own nearest step keeps every row, no other steps can lie nearer: the search is over before it starts.
    const plain = exact.map((grams, index) => {
      const size = step(unknowns[index]!, index);
      return size === undefined ? grams : Number((Math.round(grams / size) * size).toFixed(6));
    });
    const values = keepsRows(plain, roomy, loosened) ? plain : nearestSteps(roomy, loosened, exact, solver, step);
    if (values === undefined) continue;
    const miss = rows
      .filter(({ lower, upper }) => lower === upper && upper !== 0)
      .reduce(
        (worst, { terms, upper }) =>
          Math.max(
            worst,
            Math.abs(terms.reduce((sum, { variable, coefficient }) => sum + coefficient * values[variable]!, 0) / upper - 1),
          ),
        0,
      );
    return { values, miss };
  }
  return undefined;
}

function keepsRows(values: readonly number[], unknowns: readonly Unknown[], rows: readonly ModelRow[]): boolean {
  return (
    unknowns.every(({ lower, upper }, index) => values[index]! >= lower - 1e-9 && values[index]! <= upper + 1e-9) &&
    rows.every(({ terms, lower, upper }) => {
      const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * values[variable]!, 0);
      return at >= lower && at <= upper;
    })
  );
}

/** Whole numbers of steps with the least sum of relative distances to a point; undefined steps stay free. */
function nearestSteps(
  unknowns: readonly Unknown[],
  rows: readonly ModelRow[],
  point: readonly number[],
  solver: OptimisationSolver,
  stepOf: (one: Unknown, index: number) => number | undefined,
): readonly number[] | undefined {
  const steps = unknowns.map((one, index) => stepOf(one, index) ?? 1);
  const count = unknowns.length;
  const variables: ModelVariable[] = [
    ...unknowns.map((one, index) => {
      const free = stepOf(one, index) === undefined;
      return {
        name: one.ingredient.id,
        lower: one.lower / steps[index]!,
        upper: one.upper / steps[index]!,
        linear: 0,
        ...(free ? {} : { integer: true }),
      };
    }),
    ...unknowns.map((one) => ({
      name: `distance of ${one.ingredient.id}`,
      lower: 0,
      upper: Number.POSITIVE_INFINITY,
      linear: 1 / scaleOf(one, unknowns),
    })),
  ];
  const distances: ModelRow[] = unknowns.flatMap((one, index) => [
    {
      name: one.ingredient.id,
      lower: Number.NEGATIVE_INFINITY,
      upper: point[index]!,
      terms: [
        { variable: index, coefficient: steps[index]! },
        { variable: count + index, coefficient: -1 },
      ],
    },
    {
      name: one.ingredient.id,
      lower: point[index]!,
      upper: Number.POSITIVE_INFINITY,
      terms: [
        { variable: index, coefficient: steps[index]! },
        { variable: count + index, coefficient: 1 },
      ],
    },
  ]);
  const scaled = rows.map((row) => ({
    ...row,
    terms: row.terms.map(({ variable, coefficient }) => ({ variable, coefficient: coefficient * steps[variable]! })),
  }));
  const answer = solver.solve({ variables, rows: [...scaled, ...distances] });
  if (answer.status !== "optimal") return undefined;
  return unknowns.map((one, index) => {
    const value = answer.values[index]!;
    // Solvers leave whole numbers a hair away from whole; a product of steps is brought back to the printed digits.
    return stepOf(one, index) === undefined ? value * steps[index]! : Number((Math.round(value) * steps[index]!).toFixed(6));
  });
}

/** A bent demand as a straight row around a point, by differences. */
function straightened(
  bent: BentDemand,
  demand: number,
  component: Component,
  unknowns: readonly Unknown[],
  point: readonly number[],
  value: number,
  request: RebalanceRequest,
): NamedRow {
  const slopes = point.map((_, index) => {
    const nudge = Math.max(0.05, point[index]! * 0.002);
    const nudged = point.map((grams, at) => (at === index ? grams + nudge : grams));
    return ((bent.value(componentWith(component, unknowns, nudged, request)) ?? value) - value) / nudge;
  });
  const constant = value - slopes.reduce((sum, slope, index) => sum + slope * point[index]!, 0);
  return {
    name: bent.words,
    demand,
    terms: slopes.map((coefficient, variable) => ({ variable, coefficient })),
    lower: (bent.least ?? Number.NEGATIVE_INFINITY) - constant,
    upper: (bent.most ?? Number.POSITIVE_INFINITY) - constant,
  };
}

/** The component with new weights: each ingredient keeps its split over the stages; a newcomer joins the stage of what it replaces. */
function componentWith(
  component: Component,
  unknowns: readonly Unknown[],
  values: readonly number[],
  request: RebalanceRequest,
): Component {
  const weight = new Map(unknowns.map(({ ingredient, before }, index) => [ingredient.id, { before, after: values[index]! }]));
  const placed = new Set(component.stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient)));
  const home = Math.max(
    0,
    component.stages.findIndex(({ uses }) => uses.some(({ ingredient }) => ingredient === request.swap?.from)),
  );
  const newcomers = [...weight]
    .filter(([id, { after }]) => !placed.has(id) && after > 1e-9)
    .map(([ingredient, { after }]): Use => ({ ingredient, grams: after }));
  const stages = component.stages.map((stage, index): Stage => {
    const uses = rescaled(stage.uses, weight);
    return { ...stage, uses: index === home ? [...uses, ...newcomers] : uses };
  });
  return { ...component, stages: splitToTheGram(stages, weight) };
}

function rescaled(uses: readonly Use[], weight: ReadonlyMap<string, { before: number; after: number }>): readonly Use[] {
  return uses.flatMap((use) => {
    const change = weight.get(use.ingredient);
    if (change === undefined || use.grams === null || change.before === 0) return [use];
    if (change.after <= 1e-9) return [];
    return [change.after === change.before ? use : { ...use, grams: (use.grams / change.before) * change.after }];
  });
}

/** Parts of an ingredient that is used in several stages are brought to whole scale steps that still sum to its weight. */
function splitToTheGram(
  stages: readonly Stage[],
  weight: ReadonlyMap<string, { before: number; after: number }>,
): readonly Stage[] {
  const left = new Map([...weight].map(([id, { after }]) => [id, after]));
  const last = new Map<string, number>();
  stages.forEach(({ uses }, index) => {
    for (const { ingredient } of uses) last.set(ingredient, index);
  });
  return stages.map((stage, index) => ({
    ...stage,
    uses: stage.uses.map((use, at) => {
      const change = weight.get(use.ingredient);
      if (change === undefined || use.grams === null || change.before === change.after) return use;
      const isLast =
        last.get(use.ingredient) === index && !stage.uses.slice(at + 1).some(({ ingredient }) => ingredient === use.ingredient);
      const remaining = left.get(use.ingredient)!;
      const grams = isLast ? remaining : Math.min(remaining, Number(use.grams.toFixed(1)));
      left.set(use.ingredient, Number((remaining - grams).toFixed(6)));
      return { ...use, grams };
    }),
  }));
}

function amountOf(demand: Demand, unknowns: readonly Unknown[], values: readonly number[]): number | undefined {
  if (demand.kind === "absent")
    return unknowns.some(({ ingredient }, index) => values[index]! > 1e-9 && brings(ingredient, demand.allergen)) ? 1 : 0;
  let sum = 0;
  for (const [index, { ingredient }] of unknowns.entries()) {
    const perGram = contributionPerGram(demand.measure, ingredient);
    if (perGram === undefined && values[index]! > 0) return undefined;
    sum += (perGram ?? 0) * values[index]!;
  }
  if (demand.kind === "hold" || demand.per === "batch") return sum;
  return (100 * sum) / values.reduce((total, value) => total + value, 0);
}

const noFigure = (measure: Measure, ingredients: readonly Ingredient[]): Problem => ({
  code: "no-figure",
  path: ["demands"],
  expected: `a figure for ${measureWords(measure)} of every ingredient that may change`,
  found: `none for ${ingredients.map(({ name }) => name).join(", ")}`,
  remedy: "Give the figure from the packet, keep that ingredient as it is, or drop the demand.",
});

const cannotTell = ({ words }: BentDemand): Problem => ({
  code: "no-figure",
  path: ["bent"],
  expected: `figures enough to work out "${words}"`,
  found: "a missing figure",
  remedy: "Look at the composition for what is missing.",
});
