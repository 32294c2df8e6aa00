import type { Prediction } from "./analyse.js";
import type { BestPoint } from "./bestPoint.js";
import type { Comparison, Equivalence, GroupDifference } from "./compare.js";
import { type Discrimination, exactShareInterval, guessingChance, type Preference } from "./discrimination.js";
import type { Factor } from "./factors.js";
import type { Ranking } from "./ranking.js";
import type { Measure } from "./sheet.js";

/** What a result says to a baker: one sentence, how sure, what to do next. Figures behind it stay in the result itself. */
export interface Answer {
  readonly verdict: "yes" | "no" | "not shown" | "same" | "cannot tell";
  readonly sentence: string;
  readonly certainty: string;
  readonly next: readonly string[];
}

export interface PairWords {
  /** Name of the standard and of the new one: "A" and "B", "the standard" and "the new one". */
  readonly first: string;
  readonly second: string;
  readonly measure: Measure;
  /** The difference that matters, in the unit, when the baker named one. */
  readonly matters?: number;
}

/** "B is taller by 4 mm, between 1 and 7." */
export function sayComparison(comparison: Comparison, words: PairWords, equivalence?: Equivalence): Answer {
  const { first, second, measure, matters } = words;
  if (comparison.kind === "too few") {
    return {
      verdict: "cannot tell",
      sentence: `It cannot be told yet: ${comparison.why}.`,
      certainty: "No spread can be judged.",
      next: ["Bake more pairs and measure them the same way."],
    };
  }
  const { difference } = comparison;
  const seen = difference.from > 0 || difference.to < 0;
  const more = difference.estimate > 0;
  const word = more ? (measure.more ?? `higher in ${measure.name}`) : (measure.less ?? `lower in ${measure.name}`);
  const size = figure(Math.abs(difference.estimate), difference.standardError);
  const ends = [Math.abs(difference.from), Math.abs(difference.to)]
    .sort((a, b) => a - b)
    .map((value) => figure(value, difference.standardError));
  const subject = capital(second);
  if (seen) {
    const small = matters !== undefined && Math.abs(difference.estimate) < matters;
    const sentence = `${subject} is ${word} by ${size} ${measure.unit}, between ${ends[0]} and ${ends[1]}.`;
    const better = measure.better === undefined ? undefined : (measure.better === "larger") === more;
    const next =
      better === undefined
        ? ["Decide whether that is what you want."]
        : better && !small
          ? [`Make ${second} the standard: it was baked and compared, and not only predicted.`]
          : better
            ? [
                `The difference is smaller than the ${matters} ${measure.unit} that you said matters: choose by cost, keeping or taste.`,
              ]
            : [`Keep ${first}.`];
    return { verdict: better === undefined || better ? "yes" : "no", sentence, certainty: chanceWords(difference.p), next };
  }
  if (equivalence?.equivalent) {
    const [low, high] = equivalence.limits;
    const limit =
      Number.isFinite(low) && Number.isFinite(high)
        ? `within ${Math.max(-low, high)} ${measure.unit} of each other`
        : `no ${Number.isFinite(low) ? "less" : "more"} than ${Math.abs(Number.isFinite(low) ? low : high)} ${measure.unit} apart the wrong way`;
    return {
      verdict: "same",
      sentence: `${subject} and ${first} are ${limit}.`,
      certainty: `The difference lies between ${signed(equivalence.from, difference.standardError)} and ${signed(equivalence.to, difference.standardError)} ${measure.unit}. ${chanceOfError(equivalence.p, `they really differed by ${Number.isFinite(low) ? Math.abs(low) : high} ${measure.unit}`)}`,
      next: ["Choose by cost, keeping or ease: this measure does not decide."],
    };
  }
  const largest = Math.max(Math.abs(difference.from), Math.abs(difference.to));
  return {
    verdict: "not shown",
    sentence: `No difference was seen; that does not show that there is none: ${second} may be from ${signed(difference.from, difference.standardError)} to ${signed(difference.to, difference.standardError)} ${measure.unit} against ${first}.`,
    certainty: `A difference larger than ${figure(largest, difference.standardError)} ${measure.unit} is unlikely (${percent(difference.confidence)} interval).`,
    next:
      matters !== undefined && largest > matters
        ? [
            `To settle a difference of ${matters} ${measure.unit}, bake more pairs: ask for the number with this spread (${figure(comparison.sd, comparison.sd)} ${measure.unit}).`,
          ]
        : ["If such a difference does not matter to you, choose by cost, keeping or taste."],
  };
}

/** "One such result in forty would come by chance if they were equal." */
export function chanceWords(p: number): string {
  if (!(p < 0.5)) return "Such a result comes by chance about every second time if they are equal.";
  if (p < 1e-4) return "By chance alone such a result would come less than once in ten thousand times if they were equal.";
  const times = roundTimes(1 / p);
  return `One such result in ${numberWord(times)} would come by chance if they were equal.`;
}

/** "If they really differed by 3 mm, such a result would come about once in 2,000 times." */
export const chanceOfError = (p: number, otherwise: string): string =>
  `If ${otherwise}, such a result would come ${p < 1e-4 ? "less than once in ten thousand times" : `about once in ${numberWord(roundTimes(1 / p))} times`}.`;

