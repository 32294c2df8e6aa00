import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { type Analysis, type Prediction, predictAt } from "./analyse.js";
import type { BlendRule } from "./blendRegion.js";
import { checkGoal, desirability, type Goal, overallDesirability, shortfall } from "./desirability.js";
import { tQuantile } from "./distributions.js";
import type { Factor } from "./factors.js";
import { interval, mixedEstimate, rowOf } from "./mixed.js";
import { modelRow } from "./model.js";
import { createRandom, type Random } from "./random.js";

/** Settings to search in: the ranges of the factors, and rules among the shares (weights in the order of the shares). */
export interface SearchSpace {
  readonly factors: readonly Factor[];
  readonly rules?: readonly BlendRule[];
  /** Factors that stay at one value, by name: an amount, a share, or a level's index. */
  readonly held?: Readonly<Record<string, number>>;
}

export interface SearchOptions {
  readonly seed: number;
  /** Independent climbs per combination of levels; default 6. */
  readonly climbs?: number;
  /** Told the share done; answer "stop" to take the best so far. */
  readonly onProgress?: (share: number) => "go on" | "stop";
}

/**
 * Highest value of a function over a search space.
 *
 * Climbs with a population whose shape follows the ridge (evolution strategy with covariance adaptation, Hansen and Ostermeier
 * 2001, Evolutionary Computation 9, 159), because the desirability of several goals has ridges and kinks on which axis-wise and
 * slope-wise climbing stick. Settings outside are moved to the nearest allowed one before they are judged.
 *
 * @returns values in the order of the factors; the result is good to about 1e-6 of the ranges, and never proven to be the highest
 */
export function highest(
  objective: (values: readonly number[]) => number,
  space: SearchSpace,
  options: SearchOptions,
): { readonly values: number[]; readonly value: number } {
  const random = createRandom(options.seed);
  const { factors } = space;
  const heldAt = (factor: Factor) => space.held?.[factor.name];
  const levelSets = factors.reduce<number[][]>(
    (sets, factor) =>
      factor.kind !== "choice"
        ? sets.map((set) => [...set, 0])
        : sets.flatMap((set) =>
            (heldAt(factor) !== undefined ? [heldAt(factor)!] : [...factor.levels.keys()]).map((level) => [...set, level]),
          ),
    [[]],
  );
  const climbs = options.climbs ?? 6;
  let best: { values: number[]; value: number } | undefined;
  let done = 0;
  for (const levels of levelSets) {
    for (let climb = 0; climb < climbs; climb++) {
      const found = climbOnce(objective, space, levels, random, climb === 0);
      if (best === undefined || found.value > best.value) best = found;
      done++;
      if (options.onProgress?.(done / (climbs * levelSets.length)) === "stop") return best;
    }
  }
  return best!;
}

