import type { NutrientFigures } from "../ingredients/index.js";
import type { Figure } from "../quantities/index.js";

/**
 * Energy per gram: Annex XIV of Regulation (EU) No 1169/2011. Carbohydrate is without polyols, and fibre counts for itself.
 * The two columns are the regulation's own; they are not turned into each other.
 */
export const ENERGY_FACTORS = {
  energyKj: { fat: 37, carbohydrate: 17, protein: 17, fibre: 8, alcohol: 29, polyols: 10, organicAcids: 13 },
  energyKcal: { fat: 9, carbohydrate: 4, protein: 4, fibre: 2, alcohol: 7, polyols: 2.4, organicAcids: 3 },
} as const;

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
  const factor = ENERGY_FACTORS[unit];
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
      fat.value * factor.fat +
      protein.value * factor.protein +
      available * factor.carbohydrate +
      fibre * factor.fibre +
      alcohol * factor.alcohol +
      polyols * factor.polyols +
      organicAcids * factor.organicAcids,
    // Polyols and acids are unknown in most tables because they are next to nothing; an unknown fibre or alcohol is worth a word.
    source: unsure.includes("fibre") || unsure.includes("alcohol") ? `${SOURCE}; not known: ${unsure.join(", ")}` : SOURCE,
  };
}
