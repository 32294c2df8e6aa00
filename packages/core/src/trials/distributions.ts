import { betaDensity, incompleteBeta, incompleteGamma, integrate, lnGamma } from "./specialFunctions.js";

// Probability distributions of the trade of testing. All are checked against R 4.2.2 in distributions.test.ts, with the digits stated there.

const SQRT_2PI = 2.5066282746310007;

/** Density of the standard normal distribution. */
export const normalDensity = (z: number): number => Math.exp(-0.5 * z * z) / SQRT_2PI;

const CENTRE_OVER = [2.2352520354606837, 161.02823106855587, 1067.6894854603709, 18154.98125334356, 0.06568233791820745];
const CENTRE_UNDER = [47.202581904688245, 976.0985517377767, 10260.932208618979, 45507.78933502673];
const MIDDLE_OVER = [
  0.39894151208813466, 8.883149794388377, 93.50665613217785, 597.2702763948002, 2494.5375852903726, 6848.190450536283,
  11602.65143764735, 9842.714838383978, 1.0765576773720192e-8,
];
const MIDDLE_UNDER = [
  22.266688044328117, 235.387901782625, 1519.3775994075547, 6485.558298266761, 18615.571640885097, 34900.95272114598,
  38912.00328609327, 19685.429676859992,
];

/**
 * Probability that a standard normal deviate exceeds z; keeps its digits far out in the tail.
 * Source: Cody (1969), Math. Comp. 23, 631, rational approximations for |z| < 5.66; beyond, the continued fraction NIST DLMF 7.9.3.
 */
export function normalUpper(z: number): number {
  const size = Math.abs(z);
  if (size <= 0.67448975) {
    const square = size > 1e-16 ? size * size : 0;
    let over = CENTRE_OVER[4]! * square;
    let under = square;
    for (let index = 0; index < 3; index++) {
      over = (over + CENTRE_OVER[index]!) * square;
      under = (under + CENTRE_UNDER[index]!) * square;
    }
    return 0.5 - (z * (over + CENTRE_OVER[3]!)) / (under + CENTRE_UNDER[3]!);
  }
  let upper: number;
  // The square of z is split so that exp(-z*z/2) keeps its digits.
  const rough = Math.trunc(size * 16) / 16;
  const front = Math.exp(-rough * rough * 0.5) * Math.exp(-(size - rough) * (size + rough) * 0.5);
  if (size <= 5.656854) {
    let over = MIDDLE_OVER[8]! * size;
    let under = size;
    for (let index = 0; index < 7; index++) {
      over = (over + MIDDLE_OVER[index]!) * size;
      under = (under + MIDDLE_UNDER[index]!) * size;
    }
    upper = (front * (over + MIDDLE_OVER[7]!)) / (under + MIDDLE_UNDER[7]!);
  } else {
    let fraction = size;
    for (let k = 60; k >= 1; k--) fraction = size + k / fraction;
    upper = front / SQRT_2PI / fraction;
  }
  return z > 0 ? upper : 1 - upper;
}

/** Probability that a standard normal deviate is at most z. */
export const normalLower = (z: number): number => normalUpper(-z);

/** z with probability p below it, 0 < p < 1. Abramowitz and Stegun 26.2.23 polished by Newton steps on the logarithm of the tail. */
export function normalQuantile(p: number): number {
  checkProbability(p, "normalQuantile");
  if (p === 0.5) return 0;
  const tail = Math.min(p, 1 - p);
  const t = Math.sqrt(-2 * Math.log(tail));
  let z = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  for (let turn = 0; turn < 6; turn++) {
    const upper = normalUpper(z);
    const change = (upper * Math.log(upper / tail)) / normalDensity(z);
    z += change;
    if (Math.abs(change) < 1e-15 * (1 + Math.abs(z))) break;
  }
  return p < 0.5 ? -z : z;
}

