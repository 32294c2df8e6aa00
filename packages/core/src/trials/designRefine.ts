import { type BlendRegion, candidateBlends, isAllowed } from "./blendRegion.js";
import { type FoundDesign, searchDesign } from "./designSearch.js";
import type { Factor, ShareFactor } from "./factors.js";
import { type Model, modelRow } from "./model.js";
import { createRandom } from "./random.js";

/** A design in settings rather than candidates. */
export interface RefinedDesign {
  /** Values in the order of the factors, one row per run. */
  readonly settings: readonly (readonly number[])[];
  /** ln det(X'X). */
  readonly logDet: number;
  /** Mean variance of prediction over the candidates, for the I criterion; NaN where it was not asked for. */
  readonly averageVariance: number;
}

/** What refining makes better; for I the mean of f f' over the places where predictions are wanted, row by row. */
export type RefineAim = { readonly criterion: "D" } | { readonly criterion: "I"; readonly moments: Float64Array };

/**
 * Moves the runs of a design off the candidate list where that raises D, or lowers the mean variance of prediction: shares in pairs (one gives what another takes), amounts along their
 * range, one run and one direction at a time, first in quarters of the way and then finer.
 *
 * Few candidates suit models that leave out terms; there this can matter much. Repeats may be pulled apart, so that pure error is lost.
 *
 * @throws RangeError when the given design cannot fit the model
 *
 * Source: coordinate exchange, Meyer and Nachtsheim (1995), Technometrics 37, 60; pairs of shares instead of Cox's directions.
 */
export function refineDesign(
  model: Model,
  settings: readonly (readonly number[])[],
  region: BlendRegion,
  aim: RefineAim = { criterion: "D" },
  scales: readonly number[] = [1, 1 / 4, 1 / 16, 1 / 64, 1 / 256],
): RefinedDesign {
  const { factors } = model;
  const p = model.columns.length;
  const runs = settings.map((row) => [...row]);
  const shares = factors.flatMap((factor, index) => (factor.kind === "share" ? [index] : []));
  let inverse = invert(model, runs, p);
  if (inverse === undefined) throw new RangeError("refineDesign: the design cannot fit the model");
  const moments = aim.criterion === "I" ? aim.moments : undefined;
  const row = new Float64Array(p);
  const v = new Float64Array(p);
  const w = new Float64Array(p);
  const weighted = new Float64Array(p * p); // inverse * moments * inverse, for the I criterion
  const rowAt = rowMaker(model);
  const allowed = (trial: readonly number[]) =>
    shares.length === 0 ||
    region.rules === undefined ||
    isAllowed(
      region,
      shares.map((index) => trial[index]!),
      1e-9,
    );
  let scaleIndex = 0;
  for (let sweep = 0; sweep < 60 && scaleIndex < scales.length; sweep++) {
    const scale = scales[scaleIndex]!;
    let gained = 0;
    for (const run of runs) {
      const current = new Float64Array(rowAt(run, row));
      let d = 0;
      let phi = 0;
      let trace = 1;
      const look = () => {
        multiply(inverse!, current, v, p);
        d = dot(current, v);
        if (moments === undefined) return;
        sandwich(inverse!, moments, weighted, p);
        multiply(weighted, current, w, p);
        phi = dot(current, w);
        trace = dot(inverse!, moments);
      };
      look();
      for (const move of movesOf(run, factors, shares, region)) {
        let best = 1e-6;
        let chosen: number[] | undefined;
        for (let step = 1; step <= 4; step++) {
          const trial = move((scale * step) / 4);
          if (!allowed(trial)) continue;
          rowAt(trial, row);
          const cross = dot(row, v);
          const fresh = quadratic(inverse, row, p);
          const ratio = (1 + fresh) * (1 - d) + cross * cross;
          let gain: number;
          if (moments === undefined) gain = ratio - 1;
          else {
            if (ratio < 1e-9) continue;
            // Trace after the swap, by the matrix inversion lemma, as in the search among candidates.
            const lost = (d - 1) * quadratic(weighted, row, p) - 2 * cross * dot(row, w) + (1 + fresh) * phi;
            gain = lost / ((1 + fresh) * (d - 1) - cross * cross) / trace;
          }
          if (gain > best) {
            best = gain;
            chosen = trial;
          }
        }
        if (chosen === undefined) continue;
        for (const [index, value] of chosen.entries()) run[index] = value;
        rowAt(run, row);
        update(inverse, row, 1, p);
        update(inverse, current, -1, p);
        current.set(row);
        look();
        gained += best;
      }
    }
    inverse = invert(model, runs, p)!;
    if (gained < 1e-4) scaleIndex++;
  }
  const averageVariance = moments === undefined ? Number.NaN : dot(inverse, moments);
  return { settings: runs, logDet: logDetOf(model, runs, p), averageVariance };
}

