import { type Analysis, predictAt } from "./analyse.js";
import { normalQuantile } from "./distributions.js";
import type { AmountFactor, ChoiceFactor, Factor, ShareFactor } from "./factors.js";
import { BLOCK } from "./terms.js";

// Plain numbers for pictures; the app draws them.

/** A rectangular map of a predicted response over two amounts. */
export interface ContourMap {
  readonly x: { readonly factor: string; readonly unit: string; readonly values: readonly number[] };
  readonly y: { readonly factor: string; readonly unit: string; readonly values: readonly number[] };
  /** Row by row, `y.values.length` rows of `x.values.length`. On the response's own scale. */
  readonly estimate: readonly (readonly number[])[];
  /** Standard error of the mean, same layout; NaN where none can be given. */
  readonly standardError: readonly (readonly number[])[];
  /** Settings that were baked, for the dots. */
  readonly points: readonly { readonly x: number; readonly y: number }[];
}

/**
 * Predicted response over two amounts, the other factors held.
 *
 * @param held  values of all factors, in their order; the two mapped ones are replaced
 */
export function contourMap(analysis: Analysis, xName: string, yName: string, held: readonly number[], steps = 40): ContourMap {
  const { factors } = analysis.model;
  const [xIndex, yIndex] = [xName, yName].map((name) => factors.findIndex((factor) => factor.name === name)) as [number, number];
  const [x, y] = [factors[xIndex], factors[yIndex]];
  if (x?.kind !== "amount" || y?.kind !== "amount") throw new RangeError(`contourMap: "${xName}" and "${yName}" must be amounts`);
  const xValues = between(x, steps);
  const yValues = between(y, steps);
  const at = (xValue: number, yValue: number) => {
    const values = [...held];
    values[xIndex] = xValue;
    values[yIndex] = yValue;
    const prediction = predictAt(analysis, values);
    return { estimate: (prediction.original ?? prediction).estimate, error: prediction.standardError ?? Number.NaN };
  };
  const grid = yValues.map((yValue) => xValues.map((xValue) => at(xValue, yValue)));
  return {
    x: { factor: x.name, unit: x.unit ?? "", values: xValues },
    y: { factor: y.name, unit: y.unit ?? "", values: yValues },
    estimate: grid.map((row) => row.map(({ estimate }) => estimate)),
    standardError: grid.map((row) => row.map(({ error }) => error)),
    points: analysis.settings.map((values) => ({ x: values[xIndex]!, y: values[yIndex]! })),
  };
}

const between = ({ low, high }: AmountFactor, steps: number): number[] =>
  Array.from({ length: steps + 1 }, (_, index) => low + ((high - low) * index) / steps);

export { type TernaryMap, ternaryMap, ternaryPlace } from "./ternary.js";

/** Pairs for the picture of a paired comparison: a line from A to B for each day, load or taster. */
export interface PairedDots {
  readonly names: readonly [string, string];
  readonly pairs: readonly { readonly label: string; readonly first: number; readonly second: number }[];
  readonly difference?: { readonly estimate: number; readonly from: number; readonly to: number };
}

/** How a response moves with one factor, the others in the middle of their ranges (choices at their average, blends at their centre). */
export interface EffectLine {
  readonly factor: string;
  readonly unit: string;
  readonly points: readonly {
    readonly at: number | string;
    readonly estimate: number;
    /** Where the mean may lie. */
    readonly from?: number;
    readonly to?: number;
    /** Where one bake would lie. */
    readonly single?: { readonly from: number; readonly to: number };
  }[];
}

/** How a response moves with one factor at several settings of another. */
export interface InteractionLines {
  readonly x: string;
  readonly xUnit: string;
  readonly by: string;
  readonly lines: readonly {
    readonly name: string;
    readonly points: readonly { readonly at: number | string; readonly estimate: number }[];
  }[];
}

/** Lines over `x` at the low, middle and high of `by`, or at each of its levels; everything else in the middle. No shares. */
export function interactionLines(analysis: Analysis, x: string, by: string, steps = 20): InteractionLines {
  const factors = analysis.model.factors.filter((factor) => factor.name !== BLOCK);
  const [xIndex, byIndex] = [x, by].map((name) => factors.findIndex((factor) => factor.name === name)) as [number, number];
  const [xFactor, byFactor] = [factors[xIndex], factors[byIndex]];
  if (xFactor === undefined || byFactor === undefined || xFactor.kind === "share" || byFactor.kind === "share")
    throw new RangeError(`interactionLines: "${x}" and "${by}" must be amounts or choices`);
  const centre = centreOf(factors);
  const places = (factor: AmountFactor | ChoiceFactor, count: number): { name: string; at: number | string; value: number }[] =>
    factor.kind === "choice"
      ? factor.levels.map((level, value) => ({ name: level, at: level, value }))
      : between(factor, count).map((value) => ({
          name: `${Number(value.toPrecision(4))}${factor.unit === undefined || factor.unit === "" ? "" : ` ${factor.unit}`}`,
          at: value,
          value,
        }));
  return {
    x,
    xUnit: xFactor.kind === "amount" ? (xFactor.unit ?? "") : "",
    by,
    lines: places(byFactor, 2).map(({ name, value }) => ({
      name,
      points: places(xFactor, steps).map(({ at, value: xValue }) => {
        const values = centre.map((other, place) => (place === xIndex ? xValue : place === byIndex ? value : other));
        const prediction = predictAt(analysis, values);
        return { at, estimate: (prediction.original ?? prediction).estimate };
      }),
    })),
  };
}

