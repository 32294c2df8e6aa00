import type { Component, Formula } from "../formula/index.js";
import { type Ingredient, type IngredientBook, NUTRIENTS, type Nutrient } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { summariseAllergens } from "./allergens.js";
import type { Composition, Contribution, FormulaComposition, PartComposition, Total, UnweighedUse } from "./composition.js";
import { energyOf } from "./energy.js";

type Totals = Readonly<Record<Nutrient, Total>>;
interface Tally {
  amount: number;
  readonly missing: Contribution[];
  readonly contributions: Contribution[];
}

/**
 * What a formula contains: each component and the whole product, as mixed and as finished (after the loss of each component).
 *
 * Figures of the book are per 100 g as sold, so a use brings grams / 100 x figure. A use of an ingredient the book does not
 * know weighs and has every figure missing; a use without weight is listed. The energies are computed (see `energyOf`).
 *
 * @returns  grams, kJ and kcal for the whole batch; `amountsIn` and `per100g` bring them to another weight
 *
 * Leaves out: anything but water that is lost or changed in the oven (alcohol that evaporates, sugar that browns).
 */
export function composeFormula(formula: Formula, book: IngredientBook): FormulaComposition {
  const parts = formula.components.map((component, index) => composePart(component, book, index));
  const components = parts.map((part) => part.value);
  const ingredients = formula.components.flatMap((component) => idsOf(component));
  return {
    components,
    product: {
      name: formula.name,
      mixed: together(components.map((part) => part.mixed)),
      finished: together(components.map((part) => part.finished)),
      allergens: summariseAllergens(ingredients, book),
      unweighed: components.flatMap((part) => part.unweighed),
    },
    problems: parts.flatMap((part) => part.problems),
  };
}

/**
 * The same for one component. A loss is water: one greater than the known water is cut down to it, and said.
 *
 * @param componentIndex  where the component stands in its formula; only for the path of a problem
 */
export function composePart(component: Component, book: IngredientBook, componentIndex = 0): Reading<PartComposition> {
  const tallies = newTallies();
  const unweighed: UnweighedUse[] = [];
  let totalGrams = 0;
  for (const stage of component.stages) {
    for (const use of stage.uses) {
      const ingredient = book.get(use.ingredient);
      const name = ingredient?.name ?? use.ingredient;
      if (use.grams === null) {
        unweighed.push({ component: component.name, stage: stage.name, ingredient: use.ingredient, name });
        continue;
      }
      totalGrams += use.grams;
      if (use.grams > 0)
        tallyUse(
          tallies,
          { component: component.name, stage: stage.name, ingredient: use.ingredient, name },
          use.grams,
          ingredient,
        );
    }
  }
  const mixed: Composition = { totalGrams, lostGrams: 0, totals: tallies };
  const { value: finished, problems } = afterLoss(mixed, component, componentIndex);
  return {
    value: { name: component.name, mixed, finished, allergens: summariseAllergens(idsOf(component), book), unweighed },
    problems,
  };
}

/** Ids of all uses, weighed or not: an allergen is in it as soon as the formula names it. */
const idsOf = (component: Component): readonly string[] =>
  component.stages.flatMap((stage) => stage.uses.map((use) => use.ingredient));

function newTallies(): Record<Nutrient, Tally> {
  const tallies = {} as Record<Nutrient, Tally>;
  for (const nutrient of NUTRIENTS) tallies[nutrient] = { amount: 0, missing: [], contributions: [] };
  return tallies;
}

type Origin = Pick<Contribution, "component" | "stage" | "ingredient" | "name">;

function tallyUse(tallies: Record<Nutrient, Tally>, origin: Origin, useGrams: number, ingredient: Ingredient | undefined): void {
  const { component, stage, ingredient: id, name } = origin;
  for (const nutrient of NUTRIENTS) {
    const tally = tallies[nutrient];
    const figure =
      ingredient === undefined
        ? UNKNOWN
        : nutrient === "energyKj" || nutrient === "energyKcal"
          ? energyOf(ingredient.per100g, nutrient)
          : ingredient.per100g[nutrient];
    if (figure.known) {
      const amount = (figure.value * useGrams) / 100;
      tally.amount += amount;
      tally.contributions.push({ component, stage, ingredient: id, name, useGrams, amount, source: figure.source });
    } else {
      tally.missing.push({ component, stage, ingredient: id, name, useGrams, source: figure.why });
    }
  }
}

const UNKNOWN = { known: false, why: "the ingredient is not in the book" } as const;

function afterLoss(mixed: Composition, component: Component, componentIndex: number): Reading<Composition> {
  if (component.loss === undefined || component.loss.percent === 0 || mixed.totalGrams === 0)
    return { value: mixed, problems: [] };
  const { percent, basis } = component.loss;
  const wantedGrams = (mixed.totalGrams * percent) / 100;
  const { water } = mixed.totals;
  const lostGrams = Math.min(wantedGrams, water.amount);
  const problems: Problem[] = [];
  if (lostGrams < wantedGrams) {
    const most = Math.floor((water.amount / mixed.totalGrams) * 1000) / 10;
    problems.push({
      code: "conflict",
      path: ["components", componentIndex, "loss", "percent"],
      expected: `a loss of at most ${most} %, which is all the known water in ${component.name}`,
      found: `${percent} %`,
      remedy:
        water.missing.length > 0
          ? "Give the water of the ingredients that have no figure, or lower the loss; it was cut down to the known water."
          : "Weigh it before and after the bake; the loss was cut down to the water there is.",
    });
  }
  const lost: Contribution = {
    component: component.name,
    stage: "",
    ingredient: "",
    name: "Water lost in the making",
    useGrams: -lostGrams,
    amount: -lostGrams,
    source: `${basis} loss of ${percent} % of the weight${lostGrams < wantedGrams ? ", cut down to the known water" : ""}`,
  };
  const finishedWater: Total = {
    amount: water.amount - lostGrams,
    missing: water.missing,
    contributions: [...water.contributions, lost],
  };
  const value = { totalGrams: mixed.totalGrams - lostGrams, lostGrams, totals: { ...mixed.totals, water: finishedWater } };
  return { value, problems };
}

function together(parts: readonly Composition[]): Composition {
  const totals = {} as Record<Nutrient, Total>;
  for (const nutrient of NUTRIENTS) {
    let amount = 0;
    for (const part of parts) amount += part.totals[nutrient].amount;
    totals[nutrient] = {
      amount,
      missing: parts.flatMap((part) => part.totals[nutrient].missing),
      contributions: parts.flatMap((part) => part.totals[nutrient].contributions),
    };
  }
  return {
    totalGrams: parts.reduce((sum, part) => sum + part.totalGrams, 0),
    lostGrams: parts.reduce((sum, part) => sum + part.lostGrams, 0),
    totals: totals satisfies Totals,
  };
}
