import { type Grams, grams, type Metres, type Millilitres, metres, millilitres } from "./units.js";

// Legal definitions, all exact. Checked against the sources named in convert.test.ts.
// Pound: International Yard and Pound agreement of 1959, in NIST SP 811 appendix B and the Weights and Measures Act 1985, Schedule 1.
const GRAMS_PER_POUND = 453.59237;
const METRES_PER_INCH = 0.0254;
// US gallon: 231 cubic inches (NIST Handbook 44, appendix C). Cubic inch = 2.54 cm cubed = 16.387064 mL.
const ML_PER_US_GALLON = 3785.411784;
// Imperial gallon: 4.54609 litres (Weights and Measures Act 1985, Schedule 1).
const ML_PER_IMPERIAL_GALLON = 4546.09;

/** Grams in one of each unit of weight. */
export const GRAMS_IN = {
  mg: 0.001,
  g: 1,
  kg: 1000,
  oz: GRAMS_PER_POUND / 16,
  lb: GRAMS_PER_POUND,
  st: GRAMS_PER_POUND * 14,
} as const;
export type MassUnit = keyof typeof GRAMS_IN;

/** Millilitres in one of each unit of volume that has one meaning everywhere. Cups and spoons: `householdMillilitres`. */
export const MILLILITRES_IN = {
  ml: 1,
  cl: 10,
  dl: 100,
  l: 1000,
  "us-fluid-ounce": ML_PER_US_GALLON / 128,
  "us-pint": ML_PER_US_GALLON / 8,
  "us-quart": ML_PER_US_GALLON / 4,
  "us-gallon": ML_PER_US_GALLON,
  "imperial-fluid-ounce": ML_PER_IMPERIAL_GALLON / 160,
  "imperial-pint": ML_PER_IMPERIAL_GALLON / 8,
  "imperial-quart": ML_PER_IMPERIAL_GALLON / 4,
  "imperial-gallon": ML_PER_IMPERIAL_GALLON,
} as const;
export type VolumeUnit = keyof typeof MILLILITRES_IN;

/** Metres in one of each unit of length. */
export const METRES_IN = { mm: 0.001, cm: 0.01, m: 1, in: METRES_PER_INCH, ft: METRES_PER_INCH * 12 } as const;
export type LengthUnit = keyof typeof METRES_IN;

/** Weight in grams of `value` units. Exact but for the last binary digit. */
export const gramsFrom = (value: number, unit: MassUnit): Grams => grams(value * GRAMS_IN[unit]);
/** A weight in grams as a number of units. */
export const gramsTo = (weight: Grams | number, unit: MassUnit): number => weight / GRAMS_IN[unit];

/** Volume in millilitres of `value` units. */
export const millilitresFrom = (value: number, unit: VolumeUnit): Millilitres => millilitres(value * MILLILITRES_IN[unit]);
/** A volume in millilitres as a number of units. */
export const millilitresTo = (volume: Millilitres | number, unit: VolumeUnit): number => volume / MILLILITRES_IN[unit];

/** Length in metres of `value` units. */
export const metresFrom = (value: number, unit: LengthUnit): Metres => metres(value * METRES_IN[unit]);
/** A length in metres as a number of units. */
export const metresTo = (length: Metres | number, unit: LengthUnit): number => length / METRES_IN[unit];

/**
 * Weight of a volume, and the other way round, by density.
 *
 * @param densityGPerMl  as the ingredient states it, poured or spooned; above 0
 * @throws RangeError for a density that is not above 0: the caller has to ask for it or say that there is none
 */
export function gramsOfMillilitres(volume: Millilitres | number, densityGPerMl: number): Grams {
  return grams(volume * checkedDensity(densityGPerMl));
}
export function millilitresOfGrams(weight: Grams | number, densityGPerMl: number): Millilitres {
  return millilitres(weight / checkedDensity(densityGPerMl));
}

function checkedDensity(densityGPerMl: number): number {
  if (!(densityGPerMl > 0 && Number.isFinite(densityGPerMl)))
    throw new RangeError(`density ${densityGPerMl} g/mL is not above 0`);
  return densityGPerMl;
}