/** Directions of one run: as functions of the share of the way to the end, 0 to 1. */
function movesOf(
  run: number[],
  factors: readonly Factor[],
  shares: readonly number[],
  region: BlendRegion,
): ((way: number) => number[])[] {
  const moves: ((way: number) => number[])[] = [];
  for (const [a, i] of shares.entries()) {
    for (const [b, j] of shares.entries()) {
      if (i === j) continue;
      moves.push((way) => {
        const most = Math.min(region.upper[a]! - run[i]!, run[j]! - region.lower[b]!);
        const next = [...run];
        next[i]! += way * most;
        next[j]! -= way * most;
        return next;
      });
    }
  }
  for (const [index, factor] of factors.entries()) {
    if (factor.kind === "share") continue;
    const values = factor.kind === "choice" ? [...factor.levels.keys()] : [factor.low, factor.high];
    for (const end of values) {
      moves.push((way) => {
        const next = [...run];
        next[index] = factor.kind === "choice" ? end : run[index]! + way * (end - run[index]!);
        return next;
      });
    }
  }
  return moves;
}

export interface BlendSearch {
  readonly model: Model;
  readonly region: BlendRegion;
  readonly runCount: number;
  readonly seed: number;
  /** Default "D". */
  readonly criterion?: "D" | "I";
  /** Starts among candidates; default 20. */
  readonly starts?: number;
  /** How many of the best starts are refined; default 8. */
  readonly refined?: number;
  /** How often the best is shaken and refined again; default 40. */
  readonly shakes?: number;
}

/**
 * D- or I-optimal blends anywhere in the region: a search among candidates, then the best starts refined. For shares only.
 * A generator like `searchDesign`: yields what is best so far, and may be stopped.
 */
export function* searchBlends(search: BlendSearch): Generator<RefinedDesign & { readonly share: number }, RefinedDesign> {
  const { model, region, runCount, seed } = search;
  const criterion = search.criterion ?? "D";
  const blends = candidateBlends(region);
  const rows = blends.map((blend) => modelRow(model, blend));
  const p = model.columns.length;
  const moments = new Float64Array(p * p);
  for (const f of rows)
    for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) moments[i * p + j]! += (f[i]! * f[j]!) / rows.length;
  const aim: RefineAim = criterion === "D" ? { criterion } : { criterion, moments };
  const better = (a: { readonly logDet: number; readonly averageVariance: number }, b: typeof a) =>
    criterion === "D" ? a.logDet > b.logDet : a.averageVariance < b.averageVariance;
  const starts = search.starts ?? 20;
  const refined = search.refined ?? 8;
  const seen: FoundDesign["latest"][] = [];
  const steps = searchDesign({ candidates: rows, termCount: p, runCount, criterion, seed, starts });
  const settingsOf = (chosen: readonly number[]) => chosen.map((index) => blends[index]!);
  let best: RefinedDesign | undefined;
  for (const step of steps) {
    if (!seen.some(({ chosen }) => chosen.join() === step.latest.chosen.join())) seen.push(step.latest);
    best = { settings: settingsOf(step.chosen), logDet: step.logDet, averageVariance: step.averageVariance };
    yield { ...best, share: (0.4 * step.startsDone) / starts };
  }
  if (best === undefined) throw new RangeError("searchBlends: no design was found");
  const promising = seen.sort((a, b) => (better(a, b) ? -1 : 1)).slice(0, refined);
  const shakes = search.shakes ?? 40;
  for (const [index, { chosen }] of promising.entries()) {
    const next = refineDesign(model, settingsOf(chosen), region, aim, COARSE);
    if (better(next, best)) best = next;
    yield { ...best, share: 0.4 + (0.2 * (index + 1)) / promising.length };
  }
  // Then the best is shaken and refined again and again (iterated local search): neighbours of a good design beat new random starts.
  const random = createRandom((seed ^ 0x5bd1e995) >>> 0);
  for (let shake = 0; shake < shakes; shake++) {
    const moved = Math.max(2, Math.round(runCount * (0.1 + 0.3 * random.uniform())));
    const places = new Set(random.shuffled([...Array(runCount).keys()]).slice(0, moved));
    const shaken = best.settings.map((row, index) => (places.has(index) ? blends[random.below(blends.length)]! : row));
    try {
      const next = refineDesign(model, shaken, region, aim, COARSE);
      if (better(next, best)) best = next;
    } catch (error) {
      if (!(error instanceof RangeError)) throw error; // shaken into a design that cannot fit the model: try the next
    }
    yield { ...best, share: 0.6 + (0.4 * (shake + 1)) / shakes };
  }
  return refineDesign(model, best.settings, region, aim);
}

/** While many designs are compared, quarters of the way will do; the finer steps are left to the best. */
const COARSE = [1];

/** Limits and rules of shares as a region. */
export const regionOf = (shares: readonly ShareFactor[], rules?: BlendRegion["rules"]): BlendRegion => ({
  lower: shares.map(({ lower }) => lower),
  upper: shares.map(({ upper }) => upper),
  ...(rules === undefined ? {} : { rules }),
});

