import type { Formula } from "@evencrumb/core/formula";
import type { Ingredient, IngredientBook } from "@evencrumb/core/ingredients";

/** The ingredients that a worker needs for these formulas and ids, with what they are made from: the whole larder need not be copied over. */
export function ingredientsFor(
  book: IngredientBook,
  formulas: readonly Formula[],
  ids: readonly string[] = [],
): readonly Ingredient[] {
  const used = formulas.flatMap(({ components }) =>
    components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
  );
  const wanted = new Set([...used, ...ids]);
  // A set is walked to its end, also what is added on the way.
  for (const id of wanted) for (const part of book.get(id)?.parts ?? []) wanted.add(part.ingredient);
  return [...wanted].flatMap((id) => book.get(id) ?? []);
}

/** A book of just these, on the worker's side. */
export function bookOf(ingredients: readonly Ingredient[]): IngredientBook {
  const byId = new Map(ingredients.map((ingredient) => [ingredient.id, ingredient]));
  return { all: ingredients, get: (id) => byId.get(id) };
}
