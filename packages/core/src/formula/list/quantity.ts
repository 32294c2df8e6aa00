import { ABOUT, FILLS, NUMBER_WORDS, SIZES, UNITS, type Unit, type VolumeUnit } from "./amountWords.js";
import type { Token } from "./tokens.js";

/** A number as it was written: one figure, or a span. */
export interface Span {
  readonly low: number;
  readonly high: number;
}

/** What an amount measures. */
export type Measured =
  | { readonly kind: "mass"; readonly grams: Span; readonly ounces: boolean; readonly fluidLikely: boolean }
  | { readonly kind: "volume"; readonly parts: readonly { readonly amount: Span; readonly unit: VolumeUnit }[] }
  | { readonly kind: "count"; readonly amount: Span; readonly thing?: string }
  | { readonly kind: "vague"; readonly amount: Span; readonly thing: string }
  | { readonly kind: "percent"; readonly percent: number }
  | { readonly kind: "length"; readonly amount: Span; readonly unit: string };

export interface Quantity {
  readonly measured: Measured;
  /** "large", "medium" ... of the thing counted or of the container. */
  readonly size?: string;
  /** "heaped", "packed" ... */
  readonly fills: readonly string[];
  /** The container of a weight: 400 g "tin". */
  readonly container?: string;
  readonly about: boolean;
  /** "each" was said: the weight is that of one. */
  readonly each: boolean;
  /** Why the number itself cannot be trusted, in plain words, with the other reading as a factor of this one. */
  readonly doubts: readonly NumberDoubt[];
}

export interface NumberDoubt {
  readonly why: string;
  /** The other reading is this many times the one taken. */
  readonly otherFactor: number;
}

/** Something read from tokens, and the place of the first token after it. */
export interface Taken<T> {
  readonly value: T;
  readonly next: number;
}

interface NumberRead {
  readonly span: Span;
  readonly doubts: readonly NumberDoubt[];
  /** It was a bare "a" or "an". */
  readonly article: boolean;
  /** "half", "quarter": may be followed by "a". */
  readonly fractionWord: boolean;
}

const one = (value: number): Span => ({ low: value, high: value });
const times = (span: Span, factor: number): Span => ({ low: span.low * factor, high: span.high * factor });

/** Value of digits with points and commas. "1,5" is a decimal comma, "1,000" thousands; where either may be meant, a doubt. */
function digits(text: string): { value: number; doubts: NumberDoubt[]; dotted: boolean } {
  const plain = { doubts: [] as NumberDoubt[], dotted: false };
  if (/^\d+$/.test(text)) return { value: Number(text), ...plain };
  if (/^\d{1,3}(?:,\d{3}){2,}$/.test(text)) return { value: Number(text.replace(/,/g, "")), ...plain };
  if (/^0,\d+$/.test(text) || /^\d+,\d{1,2}$/.test(text)) return { value: Number(text.replace(",", ".")), ...plain };
  if (/^\d{1,3},\d{3}$/.test(text)) return { value: Number(text.replace(",", "")), doubts: [], dotted: true };
  if (/^\d{1,3}(?:,\d{3})+\.\d+$/.test(text)) return { value: Number(text.replace(/,/g, "")), ...plain };
  if (/^\d{1,3}(?:\.\d{3})+,\d+$/.test(text)) return { value: Number(text.replace(/\./g, "").replace(",", ".")), ...plain };
  if (/^[1-9]\d{0,2}\.\d{3}$/.test(text)) return { value: Number(text), doubts: [], dotted: true };
  if (/^\d*\.\d+$/.test(text)) return { value: Number(text), ...plain };
  const value = Number(text.replace(/[^\d]/g, ""));
  return { value, doubts: [{ why: `the number ${text} can be read in more than one way`, otherFactor: 0.001 }], dotted: false };
}

const isFractionBottom = (value: number) => Number.isInteger(value) && value >= 2 && value <= 16;

/** "1/2" at a place: top, slash, bottom. */
function fractionAt(tokens: readonly Token[], at: number): Taken<number> | undefined {
  const [top, slash, bottom] = [tokens[at], tokens[at + 1], tokens[at + 2]];
  if (top?.kind !== "number" || slash?.text !== "/" || bottom?.kind !== "number") return undefined;
  if (!/^\d{1,2}$/.test(top.text) || !/^\d{1,2}$/.test(bottom.text)) return undefined;
  const value = Number(top.text) / Number(bottom.text);
  return isFractionBottom(Number(bottom.text)) ? { value, next: at + 3 } : undefined;
}

const HALVES: ReadonlyMap<string, number> = new Map([
  ["half", 1 / 2],
  ["quarter", 1 / 4],
  ["third", 1 / 3],
  ["thirds", 1 / 3],
  ["quarters", 1 / 4],
  ["eighth", 1 / 8],
]);

