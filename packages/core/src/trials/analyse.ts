import { fUpper, tQuantile, tTwoSided } from "./distributions.js";
import type { Factor, Setting } from "./factors.js";
import { lackOfFitOf } from "./lackOfFit.js";
import {
  leverages,
  logDeterminant,
  type Orthogonal,
  orthogonalise,
  orthogonalRow,
  project,
  unscaledCovariance,
} from "./leastSquares.js";
import { predictMixed } from "./mixed.js";
import { buildModel, type LevelCoding, type Model, modelColumns, type Term } from "./model.js";
import type { SplitPlotFit } from "./splitPlot.js";
import { BLOCK, termName } from "./terms.js";
import { type BoxCox, boxCox, type Transform, transformed, untransformed } from "./transform.js";

/** One run that is to be analysed: its settings in the order of the factors, its block, and the measured value. */
export interface AnalysisRun {
  /** Amount in its unit, share, or index of the level; one per factor. */
  readonly values: readonly number[];
  /** Index of its block (baking day, oven load); left out when there are no blocks. */
  readonly block?: number;
  readonly response: number;
}

export interface AnalysisInput {
  readonly responseName: string;
  readonly factors: readonly Factor[];
  readonly terms: readonly Term[];
  readonly runs: readonly AnalysisRun[];
  readonly blockNames?: readonly string[];
  /** Amounts enter as -1 to +1 over their range; default false: in their unit. */
  readonly coded?: boolean;
  readonly coding?: Readonly<Record<string, LevelCoding>>;
  /** "average" (default): coefficients describe the average day. */
  readonly blockCoding?: LevelCoding;
  readonly transform?: Transform;
  /** Confidence of the intervals, 0.5 to 0.999; default 0.95. */
  readonly confidence?: number;
}

/** A figure with its uncertainty. */
export interface Coefficient {
  readonly name: string;
  readonly estimate: number;
  /** Standard error; undefined when no run is left over to judge the spread. */
  readonly standardError?: number;
  readonly t?: number;
  readonly p?: number;
  readonly from?: number;
  readonly to?: number;
}

export interface AnovaRow {
  readonly source: string;
  readonly df: number;
  readonly sumOfSquares: number;
  readonly meanSquare?: number;
  readonly f?: number;
  readonly p?: number;
}

/** A term tested as the last to enter: what would be lost by leaving out this one alone. */
export interface TermTest extends AnovaRow {
  readonly term: Term;
  /** False for the linear terms of a blend, for which "no effect" is not the same as zero. */
  readonly meaningful: boolean;
}

export interface ResidualRow {
  /** Place of the run in the input. */
  readonly runIndex: number;
  readonly observed: number;
  readonly fitted: number;
  readonly residual: number;
  readonly leverage: number;
  /** Residual over its own standard deviation. */
  readonly standardised?: number;
  /** The same with the run itself left out of the spread: follows Student's t. */
  readonly studentised?: number;
  /** How far the whole fit moves when this run is left out, in units of its uncertainty (Cook 1977). */
  readonly cooksDistance?: number;
}

export interface LackOfFit {
  readonly lackOfFit: AnovaRow;
  readonly pureError: AnovaRow;
}

export interface RSquared {
  /** Share of the variation that the model follows, about the mean for mixtures too; about zero only for a line forced through the origin. */
  readonly plain: number;
  readonly adjusted?: number;
  /** From PRESS: share that would be followed in runs the model has not seen. Can be below zero. */
  readonly predicted?: number;
  readonly basis: "about the mean" | "through the origin";
}