export function sayDiscrimination(result: Discrimination, alpha = 0.05): Answer {
  const { correct, tasterCount, shareTelling, method } = result;
  const counted = `${correct} of ${tasterCount} answered right`;
  if (result.p <= alpha) {
    // The test looks one way, so the interval that agrees with it leaves alpha on either side.
    const guess = guessingChance(method);
    const ends = exactShareInterval(correct, tasterCount, 1 - 2 * alpha);
    const telling = [ends.from, ends.to].map((share) => percent(Math.max(0, (share - guess) / (1 - guess))));
    const range = `between ${telling[0]} and ${telling[1]}`;
    return {
      verdict: "yes",
      sentence: `People can tell them apart: ${counted}, about ${percent(shareTelling.estimate)} really notice (${range}).`,
      certainty: `${chanceWords(result.p).replace("if they were equal", "by guessing alone")}`,
      next: ["Ask which they prefer: that they differ does not say which is better."],
    };
  }
  return {
    verdict: "not shown",
    sentence: `It was not shown that people can tell them apart: ${counted}, which guessing can do. Up to ${percent(shareTelling.to)} of people may still notice.`,
    certainty: `With ${tasterCount} tasters in a ${method} test a small difference is easily missed.`,
    next: [
      shareTelling.to > 0.3
        ? "Take more tasters, or say that nothing was seen and not that they are the same."
        : "If it does not matter that so few may notice, use the cheaper or easier one.",
    ],
  };
}

export function sayPreference(result: Preference, first: string, second: string, alpha = 0.05): Answer {
  const { forB, tasterCount, share } = result;
  const leader = forB * 2 >= tasterCount ? second : first;
  const count = Math.max(forB, tasterCount - forB);
  const range = forB * 2 >= tasterCount ? [share.from, share.to] : [1 - share.to, 1 - share.from];
  const counted = `${count} of ${tasterCount} prefer ${leader}`;
  if (result.p <= alpha) {
    return {
      verdict: leader === second ? "yes" : "no",
      sentence: `${capital(counted)}; among people like these it would be between ${percent(range[0]!)} and ${percent(range[1]!)}.`,
      certainty: chanceWords(result.p).replace("they were equal", "nobody had a preference"),
      next: [leader === second ? `Make ${second} the standard.` : `Keep ${first}.`],
    };
  }
  return {
    verdict: "not shown",
    sentence: `No preference was shown: ${counted}, and the true share may be anything between ${percent(range[0]!)} and ${percent(range[1]!)}.`,
    certainty: chanceWords(result.p).replace("they were equal", "nobody had a preference"),
    next: ["Take more tasters, or choose by cost and ease."],
  };
}

export function sayRanking(result: Ranking, names: readonly string[], alpha = 0.05): Answer {
  const order = [...names.keys()].sort((a, b) => result.rankSums[a]! - result.rankSums[b]!);
  const listed = order.map((index) => `${names[index]} (${result.rankSums[index]})`).join(", ");
  if (result.fP > alpha) {
    return {
      verdict: "not shown",
      sentence: `The tasters do not agree on an order: ${listed}.`,
      certainty: chanceWords(result.fP).replace("they were equal", "all were liked the same"),
      next: ["Take more tasters, or choose among them by cost and ease."],
    };
  }
  const best = order[0]!;
  const beaten = result.different
    .filter((pair) => pair.includes(best))
    .map((pair) => names[pair[0] === best ? pair[1] : pair[0]]!);
  const sentence =
    beaten.length > 0
      ? `${capital(names[best]!)} is placed before ${list(beaten)}.`
      : `The products differ, but ${names[best]} is not clearly before the next.`;
  return {
    verdict: "yes",
    sentence: `${sentence} Sums of places: ${listed}.`,
    certainty: chanceWords(result.fP).replace("they were equal", "all were liked the same"),
    next:
      beaten.length === names.length - 1
        ? [`Make ${names[best]} the standard.`]
        : ["Compare the best two in pairs if you need to choose between them."],
  };
}

/** Which of several differ, from Tukey's or Dunnett's comparisons. */
export function sayGroups(differences: readonly GroupDifference[], measure: Measure): Answer {
  const seen = differences
    .filter(({ from, to }) => from > 0 || to < 0)
    .sort((a, b) => Math.abs(b.estimate) - Math.abs(a.estimate));
  if (seen.length === 0) {
    return {
      verdict: "not shown",
      sentence: `No difference in ${measure.name} was seen between them; that does not show that they are the same.`,
      certainty: `The widest interval reaches ${figure(Math.max(...differences.map(({ from, to }) => Math.max(Math.abs(from), Math.abs(to)))), differences[0]!.standardError)} ${measure.unit}.`,
      next: ["Bake more of each, or choose by cost and ease."],
    };
  }
  const parts = seen.slice(0, 3).map(({ first, second, estimate, from, to, standardError }) => {
    const [low, high] = [Math.abs(from), Math.abs(to)].sort((a, b) => a - b);
    return `${second} is ${estimate > 0 ? (measure.more ?? "higher") : (measure.less ?? "lower")} than ${first} by ${figure(Math.abs(estimate), standardError)} ${measure.unit} (${figure(low!, standardError)} to ${figure(high!, standardError)})`;
  });
  return {
    verdict: "yes",
    sentence: `${capital(parts.join("; "))}.`,
    certainty: "All comparisons together are right nineteen times in twenty.",
    next: [
      seen.length > 3
        ? `${seen.length - 3} more pairs differ; see the table.`
        : "Choose the best, and confirm it with one more bake.",
    ],
  };
}

