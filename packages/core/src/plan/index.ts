export {
  type BatchSheet,
  type BatchSheetOptions,
  batchSheet,
  type SheetAllergen,
  type SheetAllergens,
  type SheetComponent,
  type SheetField,
  type SheetLine,
  type SheetSettings,
  type SheetStage,
  type SheetTin,
  sheetGrams,
  targetWords,
} from "./batchSheet.js";
export { batchSheetHtml } from "./batchSheetHtml.js";
export { benchCautions, type SheetCaution } from "./cautions.js";
export { type Driver, driversOf } from "./changeReasons.js";
export {
  type Consequence,
  type ConsequenceOptions,
  type ConsequenceReport,
  type ConsequenceTopic,
  consequences,
} from "./consequences.js";
export { sheetScale } from "./sheetLayout.js";
