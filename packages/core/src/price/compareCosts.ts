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
