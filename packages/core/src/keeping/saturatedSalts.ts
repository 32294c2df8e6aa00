import type { Celsius } from "../quantities/index.js";

/** Constants of the fit, and the temperatures it is given for [°C]. */
export interface SaturatedSalt {
  readonly a: number;
  readonly b: number;
  readonly fromC: number;
  readonly toC: number;
}

/**
 * Humidity over a saturated salt solution: what a baker checks a water-activity meter with.
 *
 * Source: fit RH = A exp(B / T) of the CRC Handbook of Chemistry and Physics, good to 2 %.
 */
export const SATURATED_SALTS = {
  "sodium chloride": { a: 69.2, b: 25, fromC: 10, toC: 40 },
  "potassium chloride": { a: 49.38, b: 159, fromC: 5, toC: 25 },
  "magnesium chloride": { a: 29.26, b: 34, fromC: 5, toC: 30 },
  "potassium sulphate": { a: 86.75, b: 34, fromC: 5, toC: 30 },
  "lithium chloride": { a: 14.53, b: -75, fromC: 5, toC: 30 },
} as const satisfies Readonly<Record<string, SaturatedSalt>>;

/**
 * Relative humidity over a saturated solution [%]; a meter should read this over 100 as water activity.
 *
 * @throws RangeError outside the temperatures of the fit
 */
export function saturatedSaltHumidity(salt: keyof typeof SATURATED_SALTS, temperature: Celsius): number {
  const { a, b, fromC, toC }: SaturatedSalt = SATURATED_SALTS[salt];
  if (!(temperature >= fromC && temperature <= toC))
    throw new RangeError(`saturatedSaltHumidity: ${temperature} °C is not within ${fromC} to ${toC}`);
  return a * Math.exp(b / (temperature + 273.15));
}
