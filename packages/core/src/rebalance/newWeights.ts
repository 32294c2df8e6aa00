import type { Component, Stage, Use } from "../formula/index.js";
import type { Unknown } from "./unknowns.js";

interface Change {
  readonly before: number;
  readonly after: number;
}

/**
 * The component with new weights: each ingredient keeps its split over the stages, in whole tenths of a gram that sum to its
 * weight; a newcomer joins the stage of what it replaces.
 *
 * @param replaced  id of the ingredient that a swap takes away, if there is one
 */
export function componentWith(
  component: Component,
  unknowns: readonly Unknown[],
  values: readonly number[],
  replaced: string | undefined,
): Component {
  const changes = new Map(unknowns.map(({ id, before }, index) => [id, { before, after: values[index]! }]));
  const placed = new Set(component.stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient)));
  const home = Math.max(
    0,
    component.stages.findIndex(({ uses }) => uses.some(({ ingredient }) => ingredient === replaced)),
  );
  const newcomers = [...changes]
    .filter(([id, { after }]) => !placed.has(id) && after > 1e-9)
    .map(([ingredient, { after }]): Use => ({ ingredient, grams: after }));
  const given = new Set<string>();
  const stages = component.stages.map((stage, index): Stage => {
    const uses = stage.uses.flatMap((use) => rescaled(use, changes.get(use.ingredient), given));
    return { ...stage, uses: index === home ? [...uses, ...newcomers] : uses };
  });
  return { ...component, stages: splitToTheGram(stages, changes) };
}

function rescaled(use: Use, change: Change | undefined, given: Set<string>): readonly Use[] {
  if (change === undefined || change.before === change.after) return [use];
  if (change.before === 0) {
    // Named but not weighed so far: its first place gets the weight.
    if (given.has(use.ingredient)) return [use];
    given.add(use.ingredient);
    return [{ ...use, grams: change.after }];
  }
  if (use.grams === null) return [use];
  return change.after <= 1e-9 ? [] : [{ ...use, grams: (use.grams / change.before) * change.after }];
}

/** Parts of an ingredient that is used in several stages are brought to tenths of a gram that still sum to its weight. */
function splitToTheGram(stages: readonly Stage[], changes: ReadonlyMap<string, Change>): readonly Stage[] {
  const left = new Map([...changes].map(([id, { after }]) => [id, after]));
  const uses = stages.flatMap((stage) => stage.uses);
  const last = new Map(uses.flatMap((use) => (use.grams === null ? [] : [[use.ingredient, use] as const])));
  return stages.map((stage) => ({
    ...stage,
    uses: stage.uses.map((use) => {
      const change = changes.get(use.ingredient);
      if (change === undefined || use.grams === null || change.before === change.after) return use;
      const remaining = left.get(use.ingredient)!;
      const grams = last.get(use.ingredient) === use ? remaining : Math.min(remaining, Number(use.grams.toFixed(1)));
      left.set(use.ingredient, Number((remaining - grams).toFixed(6)));
      return { ...use, grams };
    }),
  }));
}
