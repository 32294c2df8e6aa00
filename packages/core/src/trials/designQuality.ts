import { fQuantile, noncentralFUpper } from "./distributions.js";
import { leverages, logDeterminant, orthogonalise, orthogonalRow, unscaledCovariance } from "./leastSquares.js";

export interface QualityQuestion {
  /** Model rows of the runs, block columns included. */
  readonly rows: readonly Float64Array[];
  /** Model rows of settings spread over the region in which predictions are wanted. */
  readonly region: readonly Float64Array[];
  /** Names of the model columns. */
  readonly names: readonly string[];
  /** Size of a coefficient that matters, in standard deviations of one bake; default 1. */
  readonly effectInSds?: number;
  /** Chance of a false alarm; default 0.05. */
  readonly alpha?: number;
}

/** How good a set of runs is before anything is baked. */
export interface DesignQuality {
  readonly runCount: number;
  readonly termCount: number;
  /** Columns that cannot be told apart from earlier ones. */
  readonly aliased: readonly string[];
  /** 100 |X'X|^(1/p) / n. 100 for an orthogonal two-level design; for blends only a comparison of designs of one model. */
  readonly dEfficiencyPercent: number;
  /** 100 p / (n times the largest variance over the region); 100 is the best any design can do. */
  readonly gEfficiencyPercent: number;
  /** Variance of a predicted mean over the variance of one bake: mean, largest, and at 0, 10, ..., 100 % of the region. */
  readonly averageVariance: number;
  readonly largestVariance: number;
  readonly varianceQuantiles: readonly number[];
  readonly coefficients: readonly {
    readonly name: string;
    readonly standardErrorInSds: number;
    /** Chance to notice a coefficient of the size that matters; undefined with no run left over. */
    readonly power?: number;
  }[];
  /** Runs that fix a coefficient of their own: spoil one and it is lost. */
  readonly indispensable: readonly number[];
}

/**
 * Quality of a design. Sources: D and G efficiency Kiefer and Wolfowitz (1960), Can. J. Math. 12, 363; the variance over the
 * fraction of the region, Zahran, Anderson-Cook and Myers (2003), J. Quality Technology 35, 377 (titles from memory).
 */
export function designQuality(question: QualityQuestion): DesignQuality {
  const { rows, region, names } = question;
  const n = rows.length;
  const orthogonal = orthogonalise(columnsOf(rows), n);
  const p = orthogonal.kept.length;
  const covariance = unscaledCovariance(orthogonal);
  const variances = region.map((row) => varianceOf(orthogonal, row)).sort((a, b) => a - b);
  const largest = variances.at(-1) ?? Number.NaN;
  const df = n - p;
  const effect = question.effectInSds ?? 1;
  const critical = df > 0 ? fQuantile(1 - (question.alpha ?? 0.05), 1, df) : Number.NaN;
  const h = leverages(orthogonal);
  return {
    runCount: n,
    termCount: p,
    aliased: orthogonal.aliased.map((index) => names[index]!),
    dEfficiencyPercent: (100 * Math.exp(logDeterminant(orthogonal) / p)) / n,
    gEfficiencyPercent: (100 * p) / (n * largest),
    averageVariance: variances.reduce((sum, value) => sum + value, 0) / variances.length,
    largestVariance: largest,
    varianceQuantiles: Array.from(
      { length: 11 },
      (_, tenth) => variances[Math.round((tenth / 10) * (variances.length - 1))] ?? Number.NaN,
    ),
    coefficients: orthogonal.kept.map((column, index) => {
      const standardErrorInSds = Math.sqrt(covariance[index]![index]!);
      const plain = { name: names[column]!, standardErrorInSds };
      return df > 0 ? { ...plain, power: noncentralFUpper(critical, 1, df, (effect / standardErrorInSds) ** 2) } : plain;
    }),
    indispensable: [...h.keys()].filter((run) => h[run]! > 1 - 1e-9),
  };
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