/** One figure, in digits or words: "2", "1 1/2", "1-1/2", "two and a half", "half a dozen". */
function figureAt(tokens: readonly Token[], at: number): Taken<NumberRead> | undefined {
  const token = tokens[at];
  if (token === undefined) return undefined;
  const made = (value: number, next: number, more: Partial<NumberRead> = {}): Taken<NumberRead> => ({
    value: { span: one(value), doubts: [], article: false, fractionWord: false, ...more },
    next,
  });
  if (token.kind === "number") {
    const fraction = fractionAt(tokens, at);
    if (fraction !== undefined) {
      // "11/2 tsp": a space lost on the way, far more often than five and a half
      const [top, bottom] = [Number(token.text), Number(tokens[at + 2].text)];
      if (top > 10 && bottom < 10 && top % 10 > 0 && top % 10 < bottom && fraction.value > 1) {
        const mixed = Math.floor(top / 10) + (top % 10) / bottom;
        const why = `"${token.text}/${tokens[at + 2].text}" is read as ${Math.floor(top / 10)} ${top % 10}/${bottom}`;
        return made(mixed, fraction.next, { doubts: [{ why, otherFactor: fraction.value / mixed }] });
      }
      const dozen = /^(?:dozen|doz)$/.test(tokens[fraction.next]?.text ?? "");
      return dozen ? made(fraction.value * 12, fraction.next + 1) : made(fraction.value, fraction.next);
    }
    const whole = digits(token.text);
    let next = at + 1;
    if (/^\d{1,4}$/.test(token.text)) {
      // "1 1/2", "1-1/2", "1 and 1/2", "1 & 1/2"
      const joins = tokens[next]?.text;
      const hop = joins === "and" || joins === "&" || joins === "-" ? 1 : 0;
      const part = fractionAt(tokens, next + hop);
      if (part !== undefined && part.value < 1) return made(whole.value + part.value, part.next);
      if (joins === "and" && (tokens[next + 1]?.text === "a" || tokens[next + 1]?.text === "half")) {
        const word = tokens[next + 1]?.text === "a" ? next + 2 : next + 1;
        const half = HALVES.get(tokens[word]?.text ?? "");
        if (half !== undefined) return made(whole.value + half, word + 1);
      }
      // "1 200 g": a space for thousands, or one piece of 200 g.
      const after = tokens[next];
      if (after?.kind === "number" && after.spaced && /^\d{3}$/.test(after.text) && /^\d{1,2}$/.test(token.text)) {
        const unit = tokens[next + 1];
        if (unit !== undefined && /^(?:g|gr|gm|grams?|ml|millilitres?)$/.test(unit.text)) {
          const value = whole.value * 1000 + Number(after.text);
          const other = (whole.value * Number(after.text)) / value;
          return made(value, next + 1, {
            doubts: [
              {
                why: `"${token.text} ${after.text}" is either ${value} or ${token.text} times ${after.text}`,
                otherFactor: other,
              },
            ],
          });
        }
      }
      if (joins === "dozen" || joins === "doz") next += 1;
      if (next > at + 1) return made(whole.value * 12, next);
    }
    const doubts = [...whole.doubts];
    if (whole.dotted) {
      // "1,000 g" is a thousand and "1.250 kg" is a kilogram and a quarter; the other two are doubtful.
      const unit = tokens[next]?.text ?? "";
      const comma = token.text.includes(",");
      const small = /^(?:g|gr|gm|gms|grams?|grammes?|ml|mls|millilitres?)$/.test(unit);
      if (comma && !small) {
        const value = whole.value / 1000;
        return made(value, next, {
          doubts: [{ why: `${token.text} is read with a decimal comma; it may mean ${whole.value}`, otherFactor: 1000 }],
        });
      }
      if (!comma && small) {
        return made(whole.value * 1000, next, {
          doubts: [{ why: `${token.text} is read as thousands; it may mean ${whole.value}`, otherFactor: 0.001 }],
        });
      }
    }
    return made(whole.value, next, { doubts });
  }
  if (token.kind !== "word") return undefined;
  const word = token.text;
  if (word === "a" || word === "an") {
    const after = tokens[at + 1]?.text ?? "";
    if (after === "dozen") return made(12, at + 2);
    if (after === "couple") {
      const of = tokens[at + 2]?.text === "of" ? 3 : 2;
      return made(2, at + of, { doubts: [{ why: "a couple is read as two", otherFactor: 1.5 }] });
    }
    if (after === "half" || after === "quarter" || after === "third") {
      const value = HALVES.get(after)!;
      const rest = tokens[at + 2]?.text;
      if (rest === "dozen") return made(value * 12, at + 3);
      return made(value, rest === "of" || rest === "a" || rest === "an" ? at + 3 : at + 2, { fractionWord: true });
    }
    return made(1, at + 1, { article: true });
  }
  if (word === "half" || word === "quarter") {
    const value = HALVES.get(word)!;
    let next = at + 1;
    if (tokens[next]?.text === "-") next += 1;
    if (tokens[next]?.text === "of") next += 1;
    if (tokens[next]?.text === "a" || tokens[next]?.text === "an") next += 1;
    if (tokens[next]?.text === "dozen") return made(value * 12, next + 1);
    return made(value, next, { fractionWord: true });
  }
  if (word === "dozen") return made(12, at + 1);
  if (word === "couple")
    return made(2, tokens[at + 1]?.text === "of" ? at + 2 : at + 1, {
      doubts: [{ why: "a couple is read as two", otherFactor: 1.5 }],
    });
  let value = NUMBER_WORDS.get(word);
  if (value === undefined) return undefined;
  let next = at + 1;
  // "twenty-five", "twenty five"
  if (value >= 20) {
    const hop = tokens[next]?.text === "-" ? 1 : 0;
    const unit = NUMBER_WORDS.get(tokens[next + hop]?.text ?? "");
    if (unit !== undefined && unit < 10) {
      value += unit;
      next += hop + 1;
    }
  }
  if (tokens[next]?.text === "hundred") {
    value *= 100;
    next += 1;
    const hop = tokens[next]?.text === "and" ? 1 : 0;
    const more = figureAt(tokens, next + hop);
    if (
      more !== undefined &&
      tokens[next + hop].kind === "word" &&
      !more.value.article &&
      more.value.span.low < 100 &&
      more.value.span.low >= 1
    ) {
      value += more.value.span.low;
      next = more.next;
    }
  }
  if (tokens[next]?.text === "dozen") return made(value * 12, next + 1);
  // "two thirds", "three quarters", "three-quarters", "one third", "one half"
  const hop = tokens[next]?.text === "-" ? 1 : 0;
  const share = HALVES.get(tokens[next + hop]?.text ?? "");
  if (share !== undefined && value < 8) {
    let end = next + hop + 1;
    if (tokens[end]?.text === "of") end += 1;
    if (tokens[end]?.text === "a" || tokens[end]?.text === "an") end += 1;
    return made(value * share, end, { fractionWord: true });
  }
  // "one and a half", "two and three quarters", "two and 1/2"
  if (tokens[next]?.text === "and" || tokens[next]?.text === "&") {
    const a = tokens[next + 1]?.text === "a" || tokens[next + 1]?.text === "one" ? 1 : 0;
    const half = HALVES.get(tokens[next + 1 + a]?.text ?? "");
    if (half !== undefined) return made(value + half, next + 2 + a);
    const three = NUMBER_WORDS.get(tokens[next + 1]?.text ?? "");
    const parts = HALVES.get(tokens[next + 2]?.text ?? "");
    if (three !== undefined && parts !== undefined && three * parts < 1) return made(value + three * parts, next + 3);
    const fraction = fractionAt(tokens, next + 1);
    if (fraction !== undefined && fraction.value < 1) return made(value + fraction.value, fraction.next);
  }
  const fraction = fractionAt(tokens, next);
  if (fraction !== undefined && fraction.value < 1) return made(value + fraction.value, fraction.next);
  return made(value, next);
}

