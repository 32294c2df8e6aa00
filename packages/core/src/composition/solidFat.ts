import type { Component } from "../formula/index.js";
import { hasAllergen, type Ingredient, type IngredientBook } from "../ingredients/index.js";
import type { Band } from "../quantities/index.js";
import { composePart } from "./compose.js";
import { balanceOf, type Ratio, type RatioName } from "./ratios.js";
import { type FatName, SOLID_FAT_CURVES, type SolidFatCurve } from "./solidFatCurves.js";

/** The refrigerator, a cool room and a warm one [°C]. */
export const SERVING_TEMPERATURES_C = [5, 18, 22] as const;

/** How much of the fat is crystals at one temperature. */
export interface SolidFatAt {
  readonly temperatureC: number;
  /** Of the fat whose curve is known, 0 to 1; undefined when none is. */
  readonly share: Band | undefined;
  /** Solid fat in 100 g of the finished component [g]. Fat without a curve counts as liquid at `from` and as solid at `to`. */
  readonly gramsPer100g: Band;
}

/** Fat of one kind in the blend. */
export interface FatPart {
  readonly fat: FatName;
  readonly words: string;
  readonly grams: number;
  readonly basis: SolidFatCurve["basis"];
  readonly source: string;
}

/** An ingredient whose fat has no curve, or whose fat is not known at all. */
export interface UnknownFat {
  readonly ingredient: string;
  readonly name: string;
  /** Undefined when even the amount of fat has no figure. */
  readonly fatGrams: number | undefined;
  readonly why: string;
}

/** A ratio that makes a crumb tender or firm, with the direction in words. */
export interface TendernessRatio extends Ratio {
  readonly effect: string;
}

export interface Softness {
  readonly fatGrams: number;
  /** Largest first. */
  readonly fats: readonly FatPart[];
  readonly missing: readonly UnknownFat[];
  readonly at: readonly SolidFatAt[];
  /** Sugar, water and egg beside flour and fat: what else makes it tender, each with its range. Empty for what holds no flour. */
  readonly tenderness: readonly TendernessRatio[];
  readonly words: readonly string[];
}

/**
 * How firm the fat makes a component at the temperatures it is eaten at, and the ratios that decide the rest of its tenderness.
 * There is no score: nothing published turns these figures into one.
 *
 * The solid fat of a blend is the sum of the parts by weight. That is an assumption: fats that do not crystallise together
 * (cocoa butter with milk fat, coconut with palm) are softer in a blend than this says.
 *
 * @param temperaturesC  -18 to 40 °C
 * @throws RangeError outside that range
 */
export function softnessOf(
  component: Component,
  book: IngredientBook,
  temperaturesC: readonly number[] = SERVING_TEMPERATURES_C,
): Softness {
  const amounts = new Map<FatName, number>();
  const missing = new Map<string, UnknownFat>();
  let fatGrams = 0;
  for (const { ingredient: id, grams } of component.stages.flatMap(({ uses }) => uses)) {
    if (!((grams ?? 0) > 0)) continue;
    const ingredient = book.get(id);
    const figure = ingredient?.per100g.fat;
    if (ingredient === undefined || figure === undefined || !figure.known) {
      missing.set(id, {
        ingredient: id,
        name: ingredient?.name ?? id,
        fatGrams: undefined,
        why: ingredient === undefined ? "the ingredient is not in the book" : "there is no figure for its fat",
      });
      continue;
    }
    const fat = (grams! * figure.value) / 100;
    if (fat === 0) continue;
    fatGrams += fat;
    const kinds = fatsOf(ingredient, book);
    if (kinds === undefined) {
      const before = missing.get(id)?.fatGrams ?? 0;
      missing.set(id, { ingredient: id, name: ingredient.name, fatGrams: before + fat, why: "no curve is known for its fat" });
      continue;
    }
    for (const [name, share] of kinds) amounts.set(name, (amounts.get(name) ?? 0) + share * fat);
  }
  const fats = [...amounts]
    .map(([fat, grams]): FatPart => {
      const { words, basis, source } = SOLID_FAT_CURVES[fat];
      return { fat, words, grams, basis, source };
    })
    .sort((one, other) => other.grams - one.grams);
  const withoutCurve = [...missing.values()];
  // Only a loss that the formula states is taken off: what is not known is not guessed here.
  const finished = composePart(component, book).value.finished.totalGrams;
  const at = temperaturesC.map((temperatureC) => solidFatAt(temperatureC, fats, withoutCurve, finished));
  return {
    fatGrams,
    fats,
    missing: withoutCurve,
    at,
    tenderness: tendernessOf(component, book),
    words: wordsFor(fatGrams, fats, withoutCurve, at),
  };
}

