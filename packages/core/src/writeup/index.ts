export { READER_MEASURES, type ReaderAmount, type ReaderMeasures, readerAmount } from "./amounts.js";
export { type ImportedRecipe, importedFormula, importRecipe, isRecipeData } from "./importRecipe.js";
export { forReader } from "./methodText.js";
export { heldTogether } from "./plainText.js";
export { readerBakeTime, readerOven } from "./readerOven.js";
export { readerTin } from "./readerTin.js";
export { isoDuration, recipeData } from "./recipeData.js";
export { writeUpHtml } from "./renderHtml.js";
export { allergenSentences, factsOf, takeCare, writeUpMarkdown, writeUpText } from "./renderText.js";
export { ROUNDING_TOLERANCE, type RoundingEffect } from "./roundingEffects.js";
export {
  type WriteUp,
  type WriteUpOptions,
  type WrittenIngredient,
  type WrittenPart,
  writeUp,
  writeUpBatch,
} from "./writeUp.js";