function climbOnce(
  objective: (values: readonly number[]) => number,
  space: SearchSpace,
  levels: readonly number[],
  random: Random,
  fromMiddle: boolean,
) {
  const { factors } = space;
  const moving = factors.flatMap((factor, index) =>
    factor.kind === "choice" || space.held?.[factor.name] !== undefined ? [] : [index],
  );
  const width = moving.map((index) => {
    const factor = factors[index]!;
    return factor.kind === "amount"
      ? factor.high - factor.low
      : factor.kind === "share"
        ? Math.max(1e-6, factor.upper - factor.lower)
        : 1;
  });
  const base = factors.map((factor, index) => (factor.kind === "choice" ? levels[index]! : (space.held?.[factor.name] ?? 0)));
  const expand = (point: ArrayLike<number>): number[] => {
    const values = [...base];
    for (const [place, index] of moving.entries()) {
      const factor = factors[index]!;
      const origin = factor.kind === "amount" ? factor.low : factor.kind === "share" ? factor.lower : 0;
      values[index] = origin + point[place]! * width[place]!;
    }
    return toAllowed(values, space);
  };
  const n = moving.length;
  if (n === 0) {
    const values = toAllowed(base, space);
    return { values, value: objective(values) };
  }
  let mean = Float64Array.from({ length: n }, () => (fromMiddle ? 0.5 : random.uniform()));
  let sigma = 0.3;
  const size = 4 + Math.floor(3 * Math.log(n)) + 6;
  const parents = Math.floor(size / 2);
  const raw = Array.from({ length: parents }, (_, index) => Math.log(parents + 0.5) - Math.log(index + 1));
  const total = raw.reduce((a, b) => a + b, 0);
  const weights = raw.map((value) => value / total);
  const effective = 1 / weights.reduce((sum, w) => sum + w * w, 0);
  const cc = (4 + effective / n) / (n + 4 + (2 * effective) / n);
  const cs = (effective + 2) / (n + effective + 5);
  const c1 = 2 / ((n + 1.3) ** 2 + effective);
  const cmu = Math.min(1 - c1, (2 * (effective - 2 + 1 / effective)) / ((n + 2) ** 2 + effective));
  const damping = 1 + 2 * Math.max(0, Math.sqrt((effective - 1) / (n + 1)) - 1) + cs;
  const expected = Math.sqrt(n) * (1 - 1 / (4 * n) + 1 / (21 * n * n));
  const covariance = Matrix.eye(n, n);
  let axes = Matrix.eye(n, n);
  let lengths = Array<number>(n).fill(1);
  const pathC = new Float64Array(n);
  const pathS = new Float64Array(n);
  let best = { values: expand(mean), value: Number.NEGATIVE_INFINITY };
  best.value = objective(best.values);
  for (let generation = 0; generation < 60 + 120 * n; generation++) {
    const people = Array.from({ length: size }, () => {
      const z = Float64Array.from({ length: n }, random.normal);
      const step = new Float64Array(n);
      for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) step[i]! += axes.get(i, j) * lengths[j]! * z[j]!;
      const point = step.map((value, index) => mean[index]! + sigma * value);
      const values = expand(point);
      // The point that was judged replaces the one that was drawn, so that the walk stays inside.
      const judged = Float64Array.from(moving, (index, place) => {
        const factor = factors[index]!;
        const origin = factor.kind === "amount" ? factor.low : factor.kind === "share" ? factor.lower : 0;
        return (values[index]! - origin) / width[place]!;
      });
      return { step: judged.map((value, index) => (value - mean[index]!) / sigma), values, value: objective(values) };
    }).sort((a, b) => b.value - a.value);
    if (people[0]!.value > best.value) best = { values: people[0]!.values, value: people[0]!.value };
    const move = new Float64Array(n);
    for (let k = 0; k < parents; k++) for (let i = 0; i < n; i++) move[i]! += weights[k]! * people[k]!.step[i]!;
    mean = mean.map((value, index) => value + sigma * move[index]!);
    const white = new Float64Array(n);
    for (let j = 0; j < n; j++) {
      let along = 0;
      for (let i = 0; i < n; i++) along += axes.get(i, j) * move[i]!;
      for (let i = 0; i < n; i++) white[i]! += (axes.get(i, j) * along) / Math.max(lengths[j]!, 1e-12);
    }
    let normS = 0;
    for (let i = 0; i < n; i++) {
      pathS[i] = (1 - cs) * pathS[i]! + Math.sqrt(cs * (2 - cs) * effective) * white[i]!;
      normS += pathS[i]! ** 2;
    }
    const steady = Math.sqrt(normS) / Math.sqrt(1 - (1 - cs) ** (2 * (generation + 1))) < (1.4 + 2 / (n + 1)) * expected ? 1 : 0;
    for (let i = 0; i < n; i++) pathC[i] = (1 - cc) * pathC[i]! + steady * Math.sqrt(cc * (2 - cc) * effective) * move[i]!;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        let value = (1 - c1 - cmu) * covariance.get(i, j) + c1 * pathC[i]! * pathC[j]!;
        for (let k = 0; k < parents; k++) value += cmu * weights[k]! * people[k]!.step[i]! * people[k]!.step[j]!;
        covariance.set(i, j, value);
        covariance.set(j, i, value);
      }
    }
    sigma *= Math.exp(Math.min(0.6, (cs / damping) * (Math.sqrt(normS) / expected - 1)));
    const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(covariance, { assumeSymmetric: true });
    axes = eigenvectorMatrix;
    lengths = realEigenvalues.map((value) => Math.sqrt(Math.max(value, 1e-20)));
    if (sigma * Math.max(...lengths) < 1e-9) break;
  }
  return best;
}

/** The nearest allowed setting: amounts in their range, shares within their limits and rules and adding to 1. */
export function toAllowed(values: readonly number[], space: SearchSpace): number[] {
  const { factors } = space;
  const answer = values.map((value, index) => {
    const factor = factors[index]!;
    return factor.kind === "amount" && space.held?.[factor.name] === undefined
      ? Math.min(factor.high, Math.max(factor.low, value))
      : value;
  });
  const shares = factors.flatMap((factor, index) => (factor.kind === "share" ? [index] : []));
  if (shares.length === 0) return answer;
  const limits = shares.map((index) => {
    const factor = factors[index]!;
    if (factor.kind !== "share") return [0, 1] as const;
    const held = space.held?.[factor.name];
    return held === undefined ? ([factor.lower, factor.upper] as const) : ([held, held] as const);
  });
  let blend = nearestBlend(
    shares.map((index) => answer[index]!),
    limits,
  );
  const rules = space.rules ?? [];
  if (rules.length > 0) {
    // Dykstra's alternating projections (1983): the nearest point that meets every rule.
    const memory = [...rules, null].map(() => blend.map(() => 0));
    for (let turn = 0; turn < 200; turn++) {
      const before = blend;
      for (const [index, rule] of [...rules, null].entries()) {
        const shifted = blend.map((value, place) => value + memory[index]![place]!);
        const moved = rule === null ? nearestBlend(shifted, limits) : ontoRule(shifted, rule);
        memory[index] = shifted.map((value, place) => value - moved[place]!);
        blend = moved;
      }
      if (blend.every((value, place) => Math.abs(value - before[place]!) < 1e-12)) break;
    }
  }
  for (const [place, index] of shares.entries()) answer[index] = blend[place]!;
  return answer;
}

