import { type Formula, findComponent, setIngredientTotal } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";
import { type Demand, type OptimisationSolver, rebalance } from "../rebalance/index.js";
import type { Binding, Settle } from "./binding.js";

export interface SettleWords {
  /** What must stay as it was in the standard (water, fat, sweetness ...), or lie between limits. */
  readonly demands: readonly Demand[];
  /** Ingredients that may be added to meet them: water, for instance. */
  readonly mayAdd?: readonly string[];
}

/**
 * Meets further demands on each run by the rebalancer: the factors' weights are set, everything else changes as little as possible from the
 * standard. Used with `hold: "others"`; the total is one more demand.
 *
 * @returns a `settle` for `formulaOfRun`; its problems say which demands cannot hold together with the setting
 */
export function settleByRebalancing(
  standard: Formula,
  bindings: readonly Binding[],
  words: SettleWords,
  book: IngredientBook,
  solver: OptimisationSolver,
): Settle {
  const weights = bindings.filter((binding) => binding.kind === "ingredient" || binding.kind === "share of blend");
  const names = [...new Set(weights.map(({ component }) => findComponent(standard, component)?.name ?? component))];
  return (formula) => {
    let settled = formula;
    for (const name of names) {
      const index = settled.components.findIndex((component) => component.name === name);
      const before = standard.components.find((component) => component.name === name);
      if (index < 0 || before === undefined) continue;
      const mine = [
        ...new Set(
          weights.flatMap((binding) => (findComponent(standard, binding.component) === before ? [binding.ingredient] : [])),
        ),
      ];
      // "Hold" means: as in the standard. So the factors go back to the standard's weights, and the run's are demanded.
      const demanded: Demand[] = mine.map((ingredient) => {
        const grams = totalOf(settled, index, ingredient);
        return { kind: "between", measure: { kind: "ingredient", ingredient }, per: "batch", least: grams, most: grams };
      });
      let base = settled;
      for (const ingredient of mine) {
        const back = setIngredientTotal(
          base,
          { component: index, ingredient },
          totalOf(standard, standard.components.indexOf(before), ingredient),
        );
        if (!back.ok) return { ok: false, error: [back.error] };
        base = back.value;
      }
      const answer = rebalance(
        {
          formula: base,
          component: name,
          demands: [...words.demands, ...demanded],
          aim: "nearest",
          ...(words.mayAdd === undefined ? {} : { mayAdd: words.mayAdd }),
        },
        book,
        solver,
      );
      if (answer.status === "problems") return { ok: false, error: answer.problems };
      if (answer.status === "conflict") {
        const problem: Problem = {
          code: "conflict",
          path: ["components", index],
          expected: "demands that can hold together with this setting",
          found: answer.words,
          remedy: "Leave one demand out, narrow the range, or allow an ingredient to be added.",
        };
        return { ok: false, error: [problem] };
      }
      settled = answer.formula;
    }
    return { ok: true, value: settled };
  };
}

function totalOf(formula: Formula, component: number, ingredient: string): number {
  return formula.components[component]!.stages.flatMap(({ uses }) => uses).reduce(
    (sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0),
    0,
  );
}