/** Probability that Student's t with `df` degrees of freedom exceeds t; df > 0 and may be a fraction. */
export function tUpper(t: number, df: number): number {
  checkDf(df, "tUpper");
  if (t === 0) return 0.5;
  if (df === Number.POSITIVE_INFINITY) return normalUpper(t);
  const square = t * t;
  const [lower] = incompleteBeta(df / (df + square), square / (df + square), df / 2, 0.5);
  return t > 0 ? lower / 2 : 1 - lower / 2;
}

/** Probability that |t| is at least as large as given: the two-sided p-value. */
export const tTwoSided = (t: number, df: number): number => Math.min(1, 2 * tUpper(Math.abs(t), df));

/** Value of Student's t with probability p below it. */
export function tQuantile(p: number, df: number): number {
  checkProbability(p, "tQuantile");
  checkDf(df, "tQuantile");
  if (p === 0.5) return 0;
  if (df === Number.POSITIVE_INFINITY) return normalQuantile(p);
  const tail = Math.min(p, 1 - p);
  const logFront = lnGamma((df + 1) / 2) - lnGamma(df / 2) - 0.5 * Math.log(df * Math.PI);
  const density = (t: number) => Math.exp(logFront - ((df + 1) / 2) * Math.log1p((t * t) / df));
  const t = solveTail((x) => tUpper(x, df), density, tail, Math.max(0.1, Math.abs(normalQuantile(tail))));
  return p < 0.5 ? -t : t;
}

/** Probability that F with (df1, df2) degrees of freedom exceeds f. */
export function fUpper(f: number, df1: number, df2: number): number {
  checkDf(df1, "fUpper");
  checkDf(df2, "fUpper");
  if (!(f > 0)) return 1;
  if (f === Number.POSITIVE_INFINITY) return 0;
  if (df2 === Number.POSITIVE_INFINITY) return chiSquareUpper(f * df1, df1);
  const sum = df1 * f + df2;
  return incompleteBeta(df2 / sum, (df1 * f) / sum, df2 / 2, df1 / 2)[0];
}

/** Value of F with probability p below it. */
export function fQuantile(p: number, df1: number, df2: number): number {
  checkProbability(p, "fQuantile");
  const b = betaQuantile(p, df1 / 2, df2 / 2);
  return (df2 * b[0]) / (df1 * b[1]);
}

/** Probability that chi-square with df degrees of freedom exceeds x. */
export function chiSquareUpper(x: number, df: number): number {
  checkDf(df, "chiSquareUpper");
  return x > 0 ? incompleteGamma(df / 2, x / 2)[1] : 1;
}

/** Value of chi-square with probability p below it. */
export function chiSquareQuantile(p: number, df: number): number {
  checkProbability(p, "chiSquareQuantile");
  checkDf(df, "chiSquareQuantile");
  const density = (x: number) => Math.exp((df / 2 - 1) * Math.log(x) - x / 2 - (df / 2) * Math.LN2 - lnGamma(df / 2));
  // Wilson and Hilferty's cube as the first guess.
  const guess = df * Math.max(0.01, 1 - 2 / (9 * df) + normalQuantile(p) * Math.sqrt(2 / (9 * df))) ** 3;
  return solveTail((x) => chiSquareUpper(x, df), density, 1 - p, guess);
}

/** x with probability p below it for the beta distribution, as [x, 1 - x], so that neither end loses digits. */
export function betaQuantile(p: number, a: number, b: number): readonly [number, number] {
  checkProbability(p, "betaQuantile");
  // On the logit scale both ends are far away and the curve is smooth.
  let low = -750;
  let high = 750;
  let logit = Math.log(a / b);
  const at = (l: number): readonly [number, number] =>
    l < 0
      ? [Math.exp(l) / (1 + Math.exp(l)), 1 / (1 + Math.exp(l))]
      : [1 / (1 + Math.exp(-l)), Math.exp(-l) / (1 + Math.exp(-l))];
  for (let turn = 0; turn < 200; turn++) {
    const [x, y] = at(logit);
    const [lower, upper] = incompleteBeta(x, y, a, b);
    // Compare in the smaller tail, on the logarithm, where Newton's step is straight.
    const error = p < 0.5 ? Math.log(lower / p) : -Math.log(upper / (1 - p));
    if (error > 0) high = logit;
    else low = logit;
    const slope = (betaDensity(x, y, a, b) * x * y) / (p < 0.5 ? lower : upper);
    let next = logit - error / slope;
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (Math.abs(next - logit) <= 1e-15 * (1 + Math.abs(logit))) return at(next);
    logit = next;
  }
  return at(logit);
}

