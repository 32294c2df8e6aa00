import type { BenchWords, MeasuredWords } from "./question.js";
import type { Spread } from "./sheet.js";
import { figure } from "./words.js";

/** The baker's own spread, widened for how little is known of it, or the measure's typical one with a caution. */
export function spreadOf(question: MeasuredWords): { readonly spread: Spread; readonly caution: readonly string[] } {
  if (question.spread !== undefined) {
    const few = question.spread.df < 6;
    return {
      spread: question.spread,
      caution: few
        ? [
            `Your spread comes from ${question.spread.df} repeats only and may be up to twice as large: a few bakes more would be prudent.`,
          ]
        : [],
    };
  }
  const typical = question.measure.typicalSd!;
  return {
    spread: { sd: typical.value, df: 0, source: typical.source },
    caution: [
      `The spread of ${typical.value} ${question.measure.unit} is an assumption, not yours: bake the standard twice on a day or two and plan again.`,
    ],
  };
}

export const spreadWords = (spread: Spread, unit: string): string =>
  `if one bake varies by ${figure(spread.sd, spread.sd / 3)} ${unit} (${spread.df > 0 ? `${spread.source}, ${spread.df} to judge it by` : "assumed"})`;

export const orderWords = ({ seed, perDay, perLoad }: BenchWords) => ({ seed, perDay: perDay ?? 6, perLoad: perLoad ?? 1 });
