import type { Ingredient } from "../../ingredients/index.js";
import type { Band, EggGrade } from "../../quantities/index.js";
import type { Evidence } from "./measures.js";
import type { Span } from "./numbers.js";

/** One possible weight, with the reason that makes it possible. */
export interface WeightOption {
  /** Weight [g]; null where it is used and not weighed. */
  readonly grams: number | null;
  readonly why: string;
}

/** An amount as weights. */
export interface Weighing {
  /** Likeliest first; empty where nothing can be said. */
  readonly options: readonly WeightOption[];
  /** The first may be taken without asking. */
  readonly certain: boolean;
  /** What was assumed, or why it is not certain. */
  readonly reasons: readonly string[];
  readonly band?: Band;
}

export interface WeighContext {
  readonly evidence: Evidence;
  /** The grade of eggs in this bakery, for a list that does not name one. */
  readonly eggGrade: EggGrade | undefined;
  /** All words of the line, folded: "2 cups walnuts, chopped". */
  readonly words: string;
  /** The words before the first comma, folded: what was true when it was measured. */
  readonly headWords: string;
}

/** To a hundredth of a gram; less than that keeps two digits, so that a drop does not become nothing. */
export const roundGrams = (grams: number): number => (grams < 0.1 ? Number(grams.toPrecision(2)) : Math.round(grams * 100) / 100);
/** A figure by an id, which the baker may have named "constructor". */
export const figureOf = <T>(figures: Readonly<Record<string, T>>, id: string): T | undefined =>
  Object.hasOwn(figures, id) ? figures[id] : undefined;
export const middle = (span: Span) => (span.low + span.high) / 2;
export const isRange = (span: Span) => span.high > span.low * 1.0001;
export const weight = (grams: number, why: string): WeightOption => ({ grams: roundGrams(grams), why });
export const certainly = (grams: number, why: string, band?: Band, reasons: readonly string[] = []): Weighing => ({
  options: [weight(grams, why)],
  certain: true,
  reasons,
  ...(band === undefined ? {} : { band }),
});
export const doubtfully = (options: readonly WeightOption[], ...reasons: string[]): Weighing => ({
  options,
  certain: false,
  reasons,
});
export const bandOf = (grams: number, sharePercent: number): Band => ({
  likely: roundGrams(grams),
  from: roundGrams(grams * (1 - sharePercent / 100)),
  to: roundGrams(grams * (1 + sharePercent / 100)),
});

export function ranged(span: Span, unit: string, toGrams: (value: number) => number = (value) => value): Weighing {
  return doubtfully(
    [
      weight(toGrams(middle(span)), "the middle"),
      weight(toGrams(span.low), "the lower end"),
      weight(toGrams(span.high), "the upper end"),
    ],
    `a range, ${trim(span.low)} to ${trim(span.high)}${unit === "" ? "" : ` ${unit}`}`,
  );
}

export const trim = (value: number) => String(Math.round(value * 100) / 100);

export const densityOf = (ingredient: Ingredient | undefined) =>
  ingredient?.densityGPerMl.known === true ? ingredient.densityGPerMl.value : undefined;
export const isStandIn = (ingredient: Ingredient) =>
  ingredient.densityGPerMl.known && /^stand-in/.test(ingredient.densityGPerMl.source);
export const pours = (ingredient: Ingredient) =>
  (densityOf(ingredient) ?? 0) > 0.86 && ingredient.role !== "raising" && ingredient.role !== "salt";

/** A powder, seed or fruit: its weight by volume hangs on how the measure was filled. */
export const isDry = (ingredient: Ingredient): boolean => !pours(ingredient);
