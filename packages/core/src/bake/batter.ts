import type { Composition } from "../composition/index.js";
import { airConductivity, denseFood, FOOD_PARTS, type FoodFractions, maxwellEucken, partProperties } from "./foodProperties.js";

/** What the bake needs to know of a batter; plain numbers, so that a worker can be handed it. */
export interface BatterNumbers {
  /** Mass fractions of the batter as mixed [1]; carbohydrate without fibre. They add up to 1. */
  readonly fractions: FoodFractions;
  /** All sugars, share of the batter's weight [1]. */
  readonly sugarFraction: number;
  /** Dissolved particles of sugars and salt [mol/kg batter]. */
  readonly solutesMolPerKg: number;
  /** Carbon dioxide that raising agents can give [g/kg batter]. */
  readonly carbonDioxideGPerKg: number;
  /** Water activity of the batter, where a better model than ours here gives one. */
  readonly waterActivity?: number;
  /** Beaten with egg foam and set for the lower of the two usual temperatures. */
  readonly whisked?: boolean;
  readonly assumed: readonly string[];
}

/**
 * The numbers of a mixed component.
 *
 * Figures that are missing leave a gap: it is closed by scaling what is known, and said when it is more than 2 % of the weight.
 */
export function batterFromComposition(
  mixed: Composition,
  more: { readonly carbonDioxideGrams?: number; readonly waterActivity?: number; readonly whisked?: boolean } = {},
): BatterNumbers {
  const amount = (name: keyof Composition["totals"]) => mixed.totals[name].amount;
  const grams = {
    water: amount("water"),
    protein: amount("protein"),
    fat: amount("fat"),
    carbohydrate: Math.max(0, amount("carbohydrate") - amount("fibre")),
    fibre: amount("fibre"),
    ash: amount("ash"),
  };
  const known = FOOD_PARTS.reduce((sum, part) => sum + grams[part], 0);
  const assumed: string[] = [];
  const gap = 1 - known / mixed.totalGrams;
  if (Math.abs(gap) > 0.02)
    assumed.push(
      `Figures for ${(100 * gap).toFixed(0)} % of the batter's weight are missing; the rest is taken to be like what is known.`,
    );
  const fractions = Object.fromEntries(FOOD_PARTS.map((part) => [part, grams[part] / known])) as unknown as FoodFractions;
  const double = amount("sucrose") + amount("lactose") + amount("maltose");
  const single = amount("glucose") + amount("fructose") + amount("galactose");
  const otherSugars = Math.max(0, amount("sugars") - double - single);
  const moles = (double + otherSugars) / 342.3 + single / 180.16 + (2 * amount("sodium")) / 22.99;
  return {
    fractions,
    sugarFraction: Math.max(amount("sugars"), double + single) / mixed.totalGrams,
    solutesMolPerKg: (1000 * moles) / mixed.totalGrams,
    carbonDioxideGPerKg: (1000 * (more.carbonDioxideGrams ?? 0)) / mixed.totalGrams,
    ...(more.waterActivity === undefined ? {} : { waterActivity: more.waterActivity }),
    ...(more.whisked === undefined ? {} : { whisked: more.whisked }),
    assumed,
  };
}

/** Equal weights of flour, sugar, butter and egg with a little baking powder: for examples, tests and calibration by default. */
export const EQUAL_WEIGHTS_BATTER: BatterNumbers = {
  fractions: { water: 0.2651, protein: 0.0565, fat: 0.2325, carbohydrate: 0.4331, fibre: 0.0068, ash: 0.006 },
  sugarFraction: 0.2525,
  solutesMolPerKg: 0.85,
  carbonDioxideGPerKg: 1,
  assumed: [],
};

