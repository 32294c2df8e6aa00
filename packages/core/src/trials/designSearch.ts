import { createRandom, type Random } from "./random.js";

/** What a search makes as good as possible: D, the certainty of all coefficients together; I, the certainty of predictions over the region. */
export type Criterion = "D" | "I";

export interface DesignSearch {
  /** Model rows of the settings to choose from: one Float64Array, `termCount` long, per candidate. */
  readonly candidates: readonly Float64Array[];
  readonly termCount: number;
  readonly runCount: number;
  readonly criterion: Criterion;
  /** Candidates that must be in the design, by index; at most `runCount`. */
  readonly fixed?: readonly number[];
  /** Whether a setting may be baked more than once; default true. */
  readonly repeats?: boolean;
  /** Number of random starts; default 30. */
  readonly starts?: number;
  readonly seed: number;
}

/** The best design so far. */
export interface FoundDesign {
  /** Indices of candidates, ascending, one per run. */
  readonly chosen: readonly number[];
  /** ln det(X'X). */
  readonly logDet: number;
  /** Mean of x' inverse(X'X) x over the candidates. */
  readonly averageVariance: number;
  /** What the last start alone ended with. */
  readonly latest: { readonly chosen: readonly number[]; readonly logDet: number; readonly averageVariance: number };
  /** Starts finished, and of how many. */
  readonly startsDone: number;
  readonly starts: number;
  /** Starts that ended within a ten-thousandth of the best (of D per coefficient, or of the average variance). */
  readonly agreeing: number;
}

/**
 * Searches for the best design among candidates by exchange, one random start after another.
 *
 * A generator, so that a worker can show progress and stop at any time with the best design so far; it yields after each start.
 * Each start: a random design made regular, then runs are swapped for the best candidate until no swap helps.
 *
 * @throws RangeError when there are fewer runs than terms, or the candidates cannot fit the model at all
 *
 * Sources: Fedorov (1972), Theory of Optimal Experiments; the one-run-at-a-time form is Cook and Nachtsheim (1980),
 * Technometrics 22, 315; updates by the matrix inversion lemma.
 */
export function* searchDesign(search: DesignSearch): Generator<FoundDesign, FoundDesign> {
  const { candidates, termCount: p, runCount: n } = search;
  const fixed = search.fixed ?? [];
  const repeats = search.repeats ?? true;
  const starts = Math.max(1, search.starts ?? 30);
  if (n < p) throw new RangeError(`searchDesign: ${n} runs cannot fit ${p} coefficients`);
  if (!repeats && n > candidates.length)
    throw new RangeError(`searchDesign: ${n} different runs from ${candidates.length} candidates`);
  if (fixed.length > n) throw new RangeError(`searchDesign: ${fixed.length} fixed runs in ${n}`);
  const random = createRandom(search.seed);
  const work = makeWork(candidates, p, search.criterion);
  const scores: number[] = [];
  let best: { chosen: number[]; logDet: number; averageVariance: number; score: number } | undefined;
  let latest: FoundDesign["latest"] = {
    chosen: [],
    logDet: Number.NEGATIVE_INFINITY,
    averageVariance: Number.POSITIVE_INFINITY,
  };
  for (let start = 0; start < starts; start++) {
    const found = oneStart(work, n, fixed, repeats, search.criterion, random);
    if (found !== undefined) {
      latest = { chosen: found.chosen.toSorted((a, b) => a - b), logDet: found.logDet, averageVariance: found.averageVariance };
      const score = search.criterion === "D" ? found.logDet / p : -Math.log(found.averageVariance);
      scores.push(score);
      if (best === undefined || score > best.score + 1e-12) best = { ...found, score };
    }
    if (best === undefined && start >= 4)
      throw new RangeError("searchDesign: the candidates cannot fit the model; some terms are the same everywhere");
    if (best !== undefined) yield describe(best, start + 1);
  }
  return describe(best!, starts);

  function describe(found: NonNullable<typeof best>, startsDone: number): FoundDesign {
    return {
      chosen: [...found.chosen].sort((a, b) => a - b),
      logDet: found.logDet,
      averageVariance: found.averageVariance,
      latest,
      startsDone,
      starts,
      agreeing: scores.filter((score) => score > found.score - 1e-4).length,
    };
  }
}

