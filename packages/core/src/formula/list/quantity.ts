import { ABOUT, FILLS, SIZES, type Unit, type VolumeUnit } from "./amountWords.js";
import { figureAt, type NumberDoubt, numberAt, one, type Span, type Taken, times } from "./numbers.js";
import type { Token } from "./tokens.js";
import { unitAt } from "./unitWord.js";

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
