import type { Problem } from "../quantities/index.js";

/** One cell of recorded data: a number, a word (a level, a block), or nothing. */
export type Cell = number | string | null;
/** One run: the settings it was made with and what was measured, by column name. */
export type DataRow = Readonly<Record<string, Cell>>;

/** A quantity that may take any value in a range: grams, minutes, degrees. */
export interface AmountFactor {
  readonly kind: "amount";
  readonly name: string;
  readonly unit?: string;
  /** Ends of the range explored, in the unit. */
  readonly low: number;
  readonly high: number;
}
/** One share of a blend; all shares of a trial add to 1. */
export interface ShareFactor {
  readonly kind: "share";
  readonly name: string;
  /** Least and most allowed, 0 to 1. */
  readonly lower: number;
  readonly upper: number;
}
/** One of a few named things: a tin, a flour, a way of mixing. */
export interface ChoiceFactor {
  readonly kind: "choice";
  readonly name: string;
  readonly levels: readonly string[];
}
/** What a trial changes on purpose. */
export type Factor = AmountFactor | ShareFactor | ChoiceFactor;

/** What each factor is set to in one run: a number in its unit, a share, or the name of a level. */
export type Setting = Readonly<Record<string, number | string>>;

/** Amounts as -1 (low) to +1 (high); 0 is the middle of the range. */
export const toCoded = (factor: AmountFactor, value: number): number =>
  (value - (factor.low + factor.high) / 2) / ((factor.high - factor.low) / 2);
/** The amount, in its unit, of a coded value. */
export const fromCoded = (factor: AmountFactor, coded: number): number =>
  (factor.low + factor.high) / 2 + (coded * (factor.high - factor.low)) / 2;

/** Everything that is wrong with a list of factors; an empty list means that it can be used. */
export function checkFactors(factors: readonly Factor[]): readonly Problem[] {
  const problems: Problem[] = [];
  const say = (code: Problem["code"], index: number, field: string, expected: string, found: unknown, remedy: string) =>
    problems.push({ code, path: ["factors", index, field], expected, found: String(found), remedy });
  const seen = new Set<string>();
  for (const [index, factor] of factors.entries()) {
    if (factor.name.trim() === "")
      say("missing-field", index, "name", "a name", "nothing", "Give the factor a name, such as sugar or oven.");
    if (seen.has(factor.name)) say("duplicate", index, "name", "a name used once", factor.name, "Give each factor its own name.");
    seen.add(factor.name);
    if (factor.kind === "amount" && !(Number.isFinite(factor.low) && Number.isFinite(factor.high) && factor.low < factor.high)) {
      say(
        "out-of-range",
        index,
        "low",
        "a low end below the high end",
        `${factor.low} to ${factor.high}`,
        "Write the smaller value as low.",
      );
    }
    if (factor.kind === "choice" && new Set(factor.levels).size !== factor.levels.length) {
      say("duplicate", index, "levels", "levels that differ", factor.levels.join(", "), "Name each level once.");
    }
    if (factor.kind === "choice" && factor.levels.length < 2) {
      say("out-of-range", index, "levels", "at least two levels", factor.levels.length, "Name the things to choose between.");
    }
    if (factor.kind === "share" && !(factor.lower >= 0 && factor.upper <= 1 && factor.lower <= factor.upper)) {
      say(
        "out-of-range",
        index,
        "lower",
        "shares from 0 to 1, lower not above upper",
        `${factor.lower} to ${factor.upper}`,
        "Write 20 % as 0.2.",
      );
    }
  }
  const shares = factors.filter((factor) => factor.kind === "share");
  if (shares.length === 1) {
    problems.push({
      code: "conflict",
      path: ["factors"],
      expected: "two or more shares that add to 1",
      found: "one share",
      remedy: "Name what makes up the rest of the blend, or make it an amount.",
    });
  }
  if (shares.length > 1) {
    const least = shares.reduce((sum, share) => sum + share.lower, 0);
    const most = shares.reduce((sum, share) => sum + share.upper, 0);
    if (least > 1 + 1e-9 || most < 1 - 1e-9) {
      problems.push({
        code: "conflict",
        path: ["factors"],
        expected: "limits that some blend can meet: lower limits add to at most 1, upper limits to at least 1",
        found: `lower limits add to ${round(least)}, upper limits to ${round(most)}`,
        remedy: least > 1 ? "Lower some of the lower limits." : "Raise some of the upper limits.",
      });
    }
  }
  return problems;
}

const round = (value: number) => Math.round(value * 1e6) / 1e6;