/** Everything least squares says about one response. Plain data. */
export interface Analysis {
  readonly responseName: string;
  readonly transform: Transform;
  readonly confidence: number;
  readonly model: Model;
  readonly orthogonal: Orthogonal;
  readonly effects: readonly number[];
  readonly blockNames: readonly string[];
  readonly runCount: number;
  /** Settings of the runs, in their order, as in the input. */
  readonly settings: readonly (readonly number[])[];
  readonly mean: number;
  readonly coefficients: readonly Coefficient[];
  /** Columns that the runs cannot tell from earlier ones, by name. */
  readonly aliased: readonly string[];
  /** inverse(X'X) of the kept coefficients, in their order. */
  readonly unscaledCovariance: readonly (readonly number[])[];
  readonly residualDf: number;
  /** Standard deviation of one run about the model; undefined with no run left over. */
  readonly residualSd?: number;
  readonly anova: { readonly model: AnovaRow; readonly residual: AnovaRow; readonly total: AnovaRow };
  /** In the order of the model, each after those before it. */
  readonly sequential: readonly AnovaRow[];
  readonly groups: readonly AnovaRow[];
  readonly partial: readonly TermTest[];
  readonly lackOfFit?: LackOfFit;
  readonly rSquared: RSquared;
  /** Prediction error sum of squares; undefined when some run is needed to fix a coefficient of its own. */
  readonly press?: number;
  readonly logDetInformation: number;
  readonly residuals: readonly ResidualRow[];
  readonly boxCox?: BoxCox;
  /**
   * The same model with what runs share (a batter, a day) as variation of its own. Where it stands, predictions, contrasts and
   * pictures follow it: least squares would take the runs for independent.
   */
  readonly mixed?: SplitPlotFit;
}

export { BLOCK };

/**
 * Least squares with everything that a baker's statistician would want to see of it.
 *
 * @throws RangeError when there are no runs, or a run has not one value per factor
 *
 * Sources: formulas of docs/models/trials.md; certified and published figures in analyse.test.ts.
 */
