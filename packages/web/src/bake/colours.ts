/**
 * From raw to hot: lightness falls in even steps (OKLCH 0.955 to 0.255) while the hue goes from cream to damson, so that the
 * order can be read in grey and by colour-blind people.
 */
const STOPS = ["#fff0ba", "#fbcc73", "#f2a543", "#e47e25", "#cd5a25", "#ae3c30", "#892736", "#611a33", "#3a1227"];

/** What the ends of the scale stand for [°C]; what is hotter keeps the last colour. */
export const SCALE_FROM_C = 20;
export const SCALE_TO_C = 120;
export const SCALE_TICKS_C = [20, 40, 60, 80, 100, 120];

const parts = STOPS.map((hex) => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16)));

/** 256 colours, red green blue, three bytes each. */
export const HEAT_COLOURS: Uint8ClampedArray = Uint8ClampedArray.from({ length: 768 }, (_, byte) => {
  const place = (Math.floor(byte / 3) / 255) * (STOPS.length - 1);
  const low = Math.min(STOPS.length - 2, Math.floor(place));
  const share = place - low;
  return parts[low]![byte % 3]! * (1 - share) + parts[low + 1]![byte % 3]! * share;
});

/** Place of a temperature among the 256 colours. */
export const heatIndex = (celsius: number): number =>
  Math.min(255, Math.max(0, Math.round(((celsius - SCALE_FROM_C) / (SCALE_TO_C - SCALE_FROM_C)) * 255)));

export const HEAT_GRADIENT = `linear-gradient(to right, ${STOPS.join(", ")})`;
