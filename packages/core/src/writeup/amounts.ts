import type { Ingredient } from "../ingredients/index.js";
import {
  type EggGrade,
  eggParts,
  formatFraction,
  formatGrams,
  householdAmount,
  householdMillilitres,
  MILLILITRES_IN,
} from "../quantities/index.js";

/** The reader's measures: grams; ounces and pounds; US cups and spoons. */
export const READER_MEASURES = ["metric", "imperial", "us"] as const;
export type ReaderMeasures = (typeof READER_MEASURES)[number];

/** An amount as a reader gets it, and what it really is when the reader measures it so. */
export interface ReaderAmount {
  /** "225 g", "8 oz", "1¾ cups (220 g)", "4 large eggs (243 g without shells)", "1½ tsp". */
  readonly text: string;
  /** Grams that the text stands for in the reader's own measure; what stands in brackets is the formula's weight. */
  readonly grams: number;
  /** True where the words hold the ingredient already ("4 large eggs"). */
  readonly namesIt: boolean;
}

export interface AmountOptions {
  readonly measures: ReaderMeasures;
  /** The reader's eggs. */
  readonly egg: EggGrade;
  /** Whether US amounts carry the weight in brackets, for those who own a scale. Default true. */
  readonly gramsBeside?: boolean;
  /** "grated", "toasted and ground": a form that a cup weight of the whole food does not hold for. */
  readonly note?: string;
}

const GRAMS_PER_OUNCE = 28.349523125;
const OUNCES_PER_POUND = 16;
/** Below this a kitchen scale in whole grams says little: a spoon is given with the weight beside it [g]. */
const SPOON_BELOW_GRAMS = 15;
/** Below this a jug does not measure [mL]. */
const JUG_FROM_ML = 50;
/** A spoon may miss by this much in a recipe in grams; beyond it the weight comes first, and the spoon is called scant or generous. */
const SPOON_MISS_PERCENT = 12;

/**
 * A weight in the reader's measures, rounded as a reader can measure it.
 *
 * Whole eggs are counted where their weight is within a twentieth of what the formula wants; other amounts of egg are weighed, with
 * the count beside. Spoons, cups and jugs only where a table gives a volume weight for the food as it is used; what would be a guess
 * (chocolate, grated or ground pieces, foods that no table weighs by the cup) stays in weight.
 *
 * @param grams  above 0
 */
export function readerAmount(grams: number, ingredient: Ingredient | undefined, options: AmountOptions): ReaderAmount {
  if (ingredient !== undefined && isShellEgg(ingredient)) return eggAmount(grams, ingredient, options);
  const density = densityOf(ingredient, options.note);
  switch (options.measures) {
    case "metric":
      return metricAmount(grams, density, ingredient);
    case "imperial":
      return imperialAmount(grams, density, ingredient);
    case "us":
      return usAmount(grams, density, ingredient, options.gramsBeside ?? true);
  }
}

function metricAmount(grams: number, density: number | undefined, ingredient: Ingredient | undefined): ReaderAmount {
  const rounded = readerGrams(grams);
  if (density !== undefined && grams < SPOON_BELOW_GRAMS) {
    // The spoon is what most readers use; the weight stays for those who have a fine scale.
    const spoon = householdAmount(grams / density, "metric");
    if (Math.abs(spoon.differencePercent) <= SPOON_MISS_PERCENT)
      return { text: `${spoon.text} (${formatGrams(rounded)})`, grams: spoon.millilitres * density, namesIt: false };
    const good = spoon.differencePercent < 0 ? "generous" : "scant";
    return { text: `${formatGrams(rounded)} (a ${good} ${spoon.text})`, grams: rounded, namesIt: false };
  }
  if (density !== undefined && isPoured(ingredient)) {
    const ml = grams / density;
    const spoon = ml < JUG_FROM_ML ? householdAmount(ml, "metric") : undefined;
    if (spoon !== undefined && spoon.parts.length === 1 && Math.abs(spoon.differencePercent) <= 4)
      return { text: `${spoon.text} (${formatGrams(rounded)})`, grams: spoon.millilitres * density, namesIt: false };
    if (spoon === undefined) {
      const jug = Math.round(ml / 5) * 5;
      return { text: `${jug} ml`, grams: jug * density, namesIt: false };
    }
  }
  return { text: formatGrams(rounded), grams: rounded, namesIt: false };
}

/** What a household scale shows: half grams under 10 g, fives from 150 g. */
function readerGrams(grams: number): number {
  if (grams < 10) return Math.max(0.5, Math.round(grams * 2) / 2);
  return grams < 150 ? Math.round(grams) : Math.round(grams / 5) * 5;
}

/** Below this a quarter of an ounce is too coarse, and spoons measure better where they can [g]. */
const OUNCES_FROM_GRAMS = 50;

