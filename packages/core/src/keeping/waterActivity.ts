import { type Band, type Celsius, celsius } from "../quantities/index.js";
import { norrish } from "./norrish.js";
import { saltWaterActivity } from "./salt.js";
import type { SoluteName } from "./solutes.js";
import { FLOUR_ISOTHERM, heldWater, type SmithIsotherm } from "./sorption.js";
import { sucroseSolubility } from "./sucroseSolubility.js";

/** What decides the water activity of a moist food: weights [g] in one and the same amount of it. */
export interface WaterPhase {
  readonly waterGrams: number;
  readonly sugarGrams: Readonly<Partial<Record<SoluteName, number>>>;
  /** Sodium chloride, or all sodium counted as sodium chloride (sodium x 2.54). */
  readonly saltGrams: number;
  /** Dry starch, protein and fibre, which hold water without dissolving. */
  readonly sorbingGrams: number;
}

export interface WaterActivity {
  /** Never narrower than 0.02 either way: water left after baking, undissolved sugar and sorption are not known better. */
  readonly activity: Band;
  /** Sucrose that does not dissolve in the water there is [g]. */
  readonly undissolvedSucroseGrams: number;
  /** Water held by starch and protein, not available to the sugar [g]. */
  readonly heldWaterGrams: number;
  /** Sucrose per gram of free water over what dissolves at that temperature; above 1 it can grain. */
  readonly sucroseSaturation: number;
}

/** Lactose that dissolves in water at 25 °C [g/g]; from memory. */
const LACTOSE_SOLUBILITY = 0.19;
const LEAST_BAND = 0.02;

/**
 * Water activity of a moist food from its composition.
 *
 * Each sugar lowers the activity as if it were alone in all the free water, salt likewise, and the effects multiply
 * (Ross 1975, Food Technol. 29(3), 26; from memory). Only dissolved sugar counts: sucrose is capped at its solubility.
 * Starch and protein take their share of the water by an isotherm at the same activity, so the activity is the one value
 * at which solution and solids hold all the water together.
 *
 * @param phase        weights [g], all 0 or more
 * @param temperature  [°C], 0 to 100, for solubility
 * @returns  undefined when there is no water
 */
export function waterActivity(phase: WaterPhase, temperature: Celsius = celsius(21)): WaterActivity | undefined {
  if (!(phase.waterGrams > 0)) return undefined;
  const likely = equilibrium(phase, temperature, FLOUR_ISOTHERM);
  // A fifth either way on what starch and protein hold is the largest doubt that can be put in a number.
  const looser = equilibrium(phase, temperature, { a: FLOUR_ISOTHERM.a * 0.8, b: FLOUR_ISOTHERM.b * 0.8 });
  const tighter = equilibrium(phase, temperature, { a: FLOUR_ISOTHERM.a * 1.2, b: FLOUR_ISOTHERM.b * 1.2 });
  const doubt = Math.hypot(LEAST_BAND, (looser - tighter) / 2);
  const held = Math.min(phase.waterGrams, phase.sorbingGrams * heldWater(likely, FLOUR_ISOTHERM));
  const free = Math.max(phase.waterGrams - held, 1e-9);
  const soluble = free * sucroseSolubility(temperature);
  const sucrose = phase.sugarGrams.sucrose ?? 0;
  return {
    activity: { likely, from: Math.max(0, likely - doubt), to: Math.min(1, likely + doubt) },
    undissolvedSucroseGrams: Math.max(0, sucrose - soluble),
    heldWaterGrams: held,
    sucroseSaturation: sucrose / soluble,
  };
}

/** The likely value alone, for what asks many times; undefined when there is no water. */
export function likelyActivity(phase: WaterPhase, temperature: Celsius = celsius(21)): number | undefined {
  return phase.waterGrams > 0 ? equilibrium(phase, temperature, FLOUR_ISOTHERM) : undefined;
}

/**
 * Water activity of a solution of sugars and salt, Ross's product.
 *
 * @param freeWaterGrams  above 0
 */
export function solutionActivity(phase: WaterPhase, freeWaterGrams: number, temperature: Celsius): number {
  const salt = saltWaterActivity(phase.saltGrams / freeWaterGrams);
  return (Object.entries(phase.sugarGrams) as [SoluteName, number][]).reduce((product, [name, weight]) => {
    const gramsPerGram = weight / freeWaterGrams;
    const dissolved =
      name === "sucrose"
        ? Math.min(gramsPerGram, sucroseSolubility(temperature))
        : name === "lactose"
          ? Math.min(gramsPerGram, LACTOSE_SOLUBILITY)
          : gramsPerGram;
    return product * norrish(name, dissolved);
  }, salt);
}

/** The activity at which solution and solids agree; the difference falls steadily with activity, so halving finds the one root. */
function equilibrium(phase: WaterPhase, temperature: Celsius, isotherm: SmithIsotherm): number {
  let [low, high] = [0, 1];
  // Forty halvings leave 1e-12.
  for (let round = 0; round < 40; round += 1) {
    const middle = (low + high) / 2;
    const free = phase.waterGrams - phase.sorbingGrams * heldWater(middle, isotherm);
    if (free > 0 && solutionActivity(phase, free, temperature) > middle) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
