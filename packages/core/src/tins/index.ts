export type { BatterDensity, BatterFamily, UsedDensity } from "./batter.js";
export { BATTER_DENSITIES, batterDensity, batterFamily, batterVolumeMl } from "./batter.js";
export { compareTins, type TinComparison } from "./compareTins.js";
export type { TinCaution, TinFill, TinFilling } from "./filling.js";
export {
  FULLEST_SHARE,
  fillingCautions,
  readTinsFor,
  shareOut,
  tinComponent,
  tinFilling,
  tinsOf,
  USUAL_FILL_SHARE,
} from "./filling.js";
export { formatTin, type TinUnits } from "./formatTin.js";
export {
  effectiveShape,
  type FilledTin,
  fillDepth,
  filledTin,
  geometricCapacityMl,
  tinCapacityMl,
  tinDepthMm,
  volumeAtDepth,
} from "./geometry.js";
export { type CountedTin, type NamedTin, parseTin, parseTins, resolveTin } from "./parseTin.js";
export { type Refilled, refillTins } from "./refillTins.js";
export { type BatchRequest, type ScaleBatchOptions, type ScaledBatch, scaleBatch, unscaledBatch } from "./scaleBatch.js";
export { type FillRule, type ScaleToTinsOptions, scaleToTins, type TinScaling } from "./scaleToTins.js";
export type { BoxSize, RoundSize, Tin, TinAssumption, TinFinish, TinKind, TinMaterial, TinShape } from "./tin.js";
export { cavityCount, makeTin, TIN_FINISHES, TIN_MATERIALS, USUAL_WALLS } from "./tin.js";
