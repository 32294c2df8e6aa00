import { expect, it } from "vitest";
import {
  celsiusFromFahrenheit,
  celsiusFromGasMark,
  conventionalFromFan,
  fahrenheitFromCelsius,
  fahrenheitFromGasMark,
  fanFromConventional,
  formatGasMark,
  GAS_MARKS,
  gasMarkFromCelsius,
} from "./temperature.js";
import { celsius, toCelsius, toKelvin } from "./units.js";

// Exact, by definition: ice 32 °F, boiling 212 °F, and -40 on both scales; absolute zero -459.67 °F (NIST SP 811, appendix B, from memory).
it.each([
  [32, 0],
  [212, 100],
  [-40, -40],
  [-459.67, -273.15],
])("puts %d °F at %d °C", (fahrenheit, degrees) => {
  expect(celsiusFromFahrenheit(fahrenheit)).toBeCloseTo(degrees, 10);
  expect(fahrenheitFromCelsius(degrees)).toBeCloseTo(fahrenheit, 10);
});

it("goes to kelvin and back", () => {
  expect(toKelvin(celsius(100))).toBe(373.15);
  expect(toCelsius(toKelvin(celsius(20.5)))).toBeCloseTo(20.5, 10);
});

// Common practice, no source: the chart printed in British books, °F and °C by mark.
it.each([
  [0.25, 225, 110],
  [0.5, 250, 120],
  [1, 275, 140],
  [2, 300, 150],
  [3, 325, 160],
  [4, 350, 180],
  [5, 375, 190],
  [6, 400, 200],
  [7, 425, 220],
  [8, 450, 230],
  [9, 475, 240],
] as const)("prints gas mark %d as the charts do", (mark, fahrenheit, degrees) => {
  expect(fahrenheitFromGasMark(mark)).toBe(fahrenheit);
  expect(celsiusFromGasMark(mark)).toBe(degrees);
  expect(gasMarkFromCelsius(degrees)).toBe(mark);
  // The printed Celsius is the Fahrenheit rule rounded to what a dial shows.
  expect(Math.abs(celsiusFromFahrenheit(fahrenheit) - degrees)).toBeLessThan(6.5);
});

it("names the marks as on the dial", () => {
  expect(GAS_MARKS.map(formatGasMark).slice(0, 4)).toEqual(["¼", "½", "1", "2"]);
});

it("has no gas mark for a drying cupboard or a pizza oven", () => {
  expect(gasMarkFromCelsius(70)).toBeUndefined();
  expect(gasMarkFromCelsius(300)).toBeUndefined();
  expect(gasMarkFromCelsius(Number.NaN)).toBeUndefined();
});

it("sets a fan oven 20 °C lower, or by what the baker found", () => {
  expect(fanFromConventional(180)).toBe(160);
  expect(conventionalFromFan(160)).toBe(180);
  expect(fanFromConventional(180, 15)).toBe(165);
  expect(conventionalFromFan(fanFromConventional(175, 25), 25)).toBe(175);
});
