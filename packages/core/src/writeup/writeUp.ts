import { composeFormula } from "../composition/index.js";
import type { Component, Formula, Use } from "../formula/index.js";
import { formatAllergen, type IngredientBook, type NameStyle } from "../ingredients/index.js";
import { type Keeping, keepFormula, type Place } from "../keeping/index.js";
import { benchCautions } from "../plan/index.js";
import type { Band, EggGrade, Problem, Result } from "../quantities/index.js";
import { type BatchRequest, type NamedTin, scaleBatch, type TinCaution, tinsOf } from "../tins/index.js";
import { abroadCautions } from "./abroad.js";
import { countsAsEggs, gradeWords, isWholeEggs, type ReaderMeasures, readerAmount } from "./amounts.js";
import { storageSentences } from "./keepingWords.js";
import { forReader } from "./methodText.js";
import { linesOf, oneLine } from "./plainText.js";
import { readerBakeTime, readerOven } from "./readerOven.js";
import { readerTin } from "./readerTin.js";
import { ROUNDING_TOLERANCE, type RoundingEffect, roundingEffects, roundingSummary } from "./roundingEffects.js";
import { nameOf, stageSteps } from "./steps.js";

export interface WriteUpOptions {
  readonly measures: ReaderMeasures;
  /** British names unless asked otherwise; US measures bring US names. */
  readonly names?: NameStyle;
  /** The reader's eggs. When left out: US large with US measures, else UK large or medium, whichever of them the formula counts out. */
  readonly egg?: EggGrade;
  /** Whether US amounts carry the grams in brackets. Default true. */
  readonly gramsBeside?: boolean;
  /** Whose rules the cautions name; "us" with US measures, else "gb". */
  readonly place?: Place;
  /** A predicted bake time by component name [s]: shown with its band instead of the formula's own minutes. */
  readonly bakeSeconds?: Readonly<Record<string, Band>>;
  /** The baker's own tins, which the formula may name. */
  readonly owned?: readonly NamedTin[];
  /** Times the formula as it is kept; 1 when absent. Weights that the method's own words name are not scaled, and that is said. */
  readonly factor?: number;
  /** Said by what scaled the formula. */
  readonly cautions?: readonly TinCaution[];
  /** Who wrote it, a person or a bakery. */
  readonly author?: string;
  /** ISO 8601. */
  readonly date?: string;
}

export interface WrittenIngredient {
  /** The whole line: "225 g unsalted butter, at 19 °C". */
  readonly text: string;
  /** The same in two columns: "225 g" and "unsalted butter, at 19 °C"; no amount where it is not weighed. */
  readonly amount?: string;
  readonly what: string;
  /** Id in the book. */
  readonly ingredient: string;
  /** Grams in the formula, and grams that the rounded amount stands for; null when it is not weighed. */
  readonly formulaGrams: number | null;
  readonly readerGrams: number | null;
}

export interface WrittenPart {
  readonly name: string;
  readonly kind: Component["kind"];
  readonly tins: readonly string[];
  readonly ingredients: readonly WrittenIngredient[];
  /** Sentences, with the bake as the last where there is one. */
  readonly steps: readonly string[];
  readonly oven?: {
    readonly words: string;
    /** "45 to 52 min (predicted)"; absent where neither a prediction nor the formula says. */
    readonly minutes?: string;
    /** For data: likely minutes. */
    readonly likelyMinutes?: number;
  };
}

export interface WriteUp {
  readonly title: string;
  readonly intro: string | undefined;
  readonly portions: number | undefined;
  readonly author: string | undefined;
  readonly date: string | undefined;
  readonly measures: ReaderMeasures;
  readonly names: NameStyle;
  readonly egg: EggGrade;
  /** "Eggs: large, UK and EU grades"; undefined where no egg in its shell is used. */
  readonly eggs: string | undefined;
  readonly parts: readonly WrittenPart[];
  readonly storage: readonly string[];
  readonly allergens: {
    readonly contains: readonly string[];
    readonly mayContain: readonly string[];
    readonly check: readonly string[];
  };
  readonly cautions: readonly string[];
  /** Ratios that move by more than `ROUNDING_TOLERANCE`; empty when the rounded recipe still makes the cake. */
  readonly rounding: readonly RoundingEffect[];
  /** One sentence on the largest move; undefined where the formula has no cake. */
  readonly roundingSummary: string | undefined;
  /** Largest relative change of any ratio. */
  readonly largestRoundingChange: number;
}

/**
 * The recipe as it is given to readers, in their own measures.
 *
 * Every amount is rounded to what the reader can measure, and the rounded recipe is composed again: where a ratio of a cake moves
 * by more than the tolerance it says so. Nothing is added that the formula does not hold. All texts are single lines free of control
 * and direction marks; they are plain words, and each renderer escapes them for its own format.
 */
