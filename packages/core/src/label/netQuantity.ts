import type { LabelPlace } from "./designations.js";
import { decimalsOf, type LabelLanguage, labelWords } from "./languages.js";
import { halfUp } from "./rounding.js";

/** How far one pack of a constant nominal weight may fall short [g]: Directive 76/211/EEC, Annex I, 2.4 (from memory; 250 g seen). */
const BANDS = [
  { upTo: 50, percent: 9 },
  { upTo: 100, grams: 4.5 },
  { upTo: 200, percent: 4.5 },
  { upTo: 300, grams: 9 },
  { upTo: 500, percent: 3 },
  { upTo: 1000, grams: 15 },
  { upTo: 10_000, percent: 1.5 },
  { upTo: 15_000, grams: 150 },
  { upTo: Number.POSITIVE_INFINITY, percent: 1 },
] as const;

/**
 * Tolerable negative error of a pack.
 *
 * @param nominalGrams  5 or more
 * @returns  [g], a percentage rounded up to the next 0.1 g
 */
export function tolerableError(nominalGrams: number): number | undefined {
  if (!(nominalGrams >= 5)) return undefined;
  const band = BANDS.find(({ upTo }) => nominalGrams <= upTo)!;
  return "grams" in band ? band.grams : Math.ceil((nominalGrams * band.percent) / 10 - 1e-9) / 10;
}

export interface PackersVerdict {
  readonly meets: boolean;
  readonly meanGrams: number;
  /** Packs below nominal less the tolerable error; at most 1 in 40 may be. */
  readonly shortCount: number;
  /** Packs below nominal less twice the error; none may be. */
  readonly tooShortCount: number;
  readonly rule: string;
}

/** The three packers' rules on a set of weighed packs. Source: The Weights and Measures (Packaged Goods) Regulations 2006, regulation 4. */
export function packersRules(nominalGrams: number, weighedGrams: readonly number[]): PackersVerdict | undefined {
  const error = tolerableError(nominalGrams);
  if (error === undefined || weighedGrams.length === 0) return undefined;
  const meanGrams = weighedGrams.reduce((sum, weight) => sum + weight, 0) / weighedGrams.length;
  const shortCount = weighedGrams.filter((weight) => weight < nominalGrams - error).length;
  const tooShortCount = weighedGrams.filter((weight) => weight < nominalGrams - 2 * error).length;
  return {
    meets: meanGrams >= nominalGrams && shortCount <= weighedGrams.length / 40 && tooShortCount === 0,
    meanGrams,
    shortCount,
    tooShortCount,
    rule: "Weights and Measures (Packaged Goods) Regulations 2006, regulation 4: mean not below the stated weight, at most 1 in 40 short by more than the tolerable error, none by more than twice it",
  };
}

/** Least x-height of the letters [mm]: 1.2, or 0.9 where the largest surface is under 80 cm2. Source: Regulation (EU) 1169/2011, Article 13(2) and (3), as the European Commission's page on it gives them (seen). */
export const leastXHeightMm = (largestSurfaceCm2: number): number => (largestSurfaceCm2 < 80 ? 0.9 : 1.2);

/** What is printed is never more than there is: computed weights are rounded down, to 5 g from 100 g and to 1 g below. */
export function netText(place: LabelPlace, grams: number, language: LabelLanguage): string {
  const step = grams >= 100 ? 5 : 1;
  const shown = Number.isInteger(grams) ? grams : Math.floor(grams / step + 1e-9) * step;
  if (place !== "us") {
    const weight = shown >= 1000 ? `${Number((shown / 1000).toFixed(3))} kg` : `${shown} g`;
    return `${labelWords(language).netWeight} ${decimalsOf(weight, language)}`;
  }
  const ounces = Math.floor((shown / 28.349523125) * 10 + 1e-9) / 10;
  if (ounces < 16) return `NET WT ${ounces} OZ (${shown}g)`;
  const pounds = Math.floor(ounces / 16);
  return `NET WT ${ounces} OZ (${pounds} LB${ounces - 16 * pounds >= 0.1 ? ` ${halfUp(ounces - 16 * pounds, 1)} OZ` : ""}) ${shown}g`;
}
