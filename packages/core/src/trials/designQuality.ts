import { fQuantile, noncentralFUpper } from "./distributions.js";
import { leverages, logDeterminant, orthogonalise, orthogonalRow, unscaledCovariance } from "./leastSquares.js";

export interface QualityQuestion {
  /** Model rows of the runs, without columns for days. */
  readonly rows: readonly Float64Array[];
  /** Model rows of settings spread over the region in which predictions are wanted. */
  readonly region: readonly Float64Array[];
  /** Names of the model columns. */
  readonly names: readonly string[];
  /** Day or oven load of each run, when it is taken out of the comparison; counted from 0 without gaps. */
  readonly blocks?: readonly number[];
  /** Batter (or oven load) that runs share as one whole plot of a split plot. */
  readonly wholePlots?: readonly number[];
  /** Variance between batters over that between bakes of one batter; default 1, an assumption. */
  readonly wholePlotRatio?: number;
  /** Size of a coefficient that matters, in standard deviations of one bake; default 1. */
  readonly effectInSds?: number;
  /** Chance of a false alarm; default 0.05. */
  readonly alpha?: number;
}

/** How good a set of runs is before anything is baked. */
export interface DesignQuality {
  readonly runCount: number;
  /** Coefficients that are fitted, those of days or loads among them. */
  readonly termCount: number;
  /** Runs left over to judge the spread by; of a split plot, those within batters. */
  readonly residualDf: number;
  /** Batters left over to judge the spread between batters by; only of a split plot. */
  readonly wholePlotDf?: number;
  /** Columns that cannot be told apart from earlier ones. */
  readonly aliased: readonly string[];
  /**
   * 100 |M|^(1/p) / n, M the information on the model once days are taken out. 100 for an orthogonal two-level design; for blends
   * only a comparison of designs of one model. A split plot is judged against a batter for each bake and may be above 100.
   */
  readonly dEfficiencyPercent: number;
  /** 100 p / (n times the largest variance over the region, days included); 100 is the best any design can do. NaN for a split plot. */
  readonly gEfficiencyPercent: number;
  /** Variance of a mean predicted for an average day over the variance of one bake: mean, largest, and at 0, 10, ..., 100 % of the region. */
  readonly averageVariance: number;
  readonly largestVariance: number;
  readonly varianceQuantiles: readonly number[];
  /** Those of the model, without days. */
  readonly coefficients: readonly {
    readonly name: string;
    readonly standardErrorInSds: number;
    /** Chance to notice a coefficient of the size that matters; undefined with no run left over. */
    readonly power?: number;
    /** What judges this coefficient. */
    readonly df: number;
  }[];
  /** Runs that fix a coefficient of their own: spoil one and it is lost. */
  readonly indispensable: readonly number[];
}

/**
 * Quality of a design. Sources: D and G efficiency Kiefer and Wolfowitz (1960), Can. J. Math. 12, 363; the variance over the
 * fraction of the region, Zahran, Anderson-Cook and Myers (2003), J. Quality Technology 35, 377; split plots judged by generalised
 * least squares, Goos and Vandebroek (2001), J. Quality Technology 33, 436 (titles from memory).
 *
 * G is taken with the day columns in, over every setting on every day and over the runs themselves. The variances of the runs then
 * have the mean p / n, so that the largest is never below it and G never above 100.
 */
