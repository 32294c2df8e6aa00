import { betaQuantile, binomialAtLeast, binomialAtMost, normalDensity, normalLower, normalQuantile } from "./distributions.js";
import { integrate } from "./specialFunctions.js";

/** A tasting test with a right answer. */
export const DISCRIMINATION_METHODS = ["triangle", "duo-trio", "2-AFC", "3-AFC", "tetrad"] as const;
export type DiscriminationMethod = (typeof DISCRIMINATION_METHODS)[number];

/** Chance of a right answer by guessing alone. */
export const guessingChance = (method: DiscriminationMethod): number =>
  method === "duo-trio" || method === "2-AFC" ? 1 / 2 : 1 / 3;

/**
 * Share of right answers for a difference of d' standard deviations of a taster's impression (Thurstone's scale), d' >= 0.
 *
 * Sources: Ennis (1993), J. Sensory Studies 8, 353 (title and pages from memory); Ennis and Jesionka (2011) for the tetrad (from
 * memory). Checked against published values in discrimination.test.ts.
 */
export function shareRight(method: DiscriminationMethod, dPrime: number): number {
  if (!(dPrime >= 0)) throw new RangeError(`shareRight: d' is ${dPrime}; 0 or more`);
  const d = dPrime;
  switch (method) {
    case "2-AFC":
      return normalLower(d / Math.SQRT2);
    case "duo-trio": {
      const a = normalLower(d / Math.SQRT2);
      const b = normalLower(d / Math.sqrt(6));
      return 1 - a - b + 2 * a * b;
    }
    case "3-AFC":
      return integrate((x) => normalDensity(x - d) * normalLower(x) ** 2, d - 8.5, d + 8.5, 6);
    case "triangle": {
      const shift = d * Math.sqrt(2 / 3);
      return (
        2 *
        integrate(
          (z) => (normalLower(-z * Math.sqrt(3) + shift) + normalLower(-z * Math.sqrt(3) - shift)) * normalDensity(z),
          0,
          8.5,
          6,
        )
      );
    }
    case "tetrad":
      return (
        1 -
        2 * integrate((x) => normalDensity(x) * (2 * normalLower(x) * normalLower(x - d) - normalLower(x - d) ** 2), -8.5, 8.5, 6)
      );
  }
}

/** How fast the share of right answers grows with d'. */
export function shareRightSlope(method: DiscriminationMethod, dPrime: number): number {
  const d = dPrime;
  switch (method) {
    case "2-AFC":
      return normalDensity(d / Math.SQRT2) / Math.SQRT2;
    case "duo-trio": {
      const [ra, rb] = [1 / Math.SQRT2, 1 / Math.sqrt(6)];
      const [a, b] = [normalLower(d * ra), normalLower(d * rb)];
      const [da, db] = [normalDensity(d * ra) * ra, normalDensity(d * rb) * rb];
      return -da - db + 2 * (da * b + a * db);
    }
    case "3-AFC":
      return integrate((x) => (x - d) * normalDensity(x - d) * normalLower(x) ** 2, d - 8.5, d + 8.5, 6);
    case "triangle": {
      const root = Math.sqrt(2 / 3);
      return (
        2 *
        root *
        integrate(
          (z) => (normalDensity(-z * Math.sqrt(3) + d * root) - normalDensity(-z * Math.sqrt(3) - d * root)) * normalDensity(z),
          0,
          8.5,
          6,
        )
      );
    }
    case "tetrad":
      return (
        2 * integrate((x) => normalDensity(x) * 2 * normalDensity(x - d) * (normalLower(x) - normalLower(x - d)), -8.5, 8.5, 6)
      );
  }
}

/** d' of a share of right answers. At or below guessing it is 0; at 1 it is Infinity. */
export function dPrimeOf(method: DiscriminationMethod, share: number): number {
  if (share <= guessingChance(method)) return 0;
  if (share >= 1) return Number.POSITIVE_INFINITY;
  let low = 0;
  let high = 1;
  while (shareRight(method, high) < share) {
    low = high;
    high *= 2;
    if (high > 64) return high;
  }
  // Newton's steps, kept inside the bracket.
  let d = (low + high) / 2;
  for (let turn = 0; turn < 100; turn++) {
    const error = shareRight(method, d) - share;
    if (error > 0) high = d;
    else low = d;
    let next = d - error / shareRightSlope(method, d);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (Math.abs(next - d) < 1e-13 * (1 + d)) return next;
    d = next;
  }
  return d;
}

