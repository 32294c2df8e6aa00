import type { MoistClosures } from "./heatWater.js";

/**
 * The closures of the coupled model where nothing better is known. Assumptions, unless said otherwise.
 *
 * - heat capacities: solids of a rich cake by Choi and Okos near 60 °C (computed); water 4180 (handbook value, from memory)
 * - water activity X / (X + 0.06): about 0.88 in a fresh cake
 * - open share over tortuosity 0.1: first estimates with three very different cakes
 * - vapour enthalpy 2500.9 + 1.75 t kJ/kg: steam tables (from memory) between 0 and 120 °C within 0.2 %
 * - pressure-driven flow: a stand-in for Darcy flow, whose true permeability would only make the cap sharper
 */
export const DEFAULT_MOIST: MoistClosures = {
  solidsHeatCapacityJKgK: 1700,
  waterHeatCapacityJKgK: 4180,
  activityHalfKgKg: 0.06,
  pathShare: 0.1,
  pressurePa: 101_325,
  vapourEnthalpyJKg: 2.5009e6,
  vapourHeatCapacityJKgK: 1750,
  pressureFlowFrom: 0.9,
  pressureFlowWidth: 0.2,
  pressureFlowGain: 300,
  liquidDiffusivityM2S: 0,
};
