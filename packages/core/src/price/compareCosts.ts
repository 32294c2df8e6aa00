import type { BatchCost, CostKind } from "./cost.js";

export interface CostChange {
  readonly kind: CostKind;
  readonly id: string;
  readonly name: string;
  readonly beforeMinor: number;
  readonly afterMinor: number;
}

/** Two batches line by line, the largest change first; lines that are equal to a hundredth of a minor unit are left out. */
export function compareCosts(before: BatchCost, after: BatchCost): readonly CostChange[] {
  const changes = new Map<string, CostChange>();
  const key = (kind: CostKind, id: string) => `${kind}:${id}`;
  for (const { kind, id, name, exactMinor } of before.lines)
    changes.set(key(kind, id), { kind, id, name, beforeMinor: exactMinor, afterMinor: 0 });
  for (const { kind, id, name, exactMinor } of after.lines) {
    changes.set(key(kind, id), {
      kind,
      id,
      name,
      beforeMinor: changes.get(key(kind, id))?.beforeMinor ?? 0,
      afterMinor: exactMinor,
    });
  }
  return [...changes.values()]
    .filter(({ beforeMinor, afterMinor }) => Math.abs(afterMinor - beforeMinor) >= 0.01)
    .toSorted((one, other) => Math.abs(other.afterMinor - other.beforeMinor) - Math.abs(one.afterMinor - one.beforeMinor));
}

/** One bar of the picture that builds the price up from its parts; `fromMinor` to `toMinor` on one scale. */
export interface WaterfallBar {
  readonly name: string;
  readonly kind: CostKind | "fee" | "profit" | "tax" | "price";
  readonly fromMinor: number;
  readonly toMinor: number;
}

/** Cost by kind, then fee, profit and tax, up to the price of one item. */
export function priceWaterfall(
  cost: BatchCost,
  itemShare: number,
  price: { readonly minor: number; readonly feeMinor: number; readonly taxMinor: number; readonly profitMinor: number },
): readonly WaterfallBar[] {
  const words: Readonly<Record<CostKind, string>> = {
    ingredient: "Ingredients",
    labour: "Labour",
    energy: "Energy",
    packaging: "Packaging",
    overhead: "Overhead",
  };
  const steps = (Object.keys(words) as CostKind[]).map((kind) => ({
    kind,
    name: words[kind],
    minor: itemShare * cost.lines.filter((line) => line.kind === kind).reduce((sum, { exactMinor }) => sum + exactMinor, 0),
  }));
  let at = 0;
  const bars: WaterfallBar[] = [];
  for (const { name, kind, minor } of [
    ...steps.filter(({ minor }) => minor !== 0),
    { name: "Fees", kind: "fee" as const, minor: price.feeMinor },
    { name: "Left over", kind: "profit" as const, minor: price.profitMinor },
    { name: "Tax", kind: "tax" as const, minor: price.taxMinor },
  ]) {
    if (minor === 0) continue;
    bars.push({ name, kind, fromMinor: at, toMinor: at + minor });
    at += minor;
  }
  bars.push({ name: "Price", kind: "price", fromMinor: 0, toMinor: price.minor });
  return bars;
}