/** Runs a search to its end, or until `onProgress` answers "stop"; stopping gives the best design so far. */
export function findDesign(search: DesignSearch, onProgress?: (found: FoundDesign) => "go on" | "stop"): FoundDesign {
  const steps = searchDesign(search);
  for (;;) {
    const step = steps.next();
    if (step.done || onProgress?.(step.value) === "stop") return step.value;
  }
}

interface Work {
  readonly f: Float64Array; // candidates, row by row
  readonly count: number;
  readonly p: number;
  readonly moments: Float64Array; // mean of f f' over the candidates
}

function makeWork(candidates: readonly Float64Array[], p: number, criterion: Criterion): Work {
  const count = candidates.length;
  const f = new Float64Array(count * p);
  for (const [index, row] of candidates.entries()) f.set(row, index * p);
  const moments = new Float64Array(p * p);
  if (criterion === "I")
    for (let c = 0; c < count; c++)
      for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) moments[i * p + j]! += (f[c * p + i]! * f[c * p + j]!) / count;
  return { f, count, p, moments };
}

function oneStart(work: Work, n: number, fixed: readonly number[], repeats: boolean, criterion: Criterion, random: Random) {
  const { f, count, p } = work;
  const design = [...fixed];
  const used = new Uint8Array(count);
  for (const index of fixed) used[index] = 1;
  // A random beginning for about half, then the candidate that adds most, so that starts differ but are never singular.
  const inverse = new Float64Array(p * p);
  const ridge = 1e-6;
  for (let i = 0; i < p; i++) inverse[i * p + i] = 1 / ridge;
  for (const index of design) addRun(inverse, f, index, p, 1);
  const randomCount = Math.max(design.length, random.below(Math.max(1, Math.floor(n * 0.7))));
  while (design.length < n) {
    let pick = -1;
    if (design.length < randomCount) {
      do pick = random.below(count);
      while (!repeats && used[pick] === 1);
    } else {
      let most = -1;
      for (let c = 0; c < count; c++) {
        if (!repeats && used[c] === 1) continue;
        const d = quadratic(inverse, f, c, p);
        if (d > most) {
          most = d;
          pick = c;
        }
      }
    }
    design.push(pick);
    used[pick] = 1;
    addRun(inverse, f, pick, p, 1);
  }
  if (!invertInformation(f, design, p, inverse)) return undefined;
  const v = new Float64Array(p);
  const w = new Float64Array(p);
  const d = new Float64Array(count);
  const phi = new Float64Array(count);
  const cmc = new Float64Array(p * p);
  let stale = true;
  let improved = true;
  for (let sweep = 0; improved && sweep < 100; sweep++) {
    improved = false;
    for (let place = fixed.length; place < n; place++) {
      const out = design[place]!;
      refresh();
      // v = C f_out; w = C M C f_out
      times(inverse, f, out, p, v);
      if (criterion === "I") times(cmc, f, out, p, w);
      const dOut = d[out]!;
      const phiOut = phi[out]!;
      let bestGain = 1e-10;
      let pick = -1;
      for (let c = 0; c < count; c++) {
        if (c === out || (!repeats && used[c] === 1)) continue;
        let cross = 0;
        for (let i = 0; i < p; i++) cross += f[c * p + i]! * v[i]!;
        const ratio = (1 + d[c]!) * (1 - dOut) + cross * cross;
        let gain: number;
        if (criterion === "D") gain = ratio - 1;
        else {
          if (ratio < 1e-9) continue;
          let crossPhi = 0;
          for (let i = 0; i < p; i++) crossPhi += f[c * p + i]! * w[i]!;
          // trace after the swap, by the matrix inversion lemma with the two-column update [in, out], signs (+, -)
          const k11 = 1 + d[c]!;
          const k22 = -1 + dOut;
          const determinant = k11 * k22 - cross * cross;
          gain = (k22 * phi[c]! - 2 * cross * crossPhi + k11 * phiOut) / determinant;
        }
        if (gain > bestGain) {
          bestGain = gain;
          pick = c;
        }
      }
      if (pick >= 0) {
        design[place] = pick;
        if (!repeats) {
          used[out] = 0;
          used[pick] = 1;
        }
        addRun(inverse, f, pick, p, 1);
        addRun(inverse, f, out, p, -1);
        stale = true;
        improved = true;
      }
    }
    // Fresh inverse once a sweep: updates would drift.
    if (!invertInformation(f, design, p, inverse)) return undefined;
    stale = true;
  }
  const logDet = logDetInformation(f, design, p);
  let sum = 0;
  for (let c = 0; c < count; c++) sum += quadratic(inverse, f, c, p);
  return { chosen: design, logDet, averageVariance: sum / count };

  function refresh(): void {
    if (!stale) return;
    stale = false;
    if (criterion === "I") {
      const half = new Float64Array(p * p);
      for (let i = 0; i < p; i++)
        for (let k = 0; k < p; k++) {
          const value = inverse[i * p + k]!;
          if (value !== 0) for (let j = 0; j < p; j++) half[i * p + j]! += value * work.moments[k * p + j]!;
        }
      cmc.fill(0);
      for (let i = 0; i < p; i++)
        for (let k = 0; k < p; k++) {
          const value = half[i * p + k]!;
          if (value !== 0) for (let j = 0; j < p; j++) cmc[i * p + j]! += value * inverse[k * p + j]!;
        }
    }
    for (let c = 0; c < count; c++) {
      d[c] = quadratic(inverse, f, c, p);
      if (criterion === "I") phi[c] = quadratic(cmc, f, c, p);
    }
  }
}
/** out = matrix * f_row */
function times(matrix: Float64Array, f: Float64Array, row: number, p: number, out: Float64Array): void {
  for (let i = 0; i < p; i++) {
    let sum = 0;
    for (let j = 0; j < p; j++) sum += matrix[i * p + j]! * f[row * p + j]!;
    out[i] = sum;
  }
}

