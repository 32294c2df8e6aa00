import { composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import { ALLERGEN_WORDS, ALLERGENS, type Allergen, type Ingredient, type IngredientBook } from "../ingredients/index.js";
import { allergenWord, designation, gbFlourRule, type LabelPlace } from "./designations.js";
import { halfUp } from "./rounding.js";

/** A piece of text that stands out or not. */
export interface TextRun {
  readonly text: string;
  readonly emphasised: boolean;
}

export interface ListedIngredient {
  readonly ingredient: string;
  /** Weight at the time of mixing [g]; for added water what is left of it in the finished product. */
  readonly grams: number;
  /** Quantity declared behind the name: "28 %", or "120 g per 100 g". */
  readonly quantity?: string;
  readonly runs: readonly TextRun[];
}

export interface IngredientList {
  readonly heading: string;
  readonly items: readonly ListedIngredient[];
  /** The whole list as runs, heading and full stop included. */
  readonly runs: readonly TextRun[];
  /** The US line "Contains: ..."; elsewhere a list may not be repeated like this. */
  readonly contains?: string;
  /** "May contain ..." as the baker states it for the ingredients and the bakery. */
  readonly mayContain?: string;
  /** What has to be read on packets, or is not known, before this is printed. */
  readonly checks: readonly string[];
  /** Published rules that were applied. */
  readonly rules: readonly string[];
}

export interface IngredientListOptions {
  readonly place: LabelPlace;
  /** ISO 8601 date on which the label is to hold. */
  readonly date: string;
  /** Ids of the ingredients whose quantity has to be declared: those in the name, in pictures, or that characterise the food. */
  readonly declareQuantityOf?: readonly string[];
  /** Precautionary statement for the bakery as a whole, as the baker assessed it. */
  readonly mayContain?: readonly Allergen[];
}

/** Added water at or below this share of the finished product need not be listed (Annex VII, Part A, point 1). */
const WATER_SHARE = 0.05;

/**
 * The list of ingredients of a product.
 *
 * In descending weight at the time of mixing; added water by what is left of it in the finished product; compounds unfolded in
 * brackets; allergens marked. Quantities to declare are related to the finished product, because baking takes water away; when
 * that, or the sum of all declared, exceeds 100 %, they are given as weight per 100 g of product.
 *
 * @returns  an empty list (no items) while nothing is weighed
 *
 * Sources: Regulation (EU) 1169/2011, Articles 18, 21 and 22 and Annexes VII and VIII (assimilated in Great Britain); 21 CFR
 * 101.4 and the Federal Food, Drug, and Cosmetic Act, section 403(w), for the United States.
 */
export function ingredientList(formula: Formula, book: IngredientBook, options: IngredientListOptions): IngredientList {
  const { place, date } = options;
  const { product } = composeFormula(formula, book);
  const finishedGrams = product.finished.totalGrams;
  const checks: string[] = [];
  const weights = new Map<string, { name: string; grams: number; ingredients: Ingredient[] }>();
  const unknown: string[] = [];

  for (const [id, grams] of mixedWeights(formula)) {
    const ingredient = book.get(id);
    if (ingredient === undefined) {
      unknown.push(id);
      checks.push(`${id}: the book does not know it. Its name on the label and its allergens are not known.`);
      continue;
    }
    if (grams === null) {
      checks.push(`${ingredient.name}: it has no weight, so its place in the list is not known.`);
      continue;
    }
    const { words, check } = designation(ingredient, place, date);
    if (check !== undefined) checks.push(`${ingredient.name}: ${check}`);
    if (ingredient.checkSupplier.length > 0)
      checks.push(`${ingredient.name}: often holds ${ingredient.checkSupplier.map(allergenWord).join(", ")}: read its packet.`);
    // Two sugars that are both "sugar" in a list are one ingredient of it.
    const entry = weights.get(words) ?? { name: words, grams: 0, ingredients: [] };
    weights.set(words, { ...entry, grams: entry.grams + grams, ingredients: [...entry.ingredients, ingredient] });
  }

  const others = [...weights.values()]
    .filter(({ ingredients }) => !ingredients.some(({ id }) => id === "water"))
    .reduce((sum, { grams }) => sum + grams, 0);
  const waterLeft = Math.max(0, finishedGrams - others);
  const listed = [...weights.values()]
    .map((entry) => (entry.ingredients.some(({ id }) => id === "water") ? { ...entry, grams: waterLeft } : entry))
    .filter(
      (entry) =>
        entry.grams > 0 &&
        !(place !== "us" && entry.ingredients.some(({ id }) => id === "water") && entry.grams <= WATER_SHARE * finishedGrams),
    )
    .toSorted((one, other) => other.grams - one.grams || one.name.localeCompare(other.name, "en-GB"));

  const declared = listed.filter(({ ingredients }) => ingredients.some(({ id }) => options.declareQuantityOf?.includes(id)));
  const shares = declared.map(({ grams }) => (100 * grams) / finishedGrams);
  const byWeight = shares.some((share) => share > 100) || shares.reduce((sum, share) => sum + share, 0) > 100;
  const items = listed.map(({ name, grams, ingredients }): ListedIngredient => {
    const share = (100 * grams) / finishedGrams;
    const isDeclared = place !== "us" && declared.some((one) => one.name === name);
    const own = ingredients[0]!.parts === undefined ? "" : unfolded(ingredients[0]!, book, place, date, 0);
    return {
      ingredient: ingredients[0]!.id,
      grams,
      runs: runsOf(`${name}${own}`),
      ...(isDeclared
        ? { quantity: byWeight ? `${halfUp(share, 1)} g per 100 g` : `${halfUp(share, share < 10 ? 1 : 0)} %` }
        : {}),
    };
  });

  const heading = place === "us" ? "INGREDIENTS: " : "Ingredients: ";
  const runs: TextRun[] = [
    { text: heading, emphasised: false },
    ...items.flatMap((item, index) => [
      ...(index === 0 ? capitalised(item.runs) : item.runs),
      {
        text: `${item.quantity === undefined ? "" : ` (${item.quantity})`}${index < items.length - 1 ? ", " : "."}`,
        emphasised: false,
      },
    ]),
  ];
  const contained = book.all.length === 0 ? [] : allergensOf(formula, book);
  const stated = [
    ...(options.mayContain ?? []),
    ...mixedIngredients(formula, book).flatMap(({ mayContain }) => mayContain),
  ].filter(
    (may) => !contained.some(({ allergen, kind }) => allergen === may.allergen && (kind === undefined || kind === may.kind)),
  );
  return {
    heading,
    items,
    runs: joined(runs),
    ...(place === "us" ? { contains: usContains(contained) } : {}),
    ...(stated.length > 0 ? { mayContain: `May contain ${[...new Set(stated.map(mayWords))].join(", ")}.` } : {}),
    checks: [...new Set(checks)],
    rules:
      place === "us"
        ? ["21 CFR 101.4; Federal Food, Drug, and Cosmetic Act, section 403(w)"]
        : [
            "Regulation (EU) 1169/2011, Articles 18, 21, 22, Annexes VII and VIII",
            ...(place === "gb" && listed.some(({ name }) => name.includes(gbFlourRule(date).words))
              ? [gbFlourRule(date).source]
              : []),
          ],
  };
}

/** The nine allergens that US law names, by ours; the others have no place in its line. */
const US_NAMES: Partial<Record<(typeof ALLERGENS)[number], string>> = {
  milk: "Milk",
  eggs: "Eggs",
  fish: "Fish",
  crustaceans: "Crustacean shellfish",
  nuts: "Tree nuts",
  peanuts: "Peanuts",
  soybeans: "Soybeans",
  sesame: "Sesame",
};

function usContains(contained: readonly Allergen[]): string {
  const words = contained.flatMap(({ allergen, kind }) => {
    if (allergen === "cereals-gluten") return kind === "wheat" ? ["Wheat"] : [];
    const name = US_NAMES[allergen];
    return name === undefined ? [] : [allergen === "nuts" && kind !== undefined ? `${name} (${kind})` : name];
  });
  return words.length === 0 ? "" : `Contains: ${[...new Set(words)].join(", ")}.`;
}

const mayWords = (allergen: Allergen) => allergen.kind ?? ALLERGEN_WORDS[allergen.allergen];

/** " (sugar, raspberries, pectins)": a compound's own list, by weight, at most four deep. */
function unfolded(compound: Ingredient, book: IngredientBook, place: LabelPlace, date: string, depth: number): string {
  if (depth > 3) return "";
  const parts = (compound.parts ?? [])
    .toSorted((one, other) => other.grams - one.grams)
    .map(({ ingredient }) => {
      const part = book.get(ingredient);
      if (part === undefined) return ingredient;
      return `${designation(part, place, date).words}${part.parts === undefined ? "" : unfolded(part, book, place, date, depth + 1)}`;
    });
  return parts.length === 0 ? "" : ` (${parts.join(", ")})`;
}

function mixedWeights(formula: Formula): ReadonlyMap<string, number | null> {
  const weights = new Map<string, number | null>();
  for (const { stages } of formula.components)
    for (const { uses } of stages)
      for (const { ingredient, grams } of uses)
        weights.set(ingredient, grams === null ? (weights.get(ingredient) ?? null) : (weights.get(ingredient) ?? 0) + grams);
  return weights;
}

const mixedIngredients = (formula: Formula, book: IngredientBook) =>
  [...mixedWeights(formula).keys()].flatMap((id) => {
    const found = book.get(id);
    return found === undefined ? [] : [found];
  });

/** Every allergen of the product once, in the order of Annex II. */
function allergensOf(formula: Formula, book: IngredientBook): readonly Allergen[] {
  const found = new Map<string, Allergen>();
  for (const { contains } of mixedIngredients(formula, book))
    for (const one of contains) found.set(`${one.allergen} ${one.kind ?? ""}`, one);
  return [...found.values()].toSorted((one, other) => ALLERGENS.indexOf(one.allergen) - ALLERGENS.indexOf(other.allergen));
}

/** Splits words at the marks around what has to stand out. */
export function runsOf(words: string): readonly TextRun[] {
  return words.split(/(\[[^\]]*\])/).flatMap((piece): TextRun[] => {
    if (piece === "") return [];
    const isMarked = piece.startsWith("[") && piece.endsWith("]");
    return [{ text: isMarked ? piece.slice(1, -1) : piece, emphasised: isMarked }];
  });
}

const capitalised = (runs: readonly TextRun[]): readonly TextRun[] =>
  runs.map((run, index) => (index === 0 ? { ...run, text: run.text.charAt(0).toUpperCase() + run.text.slice(1) } : run));

function joined(runs: readonly TextRun[]): readonly TextRun[] {
  const all: TextRun[] = [];
  for (const run of runs) {
    const last = all.at(-1);
    if (last !== undefined && last.emphasised === run.emphasised)
      all[all.length - 1] = { text: last.text + run.text, emphasised: run.emphasised };
    else all.push(run);
  }
  return all;
}