export function analyse(input: AnalysisInput): Analysis {
  const { runs, factors, terms } = input;
  const confidence = input.confidence ?? 0.95;
  if (!(confidence >= 0.5 && confidence <= 0.999))
    throw new RangeError(`analyse: confidence ${confidence} is not within 0.5 to 0.999`);
  if (runs.length === 0) throw new RangeError("analyse: no runs");
  for (const run of runs) {
    if (run.values.length !== factors.length) throw new RangeError("analyse: each run needs one value per factor");
    if (!Number.isFinite(run.response)) throw new RangeError(`analyse: ${run.response} is not a measured value`);
  }
  const blockNames = input.blockNames ?? [];
  const hasBlocks = blockNames.length > 1;
  const hasShares = factors.some((factor) => factor.kind === "share");
  const hasIntercept = terms.some((term) => term.length === 0);
  const aboutMean = hasIntercept || hasShares;
  const transform = input.transform ?? "none";

  // The block is one more choice, right after the intercept, so that everything else is judged within days.
  const allFactors: Factor[] = hasBlocks ? [...factors, { kind: "choice", name: BLOCK, levels: blockNames }] : [...factors];
  const ownTerms = terms.filter((term) => term.length > 0);
  const allTerms: Term[] = [...(hasIntercept ? [[]] : []), ...(hasBlocks ? [[BLOCK]] : []), ...ownTerms];
  const options = { coded: input.coded ?? false, coding: { ...input.coding, [BLOCK]: input.blockCoding ?? "average" } };
  const model = buildModel(allFactors, allTerms, options);
  const rows = runs.map((run) => (hasBlocks ? [...run.values, run.block ?? Number.NaN] : run.values));
  const response = Float64Array.from(runs, (run) => transformed(run.response, transform));

  const columns = modelColumns(model, rows);
  const orthogonal = orthogonalise(columns, runs.length);
  const fit = project(orthogonal, response);
  const covariance = unscaledCovariance(orthogonal);
  const n = runs.length;
  const rank = orthogonal.kept.length;
  const residualDf = n - rank;
  const variance = residualDf > 0 ? fit.residualSquares / residualDf : undefined;
  const sd = variance === undefined ? undefined : Math.sqrt(variance);

  const tail = (1 + confidence) / 2;
  const reach = residualDf > 0 ? tQuantile(tail, residualDf) : 0;
  const coefficients = orthogonal.kept.map((column, index): Coefficient => {
    const name = model.columns[column]!.name;
    const estimate = fit.coefficients[index]!;
    if (sd === undefined) return { name, estimate };
    const standardError = sd * Math.sqrt(covariance[index]![index]!);
    const t = estimate / standardError;
    const spread = { standardError, from: estimate - reach * standardError, to: estimate + reach * standardError };
    return standardError > 0 ? { name, estimate, ...spread, t, p: tTwoSided(t, residualDf) } : { name, estimate, ...spread };
  });

  // A second pass with the constant first gives sums of squares about the mean, term after term, for blends too.
  const meanFirst = aboutMean ? [{ high: new Float64Array(n).fill(1), low: new Float64Array(n) }] : [];
  const withoutConstant = columns.filter((_, index) => model.columns[index]!.parts.length > 0);
  const termOfColumn = model.columns.filter((column) => column.parts.length > 0).map((column) => column.termIndex);
  const sequentialBasis = orthogonalise([...meanFirst, ...withoutConstant], n);
  const sequentialFit = project(sequentialBasis, response);
  const row = (source: string, df: number, sumOfSquares: number): AnovaRow => {
    if (df === 0) return { source, df, sumOfSquares };
    const meanSquare = sumOfSquares / df;
    if (variance === undefined || !(variance > 0) || source === "residual" || source === "total")
      return { source, df, sumOfSquares, meanSquare };
    return { source, df, sumOfSquares, meanSquare, f: meanSquare / variance, p: fUpper(meanSquare / variance, df, residualDf) };
  };
  const squaresOfTerm = new Map<number, { df: number; squares: number }>();
  for (const [index, column] of sequentialBasis.kept.entries()) {
    if (column < meanFirst.length) continue;
    const termIndex = termOfColumn[column - meanFirst.length]!;
    const sum = squaresOfTerm.get(termIndex) ?? { df: 0, squares: 0 };
    squaresOfTerm.set(termIndex, { df: sum.df + 1, squares: sum.squares + sequentialFit.effects[index]! ** 2 });
  }
  const sequential: AnovaRow[] = [];
  const groupSums = new Map<string, { df: number; squares: number }>();
  let modelSquares = 0;
  for (const [termIndex, term] of allTerms.entries()) {
    const sum = squaresOfTerm.get(termIndex);
    if (sum === undefined) continue;
    modelSquares += sum.squares;
    sequential.push(row(termName(term), sum.df, sum.squares));
    const group = groupOf(term, allFactors);
    const before = groupSums.get(group) ?? { df: 0, squares: 0 };
    groupSums.set(group, { df: before.df + sum.df, squares: before.squares + sum.squares });
  }
  const modelDf = aboutMean ? rank - 1 : rank;
  const totalSquares = modelSquares + fit.residualSquares;
  const anova = {
    model: row("model", modelDf, modelSquares),
    residual: row("residual", residualDf, fit.residualSquares),
    total: row("total", aboutMean ? n - 1 : n, totalSquares),
  };

  const h = leverages(orthogonal);
  let press: number | undefined = 0;
  const residuals = runs.map((_, runIndex): ResidualRow => {
    const residual = fit.residuals[runIndex]!;
    const leverage = h[runIndex]!;
    const free = 1 - leverage;
    const base = { runIndex, observed: response[runIndex]!, fitted: fit.fitted[runIndex]!, residual, leverage };
    if (free < 1e-10) {
      press = undefined;
      return base;
    }
    if (press !== undefined) press += (residual / free) ** 2;
    if (variance === undefined || !(variance > 0)) return base;
    const standardised = residual / Math.sqrt(variance * free);
    const cooksDistance = (residual ** 2 * leverage) / (rank * variance * free ** 2);
    const without = (fit.residualSquares - residual ** 2 / free) / (residualDf - 1);
    return residualDf > 1 && without > 0
      ? { ...base, standardised, cooksDistance, studentised: residual / Math.sqrt(without * free) }
      : { ...base, standardised, cooksDistance };
  });

  const rSquared: RSquared = {
    plain: 1 - fit.residualSquares / totalSquares,
    ...(residualDf > 0 ? { adjusted: 1 - fit.residualSquares / residualDf / (totalSquares / anova.total.df) } : {}),
    ...(press !== undefined ? { predicted: 1 - press / totalSquares } : {}),
    basis: aboutMean ? "about the mean" : "through the origin",
  };

  // Tested in codings in which "no main effect" means "no effect on average", so that the answer does not hang on which level is first.
  const coding = options.coding as Readonly<Record<string, LevelCoding>>;
  const choices = allFactors.filter((factor) => factor.kind === "choice" && coding[factor.name] !== "average");
  const averaged = {
    ...options,
    coding: { ...coding, ...Object.fromEntries(choices.map(({ name }) => [name, "average" as const])) },
  };
  const crossedChoice = choices.some(({ name }) => allTerms.some((term) => term.length > 1 && term.includes(name)));
  const testModel = crossedChoice ? buildModel(allFactors, allTerms, averaged) : model;
  const testBasis = crossedChoice ? orthogonalise(modelColumns(testModel, rows), n) : orthogonal;
  const testCoefficients = crossedChoice ? project(testBasis, response).coefficients : fit.coefficients;
  const testCovariance = crossedChoice ? unscaledCovariance(testBasis) : covariance;
  const partial = allTerms.flatMap((term, termIndex): TermTest[] => {
    const places = testBasis.kept.flatMap((column, index) => (testModel.columns[column]!.termIndex === termIndex ? [index] : []));
    if (term.length === 0 || places.length === 0) return [];
    const squares = hypothesisSquares(
      places.map((place) => testCoefficients[place]!),
      places.map((a) => places.map((b) => testCovariance[a]![b]!)),
    );
    const meaningful = !(term.length === 1 && allFactors.find((factor) => factor.name === term[0])?.kind === "share");
    return [{ ...row(termName(term), places.length, squares), term, meaningful }];
  });

  const lackOfFit = lackOfFitOf(rows, hasBlocks, response, fit.residualSquares, residualDf);
  const scale = transform === "none" ? boxCox(orthogonal, response) : undefined;
  return {
    responseName: input.responseName,
    transform,
    confidence,
    model,
    orthogonal,
    effects: [...fit.effects],
    blockNames,
    runCount: n,
    settings: runs.map((run) => run.values),
    mean: response.reduce((a, b) => a + b, 0) / n,
    coefficients,
    aliased: orthogonal.aliased.map((column) => model.columns[column]!.name),
    unscaledCovariance: covariance.map((line) => [...line]),
    residualDf,
    ...(sd === undefined ? {} : { residualSd: sd }),
    anova,
    sequential,
    groups: [...groupSums].map(([source, { df, squares }]) => row(source, df, squares)),
    partial,
    ...(lackOfFit === undefined ? {} : { lackOfFit }),
    rSquared,
    ...(press === undefined ? {} : { press }),
    logDetInformation: logDeterminant(orthogonal),
    residuals,
    ...(scale === undefined ? {} : { boxCox: scale }),
  };
}