/** Probability of at least `count` successes in `trials` independent tries of chance `p`: the exact one-sided binomial p-value. */
export function binomialAtLeast(count: number, trials: number, p: number): number {
  if (count <= 0) return 1;
  if (count > trials) return 0;
  return incompleteBeta(p, 1 - p, count, trials - count + 1)[0];
}

/** Probability of at most `count` successes. */
export const binomialAtMost = (count: number, trials: number, p: number): number =>
  count >= trials ? 1 : count < 0 ? 0 : incompleteBeta(p, 1 - p, count + 1, trials - count)[1];

/**
 * Probability that non-central t (df, shift delta) exceeds t; the power of a t test.
 * Source: Lenth (1989), Applied Statistics 38, 185, AS 243: Poisson-weighted incomplete beta functions.
 */
export function noncentralTUpper(t: number, df: number, delta: number): number {
  checkDf(df, "noncentralTUpper");
  if (df === Number.POSITIVE_INFINITY) return normalUpper(t - delta);
  if (t < 0) return 1 - noncentralTUpper(-t, df, -delta);
  const lambda = (delta * delta) / 2;
  let sum = 0;
  if (t > 0) {
    const x = (t * t) / (t * t + df);
    const y = df / (t * t + df);
    // Weights start at the peak of the Poisson series and go both ways, so that a large shift does not underflow.
    const peak = Math.floor(lambda);
    const evenWeight = (j: number) => 0.5 * Math.exp(-lambda + (j === 0 ? 0 : j * Math.log(lambda)) - lnGamma(j + 1));
    const oddWeight = (j: number) =>
      (0.5 * delta * Math.exp(-lambda + (j === 0 ? 0 : j * Math.log(lambda)) - lnGamma(j + 1.5))) / Math.SQRT2;
    const part = (j: number) =>
      evenWeight(j) * incompleteBeta(x, y, j + 0.5, df / 2)[0] +
      (delta === 0 ? 0 : oddWeight(j) * incompleteBeta(x, y, j + 1, df / 2)[0]);
    for (let j = peak; j >= 0; j--) {
      const p = part(j);
      sum += p;
      if (Math.abs(p) < 1e-18 && j < peak - 5) break;
    }
    for (let j = peak + 1; j < peak + 10_000; j++) {
      const p = part(j);
      sum += p;
      if (Math.abs(p) < 1e-18) break;
    }
  }
  return Math.min(1, Math.max(0, 1 - (normalLower(-delta) + sum)));
}

/** Probability that non-central F exceeds f; lambda is the non-centrality (sum of squared standardised effects). The power of an F test. */
export function noncentralFUpper(f: number, df1: number, df2: number, lambda: number): number {
  checkDf(df1, "noncentralFUpper");
  checkDf(df2, "noncentralFUpper");
  if (!(f > 0)) return 1;
  const x = (df1 * f) / (df1 * f + df2);
  const y = df2 / (df1 * f + df2);
  const half = lambda / 2;
  const peak = Math.floor(half);
  const part = (j: number) =>
    Math.exp(-half + (j === 0 ? 0 : j * Math.log(half)) - lnGamma(j + 1)) * incompleteBeta(x, y, df1 / 2 + j, df2 / 2)[1];
  if (half === 0) return part(0);
  let sum = 0;
  for (let j = peak; j >= 0; j--) {
    const p = part(j);
    sum += p;
    if (p < 1e-18 && j < peak - 5) break;
  }
  for (let j = peak + 1; j < peak + 100_000; j++) {
    const p = part(j);
    sum += p;
    if (p < 1e-18 && j > peak + 5) break;
  }
  return Math.min(1, sum);
}