/** A figure, or a span of two: "2-3", "2 to 3", "2 or 3". */
function numberAt(tokens: readonly Token[], at: number): Taken<NumberRead> | undefined {
  const first = figureAt(tokens, at);
  if (first === undefined || first.value.article) return first;
  const link = tokens[first.next]?.text;
  if (link === "-" || link === "to" || link === "or" || link === "~") {
    const second = figureAt(tokens, first.next + 1);
    const plain = second !== undefined && !second.value.article;
    // "1 1/2-oz" is a figure and a unit; "2-1/2" was taken above. A second figure that is no larger is not the end of a span.
    if (plain && second.value.span.low > first.value.span.high) {
      // "2 or 250 g" is two amounts, not a span.
      const near = link !== "or" || second.value.span.low <= 4 * first.value.span.high;
      if (near) {
        return {
          value: {
            span: { low: first.value.span.low, high: second.value.span.high },
            doubts: [...first.value.doubts, ...second.value.doubts],
            article: false,
            fractionWord: false,
          },
          next: second.next,
        };
      }
    }
  }
  return first;
}

/** A unit word, with what belongs to it: "fl. oz.", "US cup", "oz.". */
function unitAt(tokens: readonly Token[], at: number): Taken<Unit> | undefined {
  const token = tokens[at];
  if (token === undefined) return undefined;
  const dot = (next: number) => (tokens[next]?.text === "." ? next + 1 : next);
  if (token.kind !== "word") return undefined;
  const word = token.text;
  // "T" is a tablespoon and "t" a teaspoon in American shorthand.
  if (token.raw === "T") return { value: { kind: "volume", volume: "tablespoon" }, next: dot(at + 1) };
  if (token.raw === "t") return { value: { kind: "volume", volume: "teaspoon" }, next: dot(at + 1) };
  if (word === "fl" || word === "fluid" || word === "liquid") {
    let next = dot(at + 1);
    if (tokens[next]?.text === "-") next += 1;
    if (/^(?:oz|ozs|ounces?)$/.test(tokens[next]?.text ?? "")) {
      return { value: { kind: "volume", volume: "fluid-ounce" }, next: dot(next + 1) };
    }
    return undefined;
  }
  if (
    word === "us" ||
    word === "american" ||
    word === "imperial" ||
    word === "uk" ||
    word === "metric" ||
    word === "australian" ||
    word === "british"
  ) {
    const inner = unitAt(tokens, dot(at + 1));
    if (inner === undefined || inner.value.kind !== "volume") return undefined;
    const us = word === "us" || word === "american";
    const named: Partial<Record<VolumeUnit, VolumeUnit>> = us
      ? { cup: "us-cup", "fluid-ounce": "us-fluid-ounce", pint: "us-pint" }
      : word === "imperial" || word === "uk" || word === "british"
        ? { "fluid-ounce": "imperial-fluid-ounce", pint: "imperial-pint" }
        : word === "australian"
          ? { cup: "metric-cup", tablespoon: "au-tablespoon" }
          : { cup: "metric-cup" };
    return { value: { kind: "volume", volume: named[inner.value.volume] ?? inner.value.volume }, next: inner.next };
  }
  if (word === "table" || word === "tea" || word === "dessert") {
    const hop = tokens[at + 1]?.text === "-" ? 1 : 0;
    if (/^spoon(?:s|ful|fuls)?$/.test(tokens[at + 1 + hop]?.text ?? "")) {
      const kind = word === "table" ? "tablespoon" : word === "tea" ? "teaspoon" : "dessertspoon";
      return { value: { kind: "volume", volume: kind }, next: at + 2 + hop };
    }
    return undefined;
  }
  const unit = UNITS.get(word);
  if (unit === undefined) return undefined;
  // "C" alone may be a cup; degrees are caught before.
  return { value: unit, next: dot(at + 1) };
}

