import type { Component } from "../formula/index.js";
import type { Ingredient, IngredientBook } from "../ingredients/index.js";
import { formatPercent } from "../quantities/index.js";
import { composePart } from "./compose.js";
import type { Composition } from "./composition.js";
import { RATIO_RANGES, type RatioRange } from "./ratioRanges.js";

/** How a cake is built, which decides the rules it is balanced by. */
export const CAKE_FAMILIES = ["creamed", "high-ratio", "whisked", "oil", "melted", "little-flour"] as const;
export type CakeFamily = (typeof CAKE_FAMILIES)[number];

export const RATIO_NAMES = [
  "sugar-to-flour",
  "fat-to-flour",
  "egg-to-fat",
  "egg-and-liquid-to-flour",
  "egg-and-liquid-to-sugar",
  "baking-powder-to-flour",
  "water-to-flour",
] as const;
export type RatioName = (typeof RATIO_NAMES)[number];

export type Standing = "below" | "within" | "above" | "no-range" | "no-value";

export interface Ratio {
  readonly name: RatioName;
  /** "Sugar to flour". */
  readonly words: string;
  /** Percent; null where there is nothing to divide by. */
  readonly percent: number | null;
  /** What is divided by what [g]. */
  readonly grams: { readonly over: number; readonly under: number };
  /** null where we know of no published or common range for this family. */
  readonly range: RatioRange | null;
  readonly stands: Standing;
  /** One plain sentence. */
  readonly sentence: string;
}

export interface BalanceReport {
  readonly family: CakeFamily;
  readonly familyBecause: string;
  readonly ratios: readonly Ratio[];
  readonly sugarInWater: SugarInWater;
}

export interface SugarInWater {
  /** Sugars / (sugars + water) of the mix, 0 to 1; null while nothing is weighed, or while more than 2 % of the mix has no figure. */
  readonly share: number | null;
  /** About where the starch sets [°C], with the band of its source; null with `share`, or beyond the table (0.6). */
  readonly setCelsius: { readonly likely: number; readonly from: number; readonly to: number } | null;
  readonly sentence: string;
}

/**
 * The ratios that bakers balance a cake by, by weight as it is weighed (butter whole, syrup whole), and where they stand.
 *
 * Egg, milk and other liquids count as liquid when at least half of them is water, so milk powder does not. Baking powder
 * counts bicarbonate four times (common practice, no source) and self-raising flour at 3.3 % (0.4 % carbon dioxide over the
 * powder's 12 %: typical figures). A range is a habit of the trade and no verdict: many good cakes stand outside one.
 *
 * @param options.family  what the baker calls it; otherwise it is guessed from the formula, and the guess is said
 */
export function balanceOf(
  component: Component,
  book: IngredientBook,
  options: { readonly family?: CakeFamily } = {},
): BalanceReport {
  const weights = weigh(component, book);
  const mixed = composePart(component, book).value.mixed;
  const guess = guessFamily(weights);
  const family = options.family ?? guess.family;
  const { flour, sugar, fat, egg, liquid, powder } = weights;
  const water = mixed.totals.water;
  const sums: Readonly<Record<RatioName, readonly [over: number, under: number]>> = {
    "sugar-to-flour": [sugar, flour],
    "fat-to-flour": [fat, flour],
    "egg-to-fat": [egg, fat],
    "egg-and-liquid-to-flour": [egg + liquid, flour],
    "egg-and-liquid-to-sugar": [egg + liquid, sugar],
    "baking-powder-to-flour": [powder, flour],
    "water-to-flour": [water.amount, flour],
  };
  const cocoa = weights.chocolate >= 0.05 * flour && flour > 0;
  return {
    family,
    familyBecause: options.family === undefined ? guess.because : "as chosen",
    ratios: RATIO_NAMES.map((name) => ratioOf(name, sums[name], family, cocoa)),
    sugarInWater: sugarInWater(mixed),
  };
}

/** Up to this share of the mix may be without a figure; a pinch of zest does not move the sugar in the water. */
const MAX_MISSING_SHARE = 0.02;

