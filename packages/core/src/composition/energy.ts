import { ENERGY_FACTORS, type NutrientFigures } from "../ingredients/index.js";
import type { Figure } from "../quantities/index.js";

const SOURCE = "computed from the parts by the factors of Annex XIV of Regulation (EU) 1169/2011";

const known = new WeakMap<NutrientFigures, { readonly energyKj: Figure; readonly energyKcal: Figure }>();

/**
 * Energy of an ingredient [kJ or kcal per 100 g], computed from its parts and not read from its table, because tables use
 * factors of their own.
 *
 * `carbohydrate` holds fibre, and polyols and organic acids where they are inside it; what they take is taken off first.
 * Without fat, protein or carbohydrate there is no energy figure. An unknown fibre, alcohol, polyol or organic acid is left where
 * it stands (in the carbohydrate, or out of the sum), and the source says so.
 */
export function energyOf(per100g: NutrientFigures, unit: "energyKj" | "energyKcal"): Figure {
  // Each figure is asked for on every keystroke; an ingredient's figures never change.
  let both = known.get(per100g);
  if (both === undefined) {
    both = { energyKj: compute(per100g, "energyKj"), energyKcal: compute(per100g, "energyKcal") };
    known.set(per100g, both);
  }
  return both[unit];
}

function compute(per100g: NutrientFigures, unit: "energyKj" | "energyKcal"): Figure {
  // Each unit has a column of its own in the regulation; they are not turned into each other.
  const column = unit === "energyKj" ? "kj" : "kcal";
  const { fat, protein, carbohydrate } = per100g;
  if (!fat.known || !protein.known || !carbohydrate.known) {
    const missing = [["fat", fat] as const, ["protein", protein] as const, ["carbohydrate", carbohydrate] as const];
    return {
      known: false,
      why: `no figure for ${missing.flatMap(([name, figure]) => (figure.known ? [] : [name])).join(" and ")}`,
    };
  }
  const unsure: string[] = [];
  const or0 = (name: "fibre" | "alcohol" | "polyols" | "organicAcids", words: string): number => {
    const figure = per100g[name];
    if (figure.known) return figure.value;
    unsure.push(words);
    return 0;
  };
  const fibre = or0("fibre", "fibre");
  const alcohol = or0("alcohol", "alcohol");
  const polyols = or0("polyols", "polyols");
  const organicAcids = or0("organicAcids", "organic acids");
  // In a vinegar the acid stands beside the carbohydrate and not in it, hence no less than 0.
  const available = Math.max(0, carbohydrate.value - fibre - polyols - organicAcids);
  return {
    known: true,
    value:
      fat.value * ENERGY_FACTORS.fat[column] +
      protein.value * ENERGY_FACTORS.protein[column] +
      available * ENERGY_FACTORS.carbohydrate[column] +
      fibre * ENERGY_FACTORS.fibre[column] +
      alcohol * ENERGY_FACTORS.alcohol[column] +
      polyols * ENERGY_FACTORS.polyols[column] +
      organicAcids * ENERGY_FACTORS.organicAcids[column],
    // Polyols and acids are unknown in most tables because they are next to nothing; an unknown fibre or alcohol is worth a word.
    source: unsure.includes("fibre") || unsure.includes("alcohol") ? `${SOURCE}; not known: ${unsure.join(", ")}` : SOURCE,
  };
}
