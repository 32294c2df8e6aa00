import {
  dunnettQuantile,
  dunnettUpper,
  fUpper,
  noncentralTUpper,
  studentisedRangeQuantile,
  studentisedRangeUpper,
  tQuantile,
  tTwoSided,
  tUpper,
} from "./distributions.js";

/** A difference with its uncertainty, in the unit of what was measured. */
export interface Difference {
  readonly estimate: number;
  readonly standardError: number;
  readonly df: number;
  readonly t: number;
  /** Chance of a difference at least this large, either way, if there were none. */
  readonly p: number;
  readonly from: number;
  readonly to: number;
  readonly confidence: number;
}

/** What a comparison of two says; no interval can be given where nothing is left to judge the spread. */
export type Comparison =
  | {
      readonly kind: "compared";
      readonly difference: Difference;
      readonly counts: readonly [number, number];
      readonly sd: number;
    }
  | { readonly kind: "too few"; readonly why: string };

/**
 * B minus A, measured side by side: one pair per baking day, oven load, or taster. Student's paired t.
 *
 * @param pairs  [A, B] per pair, both measured; a pair with a spoiled half must be left out by the caller
 */
export function comparePaired(pairs: readonly (readonly [number, number])[], confidence = 0.95): Comparison {
  const differences = pairs.map(([a, b]) => b - a);
  if (differences.length < 2) return { kind: "too few", why: `${differences.length} complete pairs; at least 2 are needed` };
  const { mean, variance } = moments(differences);
  const n = differences.length;
  return compared(mean, Math.sqrt(variance / n), n - 1, confidence, [n, n], Math.sqrt(variance));
}

/**
 * B minus A, baked together on two shelves that were swapped between times: what the better shelf gives is taken out.
 *
 * @param pairs  [A, B] per oven load; @param swapped  whether B had the first place in that load
 */
export function compareSwapped(
  pairs: readonly (readonly [number, number])[],
  swapped: readonly boolean[],
  confidence = 0.95,
): Comparison {
  const differences = pairs.map(([a, b]) => b - a);
  const one = differences.filter((_, index) => !swapped[index]);
  const other = differences.filter((_, index) => swapped[index]);
  if (one.length === 0 || other.length === 0 || differences.length < 3) {
    return {
      kind: "too few",
      why: `${one.length} loads one way round and ${other.length} the other; at least 3 in all and 1 of each are needed`,
    };
  }
  const [first, second] = [moments(one), moments(other)];
  const df = differences.length - 2;
  const variance = ((one.length - 1) * first.variance + (other.length - 1) * second.variance) / df;
  const standardError = Math.sqrt(variance * (1 / one.length + 1 / other.length)) / 2;
  return compared(
    (first.mean + second.mean) / 2,
    standardError,
    df,
    confidence,
    [differences.length, differences.length],
    Math.sqrt(variance),
  );
}

/** B minus A, baked on their own, not in pairs. Welch (1947), Biometrika 34, 28: the two spreads may differ. */
export function compareWelch(a: readonly number[], b: readonly number[], confidence = 0.95): Comparison {
  if (a.length < 2 || b.length < 2)
    return { kind: "too few", why: `${a.length} of A and ${b.length} of B; at least 2 of each are needed` };
  const first = moments(a);
  const second = moments(b);
  const va = first.variance / a.length;
  const vb = second.variance / b.length;
  const df = va + vb > 0 ? (va + vb) ** 2 / (va ** 2 / (a.length - 1) + vb ** 2 / (b.length - 1)) : a.length + b.length - 2;
  const sd = Math.sqrt(((a.length - 1) * first.variance + (b.length - 1) * second.variance) / (a.length + b.length - 2));
  return compared(second.mean - first.mean, Math.sqrt(va + vb), df, confidence, [a.length, b.length], sd);
}

function compared(
  estimate: number,
  standardError: number,
  df: number,
  confidence: number,
  counts: readonly [number, number],
  sd: number,
): Comparison {
  if (!(standardError > 0)) return { kind: "too few", why: "all values are the same; weigh or measure more finely" };
  const t = estimate / standardError;
  const reach = tQuantile((1 + confidence) / 2, df) * standardError;
  return {
    kind: "compared",
    difference: { estimate, standardError, df, t, p: tTwoSided(t, df), from: estimate - reach, to: estimate + reach, confidence },
    counts,
    sd,
  };
}

