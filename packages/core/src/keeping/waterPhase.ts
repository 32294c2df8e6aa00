import type { Composition } from "../composition/index.js";
import type { SoluteName } from "./solutes.js";
import type { WaterPhase } from "./waterActivity.js";

/** All sodium counted as sodium chloride: a raising agent's sodium binds water as much (both are 1:1 salts, or nearly). */
const SALT_PER_SODIUM = 58.443 / 22.99;
/** Usual loss in baking where a cake states none; the middle of 7 to 13 % (common practice, no source). */
const USUAL_LOSS_SHARE = 0.1;

export interface ReadPhase {
  readonly phase: WaterPhase;
  /** Weight of the composition that was read [g]; syrup that soaks in is shared out by it. */
  readonly finishedGrams: number;
  /** Dry solids without fat [g]: what the water of a layer is measured against. */
  readonly drySolidsGrams: number;
  /** What had to be assumed, and what the figures leave out. */
  readonly assumptions: readonly string[];
}

/**
 * What decides the water activity of a component, from its composition.
 *
 * Single sugars count by themselves; sugars that the sources give only as a sum count as sucrose. Polyols count as sorbitol.
 *
 * @param finished  composition after the loss that the formula states
 * @param assumeLoss  true for a baked component that states no loss: a tenth of the weight is taken off the water
 */
export function waterPhaseOf(finished: Composition, assumeLoss: boolean): ReadPhase {
  const { totals } = finished;
  const assumptions: string[] = [];
  const amount = (name: keyof typeof totals) => totals[name].amount;
  const lost = assumeLoss ? Math.min(amount("water") * 0.6, finished.totalGrams * USUAL_LOSS_SHARE) : 0;
  if (assumeLoss)
    assumptions.push("No loss is stated: a tenth of the weight is taken to bake off. Weigh it before and after to be surer.");
  const singles: readonly SoluteName[] = ["sucrose", "glucose", "fructose", "lactose", "maltose", "galactose"];
  const sugarGrams: Partial<Record<SoluteName, number>> = {};
  for (const name of singles) sugarGrams[name] = amount(name as "sucrose");
  const unsplit = amount("sugars") - singles.reduce((sum, name) => sum + sugarGrams[name]!, 0);
  if (unsplit > 0.02 * Math.max(amount("sugars"), 1))
    assumptions.push("Sugars whose kind no source gives are counted as sucrose.");
  sugarGrams.sucrose = sugarGrams.sucrose! + Math.max(0, unsplit);
  sugarGrams.sorbitol = amount("polyols");
  sugarGrams.ethanol = amount("alcohol");
  for (const name of ["water", "sugars", "starch", "protein", "sodium"] as const) {
    // A few grams of zest or extract without a figure move nothing that could be measured.
    const missing = totals[name].missing.flatMap((one) => (one.useGrams > 0.02 * finished.totalGrams ? [one.name] : []));
    if (missing.length > 0) assumptions.push(`No figure for ${name} of ${[...new Set(missing)].join(", ")}: it is left out.`);
  }
  const waterGrams = Math.max(0, amount("water") - lost);
  return {
    finishedGrams: finished.totalGrams,
    phase: {
      waterGrams,
      sugarGrams,
      saltGrams: amount("sodium") * SALT_PER_SODIUM,
      sorbingGrams: amount("starch") + amount("protein") + amount("fibre"),
    },
    drySolidsGrams: Math.max(0, finished.totalGrams - lost - waterGrams - amount("fat")),
    assumptions,
  };
}

/**
 * A cake with syrup soaked into it: everything of the syrup counts in the cake's water.
 *
 * @param perGram  share of the whole syrup that one gram of finished cake takes up
 */
export function soakedWith(cake: ReadPhase, syrupName: string, syrup: ReadPhase, perGram: number): ReadPhase {
  const { phase } = cake;
  const share = perGram * cake.finishedGrams;
  const sugarGrams: Partial<Record<SoluteName, number>> = { ...phase.sugarGrams };
  for (const [name, grams] of Object.entries(syrup.phase.sugarGrams) as [SoluteName, number][])
    sugarGrams[name] = (sugarGrams[name] ?? 0) + share * grams;
  return {
    finishedGrams: cake.finishedGrams,
    phase: {
      waterGrams: phase.waterGrams + share * syrup.phase.waterGrams,
      sugarGrams,
      saltGrams: phase.saltGrams + share * syrup.phase.saltGrams,
      sorbingGrams: phase.sorbingGrams + share * syrup.phase.sorbingGrams,
    },
    drySolidsGrams: cake.drySolidsGrams + share * syrup.drySolidsGrams,
    assumptions: [...cake.assumptions, ...syrup.assumptions, `${syrupName} is counted as soaked into it evenly.`],
  };
}