const GRADE_LETTERS: ReadonlyMap<string, string> = new Map([
  ["S", "small"],
  ["M", "medium"],
  ["L", "large"],
  ["XL", "extra large"],
]);

const lengthWords = /^(?:cm|mm|inch|inches|in)$/;

/**
 * An amount at a place of the line: "200 g", "1 lb 4 oz", "2 x 400 g tins", "1 (14 oz) can", "2 large", "a pinch", "2 tbsp + 1 tsp",
 * or nothing. Second and third ways of saying the same ("250 g / 9 oz") are `pairedAt`'s work.
 */
export function quantityAt(tokens: readonly Token[], start: number): Taken<Quantity> | undefined {
  let at = start;
  let about = false;
  while (at < tokens.length && (ABOUT.has(tokens[at].text) || tokens[at].text === "~")) {
    if (tokens[at].text === "c" && tokens[at + 1]?.text !== ".") break;
    about = true;
    at += 1;
    if (tokens[at]?.text === ".") at += 1;
  }
  const fills: string[] = [];
  const takeFills = (from: number): number => {
    let to = from;
    while (to < tokens.length && FILLS.has(tokens[to].text)) {
      fills.push(tokens[to].text);
      to += 1;
    }
    return to;
  };
  at = takeFills(at);
  // "thumb-sized piece of ginger", "a thumb of ginger"
  const thumb = /^an?$/.test(tokens[at]?.text ?? "") ? at + 1 : at;
  if (tokens[thumb]?.text === "thumb") {
    let next = thumb + 1;
    while (/^(?:-|sized?|length|nail|piece|knob|chunk|lump|of)$/.test(tokens[next]?.text ?? "")) next += 1;
    return { value: plain({ kind: "vague", amount: one(1), thing: "thumb" }, about), next };
  }
  const number = numberAt(tokens, at);
  if (number === undefined) {
    const vagueHere = vagueAt(tokens, at, about);
    if (vagueHere !== undefined) return vagueHere;
    // "heaped tablespoon of cocoa", "pinch of salt"
    // "big pinch of salt"
    const size = SIZES.get(tokens[at]?.text ?? "");
    const after = size === undefined ? undefined : unitAt(tokens, at + 1);
    if (size !== undefined && after?.value.kind === "vague")
      return finish(tokens, after.next, after.value, one(1), { about, fills, doubts: [], size });
    const bare = unitAt(tokens, at);
    const verb =
      /^(?:sprinkle|sprinkling|drizzle|squeeze|dusting|scoop|part|spoon|glass|mug|bunch)$/.test(tokens[at]?.text ?? "") &&
      tokens[at + 1]?.text !== "of";
    if (bare !== undefined && !verb && (bare.value.kind === "vague" || (bare.value.kind === "volume" && fills.length > 0))) {
      return finish(tokens, bare.next, bare.value, one(1), { about, fills, doubts: [] });
    }
    // "tsp vanilla": the number is missing, or was lost on the way (a fraction that did not come through)
    if (
      bare !== undefined &&
      at === start &&
      bare.value.kind === "volume" &&
      /^(?:tsp|tbsp|teaspoon|tablespoon|cup|dsp)s?$/.test(tokens[at].text)
    ) {
      const lost = { why: "there is no number before the measure; it is read as one", otherFactor: 0.5 };
      return finish(tokens, bare.next, bare.value, one(1), { about, fills, doubts: [lost] });
    }
    return undefined;
  }
  at = number.next;
  const { article } = number.value;
  let { span } = number.value;
  // "200 + 50 g"
  if (tokens[at]?.text === "+" && tokens[at - 1].kind === "number") {
    const more = figureAt(tokens, at + 1);
    if (more !== undefined && tokens[at + 1].kind === "number" && unitAt(tokens, more.next) !== undefined) {
      span = { low: span.low + more.value.span.low, high: span.high + more.value.span.high };
      at = more.next;
    }
  }
  const doubts = [...number.value.doubts];
  if (tokens[at]?.text === "%") {
    return article ? undefined : { value: plain({ kind: "percent", percent: span.high }, about), next: at + 1 };
  }
  if (tokens[at]?.text === "°") return undefined;
  if (tokens[at]?.text === "-" && !tokens[at].spaced && tokens[at + 1]?.kind === "word" && !tokens[at + 1].spaced) {
    // "8-oz", "14-ounce": the hyphen belongs to the unit
    if (unitAt(tokens, at + 1) !== undefined || lengthWords.test(tokens[at + 1].text)) at += 1;
  }
  // "1/2 a teaspoon", "3/4 of a cup"
  if (!article && span.high < 1) {
    const after = tokens[at]?.text === "of" ? at + 1 : at;
    if (/^an?$/.test(tokens[after]?.text ?? "") && unitAt(tokens, after + 1) !== undefined) at = after + 1;
  }
  // "a quarter of a 250 g block", "1/2 a 500 g tub"
  const ofA = tokens[at]?.text === "of" ? at + 1 : at;
  if (!article && /^(?:a|an|the|one)$/.test(tokens[ofA]?.text ?? "") && tokens[ofA + 1]?.kind === "number") {
    const inner = quantityAt(tokens, ofA + 1);
    if (inner !== undefined && (inner.value.measured.kind === "mass" || inner.value.measured.kind === "volume"))
      return multiplied(tokens, inner, span, about, doubts);
  }
  // "2 x 400 g tins", "3 x 100 g"
  if (tokens[at]?.text === "x" || tokens[at]?.text === "*") {
    const inner = quantityAt(tokens, at + 1);
    if (inner !== undefined && inner.value.measured.kind !== "count" && inner.value.measured.kind !== "percent") {
      return multiplied(tokens, inner, span, about, doubts);
    }
    if (inner === undefined)
      at += 1; // "3 x eggs"
    else if (inner.value.measured.kind === "count") return undefined;
  }
  // "1 (14 oz) can", "2 (8-ounce) packages": the bracket is the weight of one where a container follows
  if (tokens[at]?.text === "(" && !article) {
    const inner = quantityAt(tokens, at + 1);
    if (inner !== undefined && tokens[inner.next]?.text === ")") {
      const after = unitAt(tokens, inner.next + 1);
      const heavy = inner.value.measured.kind === "mass" || inner.value.measured.kind === "volume";
      if (heavy && after !== undefined && after.value.kind === "count") {
        return multiplied(
          tokens,
          { value: { ...inner.value, container: after.value.thing }, next: after.next },
          span,
          about,
          doubts,
        );
      }
    }
  }
  // "3 8-oz packages", "1 14-oz can", "4 100g bars"; and "a 400 g tin"
  if (tokens[at]?.kind === "number" && !doubts.length) {
    const inner = quantityAt(tokens, at);
    if (
      inner !== undefined &&
      inner.value.container !== undefined &&
      (inner.value.measured.kind === "mass" || inner.value.measured.kind === "volume")
    ) {
      return multiplied(tokens, inner, span, about, doubts);
    }
    // "a 5 cm piece of ginger"
    if (article && inner?.value.measured.kind === "length") return inner;
    if (article || inner !== undefined) return undefined;
  }
  // "2 large eggs", "2 heaped tbsp", "1 small tin", "1 extra-large egg"
  let size: string | undefined;
  for (let turn = 0; turn < 4; turn += 1) {
    const word = tokens[at]?.text ?? "";
    // "5 L eggs", "3 M free-range eggs": a grade and no litres
    const grade = GRADE_LETTERS.get(tokens[at]?.raw ?? "");
    if (grade !== undefined && tokens.slice(at + 1, at + 5).some((next) => /^eggs?$/.test(next.text))) {
      size = grade;
      at += 1;
      continue;
    }
    if (FILLS.has(word)) {
      fills.push(word);
      at += 1;
      continue;
    }
    if (word === "lightly" || word === "firmly" || word === "tightly" || word === "well" || word === "loosely") {
      if (tokens[at + 1]?.text === "packed") {
        fills.push(word === "loosely" || word === "lightly" ? "loosely packed" : "packed");
        at += 2;
        continue;
      }
      break;
    }
    if (word === "very" && SIZES.has(tokens[at + 1]?.text ?? "")) {
      size = tokens[at + 1].text === "large" ? "extra large" : "small";
      at += 2;
      continue;
    }
    if (word === "extra" || word === "x") {
      const hop = tokens[at + 1]?.text === "-" ? 2 : 1;
      if (SIZES.get(tokens[at + hop]?.text ?? "") === "large") {
        size = "extra large";
        at += hop + 1;
        continue;
      }
      break;
    }
    const found = SIZES.get(word);
    if (found === undefined) break;
    size = found;
    at += 1;
    if (tokens[at]?.text === "." && word.length <= 3) at += 1; // "sm.", "lg."
    // "medium/large", "medium to large"
    if (/^(?:-|\/|or|to)$/.test(tokens[at]?.text ?? "") && SIZES.has(tokens[at + 1]?.text ?? "")) {
      doubts.push({ why: "two sizes are named", otherFactor: Number.NaN });
      at += 2;
    }
    if (tokens[at]?.text === "-" && tokens[at + 1]?.text === "sized") at += 2;
    if (tokens[at]?.text === "sized" || tokens[at]?.text === "size") at += 1;
  }
  // "2 cm piece", "1-inch piece"
  const lengthWord = tokens[at];
  if (!article && (lengthWord?.text === '"' || (lengthWord?.kind === "word" && lengthWords.test(lengthWord.text)))) {
    const bareIn = lengthWord.text === "in" && lengthWord.spaced;
    if (!bareIn) {
      let next = at + 1;
      if (tokens[next]?.text === "-") next += 1;
      const piece = /^(?:piece|pieces|knob|length|stick|cube)$/.test(tokens[next]?.text ?? "");
      if (piece) next += 1;
      if (tokens[next]?.text === "of") next += 1;
      return { value: { ...plain({ kind: "length", amount: span, unit: lengthWord.text }, about), doubts }, next };
    }
  }
  const unit = unitAt(tokens, at);
  if (unit !== undefined && !isNameNotUnit(tokens, at, unit)) {
    return finish(tokens, unit.next, unit.value, span, { about, fills, doubts, ...(size === undefined ? {} : { size }) });
  }
  if (fills.length > 0 && unit === undefined && article) return undefined;
  if (article) {
    const vagueHere = vagueAt(tokens, number.next - 1, about);
    if (vagueHere !== undefined) return vagueHere;
  }
  // "2 nos", "3 pcs": pieces
  if (
    /^(?:nos?|pcs?|pieces|off)$/.test(tokens[at]?.text ?? "") &&
    (tokens[at + 1] === undefined || tokens[at + 1].kind === "sign")
  ) {
    at += tokens[at + 1]?.text === "." ? 2 : 1;
  }
  const next = tokens[at]?.text === "of" ? at + 1 : at;
  return {
    value: {
      measured: { kind: "count", amount: span },
      fills,
      about,
      each: false,
      doubts,
      ...(size === undefined ? {} : { size }),
    },
    next,
  };
}