/** Interval of a share from `count` of `trials`, never too narrow. Clopper and Pearson (1934), Biometrika 26, 404. */
export function exactShareInterval(
  count: number,
  trials: number,
  confidence = 0.95,
): { readonly from: number; readonly to: number } {
  const tail = (1 - confidence) / 2;
  return {
    from: count === 0 ? 0 : betaQuantile(tail, count, trials - count + 1)[0],
    to: count === trials ? 1 : betaQuantile(1 - tail, count + 1, trials - count)[0],
  };
}

/** What a tasting test with right answers says. */
export interface Discrimination {
  readonly method: DiscriminationMethod;
  readonly correct: number;
  readonly tasterCount: number;
  readonly confidence: number;
  /** Exact chance of so many right answers, or more, by guessing. */
  readonly p: number;
  readonly shareRight: { readonly estimate: number; readonly standardError: number; readonly from: number; readonly to: number };
  /** Share of tasters who really tell the two apart, by the guessing model. */
  readonly shareTelling: {
    readonly estimate: number;
    readonly standardError: number;
    readonly from: number;
    readonly to: number;
  };
  /** Size of the difference on Thurstone's scale. `standardError` is undefined at 0 and when everyone was right; `to` may be Infinity. */
  readonly dPrime: { readonly estimate: number; readonly standardError?: number; readonly from: number; readonly to: number };
}

/** @throws RangeError unless 0 <= correct <= tasterCount, whole numbers, at least one taster */
export function analyseDiscrimination(
  method: DiscriminationMethod,
  correct: number,
  tasterCount: number,
  confidence = 0.95,
): Discrimination {
  checkCounts(correct, tasterCount, "analyseDiscrimination");
  const guess = guessingChance(method);
  const estimate = correct / tasterCount;
  const standardError = Math.sqrt((estimate * (1 - estimate)) / tasterCount);
  const { from, to } = exactShareInterval(correct, tasterCount, confidence);
  const telling = (share: number) => Math.max(0, (share - guess) / (1 - guess));
  const d = dPrimeOf(method, estimate);
  const slope = d > 0 && Number.isFinite(d) ? shareRightSlope(method, d) : 0;
  return {
    method,
    correct,
    tasterCount,
    confidence,
    p: binomialAtLeast(correct, tasterCount, guess),
    shareRight: { estimate, standardError, from, to },
    shareTelling: {
      estimate: telling(estimate),
      standardError: standardError / (1 - guess),
      from: telling(from),
      to: telling(to),
    },
    dPrime: {
      estimate: d,
      ...(slope > 0 ? { standardError: standardError / slope } : {}),
      from: dPrimeOf(method, from),
      to: dPrimeOf(method, to),
    },
  };
}

/** Smallest number of right answers that is significant; undefined when even all right is not. */
export function minimumCorrect(method: DiscriminationMethod, tasterCount: number, alpha = 0.05): number | undefined {
  return smallest(tasterCount, (count) => binomialAtLeast(count, tasterCount, guessingChance(method)) <= alpha);
}

/** Smallest number of tasters that agree for a significant preference, two-sided. */
export function minimumAgreeing(tasterCount: number, alpha = 0.05): number | undefined {
  return smallest(tasterCount, (count) => binomialAtLeast(count, tasterCount, 0.5) <= alpha / 2);
}

function smallest(tasterCount: number, enough: (count: number) => boolean): number | undefined {
  for (let count = Math.floor(tasterCount / 3); count <= tasterCount; count++) if (enough(count)) return count;
  return undefined;
}

/** Largest number of right answers from which it follows that at most `shareTelling` tell the two apart (similarity test). */
export function maximumCorrectForSimilarity(
  method: DiscriminationMethod,
  tasterCount: number,
  shareTelling: number,
  beta = 0.05,
): number | undefined {
  const right = guessingChance(method) + shareTelling * (1 - guessingChance(method));
  for (let count = tasterCount; count >= 0; count--) if (binomialAtMost(count, tasterCount, right) <= beta) return count;
  return undefined;
}