export function designQuality(question: QualityQuestion): DesignQuality {
  const { rows, region, names } = question;
  const n = rows.length;
  const width = names.length;
  const blockCount = question.blocks === undefined ? 1 : Math.max(0, ...question.blocks) + 1;
  const wide = (row: Float64Array, block: number | undefined): Float64Array => withBlock(row, block, blockCount);
  const plain = rows.map((row, run) => wide(row, question.blocks?.[run]));
  const plots = question.wholePlots;
  const white = plots === undefined ? plain : whitened(plain, plots, question.wholePlotRatio ?? 1);
  const orthogonal = orthogonalise(columnsOf(white), n);
  const p = orthogonal.kept.length;
  const covariance = unscaledCovariance(orthogonal);
  const variances = region.map((row) => varianceOf(orthogonal, wide(row, undefined))).sort((a, b) => a - b);
  const largest = variances.at(-1) ?? Number.NaN;
  const effect = question.effectInSds ?? 1;
  const dfs = degreesOfFreedom(plain, orthogonal.kept, plots);
  const alpha = question.alpha ?? 0.05;
  const h = leverages(orthogonal);
  return {
    runCount: n,
    termCount: p,
    residualDf: dfs.within,
    ...(dfs.between === undefined ? {} : { wholePlotDf: dfs.between }),
    aliased: orthogonal.aliased.map((index) => names[index] ?? `day ${index - width + 1}`),
    dEfficiencyPercent: dEfficiency(),
    gEfficiencyPercent: plots === undefined ? (100 * p) / (n * worstOnAnyDay()) : Number.NaN,
    averageVariance: variances.reduce((sum, value) => sum + value, 0) / variances.length,
    largestVariance: largest,
    varianceQuantiles: Array.from(
      { length: 11 },
      (_, tenth) => variances[Math.round((tenth / 10) * (variances.length - 1))] ?? Number.NaN,
    ),
    coefficients: orthogonal.kept.flatMap((column, index) => {
      if (column >= width) return [];
      const standardErrorInSds = Math.sqrt(covariance[index]![index]!);
      const df = dfs.of(column);
      const entry = { name: names[column]!, standardErrorInSds, df };
      if (df < 1) return [entry];
      return [{ ...entry, power: noncentralFUpper(fQuantile(1 - alpha, 1, df), 1, df, (effect / standardErrorInSds) ** 2) }];
    }),
    indispensable: [...h.keys()].filter((run) => h[run]! > 1 - 1e-9),
  };

  /** Days taken out: |all of it| / |day columns| is the determinant of what they leave of the model. */
  function dEfficiency(): number {
    const modelColumns = orthogonal.kept.filter((column) => column < width).length;
    const days = orthogonal.kept.filter((column) => column >= width);
    const dayPart =
      days.length === 0
        ? 0
        : logDeterminant(
            orthogonalise(
              columnsOf(white).filter((_, column) => days.includes(column)),
              n,
            ),
          );
    return (100 * Math.exp((logDeterminant(orthogonal) - dayPart) / modelColumns)) / n;
  }

  function worstOnAnyDay(): number {
    const onDays = blockCount > 1 ? [...Array(blockCount).keys()] : [undefined];
    let worst = 0;
    for (const row of region) for (const day of onDays) worst = Math.max(worst, varianceOf(orthogonal, wide(row, day)));
    for (const row of plain) worst = Math.max(worst, varianceOf(orthogonal, row));
    return worst;
  }
}

/** A model row with its day behind it, each day against the plain average of all; undefined for an average day. */
function withBlock(row: Float64Array, block: number | undefined, blockCount: number): Float64Array {
  if (blockCount < 2) return row;
  const wide = new Float64Array(row.length + blockCount - 1);
  wide.set(row);
  if (block === blockCount - 1) wide.fill(-1, row.length);
  else if (block !== undefined) wide[row.length + block] = 1;
  return wide;
}

/**
 * Rows as they count when bakes of one batter vary together: V = (I + ratio J) / (1 + ratio) within a batter, so that one bake has the
 * variance 1, and rows are multiplied by the inverse square root of V.
 */
function whitened(rows: readonly Float64Array[], plots: readonly number[], ratio: number): Float64Array[] {
  const members = new Map<number, number[]>();
  for (const [run, plot] of plots.entries()) members.set(plot, [...(members.get(plot) ?? []), run]);
  const out = rows.map((row) => row.slice());
  for (const runs of members.values()) {
    const share = (1 - 1 / Math.sqrt(1 + runs.length * ratio)) / runs.length;
    for (let column = 0; column < (rows[0]?.length ?? 0); column++) {
      const sum = runs.reduce((total, run) => total + rows[run]![column]!, 0);
      for (const run of runs) out[run]![column] = Math.sqrt(1 + ratio) * (rows[run]![column]! - share * sum);
    }
  }
  return out;
}

/** What judges each coefficient: runs left over, or batters left over for what is the same within every batter. */
function degreesOfFreedom(rows: readonly Float64Array[], kept: readonly number[], plots: readonly number[] | undefined) {
  if (plots === undefined) {
    const within = rows.length - kept.length;
    return { within, between: undefined, of: () => within };
  }
  const first = new Map<number, number>();
  for (const [run, plot] of plots.entries()) if (!first.has(plot)) first.set(plot, run);
  const whole = new Set(
    kept.filter((column) => plots.every((plot, run) => Math.abs(rows[run]![column]! - rows[first.get(plot)!]![column]!) < 1e-9)),
  );
  const between = first.size - whole.size;
  const within = rows.length - first.size - (kept.length - whole.size);
  return { within, between, of: (column: number) => (whole.has(column) ? between : within) };
}

/** Variance of the predicted mean at a model row, over the variance of one bake. */
export function predictionVariance(rows: readonly Float64Array[], at: Float64Array): number {
  return varianceOf(orthogonalise(columnsOf(rows), rows.length), at);
}

function varianceOf(orthogonal: ReturnType<typeof orthogonalise>, row: Float64Array): number {
  const high = Float64Array.from(orthogonal.kept, (column) => row[column]!);
  return orthogonalRow(orthogonal, { high, low: new Float64Array(high.length) }).reduce((sum, value) => sum + value * value, 0);
}

const columnsOf = (rows: readonly Float64Array[]) =>
  Array.from({ length: rows[0]?.length ?? 0 }, (_, column) => ({
    high: Float64Array.from(rows, (row) => row[column]!),
    low: new Float64Array(rows.length),
  }));
