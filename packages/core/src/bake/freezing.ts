/** Latent heat of ice [J/kg] (ASHRAE Handbook-Refrigeration ch. 9, seen). */
export const ICE_LATENT_J_KG = 333_600;

/**
 * Share of the whole that is ice (Chen; Miles), 0 above the freezing point.
 *
 * Source: ASHRAE Handbook-Refrigeration ch. 9 (seen); Fricke and Becker (2001) rank it best for ice.
 * @param boundFraction  water that never freezes, of the whole
 */
export function iceFractionChen(
  waterFraction: number,
  boundFraction: number,
  freezingPointC: number,
  temperatureC: number,
): number {
  if (temperatureC >= freezingPointC) return 0;
  return Math.max(0, waterFraction - boundFraction) * (1 - freezingPointC / temperatureC);
}

/** The same after Tchigeov (1979), as in ASHRAE ch. 9 (from memory). */
export function iceFractionTchigeov(waterFraction: number, freezingPointC: number, temperatureC: number): number {
  if (temperatureC >= freezingPointC) return 0;
  return (1.105 * waterFraction) / (1 + 0.7138 / Math.log(freezingPointC - temperatureC + 1));
}

/** Chen's heat capacity of unfrozen food [J/(kg K)] from its solids (ASHRAE ch. 9, from memory). */
export const unfrozenHeatCapacity = (solids: number): number => 1000 * (4.19 - 2.3 * solids - 0.628 * solids ** 3);

/** Chen's apparent heat capacity below the freezing point [J/(kg K)] (ASHRAE ch. 9, seen). */
export const frozenHeatCapacity = (
  solids: number,
  freezableWater: number,
  freezingPointC: number,
  temperatureC: number,
): number => 1000 * (1.55 + 1.26 * solids) - (freezableWater * ICE_LATENT_J_KG * freezingPointC) / temperatureC ** 2;

/**
 * Enthalpy [J/kg], 0 at -40 °C (Chen; Chang and Tao for the value at the freezing point; ASHRAE ch. 9, from memory).
 * The two branches do not meet exactly at the freezing point; use it for whole freezing loads, not for small steps there.
 */
export function foodEnthalpy(
  food: { readonly water: number; readonly bound: number; readonly freezingPointC: number },
  temperatureC: number,
): number {
  const solids = 1 - food.water;
  const tf = food.freezingPointC;
  if (temperatureC >= tf) return 1000 * (9.79246 + 405.096 * food.water) + (temperatureC - tf) * unfrozenHeatCapacity(solids);
  const reference = -40;
  return (
    (temperatureC - reference) *
    (1000 * (1.55 + 1.26 * solids) - ((food.water - food.bound) * ICE_LATENT_J_KG * tf) / (reference * temperatureC))
  );
}

/**
 * Freezing point [°C] of the water phase by the ideal law of solutes.
 *
 * @param molesPerKgWater  of dissolved particles per kg of water that can freeze
 * Source: cryoscopic constant of water 1.86 K kg/mol (handbook, from memory). Real sugar solutions freeze a little lower: sucrose 40 %
 * at -4.45 °C measured (CRC Handbook, from memory) against -3.6 °C here.
 */
export const idealFreezingPointC = (molesPerKgWater: number): number => -1.86 * molesPerKgWater;

const PLANK = { slab: [1 / 2, 1 / 8], cylinder: [1 / 4, 1 / 16], sphere: [1 / 6, 1 / 24] } as const;

/**
 * Freezing time [s] after Plank: for quick checks only; it knows neither the heat above freezing nor a falling freezing point.
 *
 * Source: Encyclopaedia of Food Sciences and Nutrition, freezing times, eq. 2 (seen).
 */
export function plankSeconds(body: {
  readonly shape: keyof typeof PLANK;
  /** Thickness or diameter [m]. */
  readonly sizeM: number;
  readonly densityKgM3: number;
  readonly latentJKg: number;
  readonly freezingPointC: number;
  readonly airC: number;
  readonly hWM2K: number;
  readonly conductivityWMK: number;
}): number {
  const [p, r] = PLANK[body.shape];
  const resistance = (p * body.sizeM) / body.hWM2K + (r * body.sizeM ** 2) / body.conductivityWMK;
  return ((body.densityKgM3 * body.latentJKg) / (body.freezingPointC - body.airC)) * resistance;
}