/** The best setting and what a bake there should give. */
export function sayBest(best: BestPoint, measures: readonly Measure[], factors: readonly Factor[] = []): Answer {
  if (best.overall === 0)
    return {
      verdict: "no",
      sentence: "No setting that was explored meets all the wishes at once.",
      certainty: "According to the model; one bake near the best compromise would show it.",
      next: ["Relax the wish that is met worst, or widen the ranges."],
    };
  const setting = Object.entries(best.setting).map(([name, value]) => settingPart(name, value, factors));
  const parts = best.responses.map(({ response, prediction, confirmation }) => {
    const unit = measures.find(({ name }) => name === response)?.unit ?? "";
    const shown = prediction.original ?? prediction;
    const range = confirmation ?? shown.single;
    return `${response} ${figure(shown.estimate, prediction.standardError ?? 0)} ${unit}${range === undefined ? "" : ` (${figure(range.from, prediction.standardError ?? 0)} to ${figure(range.to, prediction.standardError ?? 0)})`}`;
  });
  return {
    verdict: "yes",
    sentence: `${best.responses.length > 1 ? "The wishes are met best" : `${capital(best.responses[0]!.response)} is best`} at ${list(setting)}.`,
    certainty: `On a day like those of the trial the mean of ${best.confirmationCount} bakes there should give ${list(parts)}, nineteen times in twenty for each.`,
    next: ["It is predicted and not baked: confirm it beside the standard on one day before you make it the standard."],
  };
}

/** "oven 172 °C", "butter 42 %", "tin: 2 round 18 cm": as exactly as it can be set at a bench. */
function settingPart(name: string, value: number | string, factors: readonly Factor[]): string {
  const factor = factors.find((one) => one.name === name);
  if (typeof value === "string") return name === "cake" ? value : `${name} ${value}`;
  if (factor?.kind === "share") return `${name} ${Number((100 * value).toFixed(1))} %`;
  if (factor?.kind !== "amount") return `${name} ${tidy(value)}`;
  // A thousandth of the range is finer than any scale or dial.
  const decimals = Math.min(4, Math.max(0, 1 - Math.floor(Math.log10((factor.high - factor.low) / 10))));
  return `${name} ${tidy(Number(value.toFixed(decimals)))}${factor.unit === undefined ? "" : ` ${factor.unit}`}`;
}

/** A prediction in words: "41.5 mm; one bake between 38 and 45". */
export function sayPrediction(prediction: Prediction, unit: string): string {
  const shown = prediction.original ?? prediction;
  const step =
    prediction.original === undefined
      ? (prediction.standardError ?? 0)
      : Math.abs((shown.single?.to ?? 0) - (shown.single?.from ?? 0)) / 8;
  if (shown.single === undefined) return `${tidy(shown.estimate)} ${unit}, with no certainty that could be given`;
  return `${figure(shown.estimate, step)} ${unit}; one bake between ${figure(shown.single.from, step)} and ${figure(shown.single.to, step)}`;
}

/** A figure to the place that its error reaches: 4.13 with an error of 0.8 is "4.1". */
export function figure(value: number, error: number): string {
  if (!Number.isFinite(value)) return value > 0 ? "any amount" : "minus any amount";
  if (!(error > 0) || !Number.isFinite(error)) return tidy(value);
  const decimals = Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(error))));
  const kept = error >= 1 ? Math.max(0, decimals - 1) : decimals - (error.toExponential()[0]! >= "3" ? 1 : 0);
  const text = value.toFixed(Math.max(0, kept));
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}

export const signed = (value: number, error: number): string => (value > 0 ? `+${figure(value, error)}` : figure(value, error));
export const tidy = (value: number): string => String(Number(value.toPrecision(4))).replace("-", "−");
export const percent = (share: number): string => `${Math.round(100 * share)} %`;
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
export const list = (words: readonly string[]): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;

function roundTimes(times: number): number {
  if (times < 10) return Math.max(2, Math.round(times));
  if (times < 100) return Math.round(times / 5) * 5;
  const step = 10 ** Math.floor(Math.log10(times));
  return Math.round(times / step) * step;
}

const SMALL = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
const TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

function numberWord(value: number): string {
  if (value < SMALL.length) return SMALL[value]!;
  if (value < 100 && value % 10 === 0) return TENS[value / 10]!;
  if (value === 15) return "fifteen";
  if (value < 100 && value % 10 === 5) return `${TENS[Math.floor(value / 10)]}-five`;
  if (value === 100) return "a hundred";
  if (value === 1000) return "a thousand";
  return value.toLocaleString("en-GB");
}