function imperialAmount(grams: number, density: number | undefined, ingredient: Ingredient | undefined): ReaderAmount {
  if (density !== undefined && grams < OUNCES_FROM_GRAMS) {
    const spoon = householdAmount(grams / density, "metric");
    const few = spoon.parts.every(({ measure }) => measure !== "cup");
    if (few && (grams < SPOON_BELOW_GRAMS || Math.abs(spoon.differencePercent) <= SPOON_MISS_PERCENT / 2))
      return { text: spoon.text, grams: spoon.millilitres * density, namesIt: false };
  }
  if (density !== undefined && isPoured(ingredient) && grams >= OUNCES_FROM_GRAMS) {
    const fluidOunce = MILLILITRES_IN["imperial-fluid-ounce"];
    const rounded = stepped(grams / density / fluidOunce);
    return { text: `${formatFraction(rounded)} fl oz`, grams: rounded * fluidOunce * density, namesIt: false };
  }
  return ouncesAmount(grams);
}

/** Quarters below 8, halves above: what an ounce scale is marked with (common practice, no source). */
const stepped = (ounces: number) => {
  const step = ounces < 8 ? 0.25 : 0.5;
  return Math.max(0.25, Math.round(ounces / step) * step);
};

function ouncesAmount(grams: number): ReaderAmount {
  const rounded = stepped(grams / GRAMS_PER_OUNCE);
  const [pounds, rest] = [Math.floor(rounded / OUNCES_PER_POUND), rounded % OUNCES_PER_POUND];
  const text = pounds === 0 ? `${formatFraction(rest)} oz` : `${pounds} lb${rest === 0 ? "" : ` ${formatFraction(rest)} oz`}`;
  return { text, grams: rounded * GRAMS_PER_OUNCE, namesIt: false };
}

function usAmount(
  grams: number,
  density: number | undefined,
  ingredient: Ingredient | undefined,
  gramsBeside: boolean,
): ReaderAmount {
  const weight = gramsBeside && grams >= SPOON_BELOW_GRAMS ? formatGrams(Math.round(grams)) : undefined;
  const withWeight = (text: string) => (weight === undefined ? text : `${text} (${weight})`);
  if (isStickFat(ingredient) && grams >= TABLESPOON_ON_STICK) {
    const half = Math.round((grams / TABLESPOON_ON_STICK) * 2) / 2;
    const [words, same] = stickWords(half);
    const beside = [same, weight].filter((part) => part !== undefined);
    return {
      text: beside.length === 0 ? words : `${words} (${beside.join(", ")})`,
      grams: half * TABLESPOON_ON_STICK,
      namesIt: false,
    };
  }
  if (density === undefined) {
    const { text, grams: held } = ouncesAmount(grams);
    return { text: withWeight(text), grams: held, namesIt: false };
  }
  const { text, millilitres } = householdAmount(grams / density, "us");
  const pressed = isPacked(ingredient) && millilitres >= PACKED_FROM_ML ? " packed" : "";
  return { text: withWeight(`${text}${pressed}`), grams: millilitres * density, namesIt: false };
}

/** A stick is a quarter pound with eight tablespoons marked on its wrapper (common practice; USDA SR28 01145: 113 g). */
const TABLESPOON_ON_STICK = (4 * GRAMS_PER_OUNCE) / 8;
const isStickFat = (ingredient: Ingredient | undefined) =>
  ingredient?.role === "fat" && /^(butter|margarine)(?!.*(ghee|clarified|dried|melted))/.test(ingredient.id);

/** "1¾ sticks" and "14 tbsp"; "1 stick" and "½ cup"; "1 stick + 1½ tbsp". From half-tablespoon marks. */
function stickWords(tablespoons: number): readonly [words: string, same?: string] {
  const quarters = Math.floor(tablespoons / 2);
  const rest = tablespoons - quarters * 2;
  if (quarters < 2) return [`${formatFraction(tablespoons)} tbsp`];
  const sticks = `${formatFraction(quarters / 4)} ${quarters > 4 ? "sticks" : "stick"}`;
  if (rest > 0) return [`${sticks} + ${formatFraction(rest)} tbsp`];
  if (quarters % 2 === 0) return [sticks, `${formatFraction(quarters / 8)} ${quarters > 8 ? "cups" : "cup"}`];
  return quarters < 16 ? [sticks, `${tablespoons} tbsp`] : [sticks];
}

const isShellEgg = ({ role, id }: Ingredient) => role === "egg" && !/dried|powder|pasteurised|duck|quail|goose|salted/.test(id);

interface EggWords {
  readonly each: number;
  readonly one: string;
  readonly beaten: string;
  readonly many: string;
}

function eggWords({ id }: Ingredient, grade: EggGrade): EggWords {
  const parts = eggParts(grade);
  if (id.startsWith("egg-white")) return { each: parts.whiteGrams, one: "egg white", many: "egg whites", beaten: "egg white" };
  if (id.startsWith("egg-yolk")) return { each: parts.yolkGrams, one: "egg yolk", many: "egg yolks", beaten: "egg yolk" };
  return { each: parts.edibleGrams, one: "egg", many: "eggs", beaten: "beaten egg" };
}

/** A count of eggs may miss the weight by this much: less than one egg of a grade differs from the next. */
const EGG_MISS = 0.05;

