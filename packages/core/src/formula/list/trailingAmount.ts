import { NUMBER_WORDS } from "./amountWords.js";
import { bracketQuantityAt, type Paired, pairedAt } from "./pairedAmount.js";
import type { Measured } from "./quantity.js";
import { fold } from "./tidy.js";
import { type Token, tokenise } from "./tokens.js";

/** A line of more words and signs than this is prose. */
export const TOKENS_MAX = 80;

/** "20 cm tin", "25 minutes", "180 °C": numbers that weigh nothing. */
export function isDimensionOrTime(measured: Measured, tokens: readonly Token[], next: number): boolean {
  const after = tokens[next]?.text ?? "";
  if (
    /^(?:min|mins|minute|minutes|hour|hours|hr|hrs|second|seconds|secs|day|days|night|°|degrees|portions?|servings?|people|persons?|layers?|x|w|watt|watts|litre-capacity)$/.test(
      after,
    )
  ) {
    return true;
  }
  if (measured.kind === "length") {
    return !/^(?:ginger|root|fresh|cinnamon|vanilla|lemongrass|peeled|stick)$/.test(after);
  }
  return false;
}

export interface Trailing {
  readonly name: string;
  readonly paired: Paired;
  readonly rest: string;
  /** A word or a sign stood between name and amount, so a bare number counts too. */
  readonly separated: boolean;
}

/** "Butter 200 g", "Butter: 200 g, softened", "Eggs x 3", "Butter (200 g)". */
export function trailingAmount(text: string, tokens: readonly Token[]): Trailing | undefined {
  for (let at = 1; at < tokens.length; at += 1) {
    const token = tokens[at];
    const before = tokens[at - 1];
    const word = token.kind === "word" && (NUMBER_WORDS.has(token.text) || token.text === "half" || token.text === "quarter");
    const parted = /^[:\-(,;=]$/.test(before.text);
    const about = (token.text === "about" || token.text === "approx" || token.text === "~") && tokens[at + 1] !== undefined;
    const plain = token.kind === "number";
    const vague = /^(?:a|pinch|dash|drop|drops)$/.test(token.text) && /^[:\-,;(=]$/.test(before.text);
    if (!plain && !word && !vague && !about) continue;
    // "dark chocolate 70% 200 g", "milk 2 %": a percent of a property is not the amount
    if (plain && tokens[at + 1]?.text === "%" && at + 2 < tokens.length && !/^[,;)(]$/.test(tokens[at + 2].text)) continue;
    if (
      plain &&
      tokens[at + 1]?.text === "%" &&
      /\b(?:cocoa|chocolate|cream|milk|fat|couverture)\b/.test(fold(text.slice(0, token.start))) &&
      // no milk has a tenth of fat: "Milk 10 %" is of the flour
      !(/\bmilk\s*:?\s*$/.test(fold(text.slice(0, token.start))) && Number(token.text) > 5)
    )
      continue;
    if (plain && before.text === "/" && at > 1) continue;
    const inBracket = before.text === "(";
    const found = inBracket ? pairedInBracket(tokens, at) : pairedAt(tokens, at);
    if (found === undefined) continue;
    const { measured } = found.value.first;
    if (measured.kind === "length") continue;
    // "Milk quarter of a pint": a number in words, without a sign before it, wants a measure behind it
    if (word && !parted && measured.kind !== "mass" && measured.kind !== "volume") continue;
    let next = found.next;
    let nameEnd = before.end;
    while (
      next < tokens.length &&
      /^(?:each|approx|approximately|about|total|or|so|no|nos|off|pcs?|pieces?|whole|\.)$/.test(tokens[next].text) &&
      (tokens[next + 1] === undefined || tokens[next + 1].text === ".")
    )
      next += 1;
    if (inBracket) {
      if (tokens[next]?.text !== ")") continue;
      next += 1;
    }
    let last = at - 1;
    while (last >= 0 && /^[:\-(,;=.|x*@]$/i.test(tokens[last].text) && (tokens[last].kind === "sign" || tokens[last].spaced))
      last -= 1;
    if (last < 0) continue;
    nameEnd = tokens[last].end;
    const separated = last < at - 1;
    const bare = measured.kind === "count" && measured.thing === undefined;
    const after = tokens[next]?.text;
    // A number within a name ("00 flour", "type 55 flour") is followed by more of the name.
    const atEnd = next >= tokens.length;
    const beforeNote = after !== undefined && /^[,;(.\-*]$/.test(after);
    if (bare && !separated && !atEnd && after !== "(" && after !== ",") continue;
    if (!atEnd && !beforeNote && (bare || measured.kind === "percent")) continue;
    if (/\b(?:type|t|no|number|grade|e)$/.test(fold(text.slice(0, nameEnd))) && bare) continue;
    // "cut into 2 cm pieces", "for 20 minutes", "at 20 C"
    if (/(?:^|\s)(?:into|for|at|to|of|in|from|until|than|with|every)$/.test(fold(text.slice(0, nameEnd))) && !inBracket)
      return undefined;
    if (isDimensionOrTime(measured, tokens, next)) continue;
    if (bare && after !== undefined && /^(?:°|c|f)$/.test(after)) continue;
    const rest = next < tokens.length ? text.slice(tokens[next].start).replace(/^[\s,;.:)-]+/, "") : "";
    return { name: text.slice(0, nameEnd), paired: found.value, rest, separated };
  }
  return undefined;
}

function pairedInBracket(tokens: readonly Token[], at: number): { value: Paired; next: number } | undefined {
  const one = bracketQuantityAt(tokens, at);
  if (one !== undefined && tokens[one.next]?.text === ")") return { value: { first: one.value, others: [] }, next: one.next };
  return pairedAt(tokens, at);
}

/** Whether a text begins with something that can be an amount; for telling ingredients from prose. */
export function beginsWithAmount(text: string): boolean {
  const tokens = tokenise(text.slice(0, 80));
  const found = pairedAt(tokens, 0);
  if (found === undefined) return false;
  if (
    tokens[0]?.kind !== "number" &&
    found.value.first.measured.kind === "count" &&
    found.value.first.measured.thing === undefined &&
    /^(?:a|an|one)$/.test(tokens[0]?.text ?? "")
  )
    return false;
  return !isDimensionOrTime(found.value.first.measured, tokens, found.next);
}
