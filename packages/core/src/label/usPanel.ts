import { type Composition, composeFurther } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { NutritionDeclaration } from "./nutritionLines.js";
import type { StatedForUs } from "./usFurtherRows.js";
import { usNutrition } from "./usNutrition.js";
import {
  addedSugarsOf,
  US_REFERENCE_AMOUNTS,
  type UsReferenceClass,
  type UsServing,
  usReferenceClass,
  usServing,
} from "./usServing.js";

interface UsPanelInputs {
  readonly usClass?: UsReferenceClass;
  readonly pieces?: number;
  readonly usStated?: StatedForUs;
  readonly addedPercentOfSugars?: Readonly<Record<string, number>>;
}

/**
 * The serving and the figures of a US panel, all from the formula; undefined without the weight of a pack, which the serving goes by.
 *
 * @param finished   composition of the whole product after the loss in the making
 * @param packGrams  net weight of a pack [g]
 */
export function usPanel(
  formula: Formula,
  book: IngredientBook,
  finished: Composition,
  inputs: UsPanelInputs,
  packGrams: number | undefined,
): { readonly declaration: NutritionDeclaration; readonly serving: UsServing & { readonly because: string } } | undefined {
  if (packGrams === undefined) return undefined;
  const guess =
    inputs.usClass === undefined
      ? usReferenceClass(formula, book)
      : { class: inputs.usClass, grams: US_REFERENCE_AMOUNTS[inputs.usClass], because: "as the baker chose" };
  const serving = usServing(guess.grams, { grams: packGrams, ...(inputs.pieces === undefined ? {} : { pieces: inputs.pieces }) });
  const added = addedSugarsOf(formula, book, inputs.addedPercentOfSugars);
  const further = composeFurther(formula, book).product;
  return {
    declaration: usNutrition(finished, serving.grams, added, inputs.usStated, further),
    serving: { ...serving, because: `${guess.class.replace("-", ", ")}: ${guess.because}; reference amount ${guess.grams} g` },
  };
}