/** Density of s / sigma when s^2 has df degrees of freedom. */
function spreadDensity(s: number, df: number, logFront: number): number {
  return s <= 0 ? 0 : Math.exp(logFront + (df - 1) * Math.log(s) - (df * s * s) / 2);
}

/**
 * Evenly spaced places with the weight of the normal density. For integrands that are smooth everywhere and vanish at both ends the
 * plain sum converges faster than any power of the step (Trefethen and Weideman 2014, SIAM Review 56, 385).
 */
function normalGrid(step: number): {
  readonly nodes: Float64Array;
  readonly weights: Float64Array;
  readonly above: Float64Array;
} {
  const kept = GRIDS.get(step);
  if (kept !== undefined) return kept;
  const nodes = Float64Array.from({ length: Math.round(17 / step) + 1 }, (_, index) => -8.5 + step * index);
  const grid = { nodes, weights: nodes.map((z) => step * normalDensity(z)), above: nodes.map(normalUpper) };
  if (GRIDS.size < 16) GRIDS.set(step, grid);
  return grid;
}
const GRIDS = new Map<number, { readonly nodes: Float64Array; readonly weights: Float64Array; readonly above: Float64Array }>();

/** Integral over the estimate of spread, shared by the two simultaneous distributions below. */
function overSpread(df: number, inner: (s: number) => number): number {
  if (df === Number.POSITIVE_INFINITY || df > 25_000) return inner(1);
  const logFront = Math.LN2 + (df / 2) * Math.log(df / 2) - lnGamma(df / 2);
  // Quantiles of s at 1e-16 on either side, from the chi-square distribution.
  const from = Math.sqrt(chiSquareQuantile(1e-15, df) / df);
  const to = Math.sqrt(chiSquareQuantile(1 - 1e-15, df) / df);
  return integrate((s) => spreadDensity(s, df, logFront) * inner(s), from, to, df < 2 ? 12 : df < 10 ? 4 : 3);
}

/**
 * Probability that the studentised range of `means` independent means exceeds q, with df degrees of freedom for the spread.
 * Used by Tukey's comparisons. Direct quadrature of the double integral (Copenhaver and Holland 1988 give the form).
 */
export function studentisedRangeUpper(q: number, means: number, df: number): number {
  checkDf(df, "studentisedRangeUpper");
  if (!(means >= 2)) throw new RangeError(`studentisedRangeUpper: ${means} means; at least 2 are compared`);
  if (!(q > 0)) return 1;
  const { nodes, weights, above } = normalGrid(means > 12 ? 0.125 : 0.25);
  const range = (w: number) => {
    let sum = 0;
    for (let index = 0; index < nodes.length; index++) {
      sum += weights[index]! * (normalUpper(nodes[index]! - w) - above[index]!) ** (means - 1);
    }
    return means * sum;
  };
  return Math.min(1, Math.max(0, 1 - overSpread(df, (s) => range(q * s))));
}

/** Value of the studentised range with probability p below it. */
export const studentisedRangeQuantile = (p: number, means: number, df: number): number =>
  remembered(`${p} ${means} ${df}`, () => tailValue((q) => studentisedRangeUpper(q, means, df), 1 - p, 3.5));

/**
 * Probability that the largest |t| of several comparisons with one control exceeds c (Dunnett 1955, J. Am. Stat. Assoc. 50, 1096).
 *
 * @param loadings  one per comparison, sqrt(n_i / (n_i + n_control)); the correlation of two comparisons is the product of theirs
 */