/** Whether a difference lies within limits that do not matter. */
export interface Equivalence {
  readonly limits: readonly [number, number];
  /** Larger of the two one-sided p-values. */
  readonly p: number;
  /** The 1 - 2 alpha interval that must lie inside the limits. */
  readonly from: number;
  readonly to: number;
  readonly equivalent: boolean;
}

/**
 * Two one-sided tests: "not worse and not better by more than matters". Not seeing a difference is never proof of sameness; this is.
 * Give one limit as -Infinity or Infinity for "no worse than".
 * Source: Schuirmann (1987), J. Pharmacokin. Biopharm. 15, 657.
 */
export function testEquivalence(difference: Difference, limits: readonly [number, number], alpha = 0.05): Equivalence {
  const [low, high] = limits;
  if (!(low < high)) throw new RangeError(`testEquivalence: limits ${low} to ${high}`);
  const { estimate, standardError, df } = difference;
  const aboveLow = low === Number.NEGATIVE_INFINITY ? 0 : tUpper((estimate - low) / standardError, df);
  const belowHigh = high === Number.POSITIVE_INFINITY ? 0 : tUpper((high - estimate) / standardError, df);
  const p = Math.max(aboveLow, belowHigh);
  const reach = tQuantile(1 - alpha, df) * standardError;
  return { limits, p, from: estimate - reach, to: estimate + reach, equivalent: p <= alpha };
}

/** One of several compared with another, all comparisons together at the stated confidence. */
export interface GroupDifference {
  readonly first: string;
  readonly second: string;
  /** second minus first */
  readonly estimate: number;
  readonly standardError: number;
  readonly p: number;
  readonly from: number;
  readonly to: number;
}

export interface GroupMeans {
  readonly groups: readonly {
    readonly name: string;
    readonly mean: number;
    readonly count: number;
    readonly from: number;
    readonly to: number;
  }[];
  readonly residualSd: number;
  readonly df: number;
  readonly f: number;
  readonly p: number;
}

/** Means of several, with the one-way analysis of variance. */
export function compareGroups(
  groups: readonly { readonly name: string; readonly values: readonly number[] }[],
  confidence = 0.95,
): GroupMeans {
  const used = groups.filter(({ values }) => values.length > 0);
  const n = used.reduce((sum, { values }) => sum + values.length, 0);
  const df = n - used.length;
  if (used.length < 2 || df < 1)
    throw new RangeError(`compareGroups: ${used.length} groups of ${n} values leave nothing to judge the spread`);
  const stats = used.map(({ values }) => moments(values));
  const grand = used.reduce((sum, { values }, index) => sum + stats[index]!.mean * values.length, 0) / n;
  const within = used.reduce((sum, { values }, index) => sum + stats[index]!.variance * (values.length - 1), 0);
  const between = used.reduce((sum, { values }, index) => sum + (stats[index]!.mean - grand) ** 2 * values.length, 0);
  const residualSd = Math.sqrt(within / df);
  const reach = tQuantile((1 + confidence) / 2, df);
  const f = between / (used.length - 1) / (within / df);
  return {
    groups: used.map(({ name, values }, index) => {
      const { mean } = stats[index]!;
      const half = (reach * residualSd) / Math.sqrt(values.length);
      return { name, mean, count: values.length, from: mean - half, to: mean + half };
    }),
    residualSd,
    df,
    f,
    p: fUpper(f, used.length - 1, df),
  };
}

/** Each with each. Tukey (1953), with Kramer's form (1956) for unequal counts. */
export function tukey(means: GroupMeans, confidence = 0.95): GroupDifference[] {
  const { groups, residualSd, df } = means;
  const q = studentisedRangeQuantile(confidence, groups.length, df);
  return groups.flatMap((first, index) =>
    groups.slice(index + 1).map((second): GroupDifference => {
      const estimate = second.mean - first.mean;
      const standardError = residualSd * Math.sqrt(1 / first.count + 1 / second.count);
      const reach = (q / Math.SQRT2) * standardError;
      const p = studentisedRangeUpper((Math.abs(estimate) / standardError) * Math.SQRT2, groups.length, df);
      return { first: first.name, second: second.name, estimate, standardError, p, from: estimate - reach, to: estimate + reach };
    }),
  );
}

