import type { Pack } from "./ingredient.js";

/** Price of a kilogram [minor units of the pack's currency], not rounded; undefined for a pack that holds nothing. */
export function pricePerKgMinor(pack: Pick<Pack, "grams" | "priceMinor">): number | undefined {
  return pack.grams > 0 ? (pack.priceMinor * 1000) / pack.grams : undefined;
}
