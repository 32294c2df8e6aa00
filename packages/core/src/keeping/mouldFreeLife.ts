/** Days without visible mould, or why no figure can be given. */
export type MouldFreeLife =
  | { readonly known: true; readonly days: number; readonly source: string; readonly assumes: string }
  | {
      readonly known: false;
      readonly why: "below-range" | "above-range" | "temperature" | "no-water" | "no-figure";
      readonly words: string;
    };

const RANGE_PERCENT = { from: 74, to: 90 } as const;
const ASSUMES =
  "closed moisture-tight pack, packed cold, constant temperature, usual mould load, no preservative; mould only, neither germs nor staling";

/** log10(days) = intercept - slope x ERH. */
const LINES = [
  {
    temperatureC: 21,
    intercept: 7.91,
    slope: 0.081,
    source:
      "Cauvain and Seiler (1992), equilibrium relative humidity and the shelf life of cakes; equation and worked table as quoted publicly",
  },
  { temperatureC: 27, intercept: 6.42, slope: 0.065, source: "same origin as the line for 21 °C, from memory" },
] as const;

/**
 * Mould-free shelf life of a wrapped cake.
 *
 * @param humidityPercent  equilibrium relative humidity, 100 x water activity; the published range is 74 to 90
 * @param temperatureC     21 to 27 °C; between the two published lines log(days) is interpolated
 *
 * Outside the range nothing is guessed: below it mould is slow but sugar-loving moulds grow; above it mould needs days only.
 */
export function mouldFreeLife(humidityPercent: number, temperatureC = 21): MouldFreeLife {
  if (!(temperatureC >= 21 && temperatureC <= 27)) {
    return {
      known: false,
      why: "temperature",
      words: "The published lines hold from 21 to 27 °C; nothing is published for the refrigerator.",
    };
  }
  if (!(humidityPercent >= RANGE_PERCENT.from)) {
    return {
      known: false,
      why: "below-range",
      words: "Below 74 % equilibrium humidity the published line does not reach; months are usual, quality decides.",
    };
  }
  if (humidityPercent > RANGE_PERCENT.to) {
    return {
      known: false,
      why: "above-range",
      words: "Above 90 % equilibrium humidity the published line does not reach; expect mould within days.",
    };
  }
  const [cool, warm] = LINES.map(({ intercept, slope }) => intercept - slope * humidityPercent) as [number, number];
  const share = (temperatureC - 21) / 6;
  return {
    known: true,
    days: 10 ** (cool + share * (warm - cool)),
    source: share === 0 ? LINES[0].source : `${LINES[0].source}; ${LINES[1].source}`,
    assumes: ASSUMES,
  };
}
