export { type Demand, demandWords, type Measure, measureWords, RELATIVE_SWEETNESS } from "./demands.js";
export { type HighsLike, lpText, solverFromHighs } from "./highs.js";
export {
  type ModelRow,
  type ModelVariable,
  type OptimisationModel,
  type OptimisationSolver,
  objectiveOf,
  type SolverAnswer,
} from "./model.js";
export { type Optimum, polishQuadratic } from "./polish.js";
export {
  type BentDemand,
  type DemandOutcome,
  type RebalanceAnswer,
  type RebalanceChange,
  type RebalanceRequest,
  rebalance,
} from "./rebalance.js";
export { offeredSwap, SWAPS, type Swap } from "./swaps.js";
