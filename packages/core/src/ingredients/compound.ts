import type { Figure, Problem, Reading } from "../quantities/index.js";
import { uniteAllergens } from "./allergens.js";
import { FURTHER_NUTRIENTS, type FurtherFigures, type FurtherNutrient, furtherFigure } from "./further.js";
import {
  type Allergen,
  type CompoundPart,
  type Ingredient,
  type IngredientBook,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Pack,
  type Role,
} from "./ingredient.js";
import { searchIngredients } from "./searchIngredients.js";

/** A jam, a curd, a pre-mix: what it is made from. */
export interface CompoundDescription {
  readonly id: string;
  readonly name: string;
  readonly usName?: string;
  readonly otherNames?: readonly string[];
  readonly role: Role;
  readonly parts: readonly CompoundPart[];
  /** Weight lost while it is made, percent of the parts' weight; 0 when not given. Only water leaves. */
  readonly partsLossPercent?: number;
  readonly densityGPerMl?: Figure;
  /** Beyond what the parts bring: as the baker states it. */
  readonly mayContain?: readonly Allergen[];
  readonly packs?: readonly Pack[];
  readonly notes?: string;
}

/**
 * An ingredient made from others, with the composition and the allergens of its parts.
 *
 * @returns  always an ingredient. A nutrient that one part does not know stays missing, and names that part. Problems, and then no
 *   figures: no parts, a weight that is none, a part that the book does not have, a part that is made from this ingredient, a loss
 *   that is not from 0 to under 100 % or that takes more water than the parts hold.
 *
 * Leaves out: alcohol and aroma that boil off, sugar that inverts, weight stuck to the pan.
 */
export function compoundIngredient(description: CompoundDescription, book: IngredientBook): Reading<Ingredient> {
  const problems: Problem[] = [];
  const parts = readParts(description, book, problems);
  const lossPercent = description.partsLossPercent ?? 0;
  if (!(lossPercent >= 0 && lossPercent < 100)) {
    problems.push({
      code: "out-of-range",
      path: ["partsLossPercent"],
      expected: "a loss from 0 to under 100 %",
      found: `${lossPercent} %`,
      remedy: "Weigh the parts before and the finished ingredient after, and give the loss in percent of the parts.",
    });
  }
  const figures = problems.length === 0 ? mix(parts, lossPercent, problems) : nothingKnown("its parts have problems");
  const made = parts.map(({ ingredient }) => ingredient);
  const further = problems.length === 0 ? mixFurther(parts, lossPercent) : {};
  return {
    value: {
      id: description.id,
      name: description.name,
      ...(description.usName ? { usName: description.usName } : {}),
      otherNames: description.otherNames ?? [],
      group: "own",
      role: description.role,
      per100g: figures,
      furtherPer100g: further,
      densityGPerMl: description.densityGPerMl ?? { known: false, why: "not stated; weigh a level cup or spoon of it" },
      householdWeights: [],
      contains: uniteAllergens(made.map((ingredient) => ingredient.contains)),
      checkSupplier: uniteAllergens(made.map((ingredient) => ingredient.checkSupplier)),
      mayContain: uniteAllergens([...made.map((ingredient) => ingredient.mayContain), description.mayContain ?? []]),
      basis: "compound",
      source: sourceOf(parts, lossPercent),
      ...(description.notes ? { notes: description.notes } : {}),
      ...(description.packs ? { packs: description.packs } : {}),
      parts: description.parts,
      partsLossPercent: lossPercent,
    },
    problems,
  };
}

interface KnownPart {
  readonly ingredient: Ingredient;
  readonly grams: number;
}

function readParts(description: CompoundDescription, book: IngredientBook, problems: Problem[]): readonly KnownPart[] {
  if (description.parts.length === 0) {
    problems.push({
      code: "missing-field",
      path: ["parts"],
      expected: "at least one part with its weight",
      found: "none",
      remedy: "Add what it is made from.",
    });
  }
  const known: KnownPart[] = [];
  description.parts.forEach((part, index) => {
    const path = ["parts", index];
    if (!(part.grams > 0 && part.grams < 1e9)) {
      problems.push({
        code: "not-a-weight",
        path: [...path, "grams"],
        expected: "a weight above 0 g",
        found: String(part.grams),
        remedy: "Give the weight of this part, or take the part out.",
      });
    }
    if (part.ingredient === description.id || isMadeFrom(part.ingredient, description.id, book)) {
      problems.push({
        code: "conflict",
        path: [...path, "ingredient"],
        expected: `an ingredient that is not made from ${description.name}`,
        found: part.ingredient,
        remedy: "Take this part out: an ingredient cannot be made from itself.",
      });
      return;
    }
    const ingredient = book.get(part.ingredient);
    if (ingredient) {
      known.push({ ingredient, grams: part.grams });
      return;
    }
    const near = searchIngredients(book, part.ingredient.replaceAll("-", " "), { limit: 1 })[0];
    problems.push({
      code: "unknown-ingredient",
      path: [...path, "ingredient"],
      expected: "the id of an ingredient in the book",
      found: part.ingredient,
      remedy: near ? `Add it to the ingredients first, or use ${near.ingredient.id}.` : "Add it to the ingredients first.",
    });
  });
  return known;
}

