const GAS_CONSTANT = 8.314462618;

/**
 * Temperature [°C] around which starch gelatinises when sugar takes the water: 62 + 8 w + 62 w².
 *
 * @param sugarInWater  sugar / (sugar + water), 0 to 0.7
 * Assumption: a curve through anchors recalled from the literature (± 4 °C); that sugar raises it is published (Bean and Yamazaki 1978).
 */
export function gelTemperature(sugarInWater: number): number {
  const w = Math.min(Math.max(sugarInWater, 0), 0.7);
  return 62 + 8 * w + 62 * w * w;
}

/**
 * Rate [1/s] at which the share of starch that has not yet set gives way: dα/dt = rate (1 - α).
 *
 * Source: Zanoni, Schiraldi and Simonetta (1995), J. Food Eng. 24 (from memory), k = 2.8e18 exp(-139000 / R T); shifted by the sugar
 * as `gelTemperature` is (assumption).
 */
export function settingRate(temperatureC: number, gelTemperatureC: number): number {
  return 2.8e18 * Math.exp(-139_000 / (GAS_CONSTANT * (temperatureC - (gelTemperatureC - 62) + 273.15)));
}

/** Colour change of crust [CIELAB ΔE from the raw batter] that can at most be reached. */
export const BROWNING_LIMIT = 52;

/**
 * Rate [1/s] of browning: dΔE/dt = rate (52 - ΔE).
 * Source: Zanoni, Peri and Bruno (1995), LWT 28, 604 (seen), for bread; cake has more sugar and browns sooner.
 */
export const browningRate = (surfaceC: number): number => 42_000 * Math.exp(-64_151 / (GAS_CONSTANT * (surfaceC + 273.15)));
