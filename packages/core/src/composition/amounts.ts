import { NUTRIENTS, type Nutrient } from "../ingredients/index.js";
import type { Composition } from "./composition.js";

type Energy = "energyKj" | "energyKcal";

/** Amounts in some weight of a mix [g; kJ and kcal]. `saltGrams` is sodium x 2.5, as a label counts it. */
export type Amounts = { readonly [Name in Exclude<Nutrient, Energy> as `${Name}Grams`]: number } & {
  readonly [Name in Energy]: number;
} & {
  readonly saltGrams: number;
};

/** Regulation (EU) No 1169/2011, Annex I: salt = sodium x 2.5. */
const SALT_PER_SODIUM = 2.5;

/**
 * What a weight of the mix contains.
 *
 * @param grams  a weight of the mix [g], 0 or more: 100, the weight of a portion, or the whole batch
 * @returns  null while nothing is weighed; amounts are lower bounds where `missingFigures` names the nutrient
 */
export function amountsIn(composition: Composition, grams: number): Amounts | null {
  if (!(composition.totalGrams > 0)) return null;
  const factor = grams / composition.totalGrams;
  const amounts: Record<string, number> = {};
  for (const nutrient of NUTRIENTS) {
    const name = nutrient === "energyKj" || nutrient === "energyKcal" ? nutrient : `${nutrient}Grams`;
    amounts[name] = composition.totals[nutrient].amount * factor;
  }
  amounts.saltGrams = amounts.sodiumGrams! * SALT_PER_SODIUM;
  return amounts as unknown as Amounts;
}

/** What 100 g of the mix contains; null while nothing is weighed. */
export const per100g = (composition: Composition): Amounts | null => amountsIn(composition, 100);

/** What one of equal portions contains; null while nothing is weighed or for no portions. */
export const perPortion = (composition: Composition, portions: number): Amounts | null =>
  portions > 0 ? amountsIn(composition, composition.totalGrams / portions) : null;

export interface MissingFigures {
  readonly ingredient: string;
  readonly name: string;
  /** Weight [g] of this ingredient in the mix: how much hangs on it. */
  readonly useGrams: number;
  readonly nutrients: readonly Nutrient[];
  readonly why: string;
}

/**
 * Figures that no source gives, by ingredient, the heaviest first.
 *
 * @param nutrients  only these; a label needs eight of them and not galactose
 */
export function missingFigures(composition: Composition, nutrients: readonly Nutrient[] = NUTRIENTS): readonly MissingFigures[] {
  const byIngredient = new Map<string, { name: string; why: string; nutrients: Nutrient[]; useGrams: number }>();
  for (const nutrient of nutrients) {
    for (const { ingredient, name, source, useGrams } of composition.totals[nutrient].missing) {
      const entry = byIngredient.get(ingredient);
      if (entry === undefined) byIngredient.set(ingredient, { name, why: source, nutrients: [nutrient], useGrams });
      else if (!entry.nutrients.includes(nutrient)) entry.nutrients.push(nutrient);
      else if (entry.nutrients.length === 1) entry.useGrams += useGrams;
    }
  }
  return [...byIngredient]
    .map(([ingredient, entry]) => ({ ingredient, ...entry }))
    .sort((a, b) => b.useGrams - a.useGrams || (a.ingredient < b.ingredient ? -1 : 1));
}