/** One line per amount and choice. For shares, along the line from the centre of the blends to each component alone, within its limits. */
export function effectLines(analysis: Analysis, steps = 20): EffectLine[] {
  const factors = analysis.model.factors.filter((factor) => factor.name !== BLOCK);
  const centre = centreOf(factors);
  const at = (values: readonly number[]) => {
    const prediction = predictAt(analysis, values);
    const shown = prediction.original ?? prediction;
    return {
      estimate: shown.estimate,
      ...(shown.mean === undefined ? {} : { from: shown.mean.from, to: shown.mean.to }),
      ...(shown.single === undefined ? {} : { single: shown.single }),
    };
  };
  return factors.map((factor, index): EffectLine => {
    const replaced = (value: number) => centre.map((other, place) => (place === index ? value : other));
    if (factor.kind === "choice")
      return {
        factor: factor.name,
        unit: "",
        points: factor.levels.map((level, place) => ({ at: level, ...at(replaced(place)) })),
      };
    if (factor.kind === "amount")
      return {
        factor: factor.name,
        unit: factor.unit ?? "",
        points: between(factor, steps).map((value) => ({ at: value, ...at(replaced(value)) })),
      };
    return {
      factor: factor.name,
      unit: "share",
      points: sharesAlong(factor, index, factors, centre, steps).map(({ share, values }) => ({ at: share, ...at(values) })),
    };
  });
}

/**
 * Cox's direction (1971): one share moves, the others keep their proportions; as far as the limits of all of them allow.
 * A share that cannot move without passing another's limits gives a line of one place.
 */
export function sharesAlong(
  factor: ShareFactor,
  index: number,
  factors: readonly Factor[],
  centre: readonly number[],
  steps: number,
) {
  let [from, to] = [factor.lower, factor.upper];
  const rest = 1 - centre[index]!;
  for (const [place, other] of factors.entries()) {
    if (other.kind !== "share" || place === index || !(centre[place]! > 0)) continue;
    from = Math.max(from, 1 - (other.upper / centre[place]!) * rest);
    to = Math.min(to, 1 - (other.lower / centre[place]!) * rest);
  }
  if (to < from) to = from = centre[index]!;
  return Array.from({ length: steps + 1 }, (_, step) => {
    const share = from + ((to - from) * step) / steps;
    const scale = (1 - share) / rest;
    return {
      share,
      values: centre.map((value, place) => (place === index ? share : factors[place]!.kind === "share" ? value * scale : value)),
    };
  });
}

/** The middle of everything: amounts half-way, choices at their average (NaN), shares at the middle of their limits brought to add to 1. */
export function centreOf(factors: readonly Factor[]): number[] {
  const shares = factors.filter((factor) => factor.kind === "share");
  const low = shares.reduce((sum, { lower }) => sum + lower, 0);
  const high = shares.reduce((sum, { upper }) => sum + upper, 0);
  const way = high > low ? (1 - low) / (high - low) : 0;
  return factors.map((factor) =>
    factor.kind === "amount"
      ? (factor.low + factor.high) / 2
      : factor.kind === "share"
        ? factor.lower + way * (factor.upper - factor.lower)
        : Number.NaN,
  );
}

/** Residuals for the usual pictures. */
export interface ResidualPicture {
  /** Against the fitted value, and against the order of baking. */
  readonly rows: readonly {
    readonly runIndex: number;
    readonly fitted: number;
    readonly studentised: number;
    readonly cooksDistance: number;
  }[];
  /** Ordered residuals against normal quantiles (Blom's places): a straight line when the errors are normal. */
  readonly normal: readonly { readonly quantile: number; readonly studentised: number; readonly runIndex: number }[];
}

export function residualPicture(analysis: Analysis): ResidualPicture {
  const rows = analysis.residuals.flatMap(({ runIndex, fitted, studentised, standardised, cooksDistance }) => {
    const shown = studentised ?? standardised;
    return shown === undefined ? [] : [{ runIndex, fitted, studentised: shown, cooksDistance: cooksDistance ?? Number.NaN }];
  });
  const sorted = [...rows].sort((a, b) => a.studentised - b.studentised);
  return {
    rows,
    normal: sorted.map(({ studentised, runIndex }, index) => ({
      quantile: normalQuantile((index + 1 - 0.375) / (sorted.length + 0.25)),
      studentised,
      runIndex,
    })),
  };
}