/** f_row' * matrix * f_row for a symmetric matrix */
function quadratic(matrix: Float64Array, f: Float64Array, row: number, p: number): number {
  let total = 0;
  const base = row * p;
  for (let i = 0; i < p; i++) {
    const fi = f[base + i]!;
    if (fi === 0) continue;
    let sum = 0;
    for (let j = 0; j < i; j++) sum += matrix[i * p + j]! * f[base + j]!;
    total += fi * (2 * sum + matrix[i * p + i]! * fi);
  }
  return total;
}

/** inverse(A + sign f f') from inverse(A), in place */
function addRun(inverse: Float64Array, f: Float64Array, row: number, p: number, sign: 1 | -1): void {
  const v = new Float64Array(p);
  times(inverse, f, row, p, v);
  let d = 0;
  for (let i = 0; i < p; i++) d += f[row * p + i]! * v[i]!;
  const scale = sign / (1 + sign * d);
  for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) inverse[i * p + j]! -= scale * v[i]! * v[j]!;
}

function information(f: Float64Array, design: readonly number[], p: number): Float64Array {
  const matrix = new Float64Array(p * p);
  for (const row of design)
    for (let i = 0; i < p; i++) for (let j = 0; j <= i; j++) matrix[i * p + j]! += f[row * p + i]! * f[row * p + j]!;
  for (let i = 0; i < p; i++) for (let j = 0; j < i; j++) matrix[j * p + i] = matrix[i * p + j]!;
  return matrix;
}

/** Lower Cholesky factor in place; false when the matrix is singular. */
function cholesky(matrix: Float64Array, p: number): boolean {
  for (let j = 0; j < p; j++) {
    const before = matrix[j * p + j]!;
    let pivot = before;
    for (let k = 0; k < j; k++) pivot -= matrix[j * p + k]! ** 2;
    if (!(pivot > 1e-11 * before)) return false;
    const root = Math.sqrt(pivot);
    matrix[j * p + j] = root;
    for (let i = j + 1; i < p; i++) {
      let sum = matrix[i * p + j]!;
      for (let k = 0; k < j; k++) sum -= matrix[i * p + k]! * matrix[j * p + k]!;
      matrix[i * p + j] = sum / root;
    }
  }
  return true;
}

