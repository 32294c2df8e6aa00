import {
  type DiscriminationMethod,
  maximumCorrectForSimilarity,
  minimumAgreeing,
  powerOfSimilarity,
  type TasterCount,
} from "./discrimination.js";
import {
  binomialAtLeast,
  fQuantile,
  noncentralFUpper,
  noncentralTUpper,
  normalLower,
  normalQuantile,
  studentisedRangeQuantile,
} from "./distributions.js";

// How many tasters it takes, for the tests that discrimination.ts does not cover.

/** Chance that a preference is shown when truly `share` (above one half) of people prefer one; exact, two-sided. */
export function powerOfPreference(tasterCount: number, share: number, alpha = 0.05): number {
  const needed = minimumAgreeing(tasterCount, alpha);
  return needed === undefined ? 0 : binomialAtLeast(needed, tasterCount, share);
}

/** Fewest tasters to show that at most `limit` of people notice, when in truth nobody does; undefined beyond `most`. */
export function tastersForSimilarity(
  method: DiscriminationMethod,
  limit: number,
  beta = 0.05,
  power = 0.8,
  most = 1000,
): TasterCount | undefined {
  const enough = (n: number) =>
    maximumCorrectForSimilarity(method, n, limit, beta) !== undefined && powerOfSimilarity(method, n, 0, limit, beta) >= power;
  return firstAndStable(enough, most);
}

export interface LikingQuestion {
  readonly productCount: number;
  /** Difference between two means that matters [points], above 0. */
  readonly matters: number;
  /** Spread of one taster's mark of one cake, what that taster likes in general taken out [points]. */
  readonly sd: number;
  readonly alpha?: number;
  readonly power?: number;
}

/**
 * Chance that two cakes whose means differ by `matters` are told apart by the marks of one panel (Tukey's comparison, tasters as
 * blocks). With two cakes this is the power of Student's paired t test with a spread of sd sqrt(2).
 */
export function powerOfLiking({ productCount, matters, sd, alpha = 0.05 }: LikingQuestion, tasterCount: number): number {
  if (!(tasterCount >= 2 && productCount >= 2 && matters > 0 && sd > 0))
    throw new RangeError(`powerOfLiking: ${tasterCount} tasters, ${productCount} cakes, ${matters} points, spread ${sd}`);
  const df = (tasterCount - 1) * (productCount - 1);
  const critical = studentisedRangeQuantile(1 - alpha, productCount, df) / Math.SQRT2;
  return noncentralTUpper(critical, df, matters / (sd * Math.sqrt(2 / tasterCount)));
}

/** Fewest tasters for {@link powerOfLiking} to reach the wanted power; undefined beyond `most`. */
export function tastersForLiking(question: LikingQuestion, most = 2000): number | undefined {
  return fewest((n) => powerOfLiking(question, n) >= (question.power ?? 0.8), most);
}

/** Smallest true difference between two means that would be noticed with the wanted chance [points]. */
export function likingNoticed(question: Omit<LikingQuestion, "matters">, tasterCount: number): number {
  const wanted = question.power ?? 0.8;
  let [low, high] = [0, question.sd];
  while (powerOfLiking({ ...question, matters: high }, tasterCount) < wanted) {
    low = high;
    high *= 2;
    if (high > 1e4 * question.sd) return Number.POSITIVE_INFINITY;
  }
  for (let turn = 0; turn < 30; turn++) {
    const middle = (low + high) / 2;
    if (powerOfLiking({ ...question, matters: middle }, tasterCount) < wanted) low = middle;
    else high = middle;
  }
  return high;
}

export interface RankingQuestion {
  readonly productCount: number;
  /**
   * Above one half, below 1. Without an expected order: share of tasters who place the best before any one of the others, which are
   * alike. With one: share who place each cake before its next neighbour.
   */
  readonly share: number;
  /** An order that was named before anything was tasted (Page's test) instead of any difference (Friedman's). */
  readonly ordered?: boolean;
  readonly alpha?: number;
  readonly power?: number;
}

/**
 * Chance that a panel's rankings show a difference, about (a planning figure and no exact one).
 *
 * Friedman's F form is taken as an analysis of variance of the ranks and its power from the noncentral F distribution, with the
 * spread that ranks have when the cakes differ as stated; Page's L by its normal form with the spread it has without a difference,
 * which is the larger one. Held against simulation in tastingPower.test.ts: within 0.05 of it.
 */
export function powerOfRanking({ productCount: p, share, ordered, alpha = 0.05 }: RankingQuestion, tasterCount: number): number {
  if (!(p >= 2 && tasterCount >= 2 && share > 0.5 && share < 1))
    throw new RangeError(`powerOfRanking: ${p} cakes, ${tasterCount} tasters, share ${share}`);
  const means = meanRanks(p, share, ordered === true);
  if (ordered === true) {
    const l = tasterCount * means.reduce((sum, mean, product) => sum + (product + 1) * mean, 0);
    const z = (12 * l - 3 * tasterCount * p * (p + 1) ** 2) / (p * (p + 1) * Math.sqrt(tasterCount * (p - 1)));
    return normalLower(z - normalQuantile(1 - alpha));
  }
  const between = means.reduce((sum, mean) => sum + (mean - (p + 1) / 2) ** 2, 0);
  const within = ((p * (p * p - 1)) / 12 - between) / (p - 1);
  const df = [p - 1, (tasterCount - 1) * (p - 1)] as const;
  return noncentralFUpper(fQuantile(1 - alpha, ...df), ...df, (tasterCount * between) / within);
}

/** Fewest tasters for {@link powerOfRanking} to reach the wanted power; undefined beyond `most`. */
export function tastersForRanking(question: RankingQuestion, most = 500): number | undefined {
  return fewest((n) => powerOfRanking(question, n) >= (question.power ?? 0.8), most);
}

/** Smallest share, in whole percent, that would be noticed with the wanted chance; undefined when even 99 % would not be. */
export function rankingNoticed(question: Omit<RankingQuestion, "share">, tasterCount: number): number | undefined {
  for (let percent = 51; percent <= 99; percent++)
    if (powerOfRanking({ ...question, share: percent / 100 }, tasterCount) >= (question.power ?? 0.8)) return percent / 100;
  return undefined;
}

/** Mean place of each product when impressions are normal with equal spread (Thurstone's case V). */
function meanRanks(p: number, share: number, ordered: boolean): readonly number[] {
  const step = normalQuantile(share);
  const place = (product: number) => (ordered ? product : product === 0 ? 0 : 1);
  return Array.from({ length: p }, (_, product) =>
    Array.from({ length: p }, (_, other) => (other === product ? 1 : normalLower((place(product) - place(other)) * step))).reduce(
      (sum, before) => sum + before,
      0,
    ),
  );
}

function fewest(enough: (count: number) => boolean, most: number): number | undefined {
  // Power grows with the panel here, so the number is found by halving.
  if (!enough(most)) return undefined;
  let [low, high] = [1, most];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (enough(middle)) high = middle;
    else low = middle;
  }
  return high;
}

function firstAndStable(enough: (count: number) => boolean, most: number): TasterCount | undefined {
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
