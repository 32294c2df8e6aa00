import { SALT_MOLAR_MASS, WATER_MOLAR_MASS } from "./solutes.js";

/**
 * Osmotic coefficient of sodium chloride in water at 25 °C.
 *
 * @param molality  mol per kg of water, 0 to 6.2 (saturation); the fit is not made for more
 * @throws RangeError outside that range
 *
 * Source: Pitzer and Mayorga (1973), J. Phys. Chem. 77, 2300 (constants from memory).
 */
export function saltOsmoticCoefficient(molality: number): number {
  if (!(molality >= 0 && molality <= 6.2))
    throw new RangeError(`saltOsmoticCoefficient: ${molality} mol/kg is not within 0 to 6.2`);
  const root = Math.sqrt(molality);
  const debyeHueckel = (0.3915 * root) / (1 + 1.2 * root);
  return 1 - debyeHueckel + molality * (0.0765 + 0.2664 * Math.exp(-2 * root)) + molality * molality * 0.00127;
}

/**
 * Water activity of a sodium chloride solution at 25 °C.
 *
 * @param gramsPerGram  salt per gram of water, 0 or more; beyond saturation (0.36) the rest stays undissolved
 */
export function saltWaterActivity(gramsPerGram: number): number {
  const molality = Math.min(6.2, (gramsPerGram / SALT_MOLAR_MASS) * 1000);
  return Math.exp((-2 * molality * saltOsmoticCoefficient(molality) * WATER_MOLAR_MASS) / 1000);
}