function invertInformation(f: Float64Array, design: readonly number[], p: number, out: Float64Array): boolean {
  const l = information(f, design, p);
  if (!cholesky(l, p)) return false;
  // inverse of L, then out = L^-T L^-1
  const inv = new Float64Array(p * p);
  for (let i = 0; i < p; i++) {
    inv[i * p + i] = 1 / l[i * p + i]!;
    for (let j = 0; j < i; j++) {
      let sum = 0;
      for (let k = j; k < i; k++) sum -= l[i * p + k]! * inv[k * p + j]!;
      inv[i * p + j] = sum / l[i * p + i]!;
    }
  }
  for (let i = 0; i < p; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < p; k++) sum += inv[k * p + i]! * inv[k * p + j]!;
      out[i * p + j] = sum;
      out[j * p + i] = sum;
    }
  }
  return true;
}

function logDetInformation(f: Float64Array, design: readonly number[], p: number): number {
  const l = information(f, design, p);
  if (!cholesky(l, p)) return Number.NEGATIVE_INFINITY;
  let sum = 0;
  for (let i = 0; i < p; i++) sum += 2 * Math.log(l[i * p + i]!);
  return sum;
}

export interface BlockedDesign {
  /** Block of each run. */
  readonly blocks: readonly number[];
  /** ln det of the information on the model once the days are taken out. */
  readonly logDet: number;
}

/**
 * Shares runs out over baking days so that the days disturb the model as little as possible, by swapping pairs of runs.
 *
 * @param rows   model rows of the runs
 * @param sizes  number of runs on each day; they add to the number of runs
 *
 * Source: Cook and Nachtsheim (1989), Technometrics 31, 339. With days out of the way the information is
 * X'X - sum over days of n_d m_d m_d', m_d the mean row of day d about the overall mean of a model with an intercept.
 */
export function assignBlocks(rows: readonly Float64Array[], sizes: readonly number[], seed: number, starts = 10): BlockedDesign {
  const n = rows.length;
  const p = rows[0]?.length ?? 0;
  if (sizes.reduce((sum, size) => sum + size, 0) !== n)
    throw new RangeError(`assignBlocks: days of ${sizes.join(" + ")} runs do not add to ${n}`);
  const random = createRandom(seed);
  // Block columns, all but one, centred; appended to the model row. What is constant in the model must stay apart from them.
  const width = p + sizes.length - 1;
  const f = new Float64Array(n * width);
  const labels = sizes.flatMap((size, day) => Array<number>(size).fill(day));
  const fill = (run: number, day: number): void => {
    f.set(rows[run]!, run * width);
    for (let other = 0; other < sizes.length - 1; other++)
      f[run * width + p + other] = (day === other ? 1 : 0) - (day === sizes.length - 1 ? 1 : 0);
  };
  const all = [...Array(n).keys()];
  let best: { blocks: number[]; logDet: number } | undefined;
  for (let start = 0; start < starts; start++) {
    const blocks = random.shuffled(labels);
    for (const run of all) fill(run, blocks[run]!);
    let current = logDetInformation(f, all, width);
    let improved = true;
    for (let sweep = 0; improved && sweep < 30; sweep++) {
      improved = false;
      for (let a = 0; a < n; a++) {
        for (let b = a + 1; b < n; b++) {
          if (blocks[a] === blocks[b]) continue;
          fill(a, blocks[b]!);
          fill(b, blocks[a]!);
          const value = logDetInformation(f, all, width);
          if (value > current + 1e-9) {
            [blocks[a], blocks[b]] = [blocks[b]!, blocks[a]!];
            current = value;
            improved = true;
          } else {
            fill(a, blocks[a]!);
            fill(b, blocks[b]!);
          }
        }
      }
    }
    if (best === undefined || current > best.logDet) best = { blocks, logDet: current };
  }
  return best ?? { blocks: [], logDet: 0 };
}
