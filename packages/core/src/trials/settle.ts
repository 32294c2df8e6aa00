import { type Component, type Formula, findComponent, setIngredientTotal } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Result } from "../quantities/index.js";
import { type Demand, measureWords, type OptimisationSolver, offeredSwap, rebalance } from "../rebalance/index.js";
import type { Binding, Settle } from "./binding.js";
import type { Setting } from "./factors.js";

export interface SettleWords {
  /** What must stay as it was in the standard (water, fat, sweetness ...), or lie between limits. */
  readonly demands: readonly Demand[];
  /** Ingredients that may be added to meet them: water, for instance. */
  readonly mayAdd?: readonly string[];
}

/** What is held, for the words of a plan: "the fat of Sponge". */
export const settledWords = ({ demands }: SettleWords, components: readonly string[]): readonly string[] =>
  components.flatMap((component) =>
    demands.flatMap((demand) => (demand.kind === "hold" ? [`${measureWords(demand.measure)} of ${component}`] : [])),
  );

/** Components whose weights the factors change: those that have to be settled. */
export const settledComponents = (standard: Formula, bindings: readonly Binding[]): readonly string[] => [
  ...new Set(
    bindings
      .filter(({ kind }) => WEIGHTS.includes(kind))
      .map(({ component }) => findComponent(standard, component)?.name ?? component),
  ),
];

const WEIGHTS: readonly Binding["kind"][] = ["ingredient", "share of blend", "swap", "replace"];

/**
 * Meets further demands on each run by the rebalancer: the factors' weights are set, everything else changes as little as possible from the
 * standard. Used with `hold: "others"`; the total is one more demand. Of an ingredient that is swapped, what is left of it is set, and
 * how much of the other takes its place is found: 185 g of oil for 225 g of butter when the fat is held.
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
  const names = settledComponents(standard, bindings);
  return (formula, setting) => {
    let settled = formula;
    for (const name of names) {
      const answer = settleComponent(settled, name, setting);
      if (!answer.ok) return answer;
      settled = answer.value;
    }
    return { ok: true, value: settled };
  };

  function settleComponent(formula: Formula, name: string, setting: Setting): Result<Formula, readonly Problem[]> {
    const index = formula.components.findIndex((component) => component.name === name);
    const before = standard.components.find((component) => component.name === name);
    if (index < 0 || before === undefined) return { ok: true, value: formula };
    const mine = bindings.filter((binding) => findComponent(standard, binding.component) === before);
    const swaps = mine.flatMap((binding) => swapOf(binding, setting));
    if (swaps.length > 1)
      return {
        ok: false,
        error: [
          oneSwap(
            index,
            swaps.map(({ from }) => from),
          ),
        ],
      };
    const [swap] = swaps;
    const set = [
      ...new Set(
        mine.flatMap((binding) =>
          binding.kind === "ingredient" || binding.kind === "share of blend" ? [binding.ingredient] : [],
        ),
      ),
    ];
    // "Hold" means: as in the standard. So the factors go back to the standard's weights, and the run's are demanded.
    const demanded: Demand[] = set.map((ingredient) => {
      const grams = totalOf(formula.components[index]!, ingredient);
      return { kind: "between", measure: { kind: "ingredient", ingredient }, per: "batch", least: grams, most: grams };
    });
    let base = swap === undefined ? formula : withWeightsOf(formula, index, before);
    if (swap === undefined)
      for (const ingredient of set) {
        const back = setIngredientTotal(base, { component: index, ingredient }, totalOf(before, ingredient));
        if (!back.ok) return { ok: false, error: [back.error] };
        base = back.value;
      }
    const offered = swap === undefined ? undefined : offeredSwap(swap.from, swap.to);
    const alsoHeld = (offered?.holds ?? []).map((measure): Demand => ({ kind: "hold", measure }));
    const answer = rebalance(
      {
        formula: base,
        component: name,
        ...(swap === undefined ? {} : { swap }),
        demands: [...words.demands, ...alsoHeld, ...demanded],
        aim: "nearest",
        mayAdd: [...new Set([...(words.mayAdd ?? []), ...(offered?.carries ?? [])])].filter(
          (id) => swap?.to.includes(id) !== true,
        ),
      },
      book,
      solver,
    );
    if (answer.status === "problems") return { ok: false, error: answer.problems };
    if (answer.status === "optimal") return { ok: true, value: answer.formula };
    const problem: Problem = {
      code: "conflict",
      path: ["components", index],
      expected: "demands that can hold together with this setting",
      found: answer.words,
      remedy: "Leave one demand out, narrow the range, or allow an ingredient to be added.",
    };
    return { ok: false, error: [problem] };
  }
}

/** What a run swaps, if anything. */
function swapOf(binding: Binding, setting: Setting) {
  const value = setting[binding.factor];
  if (binding.kind === "replace" && Number(value) > 0)
    return [{ from: binding.ingredient, percent: Number(value), to: [binding.by] }];
  if (binding.kind !== "swap") return [];
  const by = binding.by[String(value)];
  return by === undefined || by === binding.ingredient ? [] : [{ from: binding.ingredient, percent: 100, to: [by] }];
}

/** The standard's uses again, with what else the run changed in the stages (their targets). */
function withWeightsOf(formula: Formula, index: number, before: Component): Formula {
  const part = formula.components[index]!;
  const stages = part.stages.map((stage) => ({
    ...stage,
    uses: before.stages.find(({ name }) => name === stage.name)?.uses ?? stage.uses,
  }));
  return {
    ...formula,
    components: formula.components.map((other, place) => (place === index ? { ...part, stages } : other)),
  };
}

const oneSwap = (index: number, from: readonly string[]): Problem => ({
  code: "conflict",
  path: ["components", index],
  expected: "one swap at a time in a component while something is held",
  found: from.join(" and "),
  remedy: "Leave one swap out, or hold nothing but the total.",
});

const totalOf = (component: Component, ingredient: string): number =>
  component.stages
    .flatMap(({ uses }) => uses)
    .reduce((sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0), 0);