/** Chance that a difference test notices when `shareTelling` of the tasters really tell the two apart. */
export function powerOfDiscrimination(
  method: DiscriminationMethod,
  tasterCount: number,
  shareTelling: number,
  alpha = 0.05,
): number {
  const needed = minimumCorrect(method, tasterCount, alpha);
  const guess = guessingChance(method);
  return needed === undefined ? 0 : binomialAtLeast(needed, tasterCount, guess + shareTelling * (1 - guess));
}

/** Chance that a similarity test succeeds: truly `shareTelling` tell, and "at most `limit`" is to be shown. */
export function powerOfSimilarity(
  method: DiscriminationMethod,
  tasterCount: number,
  shareTelling: number,
  limit: number,
  beta = 0.05,
): number {
  const allowed = maximumCorrectForSimilarity(method, tasterCount, limit, beta);
  const guess = guessingChance(method);
  return allowed === undefined ? 0 : binomialAtMost(allowed, tasterCount, guess + shareTelling * (1 - guess));
}

/** Numbers of tasters. Power goes up and down with n, because answers are whole numbers; both readings are given. */
export interface TasterCount {
  /** Smallest number with the wanted power. */
  readonly first: number;
  /** Smallest number from which the next 40 keep it. */
  readonly stable: number;
}

/** Fewest tasters to notice that `shareTelling` of them can tell; undefined beyond `most`. */
export function tastersForDiscrimination(
  question: {
    readonly method: DiscriminationMethod;
    readonly shareTelling: number;
    readonly alpha?: number;
    readonly power?: number;
  },
  most = 2000,
): TasterCount | undefined {
  const wanted = question.power ?? 0.8;
  const enough = (n: number) => powerOfDiscrimination(question.method, n, question.shareTelling, question.alpha) >= wanted;
  let first = -1;
  let run = 0;
  for (let n = 2; n <= most; n++) {
    if (enough(n)) {
      if (first < 0) first = n;
      run++;
      if (run === 41) return { first, stable: n - 40 };
    } else run = 0;
  }
  return undefined;
}

/** What a preference count says: `forB` of `tasterCount` preferred B (no-preference answers left out by the caller). */
export interface Preference {
  readonly forB: number;
  readonly tasterCount: number;
  /** Exact, two-sided. */
  readonly p: number;
  readonly share: { readonly estimate: number; readonly from: number; readonly to: number };
}

export function analysePreference(forB: number, tasterCount: number, confidence = 0.95): Preference {
  checkCounts(forB, tasterCount, "analysePreference");
  const larger = Math.max(forB, tasterCount - forB);
  return {
    forB,
    tasterCount,
    p: Math.min(1, 2 * binomialAtLeast(larger, tasterCount, 0.5)),
    share: { estimate: forB / tasterCount, ...exactShareInterval(forB, tasterCount, confidence) },
  };
}

/** Fewest tasters to notice that a share `trueShare` (above one half) of people prefers one of two. */
export function tastersForPreference(trueShare: number, alpha = 0.05, power = 0.8, most = 2000): TasterCount | undefined {
  if (!(trueShare > 0.5 && trueShare <= 1)) throw new RangeError(`tastersForPreference: ${trueShare} is not above one half`);
  let first = -1;
  let run = 0;
  for (let n = 2; n <= most; n++) {
    const needed = minimumAgreeing(n, alpha);
    if (needed !== undefined && binomialAtLeast(needed, n, trueShare) >= power) {
      if (first < 0) first = n;
      run++;
      if (run === 41) return { first, stable: n - 40 };
    } else run = 0;
  }
  return undefined;
}

/** Approximate tasters for a ranking: z-based, for a shift of the mean score of one product by `effectInSds` of a taster's scores. */
export function tastersForScores(effectInSds: number, alpha = 0.05, power = 0.8): number {
  if (!(effectInSds > 0)) throw new RangeError(`tastersForScores: ${effectInSds}`);
  return Math.ceil((2 * (normalQuantile(1 - alpha / 2) + normalQuantile(power)) ** 2) / effectInSds ** 2);
}

function checkCounts(count: number, of: number, name: string): void {
  if (!(Number.isInteger(count) && Number.isInteger(of) && of >= 1 && count >= 0 && count <= of)) {
    throw new RangeError(`${name}: ${count} of ${of} tasters`);
  }
}
