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
