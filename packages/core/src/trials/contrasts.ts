import type { Analysis } from "./analyse.js";
import type { Difference, GroupDifference } from "./compare.js";
import {
  dunnettQuantile,
  dunnettUpper,
  studentisedRangeQuantile,
  studentisedRangeUpper,
  tQuantile,
  tTwoSided,
} from "./distributions.js";
import { type MixedEstimate, mixedContrast } from "./mixed.js";
import { modelRow } from "./model.js";
import { centreOf } from "./plots.js";

/**
 * Difference of the expected response between two settings, with its interval.
 *
 * @param values, against  one value per factor; NaN for the average of a choice; the block is averaged
 * @returns undefined when no run is left over to judge the spread, or the two settings are the same for the model
 */
export function contrast(analysis: Analysis, values: readonly number[], against: readonly number[]): Difference | undefined {
  const { confidence } = analysis;
  const found = differenceOf(analysis, values, against);
  if (found === undefined || !(found.standardError > 0)) return undefined;
  const { estimate, standardError, df } = found;
  const t = estimate / standardError;
  const reach = tQuantile((1 + confidence) / 2, df) * standardError;
  return {
    estimate,
    standardError,
    df,
    t,
    p: tTwoSided(t, df),
    from: estimate - reach,
    to: estimate + reach,
    confidence,
  };
}

/** Levels of a choice compared each with each (Tukey-Kramer), or each with one (Dunnett), from a fit that may have blocks and other factors. */
export function compareLevels(analysis: Analysis, factorName: string, control?: string): GroupDifference[] {
  const { residualSd, residualDf, confidence, model } = analysis;
  const index = model.factors.findIndex((factor) => factor.name === factorName);
  const factor = model.factors[index];
  if (factor?.kind !== "choice") throw new RangeError(`compareLevels: "${factorName}" is not a choice of this analysis`);
  if (residualSd === undefined) return [];
  const centre = centreOf(model.factors);
  const at = (level: number) => centre.map((value, place) => (place === index ? level : value));
  const names = factor.levels;
  const pairs =
    control === undefined
      ? names.flatMap((_, i) => names.slice(i + 1).map((_other, offset) => [i, i + 1 + offset] as const))
      : names.flatMap((name, i) => (name === control ? [] : [[names.indexOf(control), i] as const]));
  if (control !== undefined && !names.includes(control))
    throw new RangeError(`compareLevels: "${control}" is no level of "${factorName}"`);
  const counts = names.map((_, level) => analysis.settings.filter((setting) => setting[index] === level).length);
  const loadings =
    control === undefined ? [] : pairs.map(([first, second]) => Math.sqrt(counts[second]! / (counts[second]! + counts[first]!)));
  const criticalAt = (df: number) =>
    control === undefined
      ? studentisedRangeQuantile(confidence, names.length, df) / Math.SQRT2
      : dunnettQuantile(confidence, loadings, df);
  const critical = analysis.mixed === undefined ? criticalAt(residualDf) : undefined;
  return pairs.map(([first, second]): GroupDifference => {
    const { estimate, standardError, df } = differenceOf(analysis, at(second), at(first))!;
    const t = Math.abs(estimate) / standardError;
    const reach = (critical ?? criticalAt(df)) * standardError;
    const p = control === undefined ? studentisedRangeUpper(t * Math.SQRT2, names.length, df) : dunnettUpper(t, loadings, df);
    return {
      first: names[first]!,
      second: names[second]!,
      estimate,
      standardError,
      p,
      from: estimate - reach,
      to: estimate + reach,
    };
  });
}

/** By least squares, or by the sources of variation where the fit has several. Undefined with no run left over to judge the spread. */
function differenceOf(analysis: Analysis, values: readonly number[], against: readonly number[]): MixedEstimate | undefined {
  if (analysis.mixed !== undefined) return mixedContrast(analysis.mixed, values, against);
  if (analysis.residualSd === undefined) return undefined;
  const { estimate, square } = rowDifference(analysis, values, against);
  return { estimate, standardError: analysis.residualSd * Math.sqrt(square), df: analysis.residualDf };
}

function rowDifference(analysis: Analysis, values: readonly number[], against: readonly number[]) {
  const { model, orthogonal, unscaledCovariance, coefficients } = analysis;
  const full = (given: readonly number[]) => (given.length < model.factors.length ? [...given, Number.NaN] : given);
  const a = modelRow(model, full(values));
  const b = modelRow(model, full(against));
  const row = orthogonal.kept.map((column) => a[column]! - b[column]!);
  let square = 0;
  for (let i = 0; i < row.length; i++)
    for (let j = 0; j < row.length; j++) square += row[i]! * unscaledCovariance[i]![j]! * row[j]!;
  return {
    estimate: row.reduce((sum, value, index) => sum + value * coefficients[index]!.estimate, 0),
    square: Math.max(0, square),
  };
}
