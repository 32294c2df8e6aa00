import type { Figure, Problem, Reading } from "../quantities/index.js";
import { FURTHER_NUTRIENTS, FURTHER_WORDS, type FurtherFigures, type FurtherNutrient } from "./further.js";
import type { Ingredient } from "./ingredient.js";

/** Further figures as a supplier's specification or a US packet has them, per 100 g, in the unit of the name. */
export type FurtherStatement = { readonly [Name in FurtherNutrient]?: number };

const STATED = "stated by the supplier";

/** What is stated, as figures; one that cannot be is told and left out. @param fat  of the same food [g/100 g], where it is known */
export function readFurtherStatement(stated: FurtherStatement, fat: number | undefined): Reading<FurtherFigures> {
  const figures: Partial<Record<FurtherNutrient, Figure>> = {};
  const problems: Problem[] = [];
  for (const nutrient of FURTHER_NUTRIENTS) {
    const value = stated[nutrient];
    if (value === undefined) continue;
    const { name, unit, mostPer100g } = FURTHER_WORDS[nutrient];
    const isBoundByFat = nutrient === "transFatGrams" && fat !== undefined;
    const most = isBoundByFat ? fat : mostPer100g;
    if (value >= 0 && value <= most + 1e-9) {
      figures[nutrient] = { known: true, value, source: STATED };
      continue;
    }
    problems.push({
      code: "out-of-range",
      path: ["furtherPer100g", nutrient],
      expected: isBoundByFat
        ? `no more trans fat than the fat, ${fat} g per 100 g`
        : `${name} from 0 to ${most} ${unit} per 100 g`,
      found: String(value),
      remedy: "Read it again, and check that it is per 100 g and not per serving, and in the unit asked for.",
    });
  }
  return { value: figures, problems };
}

/** What was stated of an ingredient, apart from what a table says of it. */
export function furtherStatedOf(ingredient: Ingredient): FurtherStatement {
  const stated: Partial<Record<FurtherNutrient, number>> = {};
  for (const nutrient of FURTHER_NUTRIENTS) {
    const figure = ingredient.furtherPer100g?.[nutrient];
    if (figure?.known && figure.source === STATED) stated[nutrient] = figure.value;
  }
  return stated;
}

/** The ingredient with this stated of it, and nothing else; a book gives back to a shipped one what is no longer stated. */
export function stateFurther(ingredient: Ingredient, stated: FurtherStatement): Reading<Ingredient> {
  const { fat } = ingredient.per100g;
  const { value, problems } = readFurtherStatement(stated, fat.known ? fat.value : undefined);
  const before = furtherStatedOf(ingredient);
  const kept = Object.entries(ingredient.furtherPer100g ?? {}).filter(([nutrient]) => !Object.hasOwn(before, nutrient));
  return { value: { ...ingredient, furtherPer100g: { ...Object.fromEntries(kept), ...value } }, problems };
}
