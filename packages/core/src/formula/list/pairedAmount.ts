import type { Taken } from "./numbers.js";
import { type Quantity, quantityAt } from "./quantity.js";
import type { Token } from "./tokens.js";

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
    // "3 leaves at 2 g"
    if (link === "at" && first.value.measured.kind === "count" && others.length === 0) {
      const each = quantityAt(tokens, next + 1);
      if (each?.value.measured.kind !== "mass") break;
      others.push({ ...each.value, each: true });
      next = each.next;
      continue;
    }
    // "1 cup 240 ml milk": the same again with nothing between
    const again = tokens[next]?.kind === "number" && others.length === 0 ? quantityAt(tokens, next) : undefined;
    if (again !== undefined && next < tokens.length - 1 && saysTheSame(first.value, again.value)) {
      others.push(again.value);
      next = again.next;
      continue;
    }
    break;
  }
  if (tokens[next]?.text === "of") next += 1;
  return { value: { first: first.value, others }, next };
}

const METRIC_VOLUME = /^(?:ml|cl|dl|litre)$/;

/** A household measure and a metric one, or ounces and grams: two ways of saying one amount. */
function saysTheSame(a: Quantity, b: Quantity): boolean {
  const kinds = (one: Quantity): string =>
    one.measured.kind === "mass"
      ? one.measured.ounces
        ? "ounces"
        : "metric"
      : one.measured.kind === "volume"
        ? METRIC_VOLUME.test(one.measured.parts[0].unit)
          ? "metric"
          : "spoons"
        : "none";
  const [first, second] = [kinds(a), kinds(b)];
  return first !== "none" && second !== "none" && first !== second && (first === "metric" || second === "metric");
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
  "once",
  "cored",
  "and",
  "whole",
  "after",
  "peeling",
  "coring",
  "trimming",
  "stoning",
]);

/** The amount of a bracket, with "about" before it and words such as "each", "in total" behind it. */
export function bracketQuantityAt(tokens: readonly Token[], start: number): Taken<Quantity> | undefined {
  // "peeled weight 220 g", "drained weight: 240 g"
  const words: string[] = [];
  let from = start;
  while (/^(?:peeled|trimmed|drained|prepared|shelled|unpeeled|total|net|stoned)$/.test(tokens[from]?.text ?? "")) {
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
  const skins = /^(?:shells?|skins?|peel|stones?|rind)$/;
  const noShell = (at: number) =>
    /^(?:without|out)$/.test(tokens[at]?.text ?? "") &&
    [tokens[at + 1], tokens[at + 2], tokens[at + 3]].some((token) => skins.test(token?.text ?? ""));
  // "with skins on", "with the peel"
  const withSkin = (at: number) =>
    tokens[at]?.text === "with" && [tokens[at + 1], tokens[at + 2]].some((token) => skins.test(token?.text ?? ""));
  while (
    next < tokens.length &&
    (TRAILERS.has(tokens[next].text) || inTotal(next) || inShell(next) || noShell(next) || withSkin(next))
  ) {
    if (withSkin(next)) {
      while (/^(?:with|the|their|its|skins?|shells?|peel|stones?|rind|on)$/.test(tokens[next]?.text ?? "")) next += 1;
      words.push("unpeeled");
      continue;
    }
    if (
      tokens[next].text === "in" &&
      /^(?:their|the|its)$/.test(tokens[next + 1]?.text ?? "") &&
      /^shells?$/.test(tokens[next + 2]?.text ?? "")
    ) {
      next += 3;
      words.push("unpeeled");
      continue;
    }
    if (/^(?:without|out)$/.test(tokens[next].text)) {
      next += 1;
      while (/^(?:of|the|their|shells?|skins?|peel|stones?|rind)$/.test(tokens[next]?.text ?? "")) next += 1;
      words.push("shelled");
      continue;
    }
    if (tokens[next].text === "in" && /^shells?$/.test(tokens[next + 1]?.text ?? "")) {
      next += 2;
      words.push("unpeeled");
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
  const unpeeled = words.some((word) => word === "unpeeled" || word === "whole") ? ["unpeeled"] : [];
  const peeled = words.some((word) =>
    /^(?:peeled|prepared|flesh|shelled|stoned|pitted|trimmed|peeling|coring|trimming|stoning)$/.test(word),
  )
    ? ["peeled"]
    : [];
  const total = words.some((word) => word === "total" || word === "altogether") ? ["total"] : [];
  return { value: { ...inner.value, each, fills: [...inner.value.fills, ...drained, ...unpeeled, ...peeled, ...total] }, next };
}
