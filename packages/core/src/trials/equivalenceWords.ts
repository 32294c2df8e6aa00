import { type Comparison, type Difference, type Equivalence, testEquivalence } from "./compare.js";
import type { Measure } from "./sheet.js";
import { type Answer, capital, chanceOfError, figure, type PairWords, signed } from "./words.js";

/** What a comparison of two is to show: a difference, that the new one is no worse by what matters, or that they are the same within it. */
export const COMPARISON_AIMS = ["better", "no worse", "the same"] as const;
export type ComparisonAim = (typeof COMPARISON_AIMS)[number];

/**
 * Differences (second less first) that do not matter.
 *
 * @returns undefined where it cannot be said: no difference that matters was named, or "worse" has no direction
 */
export function harmlessLimits(
  aim: ComparisonAim,
  measure: Measure,
  matters: number | undefined,
): readonly [number, number] | undefined {
  if (matters === undefined || !(matters > 0)) return undefined;
  if (aim !== "no worse") return [-matters, matters];
  if (measure.better === undefined) return undefined;
  return measure.better === "larger" ? [-matters, Number.POSITIVE_INFINITY] : [Number.NEGATIVE_INFINITY, matters];
}

/** The answer to "is it no worse?" and "is it the same?": two one-sided tests at the margin that was named before. */
export function sayEquivalence(
  comparison: Comparison,
  aim: Exclude<ComparisonAim, "better">,
  words: PairWords & { readonly matters: number },
  limits: readonly [number, number],
): Answer {
  const { first, second, measure, matters } = words;
  const { unit } = measure;
  if (comparison.kind === "too few")
    return {
      verdict: "cannot tell",
      sentence: `It cannot be told yet: ${comparison.why}.`,
      certainty: "No spread can be judged.",
      next: ["Bake more pairs and measure them the same way."],
    };
  const { difference } = comparison;
  const test = testEquivalence(difference, limits);
  const { from, to } = test;
  const shown = (value: number) => `${figure(Math.abs(value), difference.standardError)} ${unit}`;
  const [more, less] = [measure.more ?? `higher in ${measure.name}`, measure.less ?? `lower in ${measure.name}`];
  // How bad it may be: the end of the interval on the side that is unwelcome.
  const larger = measure.better !== "smaller";
  const worst = larger ? from : -to;
  const worse = larger ? less : more;
  const atWorst = worst >= 0 ? `it is ${larger ? more : less} in any case` : `at worst it is ${worse} by ${shown(worst)}`;
  const range = `The difference lies between ${signed(from, difference.standardError)} and ${signed(to, difference.standardError)} ${unit}`;
  const otherwise = aim === "no worse" ? "it really were worse" : "they really differed";
  if (test.equivalent) {
    const certainty = `${range}. ${chanceOfError(test.p, `${otherwise} by ${matters} ${unit}`)}`;
    if (aim === "no worse")
      return {
        verdict: "yes",
        sentence: `${capital(second)} is no worse than ${first} by the ${matters} ${unit} that matter: ${atWorst}.`,
        certainty,
        next: [`Take ${second} if it is cheaper or easier: ${measure.name} does not speak against it.`],
      };
    return {
      verdict: "same",
      sentence: `${capital(second)} and ${first} are the same within the ${matters} ${unit} that matter.`,
      certainty,
      next: ["Choose by cost, keeping or ease: this measure does not decide."],
    };
  }
  // Beyond the margin with the whole interval: it is worse, or different.
  const beyond =
    aim === "no worse"
      ? larger
        ? difference.to < limits[0]
        : difference.from > limits[1]
      : difference.from > limits[1] || difference.to < limits[0];
  if (beyond)
    return {
      verdict: "no",
      sentence: `${capital(second)} is ${difference.estimate > 0 ? more : less} than ${first} by ${shown(difference.estimate)}, more than the ${matters} ${unit} that matter.`,
      certainty: `${rangeOf(difference, unit)}, nineteen times in twenty.`,
      next: [`Keep ${first}.`],
    };
  const differs = difference.from > 0 || difference.to < 0;
  const seen = differs
    ? `That it is ${difference.estimate > 0 ? more : less} was seen; how much is not yet sure enough.`
    : `That does not show that ${aim === "no worse" ? "it is worse" : "they differ"} either.`;
  const outer = aim === "no worse" ? Math.abs(worst) : Math.max(Math.abs(from), Math.abs(to));
  return {
    verdict: "not shown",
    sentence:
      aim === "no worse"
        ? `It was not shown that ${second} is no worse than ${first}: it may still be ${worse} by ${shown(outer)}, and ${matters} ${unit} matter.`
        : `It was not shown that ${second} and ${first} are the same: they may still differ by ${shown(outer)}, and ${matters} ${unit} matter.`,
    certainty: `${range} (nine times in ten). ${seen}`,
    next: [`Bake more pairs until the doubt is smaller than ${matters} ${unit}, or keep ${first}.`],
  };
}

const rangeOf = ({ from, to, standardError }: Difference, unit: string): string =>
  `The difference lies between ${signed(from, standardError)} and ${signed(to, standardError)} ${unit}`;

/** A difference beside what does not matter, for the picture. */
export interface MarginPicture {
  readonly estimate: number;
  /** The interval of the test: nine times in ten, so that either end is passed once in twenty. */
  readonly from: number;
  readonly to: number;
  /** Ends that are not limited are left out. */
  readonly least?: number;
  readonly most?: number;
}

export function marginPicture(difference: Difference, test: Equivalence): MarginPicture {
  const [least, most] = test.limits;
  return {
    estimate: difference.estimate,
    from: test.from,
    to: test.to,
    ...(Number.isFinite(least) ? { least } : {}),
    ...(Number.isFinite(most) ? { most } : {}),
  };
}
