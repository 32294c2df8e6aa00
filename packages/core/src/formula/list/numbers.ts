import { NUMBER_WORDS, UNITS } from "./amountWords.js";
import type { Token } from "./tokens.js";

/** A number as it was written: one figure, or a span. */
export interface Span {
  readonly low: number;
  readonly high: number;
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

export interface NumberRead {
  readonly span: Span;
  readonly doubts: readonly NumberDoubt[];
  /** It was a bare "a" or "an". */
  readonly article: boolean;
  /** "half", "quarter": may be followed by "a". */
  readonly fractionWord: boolean;
}

export const one = (value: number): Span => ({ low: value, high: value });
export const times = (span: Span, factor: number): Span => ({ low: span.low * factor, high: span.high * factor });

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
export function figureAt(tokens: readonly Token[], at: number): Taken<NumberRead> | undefined {
  const token = tokens[at];
  if (token === undefined) return undefined;
  const made = (value: number, next: number, more: Partial<NumberRead> = {}): Taken<NumberRead> => ({
    value: { span: one(value), doubts: [], article: false, fractionWord: false, ...more },
    next,
  });
  if (token.kind === "number") {
    // "1.1/2 oz": an old hand's one and a half
    const dotted = /^(\d)\.([1-3])$/.exec(token.text);
    const bottom = tokens[at + 1]?.text === "/" && /^[2-8]$/.test(tokens[at + 2]?.text ?? "") ? Number(tokens[at + 2].text) : 0;
    if (dotted !== null && bottom > Number(dotted[2])) return made(Number(dotted[1]) + Number(dotted[2]) / bottom, at + 3);
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
        // "1 400 g tin" is one tin
        const holder = UNITS.get(tokens[next + 2]?.text ?? "")?.kind === "count";
        if (unit !== undefined && !holder && /^(?:g|gr|gm|grams?|ml|millilitres?)$/.test(unit.text)) {
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
export function numberAt(tokens: readonly Token[], at: number): Taken<NumberRead> | undefined {
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
