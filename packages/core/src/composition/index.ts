export { summariseAllergens } from "./allergens.js";
export { type Amounts, amountsIn, type MissingFigures, missingFigures, per100g, perPortion } from "./amounts.js";
export { composeFormula, composePart } from "./compose.js";
export type {
  AllergenEntry,
  AllergenSummary,
  Composition,
  Contribution,
  FormulaComposition,
  PartComposition,
  Total,
  UnweighedUse,
} from "./composition.js";
export { energyOf } from "./energy.js";
export { composeFurther, type FurtherComposition, type FurtherTotal, type FurtherTotals } from "./further.js";
export type { RatioRange } from "./ratioRanges.js";
export {
  type BalanceReport,
  balanceOf,
  CAKE_FAMILIES,
  type CakeFamily,
  RATIO_NAMES,
  type Ratio,
  type RatioName,
  type Standing,
  type SugarInWater,
  setTemperature,
  sugarInWater,
} from "./ratios.js";
export {
  type FatPart,
  SERVING_TEMPERATURES_C,
  type Softness,
  type SolidFatAt,
  softnessOf,
  solidShare,
  type TendernessRatio,
  type UnknownFat,
} from "./solidFat.js";
export { type CurvePoint, type FatName, SOLID_FAT_CURVES, type SolidFatCurve } from "./solidFatCurves.js";
