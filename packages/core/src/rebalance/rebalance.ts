import type { Component, Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";
import { brings, type Demand, demandWords } from "./demands.js";
import type { ModelRow, OptimisationSolver } from "./model.js";
import { componentWith } from "./newWeights.js";
import { isFeasible, optimumOf, type PieceGrams } from "./optimum.js";
import { perGramOf, type Requirement, requirementsOf } from "./requirements.js";
import { scaleOf, type Unknown, unknownsOf } from "./unknowns.js";
import { type WeighableSteps, weighableSteps } from "./weighable.js";

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
  /** With a swap and no demand but absences the total weight is held. */
  readonly demands: readonly Demand[];
  readonly bent?: readonly BentDemand[];
  /**
   * "nearest": change as little as possible. "cheapest": cost as little as possible, no weight by more than half; what has no
   * price stays as it is.
   */
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

const BENT_ROUNDS = 20;
/** Rounds in which a bent demand that the scale's steps just miss is asked for a little more strictly. */
const STRICTER_ROUNDS = 4;
const BENT_SLACK = 1e-6;
/** Below this the conditions of the optimum count as met. */
const PROVED = 1e-7;

const usualStep = (grams: number): number => (grams < 10 ? 0.1 : 1);

/**
 * The nearest (or cheapest) version of a component that satisfies every demand, in weighable amounts.
 *
 * The exact optimum comes from the solver; "nearest" is proved by the conditions of Karush, Kuhn and Tucker. The weighable one
 * is the set of scale steps nearest to it that keeps the held amounts as closely as the steps allow. Bent demands are straightened
 * around the last answer until it stands, and the true value of the weighable answer is checked. When no amounts satisfy all
 * demands, the answer is a smallest set of them that cannot hold together: leave any one of them out and the rest can.
 */
export function rebalance(request: RebalanceRequest, book: IngredientBook, solver: OptimisationSolver): RebalanceAnswer {
  const read = unknownsOf(request, book);
  if (!read.ok) return { status: "problems", problems: read.problems };
  const { component, unknowns } = read;
  const asked = requirementsOf(request, unknowns, read.swapRest);
  if ("problems" in asked) return { status: "problems", problems: asked.problems };
  const pieces = unknowns.map(({ id }) => request.pieces?.find(({ ingredient }) => ingredient === id)?.gramsEach);
  const bent = request.bent ?? [];
  const standing = mustBeAMix(unknowns);
  const mixOf = (values: readonly number[]) => componentWith(component, unknowns, values, request.swap?.from);

  let margins = bent.map(() => 0);
  let last: RebalanceAnswer | undefined;
  for (let round = 0; round <= STRICTER_ROUNDS; round += 1) {
    const exact = exactAnswer(margins);
    if (!("values" in exact)) return last ?? exact;
    const rows = [standing, ...exact.requirements.flatMap((requirement) => requirement.rows)];
    const steps = weighableSteps(unknowns, rows, exact.values, request.stepGrams ?? usualStep, pieces);
    if (steps === undefined) return last ?? NOT_WEIGHABLE;
    const after = mixOf(steps.values);
    const misses = bent.map((one) => overshoot(one, one.value(after)));
    last = answerOf(after, exact, steps, misses);
    if (misses.every((miss) => miss <= BENT_SLACK)) return last;
    margins = margins.map((margin, index) => margin + 1.5 * Math.max(0, misses[index]!));
  }
  return last!;

  /** The exact optimum with every bent demand straightened around it, each asked for more strictly by its margin. */
  function exactAnswer(
    stricter: readonly number[],
  ): { values: readonly number[]; objective: number; residual: number; requirements: readonly Requirement[] } | RebalanceAnswer {
    if ("problems" in asked) return { status: "problems", problems: asked.problems };
    let straight: readonly (Requirement | undefined)[] = bent.map(() => undefined);
    for (let round = 0; round < BENT_ROUNDS; round += 1) {
      const requirements = [...asked.requirements, ...straight.filter((one) => one !== undefined)];
      const rows = [standing, ...requirements.flatMap((requirement) => requirement.rows)];
      const solved = optimumOf(request.aim, unknowns, rows, solver, pieces);
      if (solved.status === "failed") return { status: "problems", problems: [solverFailed(solved.words)] };
      if (solved.status === "infeasible") return conflictOf(requirements, standing, unknowns, solver, pieces);
      const mix = mixOf(solved.values);
      const values = bent.map((one) => one.value(mix));
      const untold = bent.filter((_, index) => values[index] === undefined);
      if (untold.length > 0) return { status: "problems", problems: untold.map(cannotTell) };
      const misses = bent.map((one, index) => overshoot(one, values[index], stricter[index]));
      if (misses.every((miss) => miss <= BENT_SLACK)) return { ...solved, requirements };
      straight = bent.map((one, index) =>
        misses[index]! > BENT_SLACK || straight[index] !== undefined
          ? straightened(one, unknowns, solved.values, values[index]!, stricter[index]!, mixOf)
          : undefined,
      );
    }
    const words = bent.map((one) => one.words);
    return {
      status: "conflict",
      conflicts: words,
      words: `"${words.join('", "')}" was not reached: the answers did not settle. Allow another ingredient, or ask for less.`,
    };
  }

  function answerOf(
    after: Component,
    exact: { values: readonly number[]; objective: number; residual: number },
    steps: WeighableSteps,
    misses: readonly number[],
  ): RebalanceAnswer {
    const before = unknowns.map((one) => one.before);
    return {
      status: "optimal",
      formula: { ...request.formula, components: request.formula.components.map((one) => (one === component ? after : one)) },
      changes: changesOf(unknowns, exact.values, steps.values),
      // The solver's cost leaves out the constant part of the squares; it is put back so that "nothing changed" costs 0.
      objective:
        exact.objective +
        (request.aim === "nearest"
          ? unknowns.reduce((sum, one) => sum + one.weight * (one.reference / scaleOf(one, unknowns)) ** 2, 0)
          : 0),
      residual: exact.residual,
      roundingMiss: steps.miss,
      outcomes: [
        ...request.demands.map((demand) => ({
          words: demandWords(demand),
          before: amountOf(demand, unknowns, before),
          after: amountOf(demand, unknowns, steps.values),
        })),
        ...bent.map((one) => ({ words: one.words, before: one.value(component), after: one.value(after) })),
      ],
      cautions: [
        ...(read.ok ? read.cautions : []),
        ...bent.flatMap((one, index) =>
          misses[index]! > BENT_SLACK
            ? [`"${one.words}" is missed: ${one.value(after)?.toPrecision(4) ?? "no figure"} with the weighable amounts.`]
            : [],
        ),
        ...(exact.residual > PROVED ? ["The answer is near the best one but was not proved to be it."] : []),
        ...(steps.miss > 0.002 ? [`Weighing in steps moves a held amount by ${(steps.miss * 100).toFixed(1)} %.`] : []),
      ],
    };
  }
}

/** Nothing at all would keep every demand per 100 g: at least a tenth of the mix has to be left. */
function mustBeAMix(unknowns: readonly Unknown[]): ModelRow {
  const total = unknowns.reduce((sum, { before }) => sum + before, 0);
  return {
    name: "a mix",
    lower: total / 10,
    upper: Number.POSITIVE_INFINITY,
    terms: unknowns.map((_, variable) => ({ variable, coefficient: 1 })),
  };
}

const NOT_WEIGHABLE: RebalanceAnswer = {
  status: "conflict",
  conflicts: ["amounts a scale can weigh"],
  words: "The demands leave no amounts that the scale can weigh; allow a finer step.",
};

function changesOf(
  unknowns: readonly Unknown[],
  exact: readonly number[],
  weighed: readonly number[],
): readonly RebalanceChange[] {
  return unknowns
    .map(({ id, name, before }, index) => ({
      ingredient: id,
      name,
      beforeGrams: before,
      afterGrams: weighed[index]!,
      exactGrams: exact[index]!,
    }))
    .filter(
      ({ beforeGrams, afterGrams, exactGrams }) =>
        Math.abs(afterGrams - beforeGrams) > 1e-9 || Math.abs(exactGrams - beforeGrams) > 1e-6,
    );
}

/** How far a value lies outside what is asked, 0 when it is inside or cannot be told. */
function overshoot({ least, most }: BentDemand, value: number | undefined, margin = 0): number {
  if (value === undefined) return 0;
  return Math.max(0, value - (most ?? Number.POSITIVE_INFINITY) + margin, (least ?? Number.NEGATIVE_INFINITY) + margin - value);
}

/** A bent demand as a straight row around a point, by differences. */
function straightened(
  bent: BentDemand,
  unknowns: readonly Unknown[],
  point: readonly number[],
  value: number,
  margin: number,
  mixOf: (values: readonly number[]) => Component,
): Requirement {
  const slopes = point.map((grams, index) => {
    if (unknowns[index]!.lower === unknowns[index]!.upper) return 0;
    const nudge = Math.max(0.05, grams * 0.002);
    const nudged = point.map((other, at) => (at === index ? grams + nudge : other));
    return ((bent.value(mixOf(nudged)) ?? value) - value) / nudge;
  });
  const constant = value - slopes.reduce((sum, slope, index) => sum + slope * point[index]!, 0);
  const row: ModelRow = {
    name: bent.words,
    terms: slopes.map((coefficient, variable) => ({ variable, coefficient })),
    lower: (bent.least ?? Number.NEGATIVE_INFINITY) + margin - constant,
    upper: (bent.most ?? Number.POSITIVE_INFINITY) - margin - constant,
  };
  return { words: bent.words, rows: [row] };
}

/** Leaves requirements out one at a time; those without which the rest can hold are the conflict, and no smaller set is one. */
function conflictOf(
  requirements: readonly Requirement[],
  standing: ModelRow,
  unknowns: readonly Unknown[],
  solver: OptimisationSolver,
  pieces: PieceGrams,
): RebalanceAnswer {
  let left = requirements;
  for (const requirement of requirements) {
    const without = left.filter((one) => one !== requirement);
    const rows = [standing, ...without.flatMap((one) => one.rows)];
    if (!isFeasible(unknowns, rows, solver, pieces)) left = without;
  }
  const conflicts = left.map(({ words }) => words);
  return {
    status: "conflict",
    conflicts,
    words:
      conflicts.length > 1
        ? `These cannot all hold: ${conflicts.join("; ")}. Leave one of them out, or allow another ingredient.`
        : `With these ingredients this cannot be reached: ${conflicts.join("; ")}. Allow another ingredient.`,
  };
}

function amountOf(demand: Demand, unknowns: readonly Unknown[], values: readonly number[]): number | undefined {
  if (demand.kind === "absent") {
    const isThere = ({ ingredient }: Unknown, index: number) =>
      values[index]! > 1e-9 && ingredient !== undefined && brings(ingredient, demand.allergen);
    return unknowns.some(isThere) ? 1 : 0;
  }
  let sum = 0;
  for (const [index, { ingredient }] of unknowns.entries()) {
    const perGram = perGramOf(demand.measure, ingredient);
    if (perGram === undefined && values[index]! > 0) return undefined;
    sum += (perGram ?? 0) * values[index]!;
  }
  if (demand.kind === "hold" || demand.per === "batch") return sum;
  return (100 * sum) / values.reduce((total, value) => total + value, 0);
}

const cannotTell = ({ words }: BentDemand): Problem => ({
  code: "no-figure",
  path: ["bent"],
  expected: `figures enough to work out "${words}"`,
  found: "a missing figure",
  remedy: "Look at the composition for what is missing.",
});

const solverFailed = (words: string): Problem => ({
  code: "conflict",
  path: ["demands"],
  expected: "demands that the solver can work through",
  found: words,
  remedy: "Ask for less at once, or allow coarser steps.",
});