/** "a little", "a few", "some": said to be a little, never weighed. */
function vagueAt(tokens: readonly Token[], at: number, about: boolean): Taken<Quantity> | undefined {
  const [first, second] = [tokens[at]?.text, tokens[at + 1]?.text ?? ""];
  let next = at;
  let thing: string | undefined;
  if (first === "a" && (second === "little" || second === "bit" || second === "touch" || second === "few" || second === "lot")) {
    thing = second === "few" ? "a few" : "a little";
    next = at + 2;
  } else if ((first === "bit" || first === "touch") && second === "of") {
    thing = "a little";
    next = at + 1;
  } else if (first === "some" || first === "several" || first === "few") {
    thing = first === "some" ? "some" : "a few";
    next = at + 1;
  } else return undefined;
  const unit = unitAt(tokens, next);
  if (unit !== undefined && unit.value.kind !== "mass" && thing !== "a little") {
    thing = `${thing} ${unit.value.kind === "volume" ? unit.value.volume : unit.value.thing}`;
    next = unit.next;
  }
  if (tokens[next]?.text === "of") next += 1;
  return { value: plain({ kind: "vague", amount: one(1), thing }, about), next };
}

const plain = (measured: Measured, about: boolean): Quantity => ({ measured, fills: [], about, each: false, doubts: [] });

