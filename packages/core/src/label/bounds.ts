import type { Composition, Contribution } from "../composition/index.js";
import type { Nutrient } from "../ingredients/index.js";

export interface NutrientBound {
  /** Names of the ingredients that lack the figure; without weight they lack nothing. */
  readonly lacking: readonly string[];
  /** The most that all of them together can hold [g; kJ, kcal for the energies]. */
  readonly mostGrams: number;
  /** Of fibre: the most of it that the carbohydrate figures hold, which is nothing where a table adds sugars and starch up. */
  readonly mostInsideGrams: number;
}

/** Together no more than the weight of the food. */
const MACROS: readonly Nutrient[] = ["water", "protein", "fat", "carbohydrate", "ash", "alcohol"];
const WITHIN: Partial<Record<Nutrient, Nutrient>> = {
  saturates: "fat",
  monounsaturates: "fat",
  polyunsaturates: "fat",
  sugars: "carbohydrate",
  starch: "carbohydrate",
  fibre: "carbohydrate",
  polyols: "carbohydrate",
  organicAcids: "carbohydrate",
};
/** By how much the parts of a carbohydrate may exceed it in the tables [g in 100 g]: different analyses, see `larder.test.ts`. */
const FIBRE_SLACK = 0.6;
/** What carbohydrate holds beside fibre; starch is left out, because tables take it from other analyses (cashews, oats). */
const PARTS: readonly Nutrient[] = ["sugars", "polyols"];
/** Sugars and starch that add up to the carbohydrate but for the last digit [g in 100 g] are how it was made. */
const SUM_SLACK = 0.02;
/** Highest share of sodium in an edible salt: sodium carbonate, 46/106 (computed from the atomic weights). */
const SODIUM_IN_ASH = 46 / 106;

/**
 * The most that missing figures can be, from what is known of the same ingredient: parts of a food are no more than its weight,
 * saturates no more than its fat, sugars no more than its carbohydrate, fibre no more than sugars leave of it, sodium no more than its ash allows.
 */
export function nutrientBounds(finished: Composition): (nutrient: Nutrient) => NutrientBound {
  const done = new Map<Nutrient, NutrientBound>();
  let knownByUse: ReadonlyMap<string, ReadonlyMap<Nutrient, number>> | undefined;
  const most = (nutrient: Nutrient, use: Contribution): number => {
    knownByUse ??= knownAmounts(finished);
    const known = knownByUse.get(keyOf(use)) ?? new Map<Nutrient, number>();
    const room = Math.max(0, use.useGrams - MACROS.reduce((sum, macro) => sum + (known.get(macro) ?? 0), 0));
    if (nutrient === "energyKj") return room * 37;
    if (nutrient === "energyKcal") return room * 9;
    if (nutrient === "sodium") return (known.get("ash") ?? room) * SODIUM_IN_ASH;
    if (nutrient === "fibre") {
      // Some tables print carbohydrate without fibre: then fibre is in what the row leaves open; else it is what sugars leave.
      const within = PARTS.reduce((rest, part) => rest - (known.get(part) ?? 0), known.get("carbohydrate") ?? room);
      return Math.max(0, within, room) + (FIBRE_SLACK * use.useGrams) / 100;
    }
    const whole = WITHIN[nutrient];
    return whole === undefined ? room : (known.get(whole) ?? room);
  };
  return (nutrient) => {
    const found = done.get(nutrient);
    if (found !== undefined) return found;
    const missing = finished.totals[nutrient].missing.filter(({ useGrams }) => useGrams > 0);
    const inside = (use: Contribution): number => {
      const known = knownByUse?.get(keyOf(use)) ?? new Map<Nutrient, number>();
      const sum = ["sugars", "starch", "polyols"].reduce((all, part) => all + (known.get(part as Nutrient) ?? 0), 0);
      const isSum = Math.abs((known.get("carbohydrate") ?? Number.NaN) - sum) <= (SUM_SLACK * use.useGrams) / 100;
      return nutrient === "fibre" && isSum ? 0 : most(nutrient, use);
    };
    const bound: NutrientBound = {
      lacking: [...new Set(missing.map(({ name }) => name))],
      mostGrams: missing.reduce((sum, use) => sum + most(nutrient, use), 0),
      mostInsideGrams: missing.reduce((sum, use) => sum + inside(use), 0),
    };
    done.set(nutrient, bound);
    return bound;
  };
}

/** What is known of each use. Two uses of the same ingredient and weight in a stage hold the same. */
function knownAmounts(finished: Composition): ReadonlyMap<string, ReadonlyMap<Nutrient, number>> {
  const all = new Map<string, Map<Nutrient, number>>();
  for (const nutrient of [...MACROS, ...PARTS, "starch"] as const) {
    for (const use of finished.totals[nutrient].contributions) {
      if (use.ingredient === "" || use.amount === undefined) continue;
      const entry = all.get(keyOf(use)) ?? new Map<Nutrient, number>();
      entry.set(nutrient, use.amount);
      all.set(keyOf(use), entry);
    }
  }
  return all;
}

const keyOf = ({ component, stage, ingredient, useGrams }: Contribution) =>
  `${component}\u0000${stage}\u0000${ingredient}\u0000${useGrams}`;
