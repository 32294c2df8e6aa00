import type { Component, Stage, Target } from "../formula/index.js";
import { displayName, type IngredientBook, type NameStyle } from "../ingredients/index.js";
import { formatFraction, formatMinutes, formatTemperature } from "../quantities/index.js";
import type { ReaderMeasures } from "./amounts.js";
import { forReader } from "./methodText.js";
import { linesOf, oneLine } from "./plainText.js";

export interface StepOptions {
  readonly names: NameStyle;
  readonly measures: ReaderMeasures;
}

/**
 * The steps of one stage as sentences.
 *
 * The baker's method stays in their words, one step a line, with the reader's units behind temperatures and lengths, and the targets
 * behind the last line where the words do not hold them. A stage without a method gets a sentence of its name and what goes in:
 * "Fold in the flour and milk until it just holds." Nothing is added that the formula does not say.
 */
export function stageSteps(
  stage: Stage,
  place: { readonly component: Component; readonly index: number },
  book: IngredientBook,
  options: StepOptions,
): readonly string[] {
  const method = linesOf(stage.method ?? "").map((line) => line.replace(/^(?:step\s*)?\d{1,2}[.):]\s+(?=\S)/i, ""));
  if (method.length === 0) {
    const sentence = sentenceOf(stage, place.index, place.component, book, options);
    return sentence === undefined ? [] : [sentence];
  }
  const said = method.join(" ").toLowerCase();
  const targets = (stage.targets ?? []).filter((target) => !isSaid(target, said));
  const words = targetSentence(targets, options.measures);
  return method.map((line, at) => {
    const text = ended(capital(forReader(line, options.measures)));
    return at === method.length - 1 && words !== "" ? `${text} ${words}` : text;
  });
}

/** How a sentence begins for the usual names of stages, and how it ends. */
const VERBS: readonly (readonly [name: RegExp, before: string, after?: string])[] = [
  [/^fold/i, "Fold in"],
  [/^cream/i, "Cream", "together"],
  [/^whisk/i, "Whisk", "together"],
  [/^whip/i, "Whip", "together"],
  [/^beat/i, "Beat", "together"],
  [/^mix/i, "Mix", "together"],
  [/^stir/i, "Stir", "together"],
  [/^blend/i, "Blend", "together"],
  [/^sift/i, "Sift", "together"],
  [/^rub/i, "Rub together"],
  [/^melt/i, "Melt", "together"],
  [/^warm/i, "Warm", "together"],
  [/^boil/i, "Boil", "together"],
  [/^cook/i, "Cook", "together"],
  [/^soak/i, "Soak", "together"],
  [/^spread/i, "Spread with"],
  [/^dust/i, "Dust with"],
  [/^sprinkle/i, "Sprinkle with"],
  [/^brush/i, "Brush with"],
  [/^drizzle/i, "Drizzle with"],
  [/^pour/i, "Pour over"],
  [/^fill/i, "Fill with"],
  [/^ice\b|^icing/i, "Ice with"],
  [/^cover/i, "Cover with"],
  [/^top\b/i, "Top with"],
  [/^decorat/i, "Decorate with"],
  [/^add\b/i, "Add"],
  [/^loosen/i, "Loosen with"],
  [/^enrich/i, "Stir in"],
  [/^finish/i, "Finish with"],
];

function sentenceOf(
  stage: Stage,
  index: number,
  component: Component,
  book: IngredientBook,
  { names, measures }: StepOptions,
): string | undefined {
  const what = [...new Set(stage.uses.map(({ ingredient }) => nameOf(ingredient, book, names)))];
  const targets = (stage.targets ?? []).filter(({ kind }) => kind !== "specific-gravity");
  if (what.length === 0 && targets.length === 0) return undefined;
  const until = targetClauses(targets, measures);
  const end = until === "" ? "." : `${until}.`;
  const name = oneLine(stage.name);
  if (what.length === 0) return `${capital(name)}${end}`;
  const list = `the ${listed(what)}`;
  // A stage that is called after what goes in: egg into a creamed mixture.
  if (/^eggs?$/i.test(name)) {
    const early = index === 0 ? "Whisk" : "Beat in";
    return `${early} ${list}${end}`;
  }
  const [, before, after] = VERBS.find(([pattern]) => pattern.test(name)) ?? [];
  if (before === undefined) return `${capital(name)}: add ${list}${end}`;
  // What is whisked alone is whisked, not "together"; what joins an earlier stage is "in".
  if (after === undefined) return `${before} ${list}${end}`;
  if (what.length > 1) return `${before} ${list} ${after}${end}`;
  const joins = index > 0 && component.kind !== "topping" && /^(Beat|Mix|Stir|Blend|Whisk|Sift)$/.test(before);
  return `${before}${joins ? " in" : ""} ${list}${end}`;
}

/** ", until pale and fluffy, about 6 min, to 21 °C (70 °F)". */
function targetClauses(targets: readonly Target[], measures: ReaderMeasures): string {
  const clause = (target: Target): string => {
    switch (target.kind) {
      case "look":
        return lookClause(oneLine(target.words));
      case "volume-increase":
        return `until ${grownWords(target.percent)}`;
      case "temperature":
        return `to ${readerTemperature(target.celsius, measures)}`;
      case "time":
        return `about ${formatMinutes(target.seconds)}`;
      case "specific-gravity":
        return "";
    }
  };
  const said = targets.map(clause).filter((words) => words !== "");
  return said.length === 0 ? "" : `, ${said.join(", ")}`;
}