/**
 * Solid share of one kind of fat [0 to 1].
 *
 * @param temperatureC  -18 to 40 °C
 * @throws RangeError outside that range
 */
export function solidShare(fat: FatName, temperatureC: number): Band {
  if (!(temperatureC >= -18 && temperatureC <= 40))
    throw new RangeError(`solidShare: ${temperatureC} °C is not within -18 to 40`);
  const { points }: SolidFatCurve = SOLID_FAT_CURVES[fat];
  const after = points.findIndex(([temperature]) => temperature >= temperatureC);
  if (after <= 0) {
    const [, likely, from, to] = points[after < 0 ? points.length - 1 : 0]!;
    return { likely, from, to };
  }
  const [left, right] = [points[after - 1]!, points[after]!];
  const share = (temperatureC - left[0]) / (right[0] - left[0]);
  const between = (index: 1 | 2 | 3) => left[index] + share * (right[index] - left[index]);
  return { likely: between(1), from: between(2), to: between(3) };
}

function solidFatAt(
  temperatureC: number,
  fats: readonly FatPart[],
  missing: readonly UnknownFat[],
  finishedGrams: number,
): SolidFatAt {
  const known = fats.reduce((sum, { grams }) => sum + grams, 0);
  const unknown = missing.reduce((sum, { fatGrams = 0 }) => sum + fatGrams, 0);
  const solid = { likely: 0, from: 0, to: 0 };
  for (const { fat, grams } of fats) {
    const share = solidShare(fat, temperatureC);
    solid.likely += grams * share.likely;
    solid.from += grams * share.from;
    solid.to += grams * share.to;
  }
  // A weight that no scale shows is nothing.
  const per100 = finishedGrams > 1e-9 ? 100 / finishedGrams : 0;
  return {
    temperatureC,
    share: known > 0 ? { likely: solid.likely / known, from: solid.from / known, to: solid.to / known } : undefined,
    gramsPer100g: { likely: solid.likely * per100, from: solid.from * per100, to: (solid.to + unknown) * per100 },
  };
}

const PURE = [["cocoa", 1]] as const;
/** Milk chocolate: about four fifths of its fat is cocoa butter (assumption, no source). */
const MILK_CHOCOLATE = [
  ["cocoa", 0.8],
  ["milk", 0.2],
] as const;

/** Which fat an ingredient's fat is; the first line that fits decides. Left out on purpose: what is made with any fat. */
const KINDS: readonly (readonly [ids: RegExp, fats: readonly (readonly [FatName, number])[] | undefined])[] = [
  [/^(lemon-curd|mincemeat|digestive|sponge-fingers|chocolate-hazelnut-spread|yeast|butter-spreadable)/, undefined],
  [/coconut/, [["coconut", 1]]],
  [/^(milk-chocolate|white-chocolate)/, MILK_CHOCOLATE],
  [/chocolate|cocoa/, PURE],
  [/^(almond-butter|peanut)/, [["nutAndGrainOil", 1]]],
  [/^palm-oil/, [["palm", 1]]],
  [/^(olive-oil|groundnut-oil|rice-bran-oil)/, [["cloudingOil", 1]]],
  [/-oil(-|$)/, [["oil", 1]]],
  [/^lard/, [["lard", 1]]],
  [/^suet/, [["suet", 1]]],
  [/^(shortening|compound-cooking-fat)/, [["shortening", 1]]],
  [/^(block-margarine|margarine-stick)/, [["blockMargarine", 1]]],
  [/^(soft-spread|soft-margarine)/, [["softSpread", 1]]],
  [/^(butter|ghee)/, [["milk", 1]]],
  [/lecithin/, [["oil", 1]]],
];

