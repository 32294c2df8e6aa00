/**
 * Density, heat capacity and conductivity from composition and temperature.
 *
 * Source: Choi and Okos (1986), Effects of temperature and composition on the thermal properties of foods, in Food Engineering and
 * Process Applications 1, 93-101; coefficients as in ASHRAE Handbook-Refrigeration (SI, 2006), ch. 9, tables 1 and 2 (seen in
 * independent transcriptions), valid -40 to 150 °C. Heat capacity of water: 4.1762 kJ/(kg K) at 0 °C; some printings say 4.1289,
 * which is 1.1 % low and does not reproduce ASHRAE's own example.
 */
export const FOOD_PARTS = ["water", "protein", "fat", "carbohydrate", "fibre", "ash"] as const;
export type FoodPart = (typeof FOOD_PARTS)[number];

/** Mass fractions [1]; carbohydrate without fibre. They should add up to 1. */
export type FoodFractions = Readonly<Record<FoodPart, number>>;

type Polynomial = readonly [number, number, number];
interface PartProperties {
  /** kg/m³ */
  readonly density: Polynomial;
  /** kJ/(kg K) */
  readonly heatCapacity: Polynomial;
  /** W/(m K) */
  readonly conductivity: Polynomial;
}

/** c0 + c1 t + c2 t², t in °C. */
const PARTS: Readonly<Record<FoodPart | "ice", PartProperties>> = {
  water: {
    density: [997.18, 3.1439e-3, -3.7574e-3],
    heatCapacity: [4.1762, -9.0864e-5, 5.4731e-6],
    conductivity: [0.57109, 1.7625e-3, -6.7036e-6],
  },
  ice: {
    density: [916.89, -0.13071, 0],
    heatCapacity: [2.0623, 6.0769e-3, 0],
    conductivity: [2.2196, -6.2489e-3, 1.0154e-4],
  },
  protein: {
    density: [1329.9, -0.5184, 0],
    heatCapacity: [2.0082, 1.2089e-3, -1.3129e-6],
    conductivity: [0.17881, 1.1958e-3, -2.7178e-6],
  },
  fat: {
    density: [925.59, -0.41757, 0],
    heatCapacity: [1.9842, 1.4733e-3, -4.8008e-6],
    conductivity: [0.18071, -2.7604e-4, -1.7749e-7],
  },
  carbohydrate: {
    density: [1599.1, -0.31046, 0],
    heatCapacity: [1.5488, 1.9625e-3, -5.9399e-6],
    conductivity: [0.20141, 1.3874e-3, -4.3312e-6],
  },
  fibre: {
    density: [1311.5, -0.36589, 0],
    heatCapacity: [1.8459, 1.8306e-3, -4.6509e-6],
    conductivity: [0.18331, 1.2497e-3, -3.1683e-6],
  },
  ash: {
    density: [2423.8, -0.28063, 0],
    heatCapacity: [1.0926, 1.8896e-3, -3.6817e-6],
    conductivity: [0.32962, 1.4011e-3, -2.9069e-6],
  },
};

const at = ([c0, c1, c2]: Polynomial, t: number) => c0 + t * (c1 + t * c2);

function inRange(temperatureC: number): void {
  if (!(temperatureC >= -40 && temperatureC <= 150))
    throw new RangeError(`food properties: ${temperatureC} °C is not within -40 to 150 °C`);
}

/** Density [kg/m³], heat capacity [J/(kg K)] and conductivity [W/(m K)] of one pure part at a temperature [°C]. */
export function partProperties(part: FoodPart | "ice", temperatureC: number) {
  inRange(temperatureC);
  const p = PARTS[part];
  return {
    densityKgM3: at(p.density, temperatureC),
    heatCapacityJKgK: 1000 * at(p.heatCapacity, temperatureC),
    conductivityWMK: at(p.conductivity, temperatureC),
  };
}

/**
 * Properties of the dense food (no air): density by volume, heat capacity by mass, conductivity by volume with the parts side by side
 * (parallel), and in a row (series), which bound it.
 *
 * @param fractions  mass fractions of the unfrozen food
 * @param iceFraction  of the whole, taken out of the water
 * @throws RangeError outside -40 to 150 °C
 */
export function denseFood(fractions: FoodFractions, temperatureC: number, iceFraction = 0) {
  inRange(temperatureC);
  let volume = 0;
  let heat = 0;
  let parallel = 0;
  let series = 0;
  const add = (part: FoodPart | "ice", mass: number) => {
    if (mass === 0) return;
    const p = partProperties(part, temperatureC);
    const share = mass / p.densityKgM3;
    volume += share;
    heat += mass * p.heatCapacityJKgK;
    parallel += share * p.conductivityWMK;
    series += share / p.conductivityWMK;
  };
  for (const part of FOOD_PARTS) add(part, part === "water" ? fractions.water - iceFraction : fractions[part]);
  add("ice", iceFraction);
  return {
    densityKgM3: 1 / volume,
    heatCapacityJKgK: heat,
    conductivityWMK: parallel / volume,
    conductivitySeriesWMK: volume / series,
  };
}

/**
 * Heat capacity [J/(kg K)] by another equation, as a second opinion: Heldman and Singh, in Singh and Heldman, Introduction to Food
 * Engineering, ch. 4 (from memory). About 10 % lower than Choi and Okos for dry, starchy food. Fibre counts as carbohydrate.
 */
export const heatCapacityHeldmanSingh = (f: FoodFractions): number =>
  1424 * (f.carbohydrate + f.fibre) + 1549 * f.protein + 1675 * f.fat + 837 * f.ash + 4187 * f.water;

/**
 * Conductivity [W/(m K)] of a continuous phase with bubbles in it (Maxwell, Eucken).
 *
 * @param continuous  conductivity of the food [W/(m K)]
 * @param dispersed  conductivity of what is in the bubbles [W/(m K)]
 * @param share  volume share of the bubbles [1]
 *
 * Source: form as in ASHRAE Handbook-Refrigeration ch. 9 (from memory). Bubbles must not touch; baked crumb is past that, yet the
 * equation meets what was measured on a yellow cake (Sweat 1973, from memory): 0.223 in batter, 0.12 in the finished crumb.
 */
export function maxwellEucken(continuous: number, dispersed: number, share: number): number {
  const a = (3 * continuous) / (2 * continuous + dispersed);
  return (continuous * (1 - (1 - (a * dispersed) / continuous) * share)) / (1 + (a - 1) * share);
}

/** Conductivity of dry air [W/(m K)] at a temperature [°C]: linear fit to handbook values (from memory). */
export const airConductivity = (temperatureC: number): number => 0.0242 + 7.2e-5 * temperatureC;
