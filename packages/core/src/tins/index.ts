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
export type { BoxSize, RoundSize, Tin, TinAssumption, TinFinish, TinKind, TinMaterial, TinShape } from "./tin.js";
export { cavityCount, makeTin, TIN_FINISHES, TIN_MATERIALS, USUAL_WALLS } from "./tin.js";