/** Sugars in the water phase, and about where the starch sets in it. */
export function sugarInWater(mix: Composition): SugarInWater {
  const { sugars, water } = mix.totals;
  const missing = new Map([...sugars.missing, ...water.missing].map((one) => [`${one.stage} ${one.ingredient}`, one]));
  const missingGrams = [...missing.values()].reduce((grams, one) => grams + one.useGrams, 0);
  const names = [...new Set([...missing.values()].map((one) => one.name))].join(", ");
  if (missingGrams > MAX_MISSING_SHARE * mix.totalGrams) {
    return { share: null, setCelsius: null, sentence: `Not known: no figure for the sugars or the water of ${names}.` };
  }
  if (!(sugars.amount + water.amount > 0)) return { share: null, setCelsius: null, sentence: "Nothing weighed yet." };
  const share = sugars.amount / (sugars.amount + water.amount);
  const lead = `Sugar is ${formatPercent(share * 100, 0)} of sugar and water${names === "" ? "" : ` (without ${names}, which has no figure)`}`;
  if (share > 0.6) {
    const sentence = `${lead}, more than the table of set temperatures holds: the starch may hardly set before the water boils.`;
    return { share, setCelsius: null, sentence };
  }
  const likely = setTemperature(share);
  return {
    share,
    setCelsius: { likely, from: likely - 4, to: likely + 4 },
    sentence: `${lead}; the starch sets at about ${likely.toFixed(0)} °C, give or take 4 (assumption).`,
  };
}

/**
 * Temperature at which wheat starch gels in sugar and water [°C]: 62 + 8 w + 62 w².
 *
 * @param share  sugar / (sugar + water), 0 to 0.6
 * @throws RangeError outside that range
 *
 * An assumption: a curve through set temperatures recalled from memory (62, 66, 69.5, 74, 81 and 89.5 °C at shares of 0, 0.2,
 * 0.3, 0.4, 0.5 and 0.6, give or take 4 °C). That swelling moves to higher temperature with sugar is published: Bean and
 * Yamazaki (1978); Spies and Hoseney (1982). Leaves out egg, fat, and that glucose and fructose shift it differently.
 */
export function setTemperature(share: number): number {
  if (!(share >= 0 && share <= 0.6)) throw new RangeError(`setTemperature: a share of ${share} is not within 0 to 0.6`);
  return 62 + 8 * share + 62 * share ** 2;
}

// ---- weights ----

interface Weights {
  readonly total: number;
  readonly flour: number;
  readonly sugar: number;
  readonly syrup: number;
  readonly fat: number;
  readonly oil: number;
  readonly egg: number;
  readonly liquid: number;
  readonly chocolate: number;
  readonly powder: number;
}

function weigh(component: Component, book: IngredientBook): Weights {
  const sums = { total: 0, flour: 0, sugar: 0, syrup: 0, fat: 0, oil: 0, egg: 0, liquid: 0, chocolate: 0, powder: 0 };
  for (const use of component.stages.flatMap((stage) => stage.uses)) {
    const grams = use.grams ?? 0;
    sums.total += grams;
    const ingredient = book.get(use.ingredient);
    if (ingredient === undefined) continue;
    const { role } = ingredient;
    if (role === "flour" || role === "fat" || role === "chocolate" || role === "sugar") sums[role] += grams;
    if (role === "sugar" && waterOf(ingredient) >= 10) sums.syrup += grams;
    if (role === "fat" && /\boil\b/.test(`${ingredient.id.replaceAll("-", " ")} ${ingredient.name}`.toLowerCase()))
      sums.oil += grams;
    if (role === "egg") sums.egg += grams;
    if ((role === "dairy" || role === "liquid") && waterOf(ingredient) >= 50) sums.liquid += grams;
    if (role === "raising" && /bicarbonate|soda/.test(ingredient.id)) sums.powder += 4 * grams;
    else if (role === "raising" && /baking-powder/.test(ingredient.id)) sums.powder += grams;
    if (role === "flour" && /self-rai?sing/.test(ingredient.id)) sums.powder += (0.4 / 12) * grams;
  }
  return sums;
}

