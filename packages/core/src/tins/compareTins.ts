import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type TinCaution, type TinFill, tinComponent } from "./filling.js";
import type { NamedTin } from "./parseTin.js";
import { type FillRule, scaleToTins } from "./scaleToTins.js";

/** What one batch of a formula means in one of the baker's tins. */
export interface TinComparison {
  readonly name: string;
  readonly fill: TinFill;
  /** Times the formula for one of these tins. */
  readonly factorForOne: number;
  /** How many of these tins one batch fills; seldom whole. */
  readonly tinsPerBatch: number;
  readonly cautions: readonly TinCaution[];
}

/** Every tin the baker owns, side by side, filled by the same rule. Empty where nothing is weighed. */
export function compareTins(
  formula: Formula,
  owned: readonly NamedTin[],
  options: { readonly book: IngredientBook; readonly component?: string; readonly fill?: FillRule },
): readonly TinComparison[] {
  if (!tinComponent(formula, options.component)) return [];
  return owned.flatMap(({ name, tin }) => {
    const scaled = scaleToTins(formula, [{ count: 1, tin, text: name }], { ...options, owned });
    if (!scaled.ok) return [];
    const { factor, tins, cautions } = scaled.value;
    return [{ name, fill: tins[0]!, factorForOne: factor, tinsPerBatch: 1 / factor, cautions }];
  });
}