/** Nearest shares within limits that add to 1: all are shifted by one amount and clipped. */
function nearestBlend(values: readonly number[], limits: readonly (readonly [number, number])[]): number[] {
  const at = (shift: number) =>
    values.map((value, index) => Math.min(limits[index]![1], Math.max(limits[index]![0], value + shift)));
  let low = -2 - Math.max(...values.map(Math.abs));
  let high = -low;
  for (let turn = 0; turn < 80; turn++) {
    const middle = (low + high) / 2;
    if (at(middle).reduce((sum, value) => sum + value, 0) < 1) low = middle;
    else high = middle;
  }
  return at((low + high) / 2);
}

function ontoRule(values: readonly number[], { weights, constant }: BlendRule): number[] {
  const slack = values.reduce((sum, value, index) => sum + value * weights[index]!, constant);
  if (slack >= 0) return [...values];
  const square = weights.reduce((sum, weight) => sum + weight * weight, 0);
  return values.map((value, index) => value - (slack / square) * weights[index]!);
}

/**
 * Where the mean of some bakes at one setting would lie: each from a batter of its own, on an average day of those seen.
 *
 * @returns undefined with no run left over to judge the spread, and on a transformed scale, where a mean of bakes is no mean
 */
function meanOfBakes(fit: Analysis, values: readonly number[], count: number) {
  if (fit.transform !== "none") return undefined;
  if (fit.mixed !== undefined) {
    const besides = Array<number>(1 + fit.mixed.components.length).fill(1 / count);
    return interval(mixedEstimate(fit.mixed, rowOf(fit.mixed, values), besides), fit.confidence);
  }
  const { estimate, standardError } = predictAt(fit, values);
  if (fit.residualSd === undefined || standardError === undefined) return undefined;
  const reach = tQuantile((1 + fit.confidence) / 2, fit.residualDf) * Math.sqrt(standardError ** 2 + fit.residualSd ** 2 / count);
  return { from: estimate - reach, to: estimate + reach };
}

/** The best setting for all goals together, and what to expect of a bake there. */
export interface BestPoint {
  readonly values: readonly number[];
  readonly setting: Readonly<Record<string, number | string>>;
  readonly overall: number;
  readonly responses: readonly {
    readonly response: string;
    readonly desirability: number;
    readonly prediction: Prediction;
    /** Where the mean of `confirmationCount` bakes at this setting would lie if the model is right. */
    readonly confirmation?: { readonly from: number; readonly to: number };
  }[];
  readonly confirmationCount: number;
}

/**
 * The setting at which the goals are met best, from the fits of their responses.
 *
 * @param analyses  fits by the same factors; found by the response name of each goal
 */
export function bestPoint(
  analyses: readonly Analysis[],
  goals: readonly Goal[],
  space: SearchSpace,
  options: SearchOptions & { readonly confirmationCount?: number },
): BestPoint {
  const fits = goals.map((goal) => {
    checkGoal(goal);
    const fit = analyses.find((analysis) => analysis.responseName === goal.response);
    if (fit === undefined) throw new RangeError(`bestPoint: no analysis of "${goal.response}"`);
    return fit;
  });
  // The same expectation as the predictions and pictures: by the sources of variation where the fit has several.
  const models = fits.map(({ model, orthogonal, coefficients, mixed }) =>
    mixed === undefined
      ? { model, kept: orthogonal.kept, coefficients, row: new Float64Array(model.columns.length) }
      : { ...mixed.behind, coefficients: mixed.coefficients, row: new Float64Array(mixed.behind.model.columns.length) },
  );
  const expected = (values: readonly number[]): number[] =>
    fits.map((fit, index) => {
      const { model, kept, coefficients, row: space } = models[index]!;
      const place = model.factors.length > values.length ? [...values, Number.NaN] : values;
      const row = modelRow(model, place, space);
      let sum = 0;
      for (const [k, column] of kept.entries()) sum += row[column]! * coefficients[k]!.estimate;
      return fit.transform === "none"
        ? sum
        : fit.transform === "log"
          ? Math.exp(sum)
          : fit.transform === "inverse"
            ? 1 / sum
            : sum * Math.abs(sum);
    });
  const score = (values: readonly number[]) => {
    const y = expected(values);
    const short = shortfall(goals, y);
    return short > 0 ? -short : overallDesirability(goals, y);
  };
  const { values } = highest(score, space, options);
  const y = expected(values);
  const confirmationCount = options.confirmationCount ?? 3;
  return {
    values,
    setting: Object.fromEntries(
      space.factors.map((factor, index) => [
        factor.name,
        factor.kind === "choice" ? factor.levels[values[index]!]! : values[index]!,
      ]),
    ),
    overall: overallDesirability(goals, y),
    responses: goals.map((goal, index) => {
      const fit = fits[index]!;
      const prediction = predictAt(fit, values);
      const plain = { response: goal.response, desirability: desirability(goal, y[index]!), prediction };
      const confirmation = meanOfBakes(fit, values, confirmationCount);
      return confirmation === undefined ? plain : { ...plain, confirmation };
    }),
    confirmationCount,
  };
}
