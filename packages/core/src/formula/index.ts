export {
  addComponent,
  addStage,
  addUse,
  type ComponentChange,
  changeComponent,
  changeFormula,
  changeStage,
  changeUse,
  type Edited,
  type FormulaChange,
  freeComponentName,
  type IngredientPlace,
  moveComponent,
  moveStage,
  moveUse,
  type PercentEdit,
  removeComponent,
  removeStage,
  removeUse,
  type StageChange,
  type StagePlace,
  setGrams,
  setIngredientTotal,
  setPercent,
  splitIngredient,
  type UseChange,
} from "./edit.js";
export { MAX_FILE_CHARACTERS, parseFormulaFile } from "./file.js";
export { formulaFileSchema } from "./fileSchema.js";
export {
  COMPONENT_KINDS,
  type Component,
  type ComponentKind,
  type Formula,
  type Stage,
  type Target,
  type TinUse,
  type Use,
} from "./formula.js";
export { FORMULA_FILE_VERSION } from "./formulaShape.js";
export {
  type ComponentPercentages,
  componentGrams,
  componentPercentages,
  type FormulaPercentages,
  formulaGrams,
  type GroupPercentages,
  PERCENT_BASES,
  type PercentBasis,
  percentages,
  type StagePercentages,
  type UsePercentages,
  type UsePlace,
} from "./percent.js";
export { validateFormula } from "./validate.js";
export { writeFormulaFile } from "./writeFile.js";
