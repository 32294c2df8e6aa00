/** Coefficients of a Smith isotherm: water held [g per g dry] = a - b ln(1 - aw). */
export interface SmithIsotherm {
  readonly a: number;
  readonly b: number;
}

/**
 * Water held by starch, flour protein, egg protein and fibre at room temperature.
 *
 * From memory of wheat-flour isotherms near 25 °C: about 0.125 g/g at aw 0.6, 0.18 at 0.8 and 0.235 at 0.9, to about
 * a fifth either way; no table with a clear source was found. Gelatinised starch holds a little more than raw.
 */
export const FLOUR_ISOTHERM: SmithIsotherm = { a: 0.052, b: 0.0794 };

/**
 * Water held by a dry solid in equilibrium with a water activity.
 *
 * @param activity  0 to below 1; the form is meant for about 0.5 to 0.95
 * @returns  grams of water per gram of dry solid, never negative
 *
 * Source: Smith (1947), J. Am. Chem. Soc. 69, 646; used for mixtures by Lang and Steinberg (1981), J. Food Sci. 46, 1450
 * (both from memory).
 */
export function heldWater(activity: number, { a, b }: SmithIsotherm): number {
  return Math.max(0, a - b * Math.log(1 - Math.min(activity, 0.999_999)));
}
