export { type Acidity, acidityOf } from "./acidity.js";
export {
  type AssembledCake,
  type AssembledLayer,
  type AssembleOptions,
  assembleCake,
  type CoverNeed,
  type CoverOptions,
  coverNeeds,
  type LayerRole,
  spreadDensity,
} from "./assembly.js";
export {
  type BentLimit,
  bentDemandOf,
  type Limits,
  setTemperatureDemand,
  solidFatDemand,
  waterActivityDemand,
} from "./bentDemands.js";
export { type CakeLayer, type CakeMoisture, type MoistureOptions, moistureInCake } from "./cakeLayers.js";
export { type CoolingVerdict, coolingVerdict, type LoggedTemperature } from "./coolingLog.js";
export {
  type ComponentKeeping,
  type Keeping,
  type KeepOptions,
  type KeptAt,
  keepFormula,
  type MeasuredKeeping,
  type Place,
} from "./keepFormula.js";
export { type Layer, type LayerOptions, type LayerProfile, moistureBetweenLayers } from "./layers.js";
export { type MouldFreeLife, mouldFreeLife } from "./mouldFreeLife.js";
export { norrish } from "./norrish.js";
export type { PerishableKind } from "./perishable.js";
export { saltOsmoticCoefficient, saltWaterActivity } from "./salt.js";
export { SATURATED_SALTS, type SaturatedSalt, saturatedSaltHumidity } from "./saturatedSalts.js";
export { SOLUTES, type Solute, type SoluteName } from "./solutes.js";
export { FLOUR_ISOTHERM, heldWater, type SmithIsotherm } from "./sorption.js";
export { type StorageClass, type StorageTable, storageClass } from "./storageClass.js";
export { type PlanStep, storagePlan } from "./storagePlan.js";
export { sucroseSolubility } from "./sucroseSolubility.js";
export { CHILLED_DAYS, type FreezerLife } from "./usualDays.js";
export { solutionActivity, type WaterActivity, type WaterPhase, waterActivity } from "./waterActivity.js";
export { type ReadPhase, waterPhaseOf } from "./waterPhase.js";
export { type WhippingVerdict, whippingVerdict } from "./whipping.js";
