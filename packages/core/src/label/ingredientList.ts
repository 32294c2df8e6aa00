import { composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import { type Allergen, type Ingredient, type IngredientBook, uniteAllergens } from "../ingredients/index.js";
import {
  additivesTogether,
  allergenWord,
  type Designation,
  type DesignationOptions,
  designation,
  type LabelPlace,
  type ListCheck,
  leansOnFlourRule,
} from "./designations.js";
import { decimalsOf, type LabelLanguage, labelWords } from "./languages.js";
import { plainText } from "./plainText.js";
import { halfUp } from "./rounding.js";
import { type LawRule, ruleOn } from "./rules.js";
import { capitalised, joinRuns, runsOf, type TextRun, wordsOf } from "./textRuns.js";

export interface ListedIngredient {
  /** The ingredients that this entry stands for; two sugars are one entry. */
  readonly ingredients: readonly string[];
  /** Weight that decides its place [g]: at mixing; for added water and what is volatile what is left in the finished product. */
  readonly grams: number;
  /** Share of the finished product, percent. */
  readonly percent: number;
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
  readonly checks: readonly ListCheck[];
  /** Published rules that were applied. */
  readonly rules: readonly LawRule[];
}

export interface IngredientListOptions {
  readonly place: LabelPlace;
  /** ISO 8601 date on which the label is to hold. */
  readonly date: string;
  readonly additives?: "name" | "number";
  readonly language?: LabelLanguage;
  readonly names?: Readonly<Record<string, string>>;
  /** Ids of the ingredients whose quantity has to be declared: those in the name, in pictures, or that characterise the food. */
  readonly declareQuantityOf?: readonly string[];
  /** Precautionary statement for the bakery as a whole, as the baker assessed it. */
  readonly mayContain?: readonly Allergen[];
  /** What is left in the finished product of something volatile [g], by id: brandy that was flamed off. */
  readonly leftGrams?: Readonly<Record<string, number>>;
  /** Water [g] with which a dried or concentrated ingredient was made up, by id; it then stands by the weight of both. */
  readonly reconstitutedWithGrams?: Readonly<Record<string, number>>;
}

/** Added water at or below this share of the finished product need not be listed (Annex VII, Part A, point 1). */
const WATER_SHARE = 0.05;
const SMALL_PERCENT = 2;

interface Entry {
  readonly designation: Designation;
  readonly ingredients: readonly Ingredient[];
  readonly grams: number;
  /** Made up with water before it went in. */
  readonly isMadeUp?: true;
}

/**
 * The list of ingredients of a product.
 *
 * In descending weight at the time of mixing; added water by what is left of it in the finished product; compounds unfolded in
 * brackets; allergens marked. Quantities to declare are related to the finished product, because baking takes water away; when
 * that, or the sum of all declared, exceeds 100 %, they are given as weight per 100 g of product. In the United States all go by
 * weight as used, and what is 2 % or less follows a phrase that says so.
 *
 * @returns  an empty list (no items) while nothing is weighed
 *
 * Sources: Regulation (EU) 1169/2011, Articles 18, 21 and 22 and Annexes VII and VIII (assimilated in Great Britain); 21 CFR
 * 101.4 and the Federal Food, Drug, and Cosmetic Act, section 403(w), for the United States.
 */
export function ingredientList(formula: Formula, book: IngredientBook, options: IngredientListOptions): IngredientList {
  const { place, date, language = "en" } = options;
  const words = labelWords(language);
  const finishedGrams = composeFormula(formula, book).product.finished.totalGrams;
  const checks: ListCheck[] = [];
  const entries = gatherEntries(formula, book, options, checks);
  const listed = inOrder(withWaterLeft(entries, finishedGrams, place), finishedGrams, place);
  const percentOf = (grams: number) => (finishedGrams > 0 ? (100 * grams) / finishedGrams : 0);

  for (const { designation: named, ingredients, grams } of listed) {
    if (!named.needsPacketList) continue;
    const isSmall = named.isDefined && place !== "us" && percentOf(grams) < SMALL_PERCENT;
    if (!isSmall) continue;
    const at = checks.findIndex(({ kind, ingredient }) => kind === "packet" && ingredient === ingredients[0]!.id);
    if (at >= 0)
      checks[at] = {
        kind: "note",
        ingredient: ingredients[0]!.id,
        words: `${ingredients[0]!.name}: under 2 %, so its own list may be left out (composition set by law, or a mixture of spices); its allergens never.`,
      };
  }

  const wanted = new Set(place === "us" ? [] : (options.declareQuantityOf ?? []));
  const isWanted = ({ ingredients }: Entry) => ingredients.some(({ id }) => wanted.has(id));
  const shares = listed.filter(isWanted).map(({ grams }) => percentOf(grams));
  const byWeight = shares.some((share) => share > 100) || shares.reduce((sum, share) => sum + share, 0) > 100;
  const items = listed.map((entry): ListedIngredient => {
    const percent = percentOf(entry.grams);
    const first = entry.ingredients[0]!;
    const own = first.parts === undefined || first.packetList !== undefined ? [] : unfolded(first, book, options, 0, checks);
    const quantity = !isWanted(entry)
      ? undefined
      : byWeight
        ? `${halfUp(percent, 1)} g per 100 g`
        : `${halfUp(percent, percent < 10 ? 1 : 0)} %`;
    const prefix = entry.isMadeUp && language === "en" ? [{ text: "reconstituted ", emphasised: false }] : [];
    const name = withQuantity(
      entry.designation.runs,
      quantity === undefined ? undefined : decimalsOf(quantity, options.language ?? "en"),
      first.packetList !== undefined,
    );
    return {
      ingredients: entry.ingredients.map(({ id }) => id),
      grams: entry.grams,
      percent,
      runs: joinRuns([...prefix, ...name, ...own]),
      ...(quantity === undefined ? {} : { quantity }),
    };
  });
  for (const id of wanted) {
    if (!items.some(({ ingredients }) => ingredients.includes(id)))
      checks.push({ kind: "note", ingredient: id, words: `${id}: its quantity is to be declared, and it is not in the list.` });
  }

  const contained = uniteAllergens(mixedIngredients(formula, book).map(({ contains }) => contains));
  const may = uniteAllergens([
    options.mayContain ?? [],
    ...mixedIngredients(formula, book).map(({ mayContain }) => mayContain),
  ]).filter(
    (one) => !contained.some(({ allergen, kind }) => allergen === one.allergen && (one.kind === undefined || kind === one.kind)),
  );
  const contains = place === "us" ? usContains(contained) : "";
  return {
    heading: `${place === "us" ? "INGREDIENTS" : words.ingredients}: `,
    items,
    runs: listRuns(items, place, words.ingredients),
    ...(contains === "" ? {} : { contains }),
    ...(may.length > 0 ? { mayContain: `${words.mayContain} ${may.map((one) => mayWord(one, language)).join(", ")}.` } : {}),
    checks: [...new Map(checks.map((one) => [`${one.kind} ${one.words}`, one])).values()],
    rules: rulesOf(listed, place, date, wanted.size > 0),
  };
}

/** All that is weighed, by the words that stand in the list: two sugars that are both "sugar" are one. */
function gatherEntries(
  formula: Formula,
  book: IngredientBook,
  options: IngredientListOptions,
  checks: ListCheck[],
): readonly Entry[] {
  const entries = new Map<string, Entry>();
  const { language = "en" } = options;
  for (const { id, grams, isHeated } of mixedWeights(formula)) {
    const ingredient = book.get(id);
    if (ingredient === undefined) {
      checks.push({
        kind: "unknown",
        ingredient: id,
        words: `${plainText(id, 120)}: the book does not know it. Its name on the label and its allergens are not known.`,
      });
      continue;
    }
    if (grams === null) {
      checks.push({
        kind: "unweighed",
        ingredient: id,
        words: `${ingredient.name}: it has no weight, so its place in the list is not known.`,
      });
      continue;
    }
    const named = designation(ingredient, options satisfies DesignationOptions);
    checks.push(...named.checks);
    const left = options.leftGrams?.[id];
    const added = options.reconstitutedWithGrams?.[id];
    if (left === undefined && isHeated && isVolatile(ingredient) && options.place !== "us")
      checks.push({
        kind: "volatile",
        ingredient: id,
        words: `${ingredient.name}: part of it evaporates, and it is listed by what is left; taken here as all that was used.`,
      });
    if (added !== undefined && language !== "en")
      checks.push({
        kind: "note",
        ingredient: id,
        words: `${ingredient.name}: it stands by its weight made up with water; say so in its name, in the language of the label.`,
      });
    const key = `${named.words} ${added === undefined ? "" : "reconstituted"}`;
    const before = entries.get(key);
    entries.set(key, {
      designation: named,
      ingredients: [...(before?.ingredients ?? []), ingredient],
      grams: (before?.grams ?? 0) + (left ?? grams) + (added ?? 0),
      ...(added === undefined ? {} : { isMadeUp: true as const }),
    });
  }
  return [...entries.values()];
}

/**
 * Whether an ingredient may have been made up with water before it went in (`reconstitutedWithGrams`): dried egg, milk, buttermilk, whey.
 * Dried means at most 10 g water in 100 g (our choice; those of the tables hold 2 to 6 g), and where a packet does not tell, by its name.
 */
export function canBeReconstituted({ role, name, per100g: { water } }: Ingredient): boolean {
  if (role !== "egg" && role !== "dairy") return false;
  return water.known ? water.value <= 10 : /powder|dried/i.test(name);
}

/** Spirits, wine, beer: a drink with more than 1.2 g alcohol in 100 g. Extracts are used by the drop. */
function isVolatile(ingredient: Ingredient): boolean {
  const { alcohol } = ingredient.per100g;
  return ingredient.role === "liquid" && alcohol.known && alcohol.value > 1.2;
}

const isWater = ({ ingredients }: Entry) => ingredients.some(({ id }) => id === "water");

function withWaterLeft(entries: readonly Entry[], finishedGrams: number, place: LabelPlace): readonly Entry[] {
  if (place === "us") return entries;
  const others = entries.filter((entry) => !isWater(entry)).reduce((sum, { grams }) => sum + grams, 0);
  const left = Math.max(0, finishedGrams - others);
  return entries
    .map((entry) => (isWater(entry) ? { ...entry, grams: left } : entry))
    .filter((entry) => !isWater(entry) || entry.grams > WATER_SHARE * finishedGrams);
}

/** By weight; equal weights by name, so that the same formula gives the same list. Small additives of one class stand together. */
function inOrder(entries: readonly Entry[], finishedGrams: number, place: LabelPlace): readonly Entry[] {
  const sorted = entries
    .filter(({ grams }) => grams > 0)
    .toSorted((one, other) => other.grams - one.grams || one.designation.words.localeCompare(other.designation.words, "en-GB"));
  if (place === "us") return sorted;
  // Below 2 % the order is free (Annex VII, Part A, point 6), so one class is named once, where its first stands.
  const isSmall = ({ grams, designation: { additive } }: Entry) =>
    additive !== undefined && grams < (SMALL_PERCENT / 100) * finishedGrams;
  return sorted.flatMap((entry, index) => {
    if (!isSmall(entry)) return [entry];
    const isOfClass = (one: Entry) => isSmall(one) && one.designation.additive!.class === entry.designation.additive!.class;
    const together = sorted.filter(isOfClass);
    if (together.length === 1) return [entry];
    if (sorted.findIndex(isOfClass) !== index) return [];
    const runs = runsOf(
      additivesTogether(
        together.map((one) => one.designation.additive!),
        byOf(entry),
      ),
    );
    return [
      {
        designation: { ...entry.designation, runs, words: wordsOf(runs) },
        ingredients: together.flatMap(({ ingredients }) => ingredients),
        grams: together.reduce((sum, { grams }) => sum + grams, 0),
      },
    ];
  });
}

const byOf = ({ designation: { words, additive } }: Entry): "name" | "number" =>
  words.includes(additive!.name.replace(/[[\]]/g, "")) ? "name" : "number";

/** A quantity stands behind the name and before the list of the packet: "raspberry jam (13 %) (sugar, raspberries)". */
function withQuantity(runs: readonly TextRun[], quantity: string | undefined, hasPacketList: boolean): readonly TextRun[] {
  if (quantity === undefined) return runs;
  // No line ends between a figure and its unit.
  const shown: TextRun = { text: ` (${quantity.replaceAll(" ", "\u00a0")})`, emphasised: false };
  const at = hasPacketList ? runs.findIndex(({ text }) => text.includes(" (")) : -1;
  if (at < 0) return [...runs, shown];
  const { text, emphasised } = runs[at]!;
  const cut = text.indexOf(" (");
  return [
    ...runs.slice(0, at),
    { text: text.slice(0, cut), emphasised },
    shown,
    { text: text.slice(cut), emphasised },
    ...runs.slice(at + 1),
  ];
}

function listRuns(items: readonly ListedIngredient[], place: LabelPlace, heading: string): readonly TextRun[] {
  if (items.length === 0) return [];
  const plain = (text: string): TextRun => ({ text, emphasised: false });
  const small = place === "us" ? items.filter(({ percent }) => percent <= SMALL_PERCENT) : [];
  const large = items.slice(0, items.length - small.length);
  const written = (group: readonly ListedIngredient[]) =>
    group.flatMap((item, index) => [...item.runs, plain(index < group.length - 1 ? ", " : "")]);
  const isSplit = small.length > 1 && large.length > 0;
  const body = isSplit ? [...written(large), plain(", contains 2 percent or less of: "), ...written(small)] : written(items);
  return joinRuns([
    plain(`${place === "us" ? heading.toUpperCase() : heading}: `),
    ...(place === "us" ? capitalised(joinRuns(body)) : capitalised(joinRuns(body))),
    plain("."),
  ]);
}

/** The nine allergens that US law names, by ours; the others have no place in its line. */
const US_NAMES: Partial<Record<Allergen["allergen"], string>> = {
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
  const nuts = contained.flatMap(({ allergen, kind }) =>
    allergen === "nuts" && kind !== undefined ? [allergenWord({ allergen, kind })] : [],
  );
  const words = contained.flatMap(({ allergen, kind }) => {
    if (allergen === "cereals-gluten") return kind === "wheat" || kind === undefined ? ["Wheat"] : [];
    const name = US_NAMES[allergen];
    return name === undefined ? [] : [allergen === "nuts" && nuts.length > 0 ? `${name} (${nuts.join(", ")})` : name];
  });
  return words.length === 0 ? "" : `Contains: ${[...new Set(words)].join(", ")}.`;
}

const mayWord = (one: Allergen, language: LabelLanguage) =>
  one.kind === undefined && one.allergen === "cereals-gluten" && language === "en"
    ? "cereals containing gluten"
    : allergenWord(one, language);

/** " (sugar, raspberries, pectins)": a compound's own list, by weight, at most four deep. */
function unfolded(
  compound: Ingredient,
  book: IngredientBook,
  options: IngredientListOptions,
  depth: number,
  checks: ListCheck[],
): readonly TextRun[] {
  if (depth > 3 || (compound.parts ?? []).length === 0) return [];
  const parts = compound.parts!.toSorted((one, other) => other.grams - one.grams);
  const runs = parts.flatMap(({ ingredient }, index): readonly TextRun[] => {
    const part = book.get(ingredient);
    const comma = { text: index < parts.length - 1 ? ", " : "", emphasised: false };
    if (part === undefined) {
      checks.push({
        kind: "unknown",
        ingredient,
        words: `${plainText(ingredient, 120)} in ${compound.name}: the book does not know it.`,
      });
      return [{ text: plainText(ingredient, 120), emphasised: false }, comma];
    }
    const named = designation(part, options);
    checks.push(...named.checks);
    return [...named.runs, ...(part.packetList === undefined ? unfolded(part, book, options, depth + 1, checks) : []), comma];
  });
  return [{ text: " (", emphasised: false }, ...runs, { text: ")", emphasised: false }];
}

function mixedWeights(
  formula: Formula,
): readonly { readonly id: string; readonly grams: number | null; readonly isHeated: boolean }[] {
  const weights = new Map<string, { grams: number | null; isHeated: boolean }>();
  for (const component of formula.components) {
    const isHeated =
      component.kind === "cake" ||
      component.bake !== undefined ||
      component.stages.some(({ targets = [] }) =>
        targets.some((target) => target.kind === "temperature" && target.celsius >= 70),
      );
    for (const { uses } of component.stages)
      for (const { ingredient, grams } of uses) {
        const before = weights.get(ingredient);
        weights.set(ingredient, {
          grams: grams === null ? (before?.grams ?? null) : (before?.grams ?? 0) + grams,
          isHeated: isHeated || (before?.isHeated ?? false),
        });
      }
  }
  return [...weights].map(([id, entry]) => ({ id, ...entry }));
}

/** Weighed or not: an allergen is in it as soon as the formula names it. */
const mixedIngredients = (formula: Formula, book: IngredientBook) =>
  mixedWeights(formula).flatMap(({ id }) => {
    const found = book.get(id);
    return found === undefined ? [] : [found];
  });

function rulesOf(listed: readonly Entry[], place: LabelPlace, date: string, isDeclared: boolean): readonly LawRule[] {
  const has = (test: (one: Ingredient) => boolean) => listed.some(({ ingredients }) => ingredients.some(test));
  const ids =
    place === "us"
      ? ["us-list", "us-allergens"]
      : [
          "order",
          "allergens",
          "water",
          ...(has(({ parts, packetList }) => parts !== undefined || packetList !== undefined) ? ["compound"] : []),
          ...(listed.some(({ designation: { additive } }) => additive !== undefined) ? ["additives"] : []),
          ...(listed.some(({ isMadeUp }) => isMadeUp) ? ["reconstituted"] : []),
          ...(isDeclared ? ["quantity-declared"] : []),
          ...(place === "gb" && has(({ id }) => leansOnFlourRule(id)) ? ["flour"] : []),
        ];
  return ids.map((id) => ruleOn(id, date));
}
