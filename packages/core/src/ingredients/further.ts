import type { Figure } from "../quantities/index.js";
import type { Ingredient } from "./ingredient.js";

/**
 * What a US Nutrition Facts panel declares beyond `NUTRIENTS`, per 100 g as sold, each in the unit of its name (`Mcg`: micrograms).
 * Kept apart, because only a label asks for them: the sheet recomputes `NUTRIENTS` on every keystroke.
 */
export const FURTHER_NUTRIENTS = ["transFatGrams", "cholesterolMg", "vitaminDMcg", "calciumMg", "ironMg", "potassiumMg"] as const;
export type FurtherNutrient = (typeof FURTHER_NUTRIENTS)[number];

/** Absent: nobody stated it. */
export type FurtherFigures = { readonly [Name in FurtherNutrient]?: Figure };

/** In words, with the unit; and the most that 100 g of anything edible can hold, to find slips. */
export const FURTHER_WORDS: Readonly<
  Record<FurtherNutrient, { readonly name: string; readonly unit: "g" | "mg" | "µg"; readonly mostPer100g: number }>
> = {
  transFatGrams: { name: "trans fat", unit: "g", mostPer100g: 100 },
  // Dried egg yolk, the richest of the larder, holds 2307 mg (SR28 01137).
  cholesterolMg: { name: "cholesterol", unit: "mg", mostPer100g: 5000 },
  vitaminDMcg: { name: "vitamin D", unit: "µg", mostPer100g: 5000 },
  // Pure salts: calcium carbonate is 40 % calcium, potassium carbonate 56.6 % potassium, elemental iron all iron (atomic weights).
  calciumMg: { name: "calcium", unit: "mg", mostPer100g: 72_000 },
  ironMg: { name: "iron", unit: "mg", mostPer100g: 100_000 },
  potassiumMg: { name: "potassium", unit: "mg", mostPer100g: 70_000 },
};

const NO_FAT: Figure = { known: true, value: 0, source: "assumed zero because it holds no fat" };
const NOT_STATED: Figure = { known: false, why: "not stated" };
const NOT_HELD: Figure = { known: false, why: "not in the table that was read for it" };

/** One of the further figures of an ingredient per 100 g. A food without fat holds no trans fat, whoever says nothing of it. */
export function furtherFigure(ingredient: Ingredient, nutrient: FurtherNutrient): Figure {
  const figure = ingredient.furtherPer100g?.[nutrient];
  if (figure?.known) return figure;
  const { fat } = ingredient.per100g;
  if (nutrient === "transFatGrams" && fat.known && fat.value === 0) return NO_FAT;
  return figure ?? (ingredient.basis === "own" || ingredient.basis === "compound" ? NOT_STATED : NOT_HELD);
}