export function dunnettUpper(c: number, loadings: readonly number[], df: number): number {
  checkDf(df, "dunnettUpper");
  if (!(c > 0)) return 1;
  // Equal group sizes give equal loadings, which need one factor and a power.
  const groups = [...new Set(loadings)].map((loading) => ({
    loading,
    rest: Math.sqrt(1 - loading * loading),
    count: loadings.filter((other) => other === loading).length,
  }));
  const steepest = Math.max(...groups.map(({ loading, rest }) => loading / rest));
  const { nodes, weights } = normalGrid(0.25 / Math.max(1, Math.ceil(steepest)));
  const within = (s: number) => {
    let sum = 0;
    for (let index = 0; index < nodes.length; index++) {
      let product = weights[index]!;
      for (const { loading, rest, count } of groups) {
        const shift = loading * nodes[index]!;
        product *= (normalUpper((-c * s + shift) / rest) - normalUpper((c * s + shift) / rest)) ** count;
      }
      sum += product;
    }
    return sum;
  };
  return Math.min(1, Math.max(0, 1 - overSpread(df, within)));
}

/** Critical |t| with joint probability p below it for comparisons with one control. */
export const dunnettQuantile = (p: number, loadings: readonly number[], df: number): number =>
  remembered(`${p} [${loadings.join()}] ${df}`, () => tailValue((c) => dunnettUpper(c, loadings, df), 1 - p, 2.5));

/** The critical values above take milliseconds, and one table of comparisons asks for the same one again and again. */
function remembered(key: string, compute: () => number): number {
  const kept = CRITICAL_VALUES.get(key);
  if (kept !== undefined) return kept;
  if (CRITICAL_VALUES.size > 200) CRITICAL_VALUES.clear();
  const value = compute();
  CRITICAL_VALUES.set(key, value);
  return value;
}
const CRITICAL_VALUES = new Map<string, number>();

/** x > 0 with upper-tail probability `tail`: Newton's steps on the logarithm of the tail, kept inside a bracket. */
function solveTail(upper: (x: number) => number, density: (x: number) => number, tail: number, guess: number): number {
  let low = 0;
  let high = Number.POSITIVE_INFINITY;
  let x = guess;
  for (let turn = 0; turn < 300; turn++) {
    const value = upper(x);
    if (value > tail) low = x;
    else high = x;
    // In the larger tail the logarithm is flat, so the smaller one is compared.
    const step =
      value < 0.5
        ? (value * Math.log(value / tail)) / density(x)
        : ((value - 1) * Math.log((1 - value) / (1 - tail))) / density(x);
    let next = x + step;
    if (!(next > low && next < high)) next = high === Number.POSITIVE_INFINITY ? 2 * x + 1 : (low + high) / 2;
    if (Math.abs(next - x) <= 4e-16 * Math.abs(x)) return next;
    x = next;
  }
  return x;
}

/** x > 0 with upper-tail probability `tail`, without a density: the secant rule on the logarithm, kept inside a bracket. */
function tailValue(upper: (x: number) => number, tail: number, guess: number): number {
  const error = (x: number) => Math.log(Math.max(upper(x), 1e-300) / tail);
  let low = 0;
  let high = guess;
  let atHigh = error(high);
  while (atHigh > 0) {
    low = high;
    high *= 2;
    atHigh = error(high);
  }
  // The Illinois rule (Dowell and Jarratt 1971, BIT 11, 168): false position that halves a value which stays too long.
  let atLow = low === 0 ? -Math.log(tail) : error(low);
  let side = 0;
  let next = high;
  for (let turn = 0; turn < 200; turn++) {
    next = low + ((high - low) * atLow) / (atLow - atHigh);
    const value = error(next);
    if (Math.abs(value) < 1e-12 || high - low < 1e-13 * high) return next;
    if (value > 0) {
      low = next;
      atLow = value;
      if (side === 1) atHigh /= 2;
      side = 1;
    } else {
      high = next;
      atHigh = value;
      if (side === -1) atLow /= 2;
      side = -1;
    }
  }
  return next;
}

function checkProbability(p: number, name: string): void {
  if (!(p > 0 && p < 1)) throw new RangeError(`${name}: the probability ${p} is not between 0 and 1`);
}

function checkDf(df: number, name: string): void {
  if (!(df > 0)) throw new RangeError(`${name}: ${df} degrees of freedom; more than 0 are needed`);
}