function isMadeFrom(id: string, wanted: string, book: IngredientBook): boolean {
  const seen = new Set<string>();
  const queue = [id];
  for (let next = queue.pop(); next !== undefined; next = queue.pop()) {
    if (seen.has(next)) continue;
    seen.add(next);
    for (const part of book.get(next)?.parts ?? []) {
      if (part.ingredient === wanted) return true;
      queue.push(part.ingredient);
    }
  }
  return false;
}

function mix(parts: readonly KnownPart[], lossPercent: number, problems: Problem[]): NutrientFigures {
  const totalGrams = parts.reduce((sum, part) => sum + part.grams, 0);
  const lossGrams = (totalGrams * lossPercent) / 100;
  const finishedGrams = totalGrams - lossGrams;
  const water = sumOf("water", parts);
  if (water.known && lossGrams > water.value + 1e-9) {
    problems.push({
      code: "out-of-range",
      path: ["partsLossPercent"],
      expected: `a loss of at most ${round((water.value / totalGrams) * 100, 10)} %, all the water of the parts`,
      found: `${lossPercent} %`,
      remedy: "Weigh again: only water leaves, and the parts do not hold that much.",
    });
    return nothingKnown("more water is lost than the parts hold");
  }
  const source =
    lossPercent > 0
      ? `computed from its parts, less ${round(lossPercent, 100)} % of their weight as water`
      : "computed from its parts";
  const figures = {} as Record<Nutrient, Figure>;
  for (const nutrient of NUTRIENTS) {
    const sum = sumOf(nutrient, parts);
    if (!sum.known) {
      figures[nutrient] = sum;
      continue;
    }
    const left = nutrient === "water" ? sum.value - lossGrams : sum.value;
    figures[nutrient] = { known: true, value: round((Math.max(0, left) * 100) / finishedGrams, 1e9), source };
  }
  return figures;
}

/** Only water leaves, so the whole of each stays in what is left. */
function mixFurther(parts: readonly KnownPart[], lossPercent: number): FurtherFigures {
  const finishedGrams = parts.reduce((sum, part) => sum + part.grams, 0) * (1 - lossPercent / 100);
  const figures: Partial<Record<FurtherNutrient, Figure>> = {};
  for (const nutrient of FURTHER_NUTRIENTS) {
    const sum = sumUp(parts, (ingredient) => furtherFigure(ingredient, nutrient));
    figures[nutrient] = sum.known
      ? { known: true, value: round((sum.value * 100) / finishedGrams, 1e9), source: "computed from its parts" }
      : sum;
  }
  return figures;
}

/** Grams (or kJ, kcal) in all the parts together, or which parts do not say. */
const sumOf = (nutrient: Nutrient, parts: readonly KnownPart[]): Figure =>
  sumUp(parts, (ingredient) => ingredient.per100g[nutrient]);

function sumUp(parts: readonly KnownPart[], figureOf: (ingredient: Ingredient) => Figure): Figure {
  let sum = 0;
  const silent: string[] = [];
  for (const { ingredient, grams } of parts) {
    const figure = figureOf(ingredient);
    if (figure.known) sum += (figure.value * grams) / 100;
    else silent.push(ingredient.name);
  }
  return silent.length > 0
    ? { known: false, why: `not known for ${silent.join(", ")}` }
    : { known: true, value: sum, source: "parts" };
}

function nothingKnown(why: string): NutrientFigures {
  const figures = {} as Record<Nutrient, Figure>;
  for (const nutrient of NUTRIENTS) figures[nutrient] = { known: false, why };
  return figures;
}

function sourceOf(parts: readonly KnownPart[], lossPercent: number): string {
  const words = parts.map(({ ingredient, grams }) => `${round(grams, 10)} g ${ingredient.name}`).join(", ");
  return `made from ${words || "nothing"}${lossPercent > 0 ? `; ${round(lossPercent, 10)} % lost as water` : ""}`;
}

function round(value: number, parts: number): number {
  return Math.round(value * parts) / parts;
}