/** "2 sticks" of butter are a unit, but "clove" in "2 cloves garlic" and "1 bar" need care only where a name is a unit word too. */
function isNameNotUnit(tokens: readonly Token[], at: number, unit: Taken<Unit>): boolean {
  const word = tokens[at].text;
  // "1 c" is a cup, but "180 C" and "350 c" are degrees.
  if (word === "c") {
    const before = tokens[at - 1];
    return before?.kind === "number" && Number(before.text) > 10;
  }
  // "4 leaf gelatine" is a unit; "1 part-baked" is not; "2 ginger nuts" never comes here
  if (unit.value.kind === "vague" && unit.value.thing === "part" && tokens[at + 1]?.text === "-") return true;
  return word === "ts" && tokens[at].raw !== "ts";
}

interface Extras {
  readonly about: boolean;
  readonly fills: readonly string[];
  readonly doubts: readonly NumberDoubt[];
  readonly size?: string;
}

/** An amount and its unit, with a second part in smaller units ("1 lb 4 oz", "2 tbsp + 1 tsp") and the container. */
function finish(tokens: readonly Token[], at: number, unit: Unit, span: Span, extras: Extras): Taken<Quantity> {
  let next = at;
  let measured: Measured;
  let container: string | undefined;
  let size = extras.size;
  const doubts = [...extras.doubts];
  switch (unit.kind) {
    case "mass": {
      let amount = times(span, unit.grams);
      // "1 lb 4 oz", "1 lb and 4 oz", "1 kg 200 g"
      const hop = /^(?:and|&|,|-)$/.test(tokens[next]?.text ?? "") ? 1 : 0;
      if (unit.name === "lb" || unit.name === "kg") {
        const small = figureAt(tokens, next + hop);
        const smallUnit = small === undefined || small.value.article ? undefined : unitAt(tokens, small.next);
        if (small !== undefined && smallUnit?.value.kind === "mass" && smallUnit.value.grams < unit.grams) {
          const sameFamily = smallUnit.value.ounceLike === unit.ounceLike && smallUnit.value.name !== "mg";
          const added = times(small.value.span, smallUnit.value.grams);
          if (sameFamily && (hop === 0 || tokens[next].text !== "-") && added.high < unit.grams) {
            amount = { low: amount.low + added.low, high: amount.high + added.high };
            next = smallUnit.next;
          }
        }
      }
      measured = { kind: "mass", grams: amount, ounces: unit.ounceLike, fluidLikely: unit.name === "oz" };
      break;
    }
    case "volume": {
      measured = { kind: "volume", parts: [{ amount: span, unit: unit.volume }] };
      // "1 x 15 ml spoon"
      const spoon = unit.volume === "ml" && /^(?:spoon|spoons|spoonful|spoonfuls)$/.test(tokens[next]?.text ?? "");
      if (spoon && (span.high === 15 || span.high === 5 || span.high === 10)) {
        const kind = span.high === 15 ? "tablespoon" : span.high === 10 ? "dessertspoon" : "teaspoon";
        measured = { kind: "volume", parts: [{ amount: one(1), unit: kind }] };
        next += 1;
      }
      break;
    }
    case "count":
      measured = { kind: "count", amount: span, thing: unit.thing };
      break;
    case "vague":
      measured = { kind: "vague", amount: span, thing: unit.thing };
      break;
  }
  if (measured.kind === "mass" || measured.kind === "volume") {
    // "400 g tin", "150g pot of", "14-oz can", "284 ml carton"
    let to = next;
    if (SIZES.has(tokens[to]?.text ?? "")) to += 1;
    const holder = unitAt(tokens, to);
    if (holder !== undefined && holder.value.kind === "count") {
      if (to > next) size = SIZES.get(tokens[next].text);
      container = holder.value.thing;
      next = holder.next;
    }
  }
  // "2 tbsp + 1 tsp", "1 cup plus 2 tablespoons", "1 cup and 2 tbsp", "200 g + 50 g"
  for (let turn = 0; turn < 3; turn += 1) {
    let link = next;
    if (tokens[link]?.text === ",") link += 1;
    const joined = /^(?:\+|plus|and|&)$/.test(tokens[link]?.text ?? "");
    const close = !joined && measured.kind === "volume" && link === next;
    if (!joined && !close) break;
    const from = joined ? link + 1 : link;
    const more = numberAt(tokens, from);
    if (more === undefined || (more.value.article && !joined)) break;
    let at2 = more.next;
    while (FILLS.has(tokens[at2]?.text ?? "")) at2 += 1;
    const moreUnit = unitAt(tokens, at2);
    if (moreUnit === undefined) break;
    // "plus 1 tbsp for dusting", "plus 20 g extra": an amount for another purpose
    if (/^(?:for|extra|to)$/.test(tokens[moreUnit.next]?.text ?? "")) break;
    if (measured.kind === "volume" && moreUnit.value.kind === "volume") {
      const smaller = joined || (isSpoon(moreUnit.value.volume) && measured.parts[0].unit !== moreUnit.value.volume);
      if (!smaller) break;
      measured = { kind: "volume", parts: [...measured.parts, { amount: more.value.span, unit: moreUnit.value.volume }] };
    } else if (measured.kind === "mass" && moreUnit.value.kind === "mass" && joined) {
      const added = times(more.value.span, moreUnit.value.grams);
      measured = { ...measured, grams: { low: measured.grams.low + added.low, high: measured.grams.high + added.high } };
    } else break;
    doubts.push(...more.value.doubts);
    next = moreUnit.next;
  }
  // "200 g to 250 g", "200g-250g", "1 tsp - 1 tbsp"
  const link = tokens[next]?.text;
  if ((link === "-" || link === "to" || link === "or") && (measured.kind === "mass" || measured.kind === "volume")) {
    const more = figureAt(tokens, next + 1);
    const moreUnit = more === undefined || more.value.article ? undefined : unitAt(tokens, more.next);
    if (more !== undefined && moreUnit !== undefined) {
      if (measured.kind === "mass" && moreUnit.value.kind === "mass" && moreUnit.value.ounceLike === measured.ounces) {
        const high = more.value.span.high * moreUnit.value.grams;
        if (high > measured.grams.high * 1.0001) {
          measured = { ...measured, grams: { low: measured.grams.low, high } };
          next = moreUnit.next;
        }
      } else if (measured.kind === "volume" && moreUnit.value.kind === "volume" && measured.parts.length === 1) {
        const [part] = measured.parts;
        if (part.unit === moreUnit.value.volume && more.value.span.high > part.amount.high) {
          measured = {
            kind: "volume",
            parts: [{ amount: { low: part.amount.low, high: more.value.span.high }, unit: part.unit }],
          };
          next = moreUnit.next;
        } else if (part.unit !== moreUnit.value.volume && link !== "or") {
          doubts.push({ why: "the two ends of this range are in different measures", otherFactor: Number.NaN });
          next = moreUnit.next;
        }
      }
    }
  }
  if (tokens[next]?.text === "of" || (tokens[next]?.text === "worth" && tokens[next + 1]?.text === "of")) {
    next += tokens[next].text === "of" ? 1 : 2;
  }
  return {
    value: {
      measured,
      fills: extras.fills,
      about: extras.about,
      each: false,
      doubts,
      ...(container === undefined ? {} : { container }),
      ...(size === undefined ? {} : { size }),
    },
    next,
  };
}

