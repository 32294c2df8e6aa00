import type { Formula } from "../formula/index.js";
import {
  FURTHER_NUTRIENTS,
  type FurtherNutrient,
  furtherFigure,
  type Ingredient,
  type IngredientBook,
} from "../ingredients/index.js";
import type { Contribution, Total } from "./composition.js";

/** Total of one further nutrient in a whole batch, in the unit of its name. */
export interface FurtherTotal extends Total {
  /** The most that everything in `missing` can add to `amount`, from what is known of those ingredients; 0 when nothing is missing. */
  readonly mostMissing: number;
}
export type FurtherTotals = Readonly<Record<FurtherNutrient, FurtherTotal>>;

export interface FurtherComposition {
  readonly components: readonly { readonly name: string; readonly totals: FurtherTotals }[];
  readonly product: FurtherTotals;
}

/**
 * What a formula brings of the nutrients that a US panel asks for beyond those of `composeFormula`: for the whole batch, unfolded to the uses.
 *
 * The loss in the making is water, so the finished product holds what was put in. Apart from `composeFormula`, because that runs on every
 * keystroke and only a label needs these.
 *
 * Leaves out: vitamin D that heat destroys, iron from a tin.
 */
export function composeFurther(formula: Formula, book: IngredientBook): FurtherComposition {
  const components = formula.components.map(({ name, stages }) => {
    const totals = newTotals();
    for (const stage of stages) {
      for (const { ingredient: id, grams } of stage.uses) {
        if (grams === null || grams <= 0) continue;
        const ingredient = book.get(id);
        const origin = { component: name, stage: stage.name, ingredient: id, name: ingredient?.name ?? id, useGrams: grams };
        for (const nutrient of FURTHER_NUTRIENTS) add(totals[nutrient], nutrient, origin, ingredient);
      }
    }
    return { name, totals };
  });
  const product = newTotals();
  for (const { totals } of components) {
    for (const nutrient of FURTHER_NUTRIENTS) {
      const [sum, part] = [product[nutrient], totals[nutrient]];
      sum.amount += part.amount;
      sum.mostMissing += part.mostMissing;
      sum.missing.push(...part.missing);
      sum.contributions.push(...part.contributions);
    }
  }
  return { components, product };
}

interface Tally {
  amount: number;
  mostMissing: number;
  readonly missing: Contribution[];
  readonly contributions: Contribution[];
}

function newTotals(): Record<FurtherNutrient, Tally> {
  const totals = {} as Record<FurtherNutrient, Tally>;
  for (const nutrient of FURTHER_NUTRIENTS) totals[nutrient] = { amount: 0, mostMissing: 0, missing: [], contributions: [] };
  return totals;
}

type Origin = Pick<Contribution, "component" | "stage" | "ingredient" | "name" | "useGrams">;

function add(tally: Tally, nutrient: FurtherNutrient, origin: Origin, ingredient: Ingredient | undefined): void {
  if (ingredient === undefined) {
    tally.mostMissing += mostPer100g(nutrient, undefined) * (origin.useGrams / 100);
    tally.missing.push({ ...origin, source: "the ingredient is not in the book" });
    return;
  }
  const figure = furtherFigure(ingredient, nutrient);
  if (figure.known) {
    const amount = (figure.value * origin.useGrams) / 100;
    tally.amount += amount;
    tally.contributions.push({ ...origin, amount, source: figure.source });
    return;
  }
  tally.mostMissing += mostPer100g(nutrient, ingredient) * (origin.useGrams / 100);
  tally.missing.push({ ...origin, source: figure.why });
}

/**
 * The most that 100 g can hold, in the unit of the name: trans fat is fat that is not saturated, cholesterol and vitamin D dissolve in fat
 * and weigh no more than it, and a metal stays in the ash (as weighed; an ash summed from minerals may lack the very one).
 */
function mostPer100g(nutrient: FurtherNutrient, ingredient: Ingredient | undefined): number {
  const of = (name: "fat" | "saturates" | "ash", unknown: number) => {
    const figure = ingredient?.per100g[name];
    return figure?.known && !(name === "ash" && /^(?:derived|computed)/.test(figure.source)) ? figure.value : unknown;
  };
  const fat = of("fat", 100);
  switch (nutrient) {
    case "transFatGrams":
      return Math.max(0, fat - of("saturates", 0));
    case "cholesterolMg":
      return fat * 1e3;
    case "vitaminDMcg":
      return fat * 1e6;
    case "calciumMg":
    case "ironMg":
    case "potassiumMg":
      return of("ash", 100) * 1e3;
  }
}
