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
  for (const ingredient of own) byId.set(ingredient.id, ingredient);
  const all = [...byId.values()];
  return { all, get: (id) => byId.get(id) };
}
