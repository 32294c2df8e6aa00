import { metresTo } from "./convert.js";
import { formatFraction } from "./householdMeasures.js";
import { roundWeighable, type WeighingSettings } from "./rounding.js";
import { fahrenheitFromCelsius, formatGasMark, gasMarkFromCelsius } from "./temperature.js";
import type { Celsius, Grams, Metres, Seconds } from "./units.js";

// British and without a locale: the same text everywhere, so that prints, files and tests agree. A minus is the true sign.

export interface GramsFormat {
  readonly weighing?: WeighingSettings;
  /** From this weight on kilograms are shown, with three decimals at most [g]. Never when not given: a bench scale shows grams. */
  readonly kilogramsFrom?: number;
  /** Without the unit, for a column with a heading. */
  readonly bare?: boolean;
}

/** "250 g", "7.5 g", "12,500 g": a weight as a scale can weigh it, whole grams from 10 g. A dash for what is not a number. */
export function formatGrams(weight: Grams | number, format: GramsFormat = {}): string {
  if (!Number.isFinite(weight)) return "–";
  const sign = weight < 0 ? "−" : "";
  const rounded = roundWeighable(Math.min(Math.abs(weight), 999_999_999), format.weighing);
  const unit = (text: string, name: string) => (format.bare ? `${sign}${text}` : `${sign}${text} ${name}`);
  if (format.kilogramsFrom !== undefined && rounded >= format.kilogramsFrom) return unit(trimmed(rounded / 1000, 3), "kg");
  return unit(grouped(trimmed(rounded, decimalsOf(rounded))), "g");
}

/** "12.5 %", "100.0 %": always with the same number of decimals (one unless asked otherwise), so that a column lines up. */
export function formatPercent(percent: number, decimals = 1): string {
  return Number.isFinite(percent) ? `${signed(grouped(fixed(Math.abs(percent), decimals)), percent)} %` : "–";
}

/** "35 min", "1 h 20 min", and "45 s" under a minute. */
export function formatMinutes(time: Seconds | number): string {
  if (!Number.isFinite(time) || time < 0) return "–";
  if (time < 60) return `${Math.round(time)} s`;
  const minutes = Math.round(time / 60);
  if (minutes < 60) return `${minutes} min`;
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

export type TemperatureScale = "celsius" | "fahrenheit" | "gas";

/** "180 °C", "356 °F", "gas 4 (180 °C)". Whole degrees unless decimals are asked for. */
export function formatTemperature(temperature: Celsius | number, scale: TemperatureScale = "celsius", decimals = 0): string {
  if (!Number.isFinite(temperature)) return "–";
  const degrees = (value: number, unit: string) => `${signed(fixed(Math.abs(value), decimals), value)} ${unit}`;
  if (scale === "fahrenheit") return degrees(fahrenheitFromCelsius(temperature), "°F");
  const inCelsius = degrees(temperature, "°C");
  if (scale === "celsius") return inCelsius;
  const mark = gasMarkFromCelsius(temperature);
  return mark === undefined ? inCelsius : `gas ${formatGasMark(mark)} (${inCelsius})`;
}

/** "20 cm", "17.5 cm", "45 mm", and "9½ in" to the nearest quarter or third. */
export function formatLength(length: Metres | number, unit: "cm" | "mm" | "in" = "cm"): string {
  if (!Number.isFinite(length) || length < 0) return "–";
  if (unit === "in") return `${formatFraction(metresTo(length, "in"))} in`;
  return unit === "mm" ? `${trimmed(length * 1000, 0)} mm` : `${trimmed(length * 100, 1)} cm`;
}

/** "1,480 kJ / 353 kcal": both energies, whole. */
export function formatEnergy(energy: { readonly kilojoules: number; readonly kilocalories: number }): string {
  const whole = (value: number) => (Number.isFinite(value) ? grouped(fixed(value, 0)) : "–");
  return `${whole(energy.kilojoules)} kJ / ${whole(energy.kilocalories)} kcal`;
}

/** "125 ml", "1.5 l" from a litre on. */
export function formatMillilitres(volume: number): string {
  if (!Number.isFinite(volume) || volume < 0) return "–";
  if (volume >= 1000) return `${trimmed(volume / 1000, 2)} l`;
  return `${trimmed(volume, volume < 10 ? 1 : 0)} ml`;
}

function fixed(value: number, decimals: number): string {
  // toFixed rounds 1.005 and 2.5 by their binary neighbours; a nudge of one part in 1e12 rounds halves up as on paper.
  return (value * (1 + 1e-12)).toFixed(decimals);
}

function trimmed(value: number, decimals: number): string {
  const text = fixed(value, decimals);
  return text.includes(".") ? text.replace(/\.?0+$/, "") : text;
}

function decimalsOf(value: number): number {
  return Number.isInteger(value) ? 0 : Math.min(3, String(value).split(".")[1]?.length ?? 0);
}

function grouped(digits: string): string {
  const [whole, decimals] = digits.split(".") as [string, string?];
  const text = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, ",") : whole;
  return decimals === undefined ? text : `${text}.${decimals}`;
}

function signed(text: string, value: number): string {
  return value < 0 && /[1-9]/.test(text) ? `−${text}` : text;
}
