import { SOLUTES, type SoluteName, WATER_MOLAR_MASS } from "./solutes.js";

/**
 * Water activity of one solute in water at 25 °C.
 *
 * @param solute        which substance
 * @param gramsPerGram  dissolved substance per gram of water, 0 or more
 * @returns  water activity, 0 to 1
 * @throws RangeError when `gramsPerGram` is negative or not a number
 *
 * Source: Norrish (1966), J. Food Technol. 1, 25: aw = Xw exp(K Xs^2) in mole fractions. Within 0.001 of the measured
 * activities of sucrose up to saturation (norrish.test.ts). Leaves out temperature, which hardly matters for solutions
 * (Miyawaki et al. 1997, Biosci. Biotechnol. Biochem. 61, 466).
 */
export function norrish(solute: SoluteName, gramsPerGram: number): number {
  if (!(gramsPerGram >= 0)) throw new RangeError(`norrish: ${gramsPerGram} g per g of water is not 0 or more`);
  const { molarMass, norrishK } = SOLUTES[solute];
  const waterMoles = 1 / WATER_MOLAR_MASS;
  const soluteMoles = gramsPerGram / molarMass;
  const soluteShare = soluteMoles / (soluteMoles + waterMoles);
  return (1 - soluteShare) * Math.exp(norrishK * soluteShare * soluteShare);
}
