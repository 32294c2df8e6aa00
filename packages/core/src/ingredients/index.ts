export { type CommonName, readCommonName } from "./commonNames.js";
export { displayName, type NameStyle } from "./displayName.js";
export { FOOD_TABLES, standardIngredients } from "./expandLarder.js";
export {
  ALLERGENS,
  type Allergen,
  type AllergenName,
  type CompoundPart,
  type HouseholdWeight,
  type Ingredient,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Pack,
  type Role,
} from "./ingredient.js";
export { createIngredientBook } from "./ingredientBook.js";
export { type IngredientMatch, type SearchOptions, searchIngredients } from "./searchIngredients.js";
