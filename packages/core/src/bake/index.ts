export type { AfterAnswer, AfterPlan } from "./afterOven.js";
export {
  BAKE_SPREADS,
  type BakeBands,
  type BakeDraw,
  type BakeOutcomes,
  bakeDraws,
  gatherBakeBands,
  runBakeDraws,
} from "./bands.js";
export { type BatterNumbers, batterFromComposition, EQUAL_WEIGHTS_BATTER } from "./batter.js";
export {
  BAD_RECORD_DEVIATIONS,
  type Calibration,
  calibrate,
  explainPositions,
  type OvenRecord,
  RECORD_SPREADS,
  type RecordResidual,
} from "./calibrate.js";
export { type BakeCase, type ProbePlace, readBakeCase, type SurfaceCondition, type VapourInput } from "./caseInput.js";
export { DEFAULT_MOIST } from "./closures.js";
export { bakeOfComponent, type ComponentBakeOptions, checkBakeRequest, parseOven } from "./componentBake.js";
export type { MoistClosures } from "./heatWater.js";
export { decimalReductionSeconds, logReductions } from "./lethality.js";
export { bakeInOtherTins, type OtherTin } from "./otherTins.js";
export { OVEN_PRIOR, type OvenFit, type OvenSettings, ovenSchedule } from "./oven.js";
export {
  type BakeRecord,
  type OvenDocument,
  type PositionCalibration,
  readBakeRecord,
  readOvenDocument,
} from "./ovenDocuments.js";
export {
  type BakeHooks,
  type BakePrediction,
  type BakeRequest,
  type BakeSection,
  type BakeVariation,
  predictBake,
} from "./predictBake.js";
export { ovenRecordOf } from "./recordForCalibration.js";
export { type CaseAnswer, type CaseOptions, solveCase } from "./solveCase.js";
export { boilingPoint, pressureAtAltitude, saturationPressure } from "./steam.js";
