/** How Salmonella dies in muffin batter: Channaiah et al. (2017), Int. J. Food Microbiol. 250, 1 (abstract seen). */
export const MUFFIN_BATTER = { decimalSeconds: 16.5 * 60, referenceC: 61, zC: 10.4 } as const;

/** Time [s] for a tenfold reduction at a temperature [°C]. */
export const decimalReductionSeconds = (temperatureC: number, matrix = MUFFIN_BATTER): number =>
  matrix.decimalSeconds * 10 ** ((matrix.referenceC - temperatureC) / matrix.zC);

/**
 * Log10 reductions over a temperature curve; between samples the temperature is a straight line, which is integrated exactly.
 *
 * @param timesS  ascending [s]
 * @param temperaturesC  as many [°C]
 */
export function logReductions(timesS: ArrayLike<number>, temperaturesC: ArrayLike<number>, matrix = MUFFIN_BATTER): number {
  let logs = 0;
  for (let i = 1; i < timesS.length; i++) {
    const [a, b] = [temperaturesC[i - 1], temperaturesC[i]];
    const rate = (t: number) => 1 / decimalReductionSeconds(t, matrix);
    const span = timesS[i] - timesS[i - 1];
    const exponent = ((b - a) * Math.LN10) / matrix.zC;
    logs += Math.abs(exponent) < 1e-6 ? (span * (rate(a) + rate(b))) / 2 : (span * (rate(b) - rate(a))) / exponent;
  }
  return logs;
}

/** Figures beyond this say nothing more (assumption): far outside what was measured. */
export const LOGS_SHOWN_MAX = 12;
