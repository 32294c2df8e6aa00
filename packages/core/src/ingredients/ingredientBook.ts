import { standardIngredients } from "./expandLarder.js";
import type { Ingredient, IngredientBook } from "./ingredient.js";

/**
 * The shipped ingredients together with the baker's own.
 *
 * @param own  the baker's ingredients; one with the id of a shipped ingredient takes its place, and among equals the last wins
 * @returns  a book; keep it and pass it on, because the search keeps its index beside it
 */
export function createIngredientBook(own: readonly Ingredient[] = []): IngredientBook {
  const byId = new Map<string, Ingredient>();
  for (const ingredient of standardIngredients()) byId.set(ingredient.id, ingredient);
  for (const ingredient of own) byId.set(ingredient.id, withFurther(ingredient, byId.get(ingredient.id)));
  const all = [...byId.values()];
  return { all, get: (id) => byId.get(id) };
}

/** The baker's packs and statements on a shipped ingredient are kept as a copy; what the copy lacks or does not know, the larder may by now. */
function withFurther(own: Ingredient, shipped: Ingredient | undefined): Ingredient {
  if (shipped === undefined || own.basis !== shipped.basis || own.source !== shipped.source) return own;
  const known = Object.entries(own.furtherPer100g ?? {}).filter(([, figure]) => figure.known);
  return { ...own, furtherPer100g: { ...shipped.furtherPer100g, ...Object.fromEntries(known) } };
}
