import { composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { Ingredient, IngredientBook } from "../ingredients/index.js";
import { LIST_NAMES } from "./listNames.js";
import type { AddedSugars } from "./usNutrition.js";

/** Classes of 21 CFR 101.12(b), table 2, bakery products (2016; cake seen in the reference's check, brownies, muffins and coffee cake from memory). */
export const US_REFERENCE_AMOUNTS = {
  "cake-heavyweight": 125,
  "cake-mediumweight": 80,
  "cake-lightweight": 55,
  brownies: 40,
  muffins: 110,
  "coffee-cake": 55,
} as const;
export type UsReferenceClass = keyof typeof US_REFERENCE_AMOUNTS;

export interface UsClassGuess {
  readonly class: UsReferenceClass;
  readonly grams: number;
  /** Why this class: the baker may know better. */
  readonly because: string;
}

/** Fruit, nuts or vegetables from this share of the finished weight make a cake heavy. */
const HEAVY_SHARE = 0.35;

/**
 * The reference class of a cake: heavy from 35 % fruit, nuts or vegetables of the finished weight; light when it is neither
 * chemically leavened nor iced or filled; medium otherwise.
 *
 * Source: 21 CFR 101.12(b), table 2, footnotes (exact words from memory).
 */
export function usReferenceClass(formula: Formula, book: IngredientBook): UsClassGuess {
  const finishedGrams = composeFormula(formula, book).product.finished.totalGrams;
  const uses = formula.components.flatMap(({ stages }) => stages.flatMap((stage) => stage.uses));
  const known = uses.flatMap(({ ingredient, grams }) => {
    const found = book.get(ingredient);
    return found === undefined ? [] : [{ found, grams: grams ?? 0 }];
  });
  const pieces = known.filter(
    ({ found }) => found.role === "nut" || (found.role === "fruit" && LIST_NAMES[found.id]?.packet !== "defined"),
  );
  const share = finishedGrams > 0 ? pieces.reduce((sum, { grams }) => sum + grams, 0) / finishedGrams : 0;
  const answer = (name: UsReferenceClass, because: string): UsClassGuess => ({
    class: name,
    grams: US_REFERENCE_AMOUNTS[name],
    because,
  });
  if (share >= HEAVY_SHARE)
    return answer("cake-heavyweight", `${Math.round(100 * share)} % fruit, nuts or vegetables; 35 % makes it heavy`);
  const isRaised = known.some(({ found }) => found.role === "raising" || /^self-r/.test(found.id));
  const isDressed = formula.components.some(
    ({ kind }) => kind === "filling" || kind === "icing" || kind === "glaze" || kind === "topping",
  );
  return isRaised || isDressed
    ? answer("cake-mediumweight", isRaised ? "chemically leavened" : "iced or filled")
    : answer("cake-lightweight", "neither chemically leavened nor iced or filled");
}

export interface UsServing {
  /** Weight of a serving [g]. */
  readonly grams: number;
  /** "1/12 cake (80g)", "1 cake (92g)", "2 cakes (76g)". */
  readonly words: string;
  /** "About 12": as printed. */
  readonly servings: string;
}

/** Fractions that a large unit may be cut into: 2 to 6 and their halves and thirds (101.9(b)(2)(i)(C) and (5)). */
const FRACTIONS = [1, 2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 16, 18, 20, 24, 27, 30, 32, 36, 40, 48];

/**
 * The serving of a US label: of single pieces the number nearest the reference amount, of a whole cake the fraction nearest to it.
 *
 * @param referenceGrams  from `usReferenceClass` or 21 CFR 101.12
 * @param pack            weight of all in the pack [g]; `pieces` when it holds single pieces, 1 or more
 *
 * Source: 21 CFR 101.9(b)(2)(i); the agency's food-labelling guide.
 */
export function usServing(
  referenceGrams: number,
  pack: { readonly grams: number; readonly pieces?: number },
  unit = "cake",
): UsServing {
  const rounded = (grams: number) => Math.max(1, Math.round(grams));
  if (pack.pieces !== undefined) {
    const each = pack.grams / pack.pieces;
    // A piece of half to twice the reference amount is one serving; smaller ones by the number that is nearest.
    const count = each > referenceGrams / 2 ? 1 : Math.min(pack.pieces, Math.max(1, Math.round(referenceGrams / each)));
    return {
      grams: each * count,
      words: `${count} ${unit}${count > 1 ? "s" : ""} (${rounded(each * count)}g)`,
      servings: servingsText(pack.pieces / count),
    };
  }
  // Nearest by weight; a tie goes to the smaller serving.
  const parts = FRACTIONS.toSorted(
    (one, other) => Math.abs(pack.grams / one - referenceGrams) - Math.abs(pack.grams / other - referenceGrams) || other - one,
  )[0]!;
  return {
    grams: pack.grams / parts,
    words: parts === 1 ? `1 ${unit} (${rounded(pack.grams)}g)` : `1/${parts} ${unit} (${rounded(pack.grams / parts)}g)`,
    servings: servingsText(parts),
  };
}

/** From 2 to 5 to the nearest half, above to the nearest whole, with "about" where it was rounded (101.9(b)(8)). */
function servingsText(servings: number): string {
  const shown =
    servings < 2 ? Math.max(1, Math.round(servings)) : servings <= 5 ? Math.round(servings * 2) / 2 : Math.round(servings);
  return `${Math.abs(shown - servings) < 1e-6 ? "" : "About "}${shown}`;
}

/** An ingredient of which only its packet or its supplier says how much of its sugars was added. */
export interface AddedSugarsToAsk {
  /** Its id, under which `addedPercentOfSugars` gives the answer. */
  readonly ingredient: string;
  readonly name: string;
}

/**
 * Added sugars of the finished product [g], from the formula.
 *
 * All sugars of sugars and syrups; of chocolate all but the milk's; of sweetened condensed milk the sucrose; none of fruit, milk,
 * egg, flour and nuts. Of jam, candied fruit, biscuits and whatever else is bought ready made the share is not known: those widen
 * the range, unless `addedPercentOfSugars` says it.
 *
 * @returns  with `toAsk`: the ingredients whose share is such an answer, given or not, each once, the one with the most sugars in the
 *   product first. A part of an ingredient made from others is among them by its own id.
 *
 * Source: 21 CFR 101.9(c)(6)(iii) for what is added; which ingredient counts how is our reading of it.
 */
export function addedSugarsOf(
  formula: Formula,
  book: IngredientBook,
  addedPercentOfSugars: Readonly<Record<string, number>> = {},
): AddedSugars & { readonly toAsk: readonly AddedSugarsToAsk[] } {
  let [from, to] = [0, 0];
  const unknown = new Set<string>();
  const toAsk = new Map<string, AddedSugarsToAsk & { readonly sugarGrams: number }>();
  const add = (id: string, grams: number, depth: number): void => {
    const ingredient = book.get(id);
    if (ingredient === undefined) {
      to += grams;
      unknown.add(id);
      return;
    }
    if (ingredient.parts !== undefined && ingredient.parts.length > 0 && depth < 4 && addedPercentOfSugars[id] === undefined) {
      const whole = ingredient.parts.reduce((sum, part) => sum + part.grams, 0) * (1 - (ingredient.partsLossPercent ?? 0) / 100);
      for (const part of ingredient.parts) add(part.ingredient, (part.grams * grams) / whole, depth + 1);
      return;
    }
    const { sugars } = ingredient.per100g;
    const most = sugars.known ? (sugars.value * grams) / 100 : grams;
    const share = addedShare(ingredient, addedPercentOfSugars[id]);
    from += share.from * (sugars.known ? most : 0);
    to += share.to * most;
    // Without sugars there is nothing to ask, whatever their share.
    if (most > 0 && (addedPercentOfSugars[id] !== undefined || share.to > share.from))
      toAsk.set(id, { ingredient: id, name: ingredient.name, sugarGrams: most + (toAsk.get(id)?.sugarGrams ?? 0) });
    if (most > 0 && (share.to > share.from || (share.to > 0 && !sugars.known))) unknown.add(ingredient.name);
  };
  for (const { stages } of formula.components)
    for (const { uses } of stages)
      for (const { ingredient, grams } of uses) if (grams !== null && grams > 0) add(ingredient, grams, 0);
  return {
    fromGrams: from,
    toGrams: to,
    unknown: [...unknown],
    toAsk: [...toAsk.values()]
      .toSorted((one, other) => other.sugarGrams - one.sugarGrams)
      .map(({ ingredient, name }) => ({ ingredient, name })),
  };
}

const READY_MADE =
  /jam|marmalade|curd|mincemeat|glace|candied|mixed-peel|biscuit|fingers|liqueur|custard|marzipan|almond-paste|praline|spread|sweetened|drink|coconut-(milk|cream)|extract/;

function addedShare(ingredient: Ingredient, stated: number | undefined): { readonly from: number; readonly to: number } {
  if (stated !== undefined) return { from: stated / 100, to: stated / 100 };
  const { id, role, per100g, basis } = ingredient;
  const part = (nutrient: "sucrose" | "lactose"): number | undefined => {
    const [one, all] = [per100g[nutrient], per100g.sugars];
    return one.known && all.known && all.value > 0 ? one.value / all.value : undefined;
  };
  if (role === "sugar") return { from: 1, to: 1 };
  if (/condensed/.test(id)) {
    const share = part("sucrose");
    return share === undefined ? { from: 0, to: 1 } : { from: share, to: share };
  }
  if (role === "chocolate" && !/cocoa-powder|unsweetened/.test(id)) {
    const lactose = ingredient.contains.some(({ allergen }) => allergen === "milk") ? part("lactose") : 0;
    return lactose === undefined ? { from: 0, to: 1 } : { from: 1 - lactose, to: 1 - lactose };
  }
  if (READY_MADE.test(id) || (basis === "own" && role !== "egg" && role !== "salt" && role !== "raising"))
    return { from: 0, to: 1 };
  return { from: 0, to: 0 };
}
