export {
  ALLERGEN_KINDS,
  ALLERGEN_WORDS,
  type AllergenSummary,
  formatAllergen,
  hasAllergen,
  summariseAllergens,
  uniteAllergens,
} from "./allergens.js";
export { type CommonName, readCommonName } from "./commonNames.js";
export { type CompoundDescription, compoundIngredient } from "./compound.js";
export { displayName, type NameStyle } from "./displayName.js";
export { FOOD_TABLES, standardIngredients } from "./expandLarder.js";
export {
  FURTHER_NUTRIENTS,
  FURTHER_WORDS,
  type FurtherFigures,
  type FurtherNutrient,
  furtherFigure,
} from "./further.js";
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
  ROLES,
  type Role,
} from "./ingredient.js";
export { createIngredientBook } from "./ingredientBook.js";
export { pricePerKgMinor } from "./pack.js";
export { ingredientFromPacket, type Packet, type PacketDeclaration } from "./packet.js";
export { ENERGY_FACTORS } from "./plausible.js";
export { readIngredient } from "./readIngredient.js";
export { type IngredientMatch, type SearchOptions, searchIngredients } from "./searchIngredients.js";
export { type FurtherStatement, furtherStatedOf, stateFurther } from "./statedFurther.js";
