import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  GRAMS_IN,
  gramsFrom,
  gramsOfMillilitres,
  gramsTo,
  type MassUnit,
  MILLILITRES_IN,
  metresFrom,
  metresTo,
  millilitresFrom,
  millilitresOfGrams,
  millilitresTo,
  type VolumeUnit,
} from "./convert.js";

// Published, from memory of NIST Special Publication 811 (2008), appendix B.8, and NIST Handbook 44, appendix C; the printed digits.
it.each([
  ["ounce (avoirdupois)", gramsFrom(1, "oz"), 28.349523125],
  ["pound (avoirdupois)", gramsFrom(1, "lb"), 453.59237],
  ["stone", gramsFrom(1, "st"), 6350.29318],
  ["inch", metresFrom(1, "in") * 1000, 25.4],
  ["foot", metresFrom(1, "ft") * 1000, 304.8],
  ["US fluid ounce", millilitresFrom(1, "us-fluid-ounce"), 29.5735295625],
  ["US liquid pint", millilitresFrom(1, "us-pint"), 473.176473],
  ["US liquid quart", millilitresFrom(1, "us-quart"), 946.352946],
  ["US gallon", millilitresFrom(1, "us-gallon"), 3785.411784],
])("agrees with the legal definition of the %s", (_name, value, printed) => {
  expect(Math.abs(value / printed - 1)).toBeLessThan(1e-15);
});

// Published: Weights and Measures Act 1985, Schedule 1 (gallon = 4.54609 cubic decimetres; pint an eighth; fluid ounce a twentieth of a pint).
it.each([
  ["gallon", millilitresFrom(1, "imperial-gallon"), 4546.09],
  ["quart", millilitresFrom(1, "imperial-quart"), 1136.5225],
  ["pint", millilitresFrom(1, "imperial-pint"), 568.26125],
  ["fluid ounce", millilitresFrom(1, "imperial-fluid-ounce"), 28.4130625],
])("agrees with the legal definition of the imperial %s", (_name, value, printed) => {
  expect(Math.abs(value / printed - 1)).toBeLessThan(1e-15);
});

// Exact: a US gallon is 231 cubic inches.
it("makes a US gallon of 231 cubic inches", () => {
  const cubicInchMl = (metresFrom(1, "in") * 100) ** 3;
  expect(Math.abs((231 * cubicInchMl) / MILLILITRES_IN["us-gallon"] - 1)).toBeLessThan(1e-14);
});

describe("there and back (property)", () => {
  const value = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
  it("gives the same weight, volume and length", () => {
    const massUnit = fc.constantFrom(...(Object.keys(GRAMS_IN) as MassUnit[]));
    const volumeUnit = fc.constantFrom(...(Object.keys(MILLILITRES_IN) as VolumeUnit[]));
    fc.assert(
      fc.property(value, massUnit, volumeUnit, (v, mass, volume) => {
        expect(gramsTo(gramsFrom(v, mass), mass) / v).toBeCloseTo(1, 12);
        expect(millilitresTo(millilitresFrom(v, volume), volume) / v).toBeCloseTo(1, 12);
        expect(metresTo(metresFrom(v, "in"), "in") / v).toBeCloseTo(1, 12);
      }),
    );
  });
});

it("goes from volume to weight and back by density, and refuses a density of none", () => {
  expect(gramsOfMillilitres(100, 1.42)).toBeCloseTo(142, 10);
  expect(millilitresOfGrams(142, 1.42)).toBeCloseTo(100, 10);
  for (const density of [0, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => gramsOfMillilitres(100, density)).toThrow("is not above 0");
    expect(() => millilitresOfGrams(100, density)).toThrow("is not above 0");
  }
});
