import type { Problem } from "../quantities/index.js";

/**
 * Energy factors of Annex XIV of Regulation (EU) 1169/2011 [kJ/g] and [kcal/g], from memory; `carbohydrate` is without fibre and polyols.
 */
export const ENERGY_FACTORS = {
  carbohydrate: { kj: 17, kcal: 4 },
  polyols: { kj: 10, kcal: 2.4 },
  protein: { kj: 17, kcal: 4 },
  fat: { kj: 37, kcal: 9 },
  alcohol: { kj: 29, kcal: 7 },
  organicAcids: { kj: 13, kcal: 3 },
  fibre: { kj: 8, kcal: 2 },
} as const;

/** A declaration is printed in rounded figures, so sums may pass 100 by a little [g]. */
const SUM_TOLERANCE_GRAMS = 1.5;
/** Part of a whole, both rounded to 0.1 g [g]. */
const PART_TOLERANCE_GRAMS = 0.15;
/** Declared energy may differ from the factors by this much before it is asked about: rounding, and figures from different analyses. */
export const ENERGY_TOLERANCE_SHARE = 0.08;
export const ENERGY_TOLERANCE_KJ = 60;

/** The figures of a declaration that are there, per 100 g; `carbohydrate` without fibre. */
export interface Declared {
  readonly energyKj?: number;
  readonly energyKcal?: number;
  readonly fat?: number;
  readonly saturates?: number;
  readonly carbohydrate?: number;
  readonly sugars?: number;
  readonly polyols?: number;
  readonly starch?: number;
  readonly fibre?: number;
  readonly protein?: number;
  readonly salt?: number;
  readonly alcohol?: number;
  readonly water?: number;
}

/** Energy [kJ] of what is declared, by the factors. */
export function energyByFactors(declared: Declared): number {
  const polyols = declared.polyols ?? 0;
  return (
    ENERGY_FACTORS.carbohydrate.kj * Math.max(0, (declared.carbohydrate ?? 0) - polyols) +
    ENERGY_FACTORS.polyols.kj * polyols +
    ENERGY_FACTORS.protein.kj * (declared.protein ?? 0) +
    ENERGY_FACTORS.fat.kj * (declared.fat ?? 0) +
    ENERGY_FACTORS.alcohol.kj * (declared.alcohol ?? 0) +
    ENERGY_FACTORS.fibre.kj * (declared.fibre ?? 0)
  );
}

/** What in a declaration cannot be: parts beyond their whole, sums beyond 100 g, energy that the rest cannot give. */
export function checkDeclared(declared: Declared, path: readonly (string | number)[]): readonly Problem[] {
  const problems: Problem[] = [];
  const say = (field: string, expected: string, found: string, remedy: string) =>
    problems.push({ code: "conflict", path: [...path, field], expected, found, remedy });
  const beyond = (part: keyof Declared, whole: keyof Declared) => {
    const [small, large] = [declared[part], declared[whole]];
    if (small !== undefined && large !== undefined && small > large + PART_TOLERANCE_GRAMS) {
      say(
        part,
        `${part} of at most ${large} g, the ${whole}`,
        `${small} g`,
        `Read both figures again: ${part} are a part of the ${whole}.`,
      );
    }
  };
  beyond("saturates", "fat");
  beyond("sugars", "carbohydrate");
  beyond("starch", "carbohydrate");
  beyond("polyols", "carbohydrate");

  const { fat = 0, carbohydrate = 0, fibre = 0, protein = 0, salt = 0, alcohol = 0, water = 0 } = declared;
  const sum = fat + carbohydrate + fibre + protein + salt + alcohol + water;
  if (sum > 100 + SUM_TOLERANCE_GRAMS) {
    say(
      "fat",
      "parts that add to at most 100 g",
      `${round(sum)} g`,
      "Read the figures again, and check that they are per 100 g and not per portion.",
    );
  }
  if (declared.energyKj !== undefined && declared.energyKcal !== undefined) {
    const ratio = declared.energyKj / declared.energyKcal;
    const close = Math.abs(declared.energyKj - declared.energyKcal * 4.184) <= Math.max(8, declared.energyKj * 0.03);
    if (!close) {
      const swapped = ratio > 0 && ratio < 1;
      say(
        "energyKcal",
        `about ${Math.round(declared.energyKj / 4.184)} kcal for ${declared.energyKj} kJ`,
        `${declared.energyKcal} kcal`,
        swapped ? "The two energies look swapped: kJ is the larger figure." : "Read both energies again: 1 kcal is 4.184 kJ.",
      );
      return problems;
    }
  }
  const energyKj = declared.energyKj ?? (declared.energyKcal === undefined ? undefined : declared.energyKcal * 4.184);
  const complete = declared.fat !== undefined && declared.carbohydrate !== undefined && declared.protein !== undefined;
  if (energyKj !== undefined && complete) {
    const byFactors = energyByFactors(declared);
    const tolerance = Math.max(ENERGY_TOLERANCE_KJ, ENERGY_TOLERANCE_SHARE * Math.max(energyKj, byFactors));
    // Fibre that the packet does not declare may explain some of it: at most what is left of 100 g.
    const fibreRoom = declared.fibre === undefined ? Math.max(0, 100 - sum) * ENERGY_FACTORS.fibre.kj : 0;
    if (energyKj > byFactors + tolerance + fibreRoom || energyKj < byFactors - tolerance) {
      say(
        "energyKj",
        `about ${Math.round(byFactors)} kJ, from fat, carbohydrate, fibre and protein`,
        `${Math.round(energyKj)} kJ`,
        Math.abs(energyKj * 4.184 - byFactors) <= tolerance
          ? "The energy looks like kcal typed as kJ."
          : "Read energy, fat, carbohydrate and protein again; polyols or alcohol, if the food has any, have to be given too.",
      );
    }
  }
  return problems;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
