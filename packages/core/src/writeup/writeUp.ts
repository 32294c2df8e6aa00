import { balanceOf, composeFormula } from "../composition/index.js";
import type { Component, Formula, Stage, Use } from "../formula/index.js";
import { displayName, formatAllergen, type IngredientBook, type NameStyle } from "../ingredients/index.js";
import { keepFormula, type Place } from "../keeping/index.js";
import { benchCautions, targetWords } from "../plan/index.js";
import {
  type Band,
  celsius,
  type EggGrade,
  fanFromConventional,
  formatGasMark,
  formatMinutes,
  formatTemperature,
  gasMarkFromCelsius,
} from "../quantities/index.js";
import { formatTin, tinsOf } from "../tins/index.js";
import { type ReaderAmount, type ReaderMeasures, readerAmount } from "./amounts.js";

export interface WriteUpOptions {
  readonly measures: ReaderMeasures;
  /** British names unless asked otherwise; US measures bring US names. */
  readonly names?: NameStyle;
  /** The reader's eggs: UK large, or US large with US measures. */
  readonly egg?: EggGrade;
  readonly place?: Place;
  /** A predicted bake time by component name [s]: shown with its band instead of the formula's own minutes. */
  readonly bakeSeconds?: Readonly<Record<string, Band>>;
  readonly author?: string;
  /** ISO 8601. */
  readonly date?: string;
}

export interface WrittenIngredient {
  /** The whole line: "225 g unsalted butter, at 19 °C". */
  readonly text: string;
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
  readonly steps: readonly string[];
  readonly oven?: { readonly words: string; readonly minutes?: string };
}

/** What rounding to the reader's measures does to the cake. */
export interface RoundingEffect {
  readonly component: string;
  /** "Sugar to flour". */
  readonly ratio: string;
  readonly beforePercent: number;
  readonly afterPercent: number;
  /** Relative change, 0 to 1. */
  readonly change: number;
  readonly words: string;
}

export interface WriteUp {
  readonly title: string;
  readonly intro: string | undefined;
  readonly portions: number | undefined;
  readonly author: string | undefined;
  readonly date: string | undefined;
  readonly measures: ReaderMeasures;
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
  /** Largest relative change of any ratio. */
  readonly largestRoundingChange: number;
  readonly minutesTotal: number | undefined;
}

/** A ratio may move by this much (relative) before it is said: what two spoons of flour differ by (common practice, no source). */
export const ROUNDING_TOLERANCE = 0.05;

/**
 * The recipe as it is given to readers, in their own measures.
 *
 * Every amount is rounded to what the reader can measure, and the rounded recipe is composed again: where a ratio of a cake moves
 * by more than the tolerance it says so. Nothing is added that the formula does not hold.
 */
export function writeUp(formula: Formula, book: IngredientBook, options: WriteUpOptions): WriteUp {
  const names = options.names ?? (options.measures === "us" ? "us" : "british");
  const egg: EggGrade =
    options.egg ?? (options.measures === "us" ? { scheme: "us", grade: "large" } : { scheme: "uk", grade: "L" });
  const parts = formula.components.map((component) => writtenPart(component, book, { ...options, names, egg }));
  const composed = composeFormula(formula, book);
  const keeping = keepFormula(formula, book, options.place === undefined ? {} : { place: options.place });
  const all = roundingEffects(formula, book, parts);
  const minutes = formula.components.flatMap(({ bake, stages }) => [
    bake?.minutes ?? 0,
    ...stages.flatMap(({ targets = [] }) => targets.map((target) => (target.kind === "time" ? target.seconds / 60 : 0))),
  ]);
  const minutesTotal = minutes.reduce((sum, part) => sum + part, 0);
  return {
    title: formula.name,
    intro: formula.notes,
    portions: formula.portions,
    author: options.author,
    date: options.date,
    measures: options.measures,
    parts,
    storage: [
      keeping.product.keptAt === "chilled"
        ? "Keep cold from filling to serving, and take out half an hour before it is eaten."
        : "Keep wrapped at room temperature.",
      `Good for about ${keeping.product.days} ${keeping.product.days === 1 ? "day" : "days"} (estimate; ${keeping.product.limitedBy}).`,
      ...keeping.plan.filter(({ step }) => step === "freeze").map(({ words }) => words),
    ],
    allergens: {
      contains: composed.product.allergens.contains.map(formatAllergen),
      mayContain: composed.product.allergens.mayContain.map(formatAllergen),
      check: composed.product.allergens.checkSupplier.map(formatAllergen),
    },
    cautions: benchCautions(formula, book, names)
      .filter(({ code }) => code !== "tins")
      .map(({ words }) => words),
    rounding: all.filter(({ change }) => change > ROUNDING_TOLERANCE),
    largestRoundingChange: all.reduce((worst, { change }) => Math.max(worst, change), 0),
    minutesTotal: minutesTotal > 0 ? minutesTotal : undefined,
  };
}

type Settled = WriteUpOptions & { readonly names: NameStyle; readonly egg: EggGrade };

