export {
  type AllergenChange,
  type AllergenGain,
  type AllergenMatrix,
  type AllergenSide,
  allergenChange,
  allergenMatrix,
  allergenMatrixCsv,
  allergenMatrixHtml,
  MATRIX_HEADS,
  type MatrixCell,
  type MatrixProduct,
  type MatrixState,
  matrixWord,
} from "./allergenMatrix.js";
export { ean13Modules, gtinCheckDigit, isGtin } from "./barcode.js";
export {
  allergenWord,
  type Designation,
  type DesignationOptions,
  designation,
  type LabelPlace,
  type ListCheck,
} from "./designations.js";
export { addDays, type Durability, durabilityOf } from "./durability.js";
export { type Exemption, nutritionExemption, type Seller } from "./exemptions.js";
export { CAP_HEIGHT_SHARE, X_HEIGHT_SHARE } from "./figtreeMetrics.js";
export { type FrontOfPackBand, type FrontOfPackLine, type FrontOfPackNutrient, frontOfPackBand } from "./frontOfPack.js";
export {
  canBeReconstituted,
  type IngredientList,
  type IngredientListOptions,
  ingredientList,
  type ListedIngredient,
} from "./ingredientList.js";
export {
  FIRST_PAPER,
  type LabelDocument,
  type LabelPaper,
  readLabelDocument,
  sheetOf,
} from "./labelDocument.js";
export { type Label, type LabelInputs, labelFor, labelText } from "./labelFor.js";
export { labelHtml } from "./labelHtml.js";
export { type SheetGrid, sheetGrid, sheetPlaces } from "./labelSheet.js";
export { labelSvg, type SvgOptions } from "./labelSvg.js";
export { LABEL_LANGUAGES, type LabelLanguage, type LabelWords, labelWords } from "./languages.js";
export { type LabelLayout, type LayoutItem, type LayoutOptions, layoutLabel } from "./layout.js";
export { leastXHeightMm, type PackersVerdict, packersRules, tolerableError } from "./netQuantity.js";
export { EU_REFERENCE_INTAKES, euNutrition } from "./nutrition.js";
export type { NutritionCell, NutritionDeclaration, NutritionRow } from "./nutritionLines.js";
export type { Particular } from "./particulars.js";
export { escapeXml, plainText } from "./plainText.js";
export { type LabelDefaults, readLabelInputs } from "./readLabelInputs.js";
export { type Declared, type EuClass, halfUp, roundEu, roundUs, roundUsVitaminPercent, type UsClass } from "./rounding.js";
export { flourRuleOn, LAW_RULES, type LawRule, ruleOn } from "./rules.js";
export { needsOf, PARTICULARS, type ParticularId, SALE_MODES, type SaleMode } from "./saleModes.js";
export type { TextRun } from "./textRuns.js";
export { breakLines, type FontSet, fontPieces, unprintable, widthMm } from "./typeset.js";
export { US_DAILY_VALUES } from "./usDailyValues.js";
export type { StatedForUs } from "./usFurtherRows.js";
export { usNutrition } from "./usNutrition.js";
export {
  type AddedSugarsToAsk,
  addedSugarsOf,
  US_REFERENCE_AMOUNTS,
  type UsReferenceClass,
  type UsServing,
  usReferenceClass,
  usServing,
} from "./usServing.js";