/** "Look for: pale and fluffy, after about 6 min." or "Allow about 5 min." or "Aim for 21 °C (70 °F)." */
function targetSentence(targets: readonly Target[], measures: ReaderMeasures): string {
  const looks = targets.flatMap((target) =>
    target.kind === "look"
      ? [oneLine(target.words).replace(/^(?:until|when)\s+(?:it is\s+)?/i, "")]
      : target.kind === "volume-increase"
        ? [grownWords(target.percent)]
        : [],
  );
  const times = targets.flatMap((target) => (target.kind === "time" ? [`about ${formatMinutes(target.seconds)}`] : []));
  const warm = targets.flatMap((target) => (target.kind === "temperature" ? [readerTemperature(target.celsius, measures)] : []));
  const sentences = [
    ...(looks.length > 0
      ? looks.every((look) => /^to\s/i.test(look))
        ? [`Take it ${looks.join(", ")}${times.length > 0 ? `, ${times.join(", then ")}` : ""}.`]
        : [`Look for: ${looks.join(", ")}${times.length > 0 ? `, after ${times.join(", then ")}` : ""}.`]
      : times.length > 0
        ? [`Allow ${times.join(", then ")}.`]
        : []),
    ...(warm.length > 0 ? [`Aim for ${warm.join(", then ")}.`] : []),
  ];
  return sentences.join(" ");
}

/** "doubled in volume", "grown to 3½ times its volume": what a baker can see of a rise in percent. */
function grownWords(percent: number): string {
  const times = 1 + percent / 100;
  if (Math.abs(times - 2) < 0.08) return "doubled in volume";
  if (Math.abs(times - 3) < 0.1) return "three times its volume";
  return times < 1.2 ? "a little bigger" : `grown to ${formatFraction(Math.round(times * 4) / 4)} times its volume`;
}

const lookClause = (words: string) => (/^(?:to|until|when|like)\b/i.test(words) ? words : `until ${words}`);

function readerTemperature(celsius: number, measures: ReaderMeasures): string {
  return measures === "metric"
    ? formatTemperature(celsius)
    : `${formatTemperature(celsius)} (${formatTemperature(celsius, "fahrenheit")})`;
}

/** Whether the baker's own words hold a target already. */
function isSaid(target: Target, method: string): boolean {
  switch (target.kind) {
    // A number for the bench, not for a reader without a cup of known volume.
    case "specific-gravity":
      return true;
    case "temperature":
      return new RegExp(String.raw`(?<!\d)${Math.round(target.celsius)}\s{0,2}(?:°|º|degrees?)?\s{0,2}c\b`).test(method);
    case "time":
      return isTimeSaid(target.seconds / 60, method);
    case "look": {
      const words = oneLine(target.words)
        .toLowerCase()
        .split(/[^a-zà-ÿ]+/)
        .filter((word) => word.length > 3 && !FILLER.has(word));
      return words.length > 0 && words.every((word) => method.includes(word.replace(/s$/, "")));
    }
    case "volume-increase":
      return /\bdoubled|\btimes its volume|\btripled|soft peaks?|to the ribbon|\bribbon\b/.test(method);
  }
}
const FILLER = new Set(["until", "with", "when", "that", "like", "into"]);

const NUMBER_WORDS = ["", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
function isTimeSaid(minutes: number, method: string): boolean {
  if (minutes >= 360 && /\bovernight\b/.test(method)) return true;
  const whole = Math.round(minutes);
  const counts = [String(whole), NUMBER_WORDS[whole] ?? ""].filter((word) => word !== "");
  if (counts.some((count) => method.includes(`${count} min`))) return true;
  const hours = minutes / 60;
  const asHours = [String(hours), Number.isInteger(hours) ? (NUMBER_WORDS[hours] ?? "") : ""].filter((word) => word !== "");
  return asHours.some((count) => method.includes(`${count} hour`)) || (whole === 60 && method.includes("an hour"));
}

/** Name of an ingredient as it stands inside a sentence. */
export function nameOf(id: string, book: IngredientBook, names: NameStyle): string {
  const found = book.get(id);
  // "Whole egg" tells it from yolk in a table; in a kitchen it is egg.
  if (found?.role === "egg" && /^egg-whole/.test(id) && !/dried|powder|pasteurised/.test(id)) return "egg";
  const name = lowered(oneLine(found === undefined ? id : displayName(found, names)));
  // "Ginger, ground" is how a table sorts it; a reader is told "ground ginger".
  return name.replace(/^([^,()]+), ([a-zà-ÿ-]+)$/, "$2 $1");
}

/** "Greek-style yogurt" and "Zante currants" keep their capital; "Plain flour" does not. */
function lowered(name: string): string {
  return /^(?:[A-Z]{2}|Greek|Dutch|Italian|French|Swiss|English|Spanish|Turkish|American|British|Irish|Scottish|Zante|Madeira|Brazil|Earl|Seville|Kirsch|Demerara|Muscovado)/.test(
    name,
  )
    ? name
    : name.charAt(0).toLowerCase() + name.slice(1);
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const ended = (text: string) => (/[.!?…]$/.test(text) ? text : `${text}.`);
const listed = (words: readonly string[]) =>
  words.length < 2 ? (words[0] ?? "") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