/** How far a whole number of this grade is from the weight, as a share; 1 where there is no whole number. */
function eggMiss(grams: number, ingredient: Ingredient, grade: EggGrade): number {
  const { each } = eggWords(ingredient, grade);
  const count = Math.round(grams / each);
  return count < 1 ? 1 : Math.abs((count * each) / grams - 1);
}

/** Whether this ingredient is counted as eggs at all. */
export const countsAsEggs = (ingredient: Ingredient | undefined): ingredient is Ingredient =>
  ingredient !== undefined && isShellEgg(ingredient);

/** Whether a whole number of eggs of this grade makes the weight. */
export const isWholeEggs = (grams: number, ingredient: Ingredient, grade: EggGrade) =>
  eggMiss(grams, ingredient, grade) <= EGG_MISS;

/** "4 large eggs (243 g without shells)"; "230 g beaten egg (about 3¾ large eggs)": an amount of egg is never a cup. */
function eggAmount(grams: number, ingredient: Ingredient, { egg: grade, measures }: AmountOptions): ReaderAmount {
  const { each, one, many, beaten } = eggWords(ingredient, grade);
  const size = gradeWords(grade);
  if (isWholeEggs(grams, ingredient, grade)) {
    const count = Math.round(grams / each);
    const shells = one === "egg" ? " without shells" : "";
    return {
      text: `${count} ${size} ${count === 1 ? one : many} (${formatGrams(Math.round(count * each))}${shells})`,
      grams: count * each,
      namesIt: true,
    };
  }
  const count = Math.max(0.25, Math.round((grams / each) * 4) / 4);
  const about = `about ${formatFraction(count)} ${size} ${count > 1 ? many : one}`;
  if (measures === "metric") {
    const rounded = readerGrams(grams);
    return { text: `${formatGrams(rounded)} ${beaten} (${about})`, grams: rounded, namesIt: true };
  }
  const { text, grams: held } = ouncesAmount(grams);
  return { text: `${text} ${beaten} (${formatGrams(Math.round(grams))}, ${about})`, grams: held, namesIt: true };
}

/** "large", "medium": how readers call a grade. */
export const gradeWords = ({ grade }: EggGrade): string => GRADE_WORDS[grade];

const GRADE_WORDS: Readonly<Record<EggGrade["grade"], string>> = {
  S: "small",
  M: "medium",
  L: "large",
  XL: "very large",
  peewee: "peewee",
  small: "small",
  medium: "medium",
  large: "large",
  "extra-large": "extra-large",
  jumbo: "jumbo",
};

/** What runs from a jug. */
function isPoured(ingredient: Ingredient | undefined): boolean {
  if (
    ingredient === undefined ||
    /powder|dried|condensed|clotted|soured|coconut-cream|cream-cheese|buttercream/.test(ingredient.id)
  )
    return false;
  return (
    /(^|-)(milk|buttermilk|cream|juice|water|oil|coffee|espresso|tea|wine|beer|rum|spirits|brandy|liqueur|cider|stock)(-|$)/.test(
      ingredient.id,
    ) && ["dairy", "liquid", "fat", "fruit", "flavour"].includes(ingredient.role)
  );
}

/** Words of a note that make another food of it, as far as a cup is concerned. */
const ANOTHER_FORM = /grat|chop|ground|mash|slic|squeez|crush|flak|shred|puré|puree|dice|halved|cooked|mince/i;
/** A cup of these is always of pieces of one size or another: a reader weighs them. */
const PIECES = /^(dark|milk|white|ruby|couverture).*chocolate|^chocolate|^couverture|marzipan|fondant-block/;

/**
 * Grams per millilitre as a table gives it, by a density or by the weight of a US cup that it prints; undefined where that would be
 * a guess for the food as it is used.
 */
function densityOf(ingredient: Ingredient | undefined, note: string | undefined): number | undefined {
  if (ingredient === undefined || PIECES.test(ingredient.id)) return undefined;
  if (note !== undefined && ANOTHER_FORM.test(note) && !/zest|ground|powder|flour|sugar|spice/.test(ingredient.id))
    return undefined;
  const loose = ingredient.householdWeights.find(({ measure, amount }) => /^cup \(not packed\)/.test(measure) && amount > 0);
  if (loose === undefined && ingredient.densityGPerMl.known) return ingredient.densityGPerMl.value;
  const cup = loose ?? ingredient.householdWeights.find(({ measure, amount }) => /^cup\b/.test(measure) && amount > 0);
  return cup === undefined ? undefined : cup.grams / cup.amount / householdMillilitres("cup", "us");
}

/** Brown sugar is weighed pressed into the cup, by the table and by American habit; fruit is not. */
const isPacked = (ingredient: Ingredient | undefined): boolean =>
  ingredient?.role === "sugar" && ingredient.densityGPerMl.known && /\bpacked\b/.test(ingredient.densityGPerMl.source);
/** A spoon of it is level either way [mL]. */
const PACKED_FROM_ML = 55;
