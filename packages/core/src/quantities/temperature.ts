import { type Celsius, celsius } from "./units.js";

/** Degrees Celsius from degrees Fahrenheit; exact: (F - 32) / 1.8 (NIST SP 811, appendix B). */
export const celsiusFromFahrenheit = (fahrenheit: number): Celsius => celsius((fahrenheit - 32) / 1.8);
/** Degrees Fahrenheit from degrees Celsius; exact. */
export const fahrenheitFromCelsius = (temperature: Celsius | number): number => temperature * 1.8 + 32;

/** Gas marks of British ovens. */
export const GAS_MARKS = [0.25, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10] as const;
export type GasMark = (typeof GAS_MARKS)[number];

// What oven charts print beside each mark: common practice, no source. Charts differ by 10 °C at marks ½, 3 and 9.
const PRINTED_CELSIUS: readonly number[] = [110, 120, 140, 150, 160, 180, 190, 200, 220, 230, 240, 260];

/**
 * The oven temperature that charts print beside a gas mark: mark 4 is 180 °C.
 *
 * Common practice, no source: marks rise by 25 °F from 275 °F at mark 1, half marks fall by 25 °F, and charts round to what a dial shows.
 * A gas oven wanders by more than the rounding.
 */
export function celsiusFromGasMark(mark: GasMark): Celsius {
  return celsius(PRINTED_CELSIUS[GAS_MARKS.indexOf(mark)]!);
}

/** The Fahrenheit rule behind the marks: 250 + 25 x mark from mark 1, 250 at ½ and 225 at ¼. Common practice, no source. */
export function fahrenheitFromGasMark(mark: GasMark): number {
  return mark >= 1 ? 250 + 25 * mark : mark === 0.5 ? 250 : 225;
}

/** The gas mark nearest to an oven temperature, or undefined below 100 and above 270 °C, where there is none. */
export function gasMarkFromCelsius(temperature: Celsius | number): GasMark | undefined {
  if (!(temperature >= 100 && temperature <= 270)) return undefined;
  let best: GasMark = 1;
  let least = Number.POSITIVE_INFINITY;
  GAS_MARKS.forEach((mark, index) => {
    const away = Math.abs(PRINTED_CELSIUS[index]! - temperature);
    if (away < least) [best, least] = [mark, away];
  });
  return best;
}

/** "¼", "½", "4": as a dial shows it. */
export function formatGasMark(mark: GasMark): string {
  return mark === 0.25 ? "¼" : mark === 0.5 ? "½" : String(mark);
}

/** How much lower a fan oven is set for the same bake [°C]: common practice, no source. Ovens differ, so it is a setting. */
export const FAN_OFFSET_C = 20;

/** The setting of a fan oven that bakes like a conventional one at this temperature. */
export const fanFromConventional = (temperature: Celsius | number, offsetC: number = FAN_OFFSET_C): Celsius =>
  celsius(temperature - offsetC);
/** The setting of a conventional oven that bakes like a fan oven at this temperature. */
export const conventionalFromFan = (temperature: Celsius | number, offsetC: number = FAN_OFFSET_C): Celsius =>
  celsius(temperature + offsetC);