/** Derived once for a batter: what the solver and the closures use. */
export interface BatterProperties {
  /** Water per dry solids [kg/kg]. */
  readonly water: number;
  readonly solidsHeatCapacityJKgK: number;
  readonly activityHalfKgKg: number;
  readonly initialActivity: number;
  /** Density without gas [kg/m³]. */
  readonly denseKgM3: number;
  /** Volume of dry solids [m³/kg] and their conductivity [W/(m K)]. */
  readonly solidsVolume: number;
  readonly solidsConductivity: number;
  readonly gelC: number;
  readonly sugarInWater: number;
  /** Freezing point of the water phase [°C] and water that never freezes [kg/kg dry]. */
  readonly freezingPointC: number;
  readonly boundKgKg: number;
}

const HOT_C = 60;
const WATER_MOLAR_G = 18.015;
/**
 * How much more strongly real solutes and swollen starch hold water than ideal ones. Assumption, chosen once so that a small pound
 * cake (36 % water, measured 0.93; review, J. Food Process. Technol. 4:278, seen) comes out at 0.93, and kept for all cakes.
 */
const HOLDING = 2.3;

export function batterProperties(batter: BatterNumbers, gelC: number): BatterProperties {
  const { fractions } = batter;
  const dry = 1 - fractions.water;
  const water = fractions.water / dry;
  let heat = 0;
  let volume = 0;
  let conductivity = 0;
  for (const part of FOOD_PARTS) {
    if (part === "water") continue;
    const p = partProperties(part, HOT_C);
    const mass = fractions[part] / dry;
    heat += mass * p.heatCapacityJKgK;
    volume += mass / p.densityKgM3;
    conductivity += (mass / p.densityKgM3) * p.conductivityWMK;
  }
  const fromSolutes = (HOLDING * WATER_MOLAR_G * batter.solutesMolPerKg) / 1000 / dry;
  const half =
    batter.waterActivity === undefined
      ? Math.min(Math.max(fromSolutes, 0.012), 0.3)
      : (water * (1 - batter.waterActivity)) / batter.waterActivity;
  const starch = Math.max(0, fractions.carbohydrate - batter.sugarFraction);
  const bound = Math.max(0.4 * fractions.protein, 0.3 * starch) / dry;
  const freezable = Math.max(0.02, water - bound);
  return {
    water,
    solidsHeatCapacityJKgK: heat,
    activityHalfKgKg: half,
    initialActivity: water / (water + half),
    denseKgM3: denseFood(fractions, 20).densityKgM3,
    solidsVolume: volume,
    solidsConductivity: conductivity / volume,
    gelC,
    sugarInWater: batter.sugarFraction / (batter.sugarFraction + fractions.water),
    // Ideal -1.86 m; solutes in the freezable water. Sugars crystallise or vitrify before the end, which a floor stands for.
    freezingPointC: Math.max(-12, Math.min(-0.5, (-1.86 * batter.solutesMolPerKg) / dry / freezable)),
    boundKgKg: bound,
  };
}

const WATER_HOT = partProperties("water", HOT_C);
const ICE_COLD = partProperties("ice", -15);

/**
 * Conductivity of crumb [W/(m K)]: solids, water and ice side by side, then bubbles in them.
 *
 * @param x  water [kg/kg dry]
 * @param volume  volume of the crumb, gas included [m³/kg dry]
 */
export function crumbConductivity(batter: BatterProperties, x: number, volume: number, temperatureC: number): number {
  const wet = Math.max(0, x);
  const frozen =
    temperatureC < batter.freezingPointC ? Math.max(0, wet - batter.boundKgKg) * (1 - batter.freezingPointC / temperatureC) : 0;
  const liquidVolume = (wet - frozen) / WATER_HOT.densityKgM3;
  const iceVolume = frozen / ICE_COLD.densityKgM3;
  const dense = batter.solidsVolume + liquidVolume + iceVolume;
  const food =
    (batter.solidsVolume * batter.solidsConductivity +
      liquidVolume * WATER_HOT.conductivityWMK +
      iceVolume * ICE_COLD.conductivityWMK) /
    dense;
  const porosity = Math.min(0.95, Math.max(0, 1 - dense / volume));
  return maxwellEucken(food, airConductivity(Math.min(150, Math.max(-40, temperatureC))), porosity);
}
