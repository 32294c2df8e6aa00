export { ean13Modules, gtinCheckDigit, isGtin } from "./barcode.js";
export { allergenWord, type Designation, designation, GB_FLOUR_RULES, gbFlourRule, type LabelPlace } from "./designations.js";
export { type FrontOfPackBand, type FrontOfPackNutrient, frontOfPackBand } from "./frontOfPack.js";
export {
  type IngredientList,
  type IngredientListOptions,
  ingredientList,
  type ListedIngredient,
  runsOf,
  type TextRun,
} from "./ingredientList.js";
export { leastXHeightMm, type PackersVerdict, packersRules, tolerableError } from "./netQuantity.js";
export {
  EU_REFERENCE_INTAKES,
  euNutrition,
  type NutritionCell,
  type NutritionDeclaration,
  type NutritionRow,
  US_DAILY_VALUES,
  usNutrition,
} from "./nutrition.js";
export { type Declared, type EuClass, halfUp, roundEu, roundUs, roundUsVitaminPercent, type UsClass } from "./rounding.js";