/** What the model expects at one setting. On the transformed scale unless it says otherwise. */
export interface Prediction {
  readonly estimate: number;
  /** Standard error of the mean; undefined with no run left over. */
  readonly standardError?: number;
  /** Where the true mean lies. */
  readonly mean?: { readonly from: number; readonly to: number };
  /** Where one new bake would lie (on a day like the average of those seen). */
  readonly single?: { readonly from: number; readonly to: number };
  /** The same on the response's own scale, when it was transformed. */
  readonly original?: {
    readonly estimate: number;
    readonly mean?: { readonly from: number; readonly to: number };
    readonly single?: { readonly from: number; readonly to: number };
  };
}

/**
 * Prediction at one setting, for the average block; for one new batter where batters vary by themselves.
 *
 * @param values  one per factor, as in `AnalysisRun`
 */
export function predictAt(analysis: Analysis, values: readonly number[]): Prediction {
  const { model, orthogonal, residualSd, residualDf, transform, confidence, mixed } = analysis;
  if (mixed !== undefined) return onOwnScale(predictMixed(mixed, values), transform);
  const place = model.factors.length > values.length ? [...values, Number.NaN] : values;
  const whole = modelColumns(model, [place]);
  const row = {
    high: Float64Array.from(orthogonal.kept, (column) => whole[column]!.high[0]!),
    low: Float64Array.from(orthogonal.kept, (column) => whole[column]!.low[0]!),
  };
  const u = orthogonalRow(orthogonal, row);
  let estimate = 0;
  let square = 0;
  for (let index = 0; index < u.length; index++) {
    estimate += u[index]! * analysis.effects[index]!;
    square += u[index]! ** 2;
  }
  if (residualSd === undefined) {
    return transform === "none" ? { estimate } : { estimate, original: { estimate: untransformed(estimate, transform) } };
  }
  const reach = tQuantile((1 + confidence) / 2, residualDf);
  const standardError = residualSd * Math.sqrt(square);
  const wide = residualSd * Math.sqrt(1 + square);
  const mean = { from: estimate - reach * standardError, to: estimate + reach * standardError };
  const single = { from: estimate - reach * wide, to: estimate + reach * wide };
  return onOwnScale({ estimate, standardError, mean, single }, transform);
}

