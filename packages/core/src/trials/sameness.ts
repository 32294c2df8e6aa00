import type { SampleSize } from "./compare.js";
import { noncentralTUpper, normalLower, tQuantile } from "./distributions.js";

/** A question of sameness: two cakes that are truly alike, and what counts as too different. */
export interface SamenessQuestion {
  /** The margin: a difference of this size would matter, above 0, in the unit measured. */
  readonly difference: number;
  /** Of one paired difference, or of one bake. */
  readonly sd: number;
  readonly paired: boolean;
  readonly count: number;
  /** "no worse": one side only; "the same": both sides. */
  readonly aim: "no worse" | "the same";
  /** Chance to show sameness wrongly when the true difference is the margin; default 0.05. */
  readonly alpha?: number;
}

/**
 * Chance to show that two cakes differ by less than the margin when they are truly alike, by one or two one-sided t tests.
 *
 * @throws RangeError for a margin or a spread that is not above 0, or fewer than two bakes
 *
 * Sources: Schuirmann (1987), J. Pharmacokin. Biopharm. 15, 657; for both sides the exact power is the integral over the spread that
 * is found, Phillips (1990), J. Pharmacokin. Biopharm. 18, 137.
 */
export function powerOfSameness(question: SamenessQuestion): number {
  const { difference, sd, paired, count, aim } = question;
  if (!(sd > 0 && difference > 0 && count >= 2))
    throw new RangeError(`powerOfSameness: margin ${difference}, sd ${sd}, count ${count}`);
  const df = paired ? count - 1 : 2 * count - 2;
  const margin = difference / (sd * Math.sqrt((paired ? 1 : 2) / count));
  const critical = tQuantile(1 - (question.alpha ?? 0.05), df);
  if (aim === "no worse") return noncentralTUpper(critical, df, margin);
  // Both sides hold when |d| < margin - critical * s; s is the found spread over the true one, and never above margin / critical.
  const largest = margin / critical;
  const steps = 2000;
  let sum = 0;
  for (let step = 0; step <= steps; step++) {
    const s = (largest * step) / steps;
    const inside = 2 * normalLower(margin - critical * s) - 1;
    sum += (step === 0 || step === steps ? 1 : step % 2 === 1 ? 4 : 2) * inside * densityOfSpread(s, df);
  }
  return Math.min(1, Math.max(0, ((largest / steps) * sum) / 3));
}

/** Density of the found spread over the true one with so many degrees of freedom: a chi divided by the root of df. */
function densityOfSpread(s: number, df: number): number {
  if (s === 0) return df === 1 ? Math.sqrt(2 / Math.PI) : 0;
  return 2 * Math.exp((df / 2) * Math.log(df / 2) - logGamma(df / 2) + (df - 1) * Math.log(s) - (df * s * s) / 2);
}

/** ln of the gamma function for halves and wholes above 0: exact products. */
function logGamma(half: number): number {
  let sum = 0;
  let at = half;
  while (at > 1) {
    at -= 1;
    sum += Math.log(at);
  }
  return at === 0.5 ? sum + Math.log(Math.PI) / 2 : sum;
}

/** Fewest pairs (paired) or bakes of each (unpaired) that show sameness with the wanted chance. */
export function bakesForSameness(
  question: Omit<SamenessQuestion, "count"> & { readonly power?: number },
  most = 1000,
): SampleSize | undefined {
  for (let count = 2; count <= most; count++) {
    const power = powerOfSameness({ ...question, count });
    if (power >= (question.power ?? 0.8)) return { count, power, df: question.paired ? count - 1 : 2 * count - 2 };
  }
  return undefined;
}
