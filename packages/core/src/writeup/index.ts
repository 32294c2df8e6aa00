export { type ReaderAmount, type ReaderMeasures, readerAmount } from "./amounts.js";
export { type ImportedRecipe, importRecipe } from "./importRecipe.js";
export { isoDuration, recipeData } from "./recipeData.js";
export { writeUpHtml } from "./renderHtml.js";
export { writeUpMarkdown, writeUpText } from "./renderText.js";
export {
  ROUNDING_TOLERANCE,
  type RoundingEffect,
  type WriteUp,
  type WriteUpOptions,
  type WrittenIngredient,
  type WrittenPart,
  writeUp,
} from "./writeUp.js";
