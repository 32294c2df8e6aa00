import type { Component } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { fillingCautions, type TinCaution, type TinFilling, tinFilling } from "./filling.js";
import type { NamedTin } from "./parseTin.js";
import { bakeTimeCaution } from "./scaleToTins.js";

export interface Refilled {
  /** As scaled, with the tins that keep the depth where whole tins do, and without a bake time that no longer holds. */
  readonly component: Component;
  /** How it sits in those tins; absent where it names none that can be read. */
  readonly filling?: TinFilling;
  /** How it sat in its tins before. */
  readonly before?: TinFilling;
  readonly cautions: readonly TinCaution[];
}

/** Counts of tins this near to whole count as whole: a hundredth of the depth is below what anybody fills to. */
const NEARLY_WHOLE = 0.01;

/**
 * What becomes of a component's tins when its weight was changed (by a factor, portions, eggs).
 *
 * Twice the batter goes into twice the tins, as deep as before. Where that gives no whole tins they stay as they are, deeper or
 * shallower filled, and it is said, with the number of tins that would keep the depth, and whether the old bake time still holds.
 *
 * @param before  the component as it was, with its tins
 * @param after  the same component scaled, its tins untouched
 */
export function refillTins(before: Component, after: Component, book: IngredientBook, owned: readonly NamedTin[] = []): Refilled {
  const old = tinFilling(before, book, owned).value;
  const unchanged = tinFilling(after, book, owned).value;
  if (!old || !unchanged || !(old.batterGrams > 0)) return { component: after, cautions: [] };
  const factor = unchanged.batterGrams / old.batterGrams;
  const counts = (after.tins ?? []).map(({ count }) => count * factor);
  const whole = counts.every((count) => Math.round(count) >= 1 && Math.abs(count / Math.round(count) - 1) <= NEARLY_WHOLE);
  if (whole) {
    const component: Component = {
      ...after,
      tins: (after.tins ?? []).map((use, index) => ({ ...use, count: Math.round(counts[index]!) })),
    };
    const filling = tinFilling(component, book, owned).value!;
    const changed = component.tins!.some(({ count }, index) => count !== after.tins![index]!.count);
    const words = `To stay as deep as before: ${component.tins!.map(({ count, tin }) => `${count} × ${tin}`).join(", ")}.`;
    return {
      component,
      filling,
      before: old,
      cautions: [...(changed ? [{ code: "more-tins" as const, words }] : []), ...fillingCautions(filling)],
    };
  }
  const bake = bakeTimeCaution(before, old.tins, unchanged.tins);
  const wanted = `To stay as deep as before it would take ${(after.tins ?? []).map(({ tin }, index) => `${Math.round(counts[index]! * 100) / 100} × ${tin}`).join(", ")}.`;
  const cautions = [...(bake ? [{ code: "other-depth" as const, words: wanted }, bake] : []), ...fillingCautions(unchanged)];
  if (!bake || after.bake?.minutes === undefined) return { component: after, filling: unchanged, before: old, cautions };
  const { minutes: _unfit, ...rest } = after.bake;
  return { component: { ...after, bake: rest }, filling: unchanged, before: old, cautions };
}