export function writeUp(formula: Formula, book: IngredientBook, options: WriteUpOptions): WriteUp {
  const settled: Settled = {
    ...options,
    names: options.names ?? (options.measures === "us" ? "us" : "british"),
    egg: options.egg ?? usualEgg(formula, book, options.measures),
    place: options.place ?? (options.measures === "us" ? "us" : "gb"),
  };
  const parts = formula.components.map((component) => writtenPart(component, book, settled));
  const { allergens } = composeFormula(formula, book).product;
  const keeping = keepFormula(formula, book, { place: settled.place });
  const effects = roundingEffects(
    formula,
    book,
    parts.map(({ ingredients }) => ingredients.map(({ readerGrams }) => readerGrams)),
  );
  const intro = linesOf(formula.notes ?? "").join(" ");
  return {
    title: oneLine(formula.name),
    intro: intro === "" ? undefined : forReader(intro, settled.measures),
    portions: formula.portions,
    author: options.author === undefined ? undefined : oneLine(options.author),
    date: options.date === undefined ? undefined : oneLine(options.date),
    measures: options.measures,
    names: settled.names,
    egg: settled.egg,
    eggs: eggWords(formula, book, settled.egg),
    parts,
    storage: storageSentences(formula, keeping, options.measures),
    allergens: {
      contains: allergens.contains.map(formatAllergen).map(oneLine),
      mayContain: allergens.mayContain.map(formatAllergen).map(oneLine),
      check: allergens.checkSupplier.map(formatAllergen).map(oneLine),
    },
    cautions: cautionsOf(formula, book, keeping, settled),
    rounding: effects.filter(({ change }) => change > ROUNDING_TOLERANCE),
    roundingSummary: roundingSummary(effects),
    largestRoundingChange: effects.reduce((most, { change }) => Math.max(most, change), 0),
  };
}

/**
 * The write-up for any batch that the reader wants: other tins, so many portions, what is left of an ingredient.
 *
 * @returns a problem where the batch cannot be had; what scaling has to say (depth, more tins, bake time) stands first in the cautions
 */
export function writeUpBatch(
  formula: Formula,
  request: BatchRequest,
  book: IngredientBook,
  options: WriteUpOptions,
): Result<WriteUp, Problem> {
  const scaled = scaleBatch(formula, request, {
    book,
    weighing: false,
    ...(options.owned === undefined ? {} : { owned: options.owned }),
  });
  if (!scaled.ok) return scaled;
  return {
    ok: true,
    value: writeUp(scaled.value.exact, book, { ...options, factor: scaled.value.factor, cautions: scaled.value.cautions }),
  };
}

type Settled = WriteUpOptions & { readonly names: NameStyle; readonly egg: EggGrade; readonly place: Place };

function writtenPart(component: Component, book: IngredientBook, options: Settled): WrittenPart {
  const tins = tinsOf(component, options.owned);
  const read = tins.value.map((counted) => oneLine(readerTin(counted, options.measures)));
  // A tin that cannot be read is still said, in the baker's words.
  const unread = tins.problems.length === 0 ? [] : unreadTins(component, options);
  const steps = component.stages.flatMap((stage, index) => stageSteps(stage, { component, index }, book, options));
  const oven = component.bake === undefined ? undefined : ovenOf(component, options);
  return {
    name: oneLine(component.name),
    kind: component.kind,
    tins: [...read, ...unread],
    ingredients: component.stages.flatMap(({ uses }) => uses.map((use) => writtenUse(use, book, options))),
    steps: oven === undefined ? steps : [...steps, bakeSentence(component, oven)],
    ...(oven === undefined ? {} : { oven }),
  };
}

function unreadTins(component: Component, options: Settled): readonly string[] {
  return (component.tins ?? [])
    .filter((use) => tinsOf({ ...component, tins: [use] }, options.owned).value.length === 0)
    .map(({ count, tin }) => oneLine(count === 1 ? tin : `${tin}, ${count} of them`));
}

function ovenOf(component: Component, { measures, bakeSeconds }: Settled): NonNullable<WrittenPart["oven"]> {
  const bake = component.bake!;
  const predicted = bakeSeconds?.[component.name];
  const minutes = readerBakeTime(predicted, bake.minutes);
  const likely = predicted === undefined ? bake.minutes : predicted.likely / 60;
  return {
    words: readerOven(bake, measures),
    ...(minutes === undefined ? {} : { minutes }),
    ...(likely === undefined ? {} : { likelyMinutes: likely }),
  };
}

function bakeSentence({ kind }: Component, oven: NonNullable<WrittenPart["oven"]>): string {
  const until = kind === "cake" ? "until a skewer comes out clean" : "until it is done";
  return `Bake at ${oven.words}, ${oven.minutes === undefined ? until : `${oven.minutes}, ${until}`}.`;
}

