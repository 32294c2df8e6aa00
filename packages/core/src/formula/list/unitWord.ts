import { UNITS, type Unit, type VolumeUnit } from "./amountWords.js";
import type { Taken } from "./numbers.js";
import type { Token } from "./tokens.js";

/** A unit word, with what belongs to it: "fl. oz.", "US cup", "oz.". */
export function unitAt(tokens: readonly Token[], at: number): Taken<Unit> | undefined {
  const token = tokens[at];
  if (token === undefined) return undefined;
  const dot = (next: number) => (tokens[next]?.text === "." ? next + 1 : next);
  // "3# butter": pounds, in an American bakery
  if (token.text === "#" && tokens[at - 1]?.kind === "number" && !token.spaced) return { value: UNITS.get("lb")!, next: at + 1 };
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
  // "breakfast cup", "wine glass"
  const vessel = /^(?:tea|coffee|breakfast)$/.test(word) ? /^cups?$/ : word === "wine" ? /^glass(?:es)?$/ : undefined;
  const hop = tokens[at + 1]?.text === "-" ? 2 : 1;
  if (vessel?.test(tokens[at + hop]?.text ?? "")) {
    const named = UNITS.get(`${word}${word === "wine" ? "glass" : "cup"}`);
    if (named !== undefined) return { value: named, next: dot(at + hop + 1) };
  }
  const unit = UNITS.get(word);
  if (unit === undefined) return undefined;
  // "C" alone may be a cup; degrees are caught before.
  return { value: unit, next: dot(at + 1) };
}