const isSpoon = (unit: VolumeUnit) => unit === "tablespoon" || unit === "teaspoon" || unit === "dessertspoon";

/** So many of a weight: "2 x 400 g tins". */
function multiplied(
  tokens: readonly Token[],
  inner: Taken<Quantity>,
  by: Span,
  about: boolean,
  doubts: readonly NumberDoubt[],
): Taken<Quantity> {
  const { measured } = inner.value;
  const scale = (span: Span): Span => ({ low: span.low * by.low, high: span.high * by.high });
  const scaled: Measured =
    measured.kind === "mass"
      ? { ...measured, grams: scale(measured.grams) }
      : measured.kind === "volume"
        ? { kind: "volume", parts: measured.parts.map((part) => ({ ...part, amount: scale(part.amount) })) }
        : measured.kind === "count" || measured.kind === "vague"
          ? { ...measured, amount: scale(measured.amount) }
          : measured;
  const next = tokens[inner.next]?.text === "of" ? inner.next + 1 : inner.next;
  return {
    value: { ...inner.value, measured: scaled, about: about || inner.value.about, doubts: [...doubts, ...inner.value.doubts] },
    next,
  };
}

/** An amount and the other ways in which the line says the same: "250 g / 9 oz", "9 oz (250 g)". */
export interface Paired {
  readonly first: Quantity;
  readonly others: readonly Quantity[];
}

