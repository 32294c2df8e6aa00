import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import type { NamedTin } from "@evencrumb/core/tins";
import {
  type Binding,
  type Factor,
  formulaDoubts,
  formulaOfRun,
  type Hold,
  type Setting,
  type Settle,
} from "@evencrumb/core/trials";

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

export interface RunCakeOptions {
  readonly hold: Hold;
  readonly book: IngredientBook;
  readonly owned: readonly NamedTin[];
  /** The rebalancer, where more is held than weights; and what it holds, in words. */
  readonly settle?: Settle;
  readonly settled?: readonly string[];
}

/** A run of a trial in which amounts of one formula are changed. */
export function runCake(
  standard: Formula,
  factors: readonly Factor[],
  bindings: readonly Binding[],
  setting: Setting,
  options: RunCakeOptions,
): RunCake {
  const { hold, book, owned, settle, settled } = options;
  const made = formulaOfRun(standard, factors, bindings, setting, {
    hold,
    judge: (formula) => formulaDoubts(formula, standard, book, owned),
    ...(settle === undefined ? {} : { settle, settled: settled ?? [] }),
  });
  if (!made.ok) return { formula: null, setting, held: [], doubts: [], problems: made.error };
  const { weighable, realised, held, cautions } = made.value;
  return { formula: weighable, setting: realised, held, doubts: cautions, problems: [] };
}
