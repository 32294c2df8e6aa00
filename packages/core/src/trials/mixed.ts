import { tQuantile, tTwoSided } from "./distributions.js";
import { modelRow } from "./model.js";
import type { SplitPlotFit } from "./splitPlot.js";

/** An estimate with its error and Satterthwaite's degrees of freedom. */
export interface MixedEstimate {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
}

/** What is expected at a setting, by a fit with several sources of variation; NaN stands for the average of a choice. */
export function rowOf(fit: SplitPlotFit, values: readonly number[]): number[] {
  const { model, kept } = fit.behind;
  const place = model.factors.length > values.length ? [...values, Number.NaN] : values;
  const row = modelRow(model, place);
  return kept.map((column) => row[column]!);
}

/**
 * A weighted sum of the coefficients.
 *
 * @param besides  variances that come on top: that of one run first, then in the order of the components. None for a mean.
 */
export function mixedEstimate(fit: SplitPlotFit, row: readonly number[], besides: readonly number[] = []): MixedEstimate {
  const { slopes, varianceCovariance, residualDf } = fit.behind;
  const quadratic = (matrix: readonly (readonly number[])[]) =>
    row.reduce((sum, a, i) => sum + a * row.reduce((inner, b, j) => inner + b * matrix[i]![j]!, 0), 0);
  const variances = [fit.residualVariance, ...fit.components.map(({ variance }) => variance)];
  const gradient = slopes.map((slope, kind) => quadratic(slope) + (besides[kind] ?? 0));
  const variance = quadratic(fit.covariance) + variances.reduce((sum, value, kind) => sum + value * (besides[kind] ?? 0), 0);
  const uncertainty = gradient.reduce(
    (sum, a, i) => sum + a * gradient.reduce((inner, b, j) => inner + b * varianceCovariance[i]![j]!, 0),
    0,
  );
  return {
    estimate: row.reduce((sum, weight, index) => sum + weight * fit.coefficients[index]!.estimate, 0),
    standardError: Math.sqrt(Math.max(0, variance)),
    df: uncertainty > 0 ? (2 * variance ** 2) / uncertainty : residualDf,
  };
}

/** Expected mean, and one new run from a new batter on a new day: every source of variation comes anew. */
export function predictMixed(fit: SplitPlotFit, values: readonly number[], confidence = fit.behind.confidence) {
  const row = rowOf(fit, values);
  const mean = mixedEstimate(fit, row);
  const single = mixedEstimate(fit, row, [1, ...fit.components.map(() => 1)]);
  return {
    estimate: mean.estimate,
    standardError: mean.standardError,
    mean: interval(mean, confidence),
    single: interval(single, confidence),
  };
}

export function interval({ estimate, standardError, df }: MixedEstimate, confidence: number) {
  const reach = tQuantile((1 + confidence) / 2, df) * standardError;
  return { from: estimate - reach, to: estimate + reach };
}

/** Difference of the expected response between two settings. */
export function mixedContrast(fit: SplitPlotFit, values: readonly number[], against: readonly number[]) {
  const b = rowOf(fit, against);
  const difference = mixedEstimate(
    fit,
    rowOf(fit, values).map((weight, index) => weight - b[index]!),
  );
  const t = difference.estimate / difference.standardError;
  return { ...difference, t, p: tTwoSided(t, difference.df) };
}
