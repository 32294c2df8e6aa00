import { chiSquareQuantile } from "./distributions.js";
import type { Orthogonal } from "./leastSquares.js";

/** A change of scale of a response before the fit; "none" leaves it. All but "none" need values above 0 ("square root": 0 or more). */
export type Transform = "none" | "log" | "square root" | "inverse";
export const TRANSFORMS: readonly Transform[] = ["none", "log", "square root", "inverse"];

/** @throws RangeError for a value that the scale does not have */
export function transformed(value: number, transform: Transform): number {
  if (transform === "none") return value;
  if (!(value > 0 || (transform === "square root" && value === 0)))
    throw new RangeError(`transformed: ${value} has no ${transform}`);
  return transform === "log" ? Math.log(value) : transform === "square root" ? Math.sqrt(value) : 1 / value;
}

/** Back to the response's own scale. A prediction interval goes back end by end; a mean goes back as a median. */
export function untransformed(value: number, transform: Transform): number {
  if (transform === "none") return value;
  return transform === "log" ? Math.exp(value) : transform === "square root" ? Math.sign(value) * value * value : 1 / value;
}

/** What the data say about the scale of the response. */
export interface BoxCox {
  /** Best power; 1 is no change, 0 is the logarithm, 0.5 the square root, -1 the inverse. */
  readonly power: number;
  /** Approximate 95 % interval of the power, within -3 to 3. */
  readonly from: number;
  readonly to: number;
  /** The simplest scale inside the interval. */
  readonly advice: Transform;
}

/**
 * The power of the response that makes the errors most even, by profile likelihood.
 *
 * @returns undefined when some value is not above 0, or when too few runs are left to judge (fewer than 4 degrees of freedom)
 *
 * Source: Box and Cox (1964), J. R. Stat. Soc. B 26, 211. The interval is where the log-likelihood stays within half the
 * 95 % chi-square of its top.
 */
export function boxCox(model: Orthogonal, response: ArrayLike<number>): BoxCox | undefined {
  const n = model.rowCount;
  let logSum = 0;
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let row = 0; row < n; row++) {
    const value = response[row]!;
    if (!(value > 0)) return undefined;
    logSum += Math.log(value);
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  if (n - model.q.length < 4 || most / least < 1.0001) return undefined;
  const centre = logSum / n;
  const work = new Float64Array(n);
  const likelihood = (power: number): number => {
    let total = 0;
    for (let row = 0; row < n; row++) {
      const log = Math.log(response[row]!) - centre; // in units of the geometric mean, so that the Jacobian drops out
      const value = Math.abs(power) < 1e-8 ? log : Math.expm1(power * log) / power;
      work[row] = value;
      total += value * value;
    }
    let explained = 0;
    for (const column of model.q) {
      let effect = 0;
      for (let row = 0; row < n; row++) effect += column.high[row]! * work[row]!;
      explained += effect * effect;
    }
    return (-n / 2) * Math.log(Math.max(total - explained, 1e-14 * total) / n);
  };
  let best = 1;
  let top = likelihood(1);
  for (let step = -60; step <= 60; step++) {
    const value = likelihood(step / 20);
    if (value > top) {
      top = value;
      best = step / 20;
    }
  }
  // Golden section inside the grid cell.
  let low = Math.max(-3, best - 0.05);
  let high = Math.min(3, best + 0.05);
  const ratio = (Math.sqrt(5) - 1) / 2;
  for (let turn = 0; turn < 40; turn++) {
    const a = high - ratio * (high - low);
    const b = low + ratio * (high - low);
    if (likelihood(a) > likelihood(b)) high = b;
    else low = a;
  }
  const power = (low + high) / 2;
  const floor = likelihood(power) - chiSquareQuantile(0.95, 1) / 2;
  const edge = (direction: -1 | 1): number => {
    let inside = power;
    let outside = 3 * direction;
    if (likelihood(outside) >= floor) return outside;
    for (let turn = 0; turn < 50; turn++) {
      const middle = (inside + outside) / 2;
      if (likelihood(middle) >= floor) inside = middle;
      else outside = middle;
    }
    return inside;
  };
  const [from, to] = [edge(-1), edge(1)];
  const candidates: readonly [number, Transform][] = [
    [1, "none"],
    [0, "log"],
    [0.5, "square root"],
    [-1, "inverse"],
  ];
  const inside = candidates.find(([value]) => value >= from && value <= to);
  const nearest = candidates.reduce((a, b) => (Math.abs(b[0] - power) < Math.abs(a[0] - power) ? b : a));
  return { power, from, to, advice: (inside ?? nearest)[1] };
}