/** `modelRow`, made quick for models of plain products of values, which are evaluated millions of times. */
function rowMaker(model: Model): (values: readonly number[], out: Float64Array<ArrayBuffer>) => Float64Array {
  const plain = model.columns.every(({ parts }) =>
    parts.every(({ factorIndex }) => model.factors[factorIndex]!.kind === "share"),
  );
  if (!plain) return (values, out) => modelRow(model, values, out);
  const lists = model.columns.map(({ parts }) =>
    Int32Array.from(parts.flatMap(({ factorIndex, power }) => Array<number>(power).fill(factorIndex))),
  );
  return (values, out) => {
    for (let column = 0; column < lists.length; column++) {
      const list = lists[column]!;
      let product = 1;
      for (let part = 0; part < list.length; part++) product *= values[list[part]!]!;
      out[column] = product;
    }
    return out;
  };
}

const dot = (a: Float64Array, b: Float64Array): number => {
  let sum = 0;
  for (let index = 0; index < a.length; index++) sum += a[index]! * b[index]!;
  return sum;
};

function multiply(matrix: Float64Array, vector: Float64Array, out: Float64Array, p: number): void {
  for (let i = 0; i < p; i++) {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += matrix[i * p + j]! * vector[j]!;
    out[i] = sum;
  }
}

/** out = inverse * moments * inverse */
function sandwich(inverse: Float64Array, moments: Float64Array, out: Float64Array, p: number): void {
  const half = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    for (let k = 0; k < p; k++) {
      const value = inverse[i * p + k]!;
      for (let j = 0; j < p; j++) half[i * p + j]! += value * moments[k * p + j]!;
    }
  }
  out.fill(0);
  for (let i = 0; i < p; i++) {
    for (let k = 0; k < p; k++) {
      const value = half[i * p + k]!;
      for (let j = 0; j < p; j++) out[i * p + j]! += value * inverse[k * p + j]!;
    }
  }
}

function quadratic(matrix: Float64Array, vector: Float64Array, p: number): number {
  let total = 0;
  for (let i = 0; i < p; i++) {
    let sum = 0;
    for (let j = 0; j < i; j++) sum += matrix[i * p + j]! * vector[j]!;
    total += vector[i]! * (2 * sum + matrix[i * p + i]! * vector[i]!);
  }
  return total;
}

function update(matrix: Float64Array, vector: Float64Array, sign: 1 | -1, p: number): void {
  const v = new Float64Array(p);
  multiply(matrix, vector, v, p);
  const scale = sign / (1 + sign * dot(vector, v));
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) matrix[i * p + j]! -= scale * v[i]! * v[j]!;
}

/** Lower Cholesky factor of the information; undefined when it is singular. */
function factorOf(model: Model, runs: readonly (readonly number[])[], p: number): Float64Array | undefined {
  const l = new Float64Array(p * p);
  for (const run of runs) {
    const f = modelRow(model, run);
    for (let i = 0; i < p; i++) for (let j = 0; j <= i; j++) l[i * p + j]! += f[i]! * f[j]!;
  }
  for (let j = 0; j < p; j++) {
    let pivot = l[j * p + j]!;
    const before = pivot;
    for (let k = 0; k < j; k++) pivot -= l[j * p + k]! ** 2;
    if (!(pivot > 1e-12 * before)) return undefined;
    const root = Math.sqrt(pivot);
    l[j * p + j] = root;
    for (let i = j + 1; i < p; i++) {
      let sum = l[i * p + j]!;
      for (let k = 0; k < j; k++) sum -= l[i * p + k]! * l[j * p + k]!;
      l[i * p + j] = sum / root;
    }
  }
  return l;
}

function invert(model: Model, runs: readonly (readonly number[])[], p: number): Float64Array | undefined {
  const l = factorOf(model, runs, p);
  if (l === undefined) return undefined;
  const inverse = new Float64Array(p * p);
  const column = new Float64Array(p);
  for (let unit = 0; unit < p; unit++) {
    column.fill(0);
    column[unit] = 1;
    for (let i = 0; i < p; i++) {
      let sum = column[i]!;
      for (let k = 0; k < i; k++) sum -= l[i * p + k]! * column[k]!;
      column[i] = sum / l[i * p + i]!;
    }
    for (let i = p - 1; i >= 0; i--) {
      let sum = column[i]!;
      for (let k = i + 1; k < p; k++) sum -= l[k * p + i]! * column[k]!;
      column[i] = sum / l[i * p + i]!;
    }
    for (let i = 0; i < p; i++) inverse[i * p + unit] = column[i]!;
  }
  return inverse;
}

function logDetOf(model: Model, runs: readonly (readonly number[])[], p: number): number {
  const l = factorOf(model, runs, p);
  if (l === undefined) return Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (let i = 0; i < p; i++) sum += 2 * Math.log(l[i * p + i]!);
  return sum;
}
