import { type Pack, pricePerKgMinor } from "../ingredients/index.js";

/** One price of the history of an ingredient. */
export interface PricePoint {
  readonly date?: string;
  readonly supplier?: string;
  /** Price of a kilogram [minor units], not rounded. */
  readonly perKgMinor: number;
  /** Against the price before, percent; absent for the first. */
  readonly changePercent?: number;
  /** Day on which the next price took its place; absent for the last. */
  readonly heldUntil?: string;
  readonly pack: Pack;
}

/** Prices of an ingredient in a currency over time, the oldest first; those without a date stand at the start. */
export function priceHistory(packs: readonly Pack[] | undefined, currency: string): readonly PricePoint[] {
  const sorted = (packs ?? [])
    .filter((pack) => pack.currency === currency && pack.grams > 0)
    .toSorted((one, other) => (one.date ?? "").localeCompare(other.date ?? ""));
  return sorted.map((pack, index) => {
    const perKgMinor = pricePerKgMinor(pack)!;
    const before = index === 0 ? undefined : pricePerKgMinor(sorted[index - 1]!);
    return {
      perKgMinor,
      pack,
      ...(sorted[index + 1]?.date === undefined ? {} : { heldUntil: sorted[index + 1]!.date! }),
      ...(pack.date === undefined ? {} : { date: pack.date }),
      ...(pack.supplier === undefined ? {} : { supplier: pack.supplier }),
      ...(before === undefined || before === 0 ? {} : { changePercent: (perKgMinor / before - 1) * 100 }),
    };
  });
}
