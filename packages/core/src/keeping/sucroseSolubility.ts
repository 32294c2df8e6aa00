import type { Celsius } from "../quantities/index.js";

/**
 * How much sucrose dissolves in water.
 *
 * @param temperature  [°C], 0 to 100
 * @returns  grams of sucrose per gram of water
 * @throws RangeError outside that range
 *
 * Source: Charles (1960), Int. Sugar J. 62 (equation from memory); within 0.3 percentage points of a printed sugar-technology
 * table (sucroseSolubility.test.ts). Pure sucrose only: other sugars beside it let more dissolve in all.
 */
export function sucroseSolubility(temperature: Celsius): number {
  if (!(temperature >= 0 && temperature <= 100))
    throw new RangeError(`sucroseSolubility: ${temperature} °C is not within 0 to 100`);
  const percent = 64.397 + 0.07251 * temperature + 0.0020569 * temperature ** 2 - 9.035e-6 * temperature ** 3;
  return percent / (100 - percent);
}