function fatsOf(ingredient: Ingredient, book: IngredientBook, depth = 0): readonly (readonly [FatName, number])[] | undefined {
  if (ingredient.parts !== undefined && depth < 8) return fatsOfParts(ingredient.parts, book, depth);
  const entry = KINDS.find(([ids]) => ids.test(ingredient.id));
  // A baker's own "butter of plants" goes by the name of butter and holds no milk.
  const isMilkFree = !hasAllergen(ingredient.contains, "milk");
  if (entry !== undefined && !(isMilkFree && entry[1]?.some(([name]) => name === "milk"))) return entry[1];
  if (ingredient.role === "egg") return [["egg", 1]];
  if (ingredient.role === "dairy") return [["milk", 1]];
  if (ingredient.role === "nut" || ingredient.role === "flour" || ingredient.group === "flours-starches")
    return [["nutAndGrainOil", 1]];
  // Traces in fruit, spices and sugar do not make a cake hard; they are counted like the oil of grain.
  const { fat } = ingredient.per100g;
  return fat.known && fat.value < 2 ? [["nutAndGrainOil", 1]] : undefined;
}

function fatsOfParts(
  parts: NonNullable<Ingredient["parts"]>,
  book: IngredientBook,
  depth: number,
): readonly (readonly [FatName, number])[] | undefined {
  const amounts = new Map<FatName, number>();
  let total = 0;
  for (const part of parts) {
    const ingredient = book.get(part.ingredient);
    const figure = ingredient?.per100g.fat;
    if (ingredient === undefined || figure === undefined || !figure.known) return undefined;
    const fat = (part.grams * figure.value) / 100;
    if (fat === 0) continue;
    const kinds = fatsOf(ingredient, book, depth + 1);
    if (kinds === undefined) return undefined;
    total += fat;
    for (const [name, share] of kinds) amounts.set(name, (amounts.get(name) ?? 0) + share * fat);
  }
  return total > 0 ? [...amounts].map(([name, grams]) => [name, grams / total] as const) : [];
}

/** Which way each ratio works on tenderness: taught everywhere, common practice, no source. */
const EFFECTS: Readonly<Partial<Record<RatioName, string>>> = {
  "sugar-to-flour": "sugar holds water back from gluten and starch: more of it is more tender and sets later",
  "fat-to-flour": "fat keeps gluten short: more of it is more tender while warm, firmer when cold if it is a hard fat",
  "egg-to-fat": "egg sets and toughens, fat makes tender: more egg beside the fat is firmer",
  "water-to-flour": "water swells the starch and softens the crumb; with little of it the crumb is dry",
};

function tendernessOf(component: Component, book: IngredientBook): readonly TendernessRatio[] {
  if (component.kind !== "cake") return [];
  return balanceOf(component, book).ratios.flatMap((ratio) => {
    const effect = EFFECTS[ratio.name];
    return effect === undefined || ratio.percent === null ? [] : [{ ...ratio, effect }];
  });
}

function wordsFor(
  fatGrams: number,
  fats: readonly FatPart[],
  missing: readonly UnknownFat[],
  at: readonly SolidFatAt[],
): readonly string[] {
  if (!(fatGrams > 0) || fats.length === 0)
    return missing.length === 0 ? ["There is no fat in it."] : [`What the fat does is not known: ${missingWords(missing)}.`];
  if (Math.max(...at.map(({ gramsPer100g }) => gramsPer100g.to)) < 0.05) return ["There is next to no solid fat in it."];
  const words = at.map(
    ({ temperatureC, share, gramsPer100g: { likely, from, to } }) =>
      `At ${temperatureC} °C ${percent(share!)} of the fat is solid: ${likely.toFixed(1)} g in 100 g (${from.toFixed(1)} to ${to.toFixed(1)}).`,
  );
  return missing.length === 0 ? words : [...words, `Without a curve: ${missingWords(missing)}.`];
}

const missingWords = (missing: readonly UnknownFat[]) =>
  missing.map(({ name, fatGrams }) => (fatGrams === undefined ? name : `${name} (${fatGrams.toFixed(1)} g of fat)`)).join(", ");
const percent = ({ likely, from, to }: Band) =>
  `${(100 * likely).toFixed(0)} % (${(100 * from).toFixed(0)} to ${(100 * to).toFixed(0)})`;