/** Reads an amount with its pairs. */
export function pairedAt(tokens: readonly Token[], start: number): Taken<Paired> | undefined {
  const first = quantityAt(tokens, start);
  if (first === undefined) return undefined;
  const others: Quantity[] = [];
  let next = first.next;
  for (let turn = 0; turn < 3; turn += 1) {
    const link = tokens[next]?.text;
    if (link === "/" || link === "|" || link === "=" || link === "or" || link === "[" || link === "(" || link === "-") {
      const inner = bracketQuantityAt(tokens, next + 1);
      if (inner === undefined) break;
      const { measured } = inner.value;
      const weighs = measured.kind === "mass" || measured.kind === "volume";
      if (link === "(" || link === "[") {
        const close = link === "(" ? ")" : "]";
        if (tokens[inner.next]?.text !== close) {
          // "(9 oz / 250 g)": a pair inside the bracket
          const pair = pairedAt(tokens, next + 1);
          if (pair === undefined || tokens[pair.next]?.text !== close) break;
          others.push(pair.value.first, ...pair.value.others);
          next = pair.next + 1;
          continue;
        }
        if (!weighs && measured.kind !== "count") break;
        if (measured.kind === "count" && measured.thing === undefined) break;
        others.push(inner.value);
        next = inner.next + 1;
        continue;
      }
      if (!weighs && !(measured.kind === "count" && measured.thing === "stick")) break;
      if (link === "or" && measured.kind === first.value.measured.kind && !sameFamilyDiffers(first.value, inner.value)) break;
      others.push(inner.value);
      next = inner.next;
      continue;
    }
    break;
  }
  if (tokens[next]?.text === "of") next += 1;
  return { value: { first: first.value, others }, next };
}

const sameFamilyDiffers = (a: Quantity, b: Quantity): boolean =>
  a.measured.kind === "mass" && b.measured.kind === "mass" && a.measured.ounces !== b.measured.ounces
    ? true
    : a.measured.kind === "volume" && b.measured.kind === "volume";

const TRAILERS = new Set([
  "each",
  "total",
  "drained",
  "peeled",
  "weight",
  "net",
  "approx",
  "approximately",
  "prepared",
  "shelled",
  "trimmed",
  "unpeeled",
  "or",
  "so",
  "stoned",
  "pitted",
  "altogether",
  "about",
  "apiece",
  "when",
  "undrained",
  "flesh",
]);

/** The amount of a bracket, with "about" before it and words such as "each", "in total" behind it. */
export function bracketQuantityAt(tokens: readonly Token[], start: number): Taken<Quantity> | undefined {
  // "peeled weight 220 g", "drained weight: 240 g"
  const words: string[] = [];
  let from = start;
  while (/^(?:peeled|drained|prepared|shelled|unpeeled|total|net|stoned)$/.test(tokens[from]?.text ?? "")) {
    words.push(tokens[from].text);
    from += 1;
  }
  if (tokens[from]?.text === "weight") from += tokens[from + 1]?.text === ":" ? 2 : 1;
  const inner = quantityAt(tokens, from);
  if (inner === undefined) return undefined;
  let next = inner.next;
  let each = false;
  const inTotal = (at: number) => tokens[at]?.text === "in" && /^(?:total|all)$/.test(tokens[at + 1]?.text ?? "");
  const inShell = (at: number) =>
    tokens[at]?.text === "in" && [tokens[at + 1], tokens[at + 2]].some((token) => /^shells?$/.test(token?.text ?? ""));
  const noShell = (at: number) =>
    /^(?:without|out)$/.test(tokens[at]?.text ?? "") &&
    [tokens[at + 1], tokens[at + 2], tokens[at + 3]].some((token) => /^shells?$/.test(token?.text ?? ""));
  while (next < tokens.length && (TRAILERS.has(tokens[next].text) || inTotal(next) || inShell(next) || noShell(next))) {
    if (
      tokens[next].text === "in" &&
      /^(?:their|the|its)$/.test(tokens[next + 1]?.text ?? "") &&
      /^shells?$/.test(tokens[next + 2]?.text ?? "")
    ) {
      next += 3;
      continue;
    }
    if (/^(?:without|out)$/.test(tokens[next].text)) {
      next += 1;
      while (/^(?:of|the|their|shells?)$/.test(tokens[next]?.text ?? "")) next += 1;
      words.push("shelled");
      continue;
    }
    if (tokens[next].text === "in" && /^shells?$/.test(tokens[next + 1]?.text ?? "")) {
      next += 2;
      continue;
    }
    if (inTotal(next)) {
      words.push("total");
      next += 2;
      continue;
    }
    // "200 g or 7 oz": the second amount is another pair
    if (tokens[next].text === "or" && tokens[next + 1]?.text !== "so") break;
    if (tokens[next].text === "each" || tokens[next].text === "apiece") each = true;
    words.push(tokens[next].text);
    next += 1;
  }
  const drained = words.includes("drained") ? ["drained"] : [];
  const unpeeled = words.includes("unpeeled") ? ["unpeeled"] : [];
  const peeled = words.some((word) => /^(?:peeled|prepared|flesh|shelled|stoned|pitted|trimmed)$/.test(word)) ? ["peeled"] : [];
  const total = words.some((word) => word === "total" || word === "altogether") ? ["total"] : [];
  return { value: { ...inner.value, each, fills: [...inner.value.fills, ...drained, ...unpeeled, ...peeled, ...total] }, next };
}