/** Each with one, the standard. Dunnett (1955), two-sided. */
export function dunnett(means: GroupMeans, control: string, confidence = 0.95): GroupDifference[] {
  const { groups, residualSd, df } = means;
  const standard = groups.find(({ name }) => name === control);
  if (standard === undefined) throw new RangeError(`dunnett: no group is called "${control}"`);
  const others = groups.filter((group) => group !== standard);
  const loadings = others.map(({ count }) => Math.sqrt(count / (count + standard.count)));
  const critical = dunnettQuantile(confidence, loadings, df);
  return others.map((group): GroupDifference => {
    const estimate = group.mean - standard.mean;
    const standardError = residualSd * Math.sqrt(1 / group.count + 1 / standard.count);
    const reach = critical * standardError;
    return {
      first: standard.name,
      second: group.name,
      estimate,
      standardError,
      p: dunnettUpper(Math.abs(estimate) / standardError, loadings, df),
      from: estimate - reach,
      to: estimate + reach,
    };
  });
}

/** How many, and what can be seen with them. */
export interface SampleSize {
  readonly count: number;
  readonly power: number;
  readonly df: number;
}

/**
 * Fewest pairs (paired) or bakes of each (unpaired) to notice a difference with the wanted chance.
 *
 * @param difference  that matters, above 0, in the unit measured; @param sd  of one paired difference, or of one bake
 */
export function bakesForDifference(
  question: {
    readonly difference: number;
    readonly sd: number;
    readonly paired: boolean;
    readonly alpha?: number;
    readonly power?: number;
  },
  most = 1000,
): SampleSize | undefined {
  for (let count = 2; count <= most; count++) {
    const power = powerOfComparison({ ...question, count });
    if (power >= (question.power ?? 0.8)) return { count, power, df: question.paired ? count - 1 : 2 * count - 2 };
  }
  return undefined;
}

/** Chance to notice a difference of the stated size (two-sided t test; the wrong direction is not counted). */
export function powerOfComparison(question: {
  readonly difference: number;
  readonly sd: number;
  readonly paired: boolean;
  readonly count: number;
  readonly alpha?: number;
}): number {
  const { difference, sd, paired, count } = question;
  if (!(sd > 0 && difference > 0 && count >= 2))
    throw new RangeError(`powerOfComparison: difference ${difference}, sd ${sd}, count ${count}`);
  const df = paired ? count - 1 : 2 * count - 2;
  const standardError = sd * Math.sqrt((paired ? 1 : 2) / count);
  return noncentralTUpper(tQuantile(1 - (question.alpha ?? 0.05) / 2, df), df, difference / standardError);
}

/** Smallest true difference that would be noticed with the wanted chance: what is learnt when nothing is seen. */
export function noticeableDifference(question: {
  readonly sd: number;
  readonly paired: boolean;
  readonly count: number;
  readonly alpha?: number;
  readonly power?: number;
}): number {
  let low = 0;
  let high = question.sd;
  const wanted = question.power ?? 0.8;
  while (powerOfComparison({ ...question, difference: high }) < wanted) {
    low = high;
    high *= 2;
    if (high > 1e6 * question.sd) return Number.POSITIVE_INFINITY;
  }
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (powerOfComparison({ ...question, difference: middle }) < wanted) low = middle;
    else high = middle;
  }
  return high;
}

/** Mean and variance (n - 1) in two passes, so that a large common value costs no digits. */
export function moments(values: readonly number[]): { readonly mean: number; readonly variance: number } {
  const n = values.length;
  const rough = values.reduce((sum, value) => sum + value, 0) / n;
  const mean = rough + values.reduce((sum, value) => sum + (value - rough), 0) / n;
  const variance = n > 1 ? values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1) : 0;
  return { mean, variance };
}
