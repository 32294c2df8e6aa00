/** A dissolved substance that lowers water activity by Norrish's equation. */
export interface Solute {
  readonly name: string;
  /** Molar mass [g/mol]. */
  readonly molarMass: number;
  /** Norrish's constant K of aw = Xw exp(K Xs^2), natural logarithm, dimensionless. */
  readonly norrishK: number;
  readonly source: string;
}

const CHIRIFE = "from memory of Chirife, Ferro Fontan and Benmergui (1980), J. Food Technol. 15, 59";
const MAKINEN = "Makinen (2010), Int. J. Dent. 981072, table 3";

/** Norrish's constants. Those from memory were checked only through the solutions they describe (see norrish.test.ts). */
export const SOLUTES = {
  sucrose: { name: "sucrose", molarMass: 342.3, norrishK: -6.47, source: CHIRIFE },
  glucose: { name: "glucose", molarMass: 180.16, norrishK: -2.25, source: CHIRIFE },
  fructose: { name: "fructose", molarMass: 180.16, norrishK: -2.15, source: CHIRIFE },
  maltose: { name: "maltose", molarMass: 342.3, norrishK: -4.54, source: CHIRIFE },
  lactose: { name: "lactose", molarMass: 342.3, norrishK: -10.2, source: CHIRIFE },
  /** No constant was found for galactose; glucose, its isomer, stands in. */
  galactose: { name: "galactose", molarMass: 180.16, norrishK: -2.25, source: "assumed equal to glucose, its isomer" },
  glycerol: { name: "glycerol", molarMass: 92.09, norrishK: -1.16, source: MAKINEN },
  sorbitol: { name: "sorbitol", molarMass: 182.17, norrishK: -1.65, source: MAKINEN },
  /** Raoult: no constant was found, and in a cake there is hardly any left. */
  ethanol: { name: "ethanol", molarMass: 46.07, norrishK: 0, source: "Raoult's law assumed; no constant found" },
} as const satisfies Record<string, Solute>;
export type SoluteName = keyof typeof SOLUTES;

/** Molar mass of water [g/mol]. */
export const WATER_MOLAR_MASS = 18.0153;
/** Molar mass of sodium chloride [g/mol]. */
export const SALT_MOLAR_MASS = 58.443;