function writtenUse(use: Use, book: IngredientBook, options: Settled): WrittenIngredient {
  const ingredient = book.get(use.ingredient);
  const name = nameOf(use.ingredient, book, options.names);
  const note = use.note === undefined ? "" : forReader(oneLine(use.note), options.measures);
  const ending = note === "" ? "" : `, ${note}`;
  if (use.grams === null || !(use.grams > 0)) {
    const text = `${name}${ending === "" ? ", to taste" : ending}`;
    return { text, what: text, ingredient: use.ingredient, formulaGrams: use.grams, readerGrams: use.grams };
  }
  const amount = readerAmount(use.grams, ingredient, {
    measures: options.measures,
    egg: options.egg,
    ...(options.gramsBeside === undefined ? {} : { gramsBeside: options.gramsBeside }),
    ...(use.note === undefined ? {} : { note: use.note }),
  });
  // "4 large eggs (243 g without shells)" names what it is: the first words up to the egg are the amount.
  const counted = amount.namesIt ? /^(\S+(?: (?:g|oz|lb)(?: \S+ oz)?)?) (.+)$/.exec(amount.text) : null;
  const [many, what] = counted === null ? [amount.text, name] : [counted[1]!, counted[2]!];
  return {
    text: `${many} ${what}${ending}`,
    amount: many,
    what: `${what}${ending}`,
    ingredient: use.ingredient,
    formulaGrams: use.grams,
    readerGrams: amount.grams,
  };
}

/** Whose grades the sizes of the eggs are: a large egg is not the same on both sides of the Atlantic. */
function eggWords(formula: Formula, book: IngredientBook, egg: EggGrade): string | undefined {
  const hasEggs = formula.components.some(({ stages }) =>
    stages.some(({ uses }) => uses.some(({ ingredient }) => countsAsEggs(book.get(ingredient)))),
  );
  if (!hasEggs) return undefined;
  return `Eggs: ${gradeWords(egg)}, ${egg.scheme === "us" ? "US" : "UK and EU"} grades`;
}

/** One size of egg for the whole recipe: the one of those sold everywhere that most of its eggs come out whole in. */
function usualEgg(formula: Formula, book: IngredientBook, measures: ReaderMeasures): EggGrade {
  if (measures === "us") return { scheme: "us", grade: "large" };
  const large: EggGrade = { scheme: "uk", grade: "L" };
  const medium: EggGrade = { scheme: "uk", grade: "M" };
  const eggs = formula.components.flatMap(({ stages }) =>
    stages.flatMap(({ uses }) =>
      uses.flatMap(({ ingredient, grams }) => {
        const found = book.get(ingredient);
        return countsAsEggs(found) && grams !== null && grams > 0 ? [{ found, grams }] : [];
      }),
    ),
  );
  const whole = (grade: EggGrade) => eggs.filter(({ found, grams }) => isWholeEggs(grams, found, grade)).length;
  return whole(medium) > whole(large) ? medium : large;
}

/** The bench's cautions, with the rule for cold food of the reader's place, and what keeping adds for cooked eggs. */
function cautionsOf(
  formula: Formula,
  book: IngredientBook,
  keeping: Keeping,
  { names, place, measures, factor = 1, cautions = [] }: Settled,
): readonly string[] {
  const bench = benchCautions(formula, book, names)
    .filter(({ code }) => code !== "tins" && code !== "keep-chilled" && (code !== "raw-egg" || place === "gb"))
    .map(({ words }) => words);
  const kept = keeping.cautions.filter(
    (words) => KEPT.test(words) || (place !== "gb" && /raw or lightly cooked egg/.test(words)),
  );
  // How a density or a size was come by is for the bakery, not for readers.
  const scaled = cautions.filter(({ code }) => code !== "typical-density" && code !== "usual-size").map(({ words }) => words);
  const cold = keeping.product.keptAt === "chilled" ? ["Local food law and licensed advice decide."] : [];
  const own = methodWeights(formula, factor);
  return [...new Set([...scaled, ...own, ...abroadCautions(formula, book, names), ...bench, ...kept, ...cold])].map((words) =>
    forReader(oneLine(words), measures),
  );
}
const KEPT = /keep cold from making to serving|cooked with egg|soluble solids/;

/** Weights in the method's own words belong to the formula as it is kept: after scaling a reader has to be told. */
function methodWeights(formula: Formula, factor: number): readonly string[] {
  if (Math.abs(factor - 1) < 0.005) return [];
  const found = formula.components.flatMap(({ stages }) =>
    stages.flatMap(
      ({ method = "" }) => method.slice(0, 20_000).match(/(?<![\d.,])\d{1,5}(?:[.,]\d{1,2})?\s{0,2}(?:g|kg|ml|oz|lb)\b/g) ?? [],
    ),
  );
  if (found.length === 0) return [];
  const times = factor.toFixed(factor < 10 ? 2 : 0).replace(/\.?0+$/, "");
  return [
    `The method names ${[...new Set(found.map(oneLine))].slice(0, 6).join(", ")}: written for the formula as it is kept. This batch is ${times} times that.`,
  ];
}