function writtenPart(component: Component, book: IngredientBook, options: Settled): WrittenPart {
  const { value: tins } = tinsOf(component);
  return {
    name: component.name,
    kind: component.kind,
    tins: tins.map(({ count, tin, text }) => {
      const words =
        options.measures === "us"
          ? `${formatTin(tin, { units: "in" })} (${text})`
          : `${text} (${formatTin(tin, { units: "in" })})`;
      return count === 1 ? words : `${count} × ${words}`;
    }),
    ingredients: component.stages.flatMap(({ uses }) => uses.map((use) => writtenUse(use, book, options))),
    steps: component.stages.flatMap((stage) => stepWords(stage, book, options)),
    ...(component.bake === undefined ? {} : { oven: ovenWords(component, options) }),
  };
}

function writtenUse(use: Use, book: IngredientBook, options: Settled): WrittenIngredient {
  const ingredient = book.get(use.ingredient);
  const name = lowered(ingredient === undefined ? use.ingredient : displayName(ingredient, options.names));
  const note = use.note === undefined ? "" : `, ${use.note}`;
  if (use.grams === null || use.grams === 0)
    return {
      text: `${name}${note === "" ? ", to taste" : note}`,
      ingredient: use.ingredient,
      formulaGrams: use.grams,
      readerGrams: use.grams,
    };
  const amount: ReaderAmount = readerAmount(use.grams, ingredient, options.measures, options.egg);
  return {
    text: `${amount.text}${amount.namesIt ? "" : ` ${name}`}${note}`,
    ingredient: use.ingredient,
    formulaGrams: use.grams,
    readerGrams: amount.grams,
  };
}

/** "Cream the butter and sugar until pale and fluffy, about 5 min." A stage without words gets its name and what goes in. */
function stepWords(stage: Stage, book: IngredientBook, { names, measures }: Settled): readonly string[] {
  const targets = (stage.targets ?? [])
    .filter(({ kind }) => kind !== "specific-gravity")
    .map((target) => targetWords(target, measures === "us" ? "fahrenheit" : "celsius"));
  const until = targets.length === 0 ? "" : ` (${targets.join("; ")})`;
  if (stage.method !== undefined && stage.method.trim() !== "") return [`${stage.method.trim().replace(/\.$/, "")}${until}.`];
  const list = stage.uses.map(({ ingredient }) => {
    const found = book.get(ingredient);
    return lowered(found === undefined ? ingredient : displayName(found, names));
  });
  return list.length === 0 && until === ""
    ? []
    : [`${stage.name}${list.length === 0 ? "" : `: ${listed([...new Set(list)])}`}${until}.`];
}

function ovenWords({ name, bake }: Component, { measures, bakeSeconds }: Settled): { words: string; minutes?: string } {
  const oven = bake!;
  const conventional = oven.fan ? oven.ovenC + 20 : oven.ovenC;
  const fan = oven.fan ? oven.ovenC : fanFromConventional(celsius(oven.ovenC));
  const gas = gasMarkFromCelsius(celsius(conventional));
  const inCelsius = `${formatTemperature(conventional)}, fan ${formatTemperature(fan)}${gas === undefined ? "" : `, gas mark ${formatGasMark(gas)}`}`;
  const fahrenheit = `${Math.round((conventional * 1.8 + 32) / 5) * 5} °F`;
  const predicted = bakeSeconds?.[name];
  const minutes =
    predicted !== undefined
      ? `${formatMinutes(predicted.from)} to ${formatMinutes(predicted.to)} (predicted); a skewer comes out clean`
      : oven.minutes !== undefined
        ? `about ${formatMinutes(oven.minutes * 60)}; a skewer comes out clean`
        : "until a skewer comes out clean";
  return { words: measures === "us" ? `${fahrenheit} (${inCelsius})` : `${inCelsius} (${fahrenheit})`, minutes };
}

/** Composes the rounded recipe and compares the ratios of its cakes. */
function roundingEffects(formula: Formula, book: IngredientBook, parts: readonly WrittenPart[]): readonly RoundingEffect[] {
  return formula.components.flatMap((component, index) => {
    if (component.kind !== "cake") return [];
    let at = 0;
    const rounded: Component = {
      ...component,
      stages: component.stages.map((stage) => ({
        ...stage,
        uses: stage.uses.map((use) => ({ ...use, grams: parts[index]!.ingredients[at++]!.readerGrams })),
      })),
    };
    const before = balanceOf(component, book).ratios;
    const after = balanceOf(rounded, book).ratios;
    return before.flatMap((ratio, place): RoundingEffect[] => {
      const [beforePercent, afterPercent] = [ratio.percent, after[place]?.percent];
      if (beforePercent === null || afterPercent === null || afterPercent === undefined || beforePercent === 0) return [];
      const change = Math.abs(afterPercent / beforePercent - 1);
      return [
        {
          component: component.name,
          ratio: ratio.words,
          beforePercent,
          afterPercent,
          change,
          words: `${component.name}: rounding moves ${ratio.words.toLowerCase()} from ${beforePercent.toFixed(0)} % to ${afterPercent.toFixed(0)} %.`,
        },
      ];
    });
  });
}

const lowered = (name: string) => name.charAt(0).toLowerCase() + name.slice(1);
const listed = (words: readonly string[]) =>
  words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
