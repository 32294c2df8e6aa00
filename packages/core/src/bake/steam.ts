const [TRIPLE_K, CRITICAL_K, CRITICAL_PA] = [273.16, 647.096, 22.064e6];
const TERMS = [
  [-7.85951783, 1],
  [1.84408259, 1.5],
  [-11.7866497, 3],
  [22.6807411, 3.5],
  [-15.9618719, 4],
  [1.80122502, 7.5],
] as const;

/**
 * Pressure [Pa] at which pure water boils at a temperature [°C], 0.01 to 373.946.
 *
 * Source: Wagner and Pruss (1993), J. Phys. Chem. Ref. Data 22, 783, eq. 1. Leaves out dissolved sugar and salt.
 * @throws RangeError outside that range
 */
export function saturationPressure(temperatureC: number): number {
  const temperatureK = temperatureC + 273.15;
  // Written as what must hold, so that NaN is refused too.
  if (!(temperatureK >= TRIPLE_K - 1e-9 && temperatureK <= CRITICAL_K))
    throw new RangeError(`saturationPressure: ${temperatureC} °C is not within 0.01 to 373.946 °C`);
  const theta = 1 - temperatureK / CRITICAL_K;
  const sum = TERMS.reduce((total, [factor, power]) => total + factor * theta ** power, 0);
  return CRITICAL_PA * Math.exp((CRITICAL_K / temperatureK) * sum);
}

/**
 * The same by Buck (1981, revised 1996): one exponential, within 0.25 % of Wagner and Pruss from 0 to 110 °C. The bake solver uses it.
 */
export const saturationPressureBuck = (temperatureC: number): number =>
  611.21 * Math.exp(((18.678 - temperatureC / 234.5) * temperatureC) / (257.14 + temperatureC));

/** Steam tables (from memory): temperature [°C], latent heat of evaporation [kJ/kg]. */
const LATENT_KJ_KG = [
  [0.01, 2500.9],
  [20, 2453.5],
  [40, 2406.0],
  [60, 2357.7],
  [80, 2308.0],
  [90, 2282.5],
  [100, 2256.4],
  [110, 2229.6],
  [120, 2202.1],
] as const;

/** Latent heat of evaporation [J/kg], linear between the rows of the steam tables; 0.01 to 120 °C. */
export function latentHeat(temperatureC: number): number {
  if (!(temperatureC >= 0.01 && temperatureC <= 120))
    throw new RangeError(`latentHeat: ${temperatureC} °C is not within 0.01 to 120 °C`);
  let row = 1;
  while (LATENT_KJ_KG[row][0] < temperatureC) row++;
  const [[t0, l0], [t1, l1]] = [LATENT_KJ_KG[row - 1], LATENT_KJ_KG[row]];
  return 1000 * (l0 + ((l1 - l0) * (temperatureC - t0)) / (t1 - t0));
}

/**
 * Air pressure [Pa] at a height above the sea [m], -500 to 9000, in the standard atmosphere.
 * Source: ICAO Doc 7488 / ISO 2533 (from memory). Weather moves it by a few percent.
 */
export function pressureAtAltitude(altitudeM: number): number {
  if (!(altitudeM >= -500 && altitudeM <= 9000))
    throw new RangeError(`pressureAtAltitude: ${altitudeM} m is not within -500 to 9000 m`);
  return 101_325 * (1 - 2.25577e-5 * altitudeM) ** 5.25588;
}

/**
 * Temperature [°C] at which water of a given activity boils under a pressure [Pa], by Newton on the saturation pressure.
 * @param waterActivity  above 0.3, up to 1
 */
export function boilingPoint(pressurePa: number, waterActivity = 1): number {
  let t = 100;
  for (let i = 0; i < 30; i++) {
    const p = waterActivity * saturationPressure(t);
    const slope = (waterActivity * saturationPressure(t + 0.01) - p) / 0.01;
    const next = Math.min(300, Math.max(1, t - (p - pressurePa) / slope));
    if (Math.abs(next - t) < 1e-9) return next;
    t = next;
  }
  return t;
}
