import { type BatchCost, COST_KIND_WORDS, COST_KINDS, type CostKind } from "./cost.js";
import { roundToMinor } from "./money.js";
import type { SellingPrice } from "./sellingPrice.js";

/** One bar of the picture that builds the price up from its parts; `fromMinor` to `toMinor` on one scale, whole minor units. */
export interface WaterfallBar {
  readonly name: string;
  readonly kind: CostKind | "fee" | "profit" | "tax" | "price";
  readonly fromMinor: number;
  readonly toMinor: number;
}

/**
 * Cost by kind, then fee, what is left and tax, up to the price of one item; each bar begins where the one before ended, and
 * the last ends at the price to the penny.
 *
 * @param itemShare  what one sold item carries of the batch, 0 to 1
 */
export function priceWaterfall(
  cost: Pick<BatchCost, "lines">,
  itemShare: number,
  price: Pick<SellingPrice, "minor" | "feeMinor" | "taxMinor">,
): readonly WaterfallBar[] {
  const exact = COST_KINDS.map(
    (kind) => itemShare * cost.lines.filter((line) => line.kind === kind).reduce((sum, { exactMinor }) => sum + exactMinor, 0),
  );
  const rounded = roundToMinor(exact);
  const costMinor = rounded.reduce((sum, part) => sum + part, 0);
  let at = 0;
  const bars: WaterfallBar[] = [];
  for (const { name, kind, minor } of [
    ...COST_KINDS.map((kind, index) => ({ kind, name: COST_KIND_WORDS[kind], minor: rounded[index]! })),
    { name: "Fees", kind: "fee" as const, minor: price.feeMinor },
    { name: "Left over", kind: "profit" as const, minor: price.minor - price.taxMinor - price.feeMinor - costMinor },
    { name: "Tax", kind: "tax" as const, minor: price.taxMinor },
  ]) {
    if (minor === 0) continue;
    bars.push({ name, kind, fromMinor: at, toMinor: at + minor });
    at += minor;
  }
  bars.push({ name: "Price", kind: "price", fromMinor: 0, toMinor: price.minor });
  return bars;
}
