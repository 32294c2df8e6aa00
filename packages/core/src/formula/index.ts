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
