import { type Allergen, type IngredientBook, uniteAllergens } from "../ingredients/index.js";
import type { AllergenEntry, AllergenSummary } from "./composition.js";

/**
 * Allergens of a list of ingredients, in the order of Annex II of Regulation (EU) 1169/2011.
 *
 * @param ids  ingredients as the formula names them, weighed or not: a pinch counts, and so does a line still to be weighed
 * @returns  what is in it, what it may contain as the baker stated, and what the packets have to be read for. What is in it by
 *   one ingredient is not repeated as possible by another. Ingredients the book does not know are listed: nothing is known of
 *   their allergens, so a summary with any of them is not complete.
 */
export function summariseAllergens(ids: readonly string[], book: IngredientBook): AllergenSummary {
  const contains = new Map<string, Gathered>();
  const mayContain = new Map<string, Gathered>();
  const checkSupplier = new Map<string, Gathered>();
  const unknown: string[] = [];
  for (const id of new Set(ids)) {
    const ingredient = book.get(id);
    if (ingredient === undefined) {
      unknown.push(id);
      continue;
    }
    gather(contains, ingredient.contains, ingredient.name);
    gather(mayContain, ingredient.mayContain, ingredient.name);
    gather(checkSupplier, ingredient.checkSupplier, ingredient.name);
  }
  for (const key of contains.keys()) {
    mayContain.delete(key);
    checkSupplier.delete(key);
  }
  return {
    contains: inOrder(contains),
    mayContain: inOrder(mayContain),
    checkSupplier: inOrder(checkSupplier),
    unknownIngredients: unknown,
  };
}

interface Gathered {
  readonly allergen: Allergen;
  readonly from: Set<string>;
}

function gather(into: Map<string, Gathered>, allergens: readonly Allergen[], name: string): void {
  for (const { allergen, kind } of allergens) {
    const key = `${allergen} ${kind ?? ""}`;
    const entry = into.get(key) ?? { allergen: kind === undefined ? { allergen } : { allergen, kind }, from: new Set() };
    entry.from.add(name);
    into.set(key, entry);
  }
}

function inOrder(gathered: ReadonlyMap<string, Gathered>): readonly AllergenEntry[] {
  const entries = [...gathered.values()];
  return uniteAllergens([entries.map(({ allergen }) => allergen)]).map((allergen) => ({
    ...allergen,
    from: [...entries.find((entry) => entry.allergen === allergen)!.from],
  }));
}
