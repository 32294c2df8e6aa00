import { balanceOf } from "@evencrumb/core/composition";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import { fillingCautions, type NamedTin, tinFilling } from "@evencrumb/core/tins";
import { type Binding, type Factor, formulaOfRun, type Hold, type Setting } from "@evencrumb/core/trials";

/** One run as a formula that can be weighed, or why it cannot be made. */
export interface RunCake {
  readonly formula: Formula | null;
  /** What it really has, once it is weighed. */
  readonly setting: Setting;
  readonly held: readonly string[];
  /** Doubts that the models have, before an egg is broken. */
  readonly doubts: readonly string[];
  readonly problems: readonly Problem[];
}

/**
 * Doubts about a formula that the standard does not raise as well.
 *
 * The tins by their fill, and the ratios that bakers balance a cake by: both are habits of the trade and no verdict.
 */
export function doubtsOf(formula: Formula, standard: Formula, book: IngredientBook, owned: readonly NamedTin[]): string[] {
  const known = new Set(rawDoubts(standard, book, owned).map(({ key }) => key));
  return rawDoubts(formula, book, owned)
    .filter(({ key }) => !known.has(key))
    .map(({ words }) => words);
}

function rawDoubts(formula: Formula, book: IngredientBook, owned: readonly NamedTin[]) {
  return formula.components.flatMap((component) => {
    const filling = tinFilling(component, book, owned).value;
    const tins =
      filling === undefined
        ? []
        : fillingCautions(filling)
            .filter(({ code }) => code === "does-not-fit" || code === "may-overflow" || code === "shallow")
            .map(({ code, words }) => ({ key: `${component.name} ${code}`, words }));
    const ratios =
      component.kind !== "cake"
        ? []
        : balanceOf(component, book)
            .ratios.filter(({ stands }) => stands === "below" || stands === "above")
            .map(({ name, stands, sentence }) => ({ key: `${component.name} ${name} ${stands}`, words: sentence }));
    return [...tins, ...ratios];
  });
}

/** A run of a trial in which amounts of one formula are changed. */
export function runCake(
  standard: Formula,
  factors: readonly Factor[],
  bindings: readonly Binding[],
  setting: Setting,
  options: { readonly hold: Hold; readonly book: IngredientBook; readonly owned: readonly NamedTin[] },
): RunCake {
  const made = formulaOfRun(standard, factors, bindings, setting, {
    hold: options.hold,
    judge: (formula) => doubtsOf(formula, standard, options.book, options.owned),
  });
  if (!made.ok) return { formula: null, setting, held: [], doubts: [], problems: made.error };
  const { weighable, realised, held, cautions } = made.value;
  return { formula: weighable, setting: realised, held, doubts: cautions, problems: [] };
}
