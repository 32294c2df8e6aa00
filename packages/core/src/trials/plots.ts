import { type Analysis, predictAt } from "./analyse.js";
import { type BlendRegion, isAllowed } from "./blendRegion.js";
import { normalQuantile } from "./distributions.js";
import type { AmountFactor, Factor, ShareFactor } from "./factors.js";

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

/** A triangular map of a predicted response over three shares. */
export interface TernaryMap {
  readonly corners: readonly [string, string, string];
  /** What the three shares add to: 1 less the shares that are held. */
  readonly total: number;
  /** Points of an even triangular grid. `allowed` is false in the part that the limits or rules hold out: grey it. */
  readonly points: readonly {
    readonly shares: readonly [number, number, number];
    /** Place in a triangle with base from (0, 0) to (1, 0) and top (0.5, 0.866): first corner at the top, second left, third right. */
    readonly x: number;
    readonly y: number;
    readonly allowed: boolean;
    readonly estimate: number;
    readonly standardError: number;
  }[];
  /** Triangles of neighbouring points, as indices, for shading and contours. */
  readonly triangles: readonly (readonly [number, number, number])[];
  readonly baked: readonly { readonly x: number; readonly y: number }[];
}

/**
 * Predicted response over three shares of a blend, the other factors held.
 *
 * @param held  values of all factors, in their order; other shares stay at their held values
 */
export function ternaryMap(
  analysis: Analysis,
  names: readonly [string, string, string],
  held: readonly number[],
  region: BlendRegion,
  steps = 30,
): TernaryMap {
  const { factors } = analysis.model;
  const indices = names.map((name) => factors.findIndex((factor) => factor.name === name && factor.kind === "share"));
  if (indices.some((index) => index < 0)) throw new RangeError(`ternaryMap: ${names.join(", ")} must be shares`);
  const shareIndices = factors.flatMap((factor, index) => (factor.kind === "share" ? [index] : []));
  const total = 1 - shareIndices.filter((index) => !indices.includes(index)).reduce((sum, index) => sum + held[index]!, 0);
  const place = ([a, , c]: readonly number[]) => ({ x: c! / total + a! / total / 2, y: (a! / total) * (Math.sqrt(3) / 2) });
  const points: TernaryMap["points"][number][] = [];
  const indexOf = new Map<string, number>();
  for (let i = 0; i <= steps; i++) {
    for (let j = 0; j <= steps - i; j++) {
      const shares = [(total * i) / steps, (total * j) / steps, (total * (steps - i - j)) / steps] as const;
      const values = [...held];
      for (const [corner, index] of indices.entries()) values[index] = shares[corner]!;
      const prediction = predictAt(analysis, values.slice(0, factors.length));
      indexOf.set(`${i} ${j}`, points.length);
      points.push({
        shares,
        ...place(shares),
        allowed: isAllowed(
          region,
          shareIndices.map((index) => values[index]!),
          1e-9,
        ),
        estimate: (prediction.original ?? prediction).estimate,
        standardError: prediction.standardError ?? Number.NaN,
      });
    }
  }
  const triangles: (readonly [number, number, number])[] = [];
  const at = (i: number, j: number) => indexOf.get(`${i} ${j}`)!;
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps - i; j++) {
      triangles.push([at(i, j), at(i + 1, j), at(i, j + 1)]);
      if (i + j < steps - 1) triangles.push([at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
    }
  }
  const baked = analysis.settings.map((values) => {
    const sum = indices.reduce((part, index) => part + values[index]!, 0);
    return place(indices.map((index) => (values[index]! * total) / sum));
  });
  return { corners: names, total, points, triangles, baked };
}

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
    readonly from?: number;
    readonly to?: number;
  }[];
}

/** One line per amount and choice. For shares, along the line from the centre of the blends to each component alone, within its limits. */
export function effectLines(analysis: Analysis, steps = 20): EffectLine[] {
  const factors = analysis.model.factors.filter((factor) => factor.name !== "block");
  const centre = centreOf(factors);
  const at = (values: readonly number[]) => {
    const prediction = predictAt(analysis, values);
    const shown = prediction.original ?? prediction;
    return { estimate: shown.estimate, ...(shown.mean === undefined ? {} : { from: shown.mean.from, to: shown.mean.to }) };
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