/** A prediction with its figures on the response's own scale beside it, where that is another. */
function onOwnScale(plain: Required<Omit<Prediction, "original">>, transform: Transform): Prediction {
  const { estimate, mean, single } = plain;
  if (transform === "none") return plain;
  const back = ({ from, to }: { from: number; to: number }) => {
    const ends = [untransformed(from, transform), untransformed(to, transform)];
    return { from: Math.min(...ends), to: Math.max(...ends) };
  };
  return { ...plain, original: { estimate: untransformed(estimate, transform), mean: back(mean), single: back(single) } };
}

/** Values of a setting in the order of the factors; a level becomes its index. Undefined when a name or a level is missing. */
export function settingValues(factors: readonly Factor[], setting: Setting): number[] | undefined {
  const values: number[] = [];
  for (const factor of factors) {
    const given = setting[factor.name];
    const value = factor.kind === "choice" ? factor.levels.indexOf(String(given)) : Number(given);
    if (given === undefined || given === "" || !Number.isFinite(value) || (value === -1 && factor.kind === "choice"))
      return undefined;
    values.push(value);
  }
  return values;
}

function groupOf(term: Term, factors: readonly Factor[]): string {
  if (term.length === 1 && term[0] === BLOCK) return "blocks";
  const kinds = term.map((name) => factors.find((factor) => factor.name === name)!.kind);
  const shareCount = kinds.filter((kind) => kind === "share").length;
  const parts = ["", "linear blending", "blending of two", "blending of three"];
  if (shareCount === term.length) return parts[shareCount] ?? `blending of ${shareCount}`;
  if (shareCount > 0) return "blend and process together";
  if (term.length === 1) return "linear";
  if (new Set(term).size < term.length) return "squares";
  return term.length === 2 ? "two-factor interactions" : `${term.length}-factor interactions`;
}

/** b' inverse(C) b: sum of squares of the hypothesis that all of b are zero. C is symmetric and positive definite. */
export function hypothesisSquares(b: readonly number[], c: readonly (readonly number[])[]): number {
  const size = b.length;
  const lower: number[][] = [];
  const z: number[] = [];
  let sum = 0;
  for (let i = 0; i < size; i++) {
    lower.push([]);
    for (let j = 0; j <= i; j++) {
      let value = c[i]![j]!;
      for (let k = 0; k < j; k++) value -= lower[i]![k]! * lower[j]![k]!;
      lower[i]!.push(i === j ? Math.sqrt(Math.max(value, 1e-300)) : value / lower[j]![j]!);
    }
    let right = b[i]!;
    for (let k = 0; k < i; k++) right -= lower[i]![k]! * z[k]!;
    z.push(right / lower[i]![i]!);
    sum += z[i]! ** 2;
  }
  return sum;
}