/** g of water in 100 g; an ingredient whose water is not known counts as dry, because nothing says that it is not. */
const waterOf = ({ per100g }: Ingredient): number => (per100g.water.known ? per100g.water.value : 0);

function guessFamily({ total, flour, sugar, syrup, fat, oil, egg }: Weights): { family: CakeFamily; because: string } {
  const of = (grams: number) => formatPercent((grams / flour) * 100, 0);
  if (!(flour > 0.1 * total)) return { family: "little-flour", because: "flour is less than a tenth of the mix" };
  if (fat < 0.35 * flour && egg >= flour)
    return { family: "whisked", because: `egg is ${of(egg)} of the flour and fat only ${of(fat)}` };
  if (oil > 0.5 * fat) return { family: "oil", because: "most of the fat is oil" };
  if (syrup >= 0.25 * flour) return { family: "melted", because: `syrups are ${of(syrup)} of the flour` };
  if (sugar > 1.1 * flour) return { family: "high-ratio", because: `sugar is ${of(sugar)} of the flour` };
  return { family: "creamed", because: "solid fat, and sugar about the flour or less" };
}

// ---- one ratio ----

const WORDS: Readonly<Record<RatioName, readonly [words: string, over: string, under: string]>> = {
  "sugar-to-flour": ["Sugar to flour", "Sugar is", "the flour"],
  "fat-to-flour": ["Fat to flour", "Fat is", "the flour"],
  "egg-to-fat": ["Egg to fat", "Egg is", "the fat"],
  "egg-and-liquid-to-flour": ["Egg and liquid to flour", "Egg and liquid are", "the flour"],
  "egg-and-liquid-to-sugar": ["Egg and liquid to sugar", "Egg and liquid are", "the sugar"],
  "baking-powder-to-flour": ["Baking powder to flour", "Baking powder is", "the flour"],
  "water-to-flour": ["Water of all ingredients to flour", "All the water is", "the flour"],
};

function ratioOf(name: RatioName, [over, under]: readonly [number, number], family: CakeFamily, cocoa: boolean): Ratio {
  const [words, subject, object] = WORDS[name];
  const percent = under > 0 ? (over / under) * 100 : null;
  const ranges = RATIO_RANGES[family][name];
  const range = (cocoa ? ranges?.withCocoa : undefined) ?? ranges?.plain ?? null;
  const stands = standing(percent, range);
  const base = { name, words, percent, grams: { over, under }, range, stands };
  if (percent === null) return { ...base, sentence: `${words}: there is no ${object.replace("the ", "")} to compare with.` };
  const value = `${subject} ${formatPercent(percent, percent < 10 ? 1 : 0)} of ${object}`;
  if (range === null) return { ...base, sentence: `${value}; we know of no range for this kind of cake.` };
  const where = `${stands} ${rangeWords(range)} (${range.evidence})`;
  const effect = stands === "below" ? range.whenBelow : stands === "above" ? range.whenAbove : undefined;
  return { ...base, sentence: `${value}, ${where}${effect === undefined ? "" : `: ${effect}`}.` };
}

function standing(percent: number | null, range: RatioRange | null): Standing {
  if (percent === null) return "no-value";
  if (range === null) return "no-range";
  // Half a percent either way: a rule of thumb does not turn on a gram.
  if (range.from !== undefined && percent < range.from - 0.5 * scaleOf(range)) return "below";
  return range.to !== undefined && percent > range.to + 0.5 * scaleOf(range) ? "above" : "within";
}

const scaleOf = (range: RatioRange): number => ((range.to ?? range.from ?? 100) < 20 ? 0.1 : 1);

function rangeWords({ from, to }: RatioRange): string {
  if (from === undefined) return `the usual ${to} % or less`;
  return to === undefined ? `the usual ${from} % or more` : `the usual ${from} to ${to} %`;
}
