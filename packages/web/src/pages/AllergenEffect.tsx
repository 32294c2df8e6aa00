import { createIngredientBook, formatAllergen, type Ingredient } from "@evencrumb/core/ingredients";
import { allergenChange } from "@evencrumb/core/label";
import { useMemo } from "react";
import { useHouseState } from "../app/useHouse.js";
import { useProducts } from "../parts/useProducts.js";

/** What a changed ingredient does to the allergens of everything that is made, before it is saved. */
export function AllergenEffect({ ingredient }: { ingredient: Ingredient }) {
  const { book, ownIngredients } = useHouseState();
  const products = useProducts();
  const changes = useMemo(() => {
    if (products === null) return [];
    const others = ownIngredients.map(({ body }) => body).filter(({ id }) => id !== ingredient.id);
    const after = createIngredientBook([...others, ingredient]);
    return allergenChange({ products, book }, { products, book: after }).filter(
      ({ gained, lost }) => gained.length > 0 || lost.length > 0,
    );
  }, [products, book, ownIngredients, ingredient]);
  if (changes.length === 0) return null;
  return (
    <div role="status">
      <p className="caution-words">This changes the allergens of what you make:</p>
      <ul className="problems">
        {changes.map(({ id, name, gained, lost }) => (
          <li key={id}>
            {name}
            {gained.length > 0 ? ` gains ${gained.map(formatAllergen).join(", ")}` : ""}
            {gained.length > 0 && lost.length > 0 ? " and" : ""}
            {lost.length > 0 ? ` no longer holds ${lost.map(formatAllergen).join(", ")}` : ""}.
          </li>
        ))}
      </ul>
      <p className="muted small">Labels and lists that are already printed are then out of date.</p>
    </div>
  );
}
