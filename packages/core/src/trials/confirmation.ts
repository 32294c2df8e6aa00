import type { Problem, Result } from "../quantities/index.js";
import { type Analysis, predictAt, settingValues } from "./analyse.js";
import { contrast } from "./contrasts.js";
import { tQuantile } from "./distributions.js";
import type { Factor, Setting } from "./factors.js";
import type { GoalWords } from "./goals.js";
import { interval, mixedEstimate, rowOf } from "./mixed.js";
import { createRandom } from "./random.js";
import { type Measure, newRunSheet, type RunSheet } from "./sheet.js";
import { BLOCK } from "./terms.js";
import { type Transform, transformed } from "./transform.js";
import { type Answer, capital, figure, list, tidy } from "./words.js";

/** What a trial expects of one measure when the best setting and another are baked side by side. */
export interface Expectation {
  readonly measure: string;
  readonly unit: string;
  /** Scale on which the difference is taken. */
  readonly transform: Transform;
  /** Expected of the best setting and of the other, on a day like the average of those seen; in the unit of the measure. */
  readonly best: number;
  readonly other: number;
  /** Best less other, on the scale. */
  readonly difference: number;
  /** Where that difference would lie if the prediction is right, by how many of each are baked, from 1. */
  readonly ranges: readonly { readonly count: number; readonly from: number; readonly to: number }[];
}

/** What a confirmation goes back to, and what was promised before anything was baked. */
export interface ConfirmationOf {
  /** Title of the trial. */
  readonly trial: string;
  /** Where the trial is kept, if it is. */
  readonly documentId?: string;
  /** What the trial said. */
  readonly evidence: string;
  /** The best setting and the one beside it, as the runs name them. */
  readonly names: readonly [string, string];
  readonly settings: readonly [Setting, Setting];
  readonly expected: readonly Expectation[];
  /** All ranges together hold so often. */
  readonly confidence: number;
  /** What is wanted, to be met by what comes out. */
  readonly goals?: readonly GoalWords[];
}

/** Most of each that a confirmation is planned with. */
export const MOST_CONFIRMATIONS = 4;

/**
 * What bakes of one setting should give beside bakes of another, before they are baked.
 *
 * Side by side, because a new day adds a difference of its own that a trial of a few days cannot judge: the difference of two cakes
 * of one day does not contain it. Each bake is from a batter of its own, so the spread between batters is in the range. Several
 * measures share the confidence (Bonferroni), so that all of them together hold it.
 *
 * @param settings  the best and the other, as they will really be weighed
 */
export function expectBakes(
  analyses: readonly { readonly analysis: Analysis; readonly unit: string }[],
  settings: readonly [Setting, Setting],
  confidence = 0.95,
): Result<readonly Expectation[], readonly Problem[]> {
  const each = 1 - (1 - confidence) / Math.max(1, analyses.length);
  const problems: Problem[] = [];
  const expected = analyses.flatMap(({ analysis, unit }): Expectation[] => {
    const factors = analysis.model.factors.filter(({ name }) => name !== BLOCK);
    const [values, against] = settings.map((setting) => settingValues(factors, setting));
    if (values === undefined || against === undefined || analysis.residualSd === undefined) {
      problems.push({
        code: "missing-field",
        path: ["settings"],
        expected: `a fit of ${analysis.responseName} with runs left over to judge it, and both settings whole`,
        found: JSON.stringify(settings),
        remedy: "Bake and measure more of the trial first.",
      });
      return [];
    }
    const counts = Array.from({ length: MOST_CONFIRMATIONS }, (_, index) => index + 1);
    const ofCakes = (setting: readonly number[]) => {
      const prediction = predictAt(analysis, setting);
      return (prediction.original ?? prediction).estimate;
    };
    return [
      {
        measure: analysis.responseName,
        unit,
        transform: analysis.transform,
        best: ofCakes(values),
        other: ofCakes(against),
        difference: predictAt(analysis, values).estimate - predictAt(analysis, against).estimate,
        ranges: counts.map((count) => ({ count, ...differenceRange(analysis, values, against, count, each) })),
      },
    ];
  });
  return problems.length > 0 ? { ok: false, error: problems } : { ok: true, value: expected };
}

/** Where the difference of two means of `count` new bakes would lie, days taken out. */
function differenceRange(
  analysis: Analysis,
  values: readonly number[],
  against: readonly number[],
  count: number,
  confidence: number,
): { readonly from: number; readonly to: number } {
  const { mixed, residualSd } = analysis;
  if (mixed !== undefined) {
    const b = rowOf(mixed, against);
    const row = rowOf(mixed, values).map((weight, index) => weight - b[index]!);
    // A day is shared by both; a batter and a bake are not.
    const besides = [2 / count, ...mixed.components.map(({ name }) => (name === "day" ? 0 : 2 / count))];
    return interval(mixedEstimate(mixed, row, besides), confidence);
  }
  // Two settings that are the same for the model are expected to be alike, without any doubt of the model.
  const found = contrast(analysis, values, against);
  const variance = (found?.standardError ?? 0) ** 2 + (2 * residualSd! ** 2) / count;
  const reach = tQuantile((1 + confidence) / 2, analysis.residualDf) * Math.sqrt(variance);
  const estimate = found?.estimate ?? 0;
  return { from: estimate - reach, to: estimate + reach };
}

/** The choice that tells the two apart on the sheet. */
const WHICH = "cake";

/**
 * A confirmation as a run sheet of its own: so many of the best setting and of the other, on one day, in an order drawn by lot, with
 * what they should give written down before they are baked.
 */
export function confirmationSheet(
  trial: { readonly title: string; readonly sheet: RunSheet },
  expected: readonly Expectation[],
  words: {
    readonly title: string;
    readonly evidence: string;
    readonly names: readonly [string, string];
    readonly settings: readonly [Setting, Setting];
    /** Bakes of each, 1 to `MOST_CONFIRMATIONS`. */
    readonly count: number;
    readonly seed: number;
    readonly documentId?: string;
    /** What was wanted when the best was sought. */
    readonly goals: readonly GoalWords[];
  },
) {
  const { count, names, settings } = words;
  if (!(Number.isInteger(count) && count >= 1 && count <= MOST_CONFIRMATIONS))
    throw new RangeError(`confirmationSheet: ${count} of each is not within 1 to ${MOST_CONFIRMATIONS}`);
  const wanted = expected.map(({ measure }) => measure);
  const measures: readonly Measure[] = trial.sheet.measures.toSorted(
    (a, b) => Number(wanted.includes(b.name)) - Number(wanted.includes(a.name)),
  );
  const which: Factor = { kind: "choice", name: WHICH, levels: names };
  const others = trial.sheet.factors.filter(({ name }) => name !== WHICH);
  const runs = Array.from({ length: count }, () =>
    settings.map((setting, index) => ({ ...setting, [WHICH]: names[index]! })),
  ).flat();
  const order = createRandom(words.seed)
    .shuffled([...runs.keys()])
    .map((runIndex, place) => ({ runIndex, day: 0, load: place, position: 0 }));
  const sheet = newRunSheet(
    { title: words.title, seed: words.seed, factors: [which, ...others], measures, allergens: trial.sheet.allergens },
    runs,
    order,
  );
  const confirms: ConfirmationOf = {
    trial: trial.title,
    ...(words.documentId === undefined ? {} : { documentId: words.documentId }),
    evidence: words.evidence,
    names,
    settings,
    expected,
    confidence: 0.95,
    ...(words.goals.length === 0 ? {} : { goals: words.goals }),
  };
  const { answer } = readConfirmation(confirms, sheet);
  const each = count === 1 ? "once" : `${count} times`;
  return {
    kind: "confirmation" as const,
    title: words.title,
    sheet,
    confirms,
    promise: {
      summary: `Bake ${names[0]} and ${names[1]} ${each} each on one day, every bake from a batter of its own, in the order of the sheet.`,
      certainty: answer.sentence,
      ifNothingIsSeen: answer.certainty,
      cautions: [] as readonly string[],
    },
  };
}

/** One measure of a confirmation: what was promised of the difference, and what came out. */
export interface ConfirmedMeasure {
  readonly measure: string;
  readonly unit: string;
  /** Fewest bakes of either that were measured. */
  readonly count: number;
  readonly expected: number;
  readonly from: number;
  readonly to: number;
  /** Means that came out, in the unit of the measure; only when both were baked. */
  readonly best?: number;
  readonly other?: number;
  /** Best less other, on the scale of the range. */
  readonly difference?: number;
  readonly inside?: boolean;
  /** A limit of the baker's that the best does not meet. */
  readonly misses?: string;
  /** Whether the best came out nearer to what is wanted than the other; only where a wish says what is wanted. */
  readonly gain?: boolean;
}

export interface ConfirmationReading {
  readonly measures: readonly ConfirmedMeasure[];
  readonly answer: Answer;
  /** Only then may it be recommended as the new standard. */
  readonly confirmed: boolean;
}

/** Inside or outside of what was promised, what that means, and what to do. */
export function readConfirmation(confirms: ConfirmationOf, sheet: RunSheet): ConfirmationReading {
  const measures = confirms.expected.map((one) => confirmedMeasure(confirms, one, sheet));
  const answer = (verdict: Answer["verdict"], sentence: string, certainty: string, next: readonly string[]): Answer => ({
    verdict,
    sentence,
    certainty,
    next,
  });
  const known = measures.filter(({ difference }) => difference !== undefined);
  const open = measures.filter(({ difference }) => difference === undefined);
  const [name, other] = confirms.names;
  const scale = (measure: string) => {
    const transform = confirms.expected.find((one) => one.measure === measure)?.transform ?? "none";
    return transform === "none" ? "" : `, by its ${transform}`;
  };
  const promise = (one: ConfirmedMeasure) => `${one.measure} ${span(one)} than ${other}${scale(one.measure)}`;
  const came = (one: ConfirmedMeasure) =>
    `${one.measure} is ${moreOrLess(one.difference!, one)} than ${other} (expected ${span(one)}${scale(one.measure)})`;
  if (known.length === 0)
    return {
      measures,
      confirmed: false,
      answer: answer(
        "cannot tell",
        `Not baked yet. Expected of ${name}: ${list(measures.map(promise))}.`,
        `If the prediction is right, ${measures.length === 1 ? "it comes out so" : "all of them come out so"} nineteen times in twenty.`,
        [`Bake ${name} and ${other} on one day, measure them in the same way as in the trial, and write it on their runs.`],
      ),
    };
  const outside = known.filter(({ inside }) => inside === false);
  if (outside.length > 0)
    return {
      measures,
      confirmed: false,
      answer: answer(
        "no",
        `${capital(name)} did not come out as predicted: ${list(outside.map(came))}.`,
        "If the prediction were right, that would happen about once in twenty times.",
        [
          "Do not make it the standard on this bake.",
          "Look first for what was otherwise: the weights, the oven, a new packet, the way it was measured.",
          "Confirm it once more. If it falls outside again, the trial's model is wrong there: bake a few settings around it.",
        ],
      ),
    };
  if (open.length > 0)
    return {
      measures,
      confirmed: false,
      answer: answer(
        "cannot tell",
        `As predicted so far: ${list(known.map(came))}. Still to measure: ${list(open.map(({ measure }) => measure))}.`,
        "Every measure that was wished for has to be there, of both, before it is confirmed.",
        ["Measure the rest and write it on the runs."],
      ),
    };
  const loosest = known.map((one) => `${figure((one.to - one.from) / 2, (one.to - one.from) / 8)} ${one.unit} in ${one.measure}`);
  const certainty = `Nothing speaks against the prediction; an error smaller than about ${list(loosest)} would not have shown.`;
  const missing = known.flatMap(({ misses }) => (misses === undefined ? [] : [misses]));
  if (missing.length > 0)
    return {
      measures,
      confirmed: false,
      answer: answer("no", `${capital(name)} came out as predicted, but not as you want it: ${list(missing)}.`, certainty, [
        "Bake it again before you decide, or relax that wish: the prediction is not at fault.",
      ]),
    };
  const gained = known.some(({ gain }) => gain !== false);
  if (!gained)
    return {
      measures,
      confirmed: false,
      answer: answer(
        "no",
        `${capital(name)} came out as predicted, but no better than ${other}: ${list(known.map(came))}.`,
        certainty,
        [`Keep ${other}, or bake both once more: the gain that was predicted is small beside the spread of one bake.`],
      ),
    };
  return {
    measures,
    confirmed: true,
    answer: answer("yes", `${capital(name)} came out as predicted: ${list(known.map(came))}.`, certainty, [
      "Make it the standard: the trial predicted it, and the bake bore it out.",
    ]),
  };
}

type Reach = Pick<ConfirmedMeasure, "from" | "to" | "unit">;

/** A size to the place that its range reaches. */
const size = (value: number, { from, to }: Reach): string => figure(Math.abs(value), (to - from) / 8);
const moreOrLess = (value: number, one: Reach): string => `${size(value, one)} ${one.unit} ${value < 0 ? "less" : "more"}`;

/** "1.6 to 5.4 mm more", "from 0.7 mm less to 5.8 mm more". */
function span(one: Reach): string {
  const { from, to, unit } = one;
  if (from < 0 && to > 0) return `from ${moreOrLess(from, one)} to ${moreOrLess(to, one)}`;
  const [near, far] = [Math.abs(from), Math.abs(to)].toSorted((a, b) => a - b);
  return `${size(near!, one)} to ${size(far!, one)} ${unit} ${to <= 0 ? "less" : "more"}`;
}

function confirmedMeasure(confirms: ConfirmationOf, expectation: Expectation, sheet: RunSheet): ConfirmedMeasure {
  const { measure, unit, transform, ranges } = expectation;
  const of = (name: string) =>
    sheet.runs.flatMap(({ state, setting, measured }) => {
      const value = measured[measure];
      return state === "baked" && setting[WHICH] === name && typeof value === "number" ? [value] : [];
    });
  const [mine, others] = confirms.names.map(of) as [number[], number[]];
  // With unequal numbers the smaller one counts: the range is then a little too wide and never too narrow.
  const count = Math.min(mine.length, others.length);
  const planned = Math.max(1, Math.min(ranges.length, Math.floor(sheet.runs.length / 2)));
  const { from, to } = ranges[Math.min(count === 0 ? planned : count, ranges.length) - 1]!;
  const base = { measure, unit, count, expected: expectation.difference, from, to };
  if (count === 0) return base;
  const onScale = (values: readonly number[]) => mean(values.map((value) => transformed(value, transform)));
  const difference = onScale(mine) - onScale(others);
  const best = mean(mine);
  const goal = confirms.goals?.find(({ response }) => response === measure);
  const misses = goal === undefined ? undefined : missed(goal, best, unit);
  return {
    ...base,
    best,
    other: mean(others),
    difference,
    inside: difference >= from && difference <= to,
    ...(misses === undefined ? {} : { misses }),
    ...(goal === undefined ? {} : { gain: isGain(goal, best, mean(others)) }),
  };
}

function isGain({ direction, target }: GoalWords, best: number, other: number): boolean {
  if (direction === "target") return target === undefined || Math.abs(best - target) < Math.abs(other - target);
  return direction === "larger" ? best > other : best < other;
}

function missed({ response, direction, low, high }: GoalWords, value: number, unit: string): string | undefined {
  const shown = tidy(Number(value.toPrecision(3)));
  if (direction !== "smaller" && low !== undefined && value <= low)
    return `${response} ${shown} ${unit}, and ${tidy(low)} or less is not acceptable`;
  if (direction !== "larger" && high !== undefined && value >= high)
    return `${response} ${shown} ${unit}, and ${tidy(high)} or more is not acceptable`;
  return undefined;
}

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/**
 * The setting to bake the best one beside: the standard's own, where it lies within what was explored; else the run nearest to the
 * middle of it.
 *
 * @param standard  setting of the standard, as far as it is known
 */
export function settingBeside(
  sheet: RunSheet,
  standard: Setting | undefined,
): { readonly name: "the standard" | `run ${number} of the trial`; readonly setting: Setting } {
  const inside = (factor: Factor): boolean => {
    const value = standard?.[factor.name];
    if (value === undefined) return false;
    if (factor.kind === "choice") return factor.levels.includes(String(value));
    const [low, high] = factor.kind === "amount" ? [factor.low, factor.high] : [factor.lower, factor.upper];
    const slack = 0.02 * (high - low);
    return Number(value) >= low - slack && Number(value) <= high + slack;
  };
  if (standard !== undefined && sheet.factors.every(inside)) return { name: "the standard", setting: standard };
  const off = (setting: Setting): number =>
    sheet.factors.reduce((sum, factor) => {
      if (factor.kind === "choice") return sum;
      const [low, high] = factor.kind === "amount" ? [factor.low, factor.high] : [factor.lower, factor.upper];
      return sum + (high > low ? ((Number(setting[factor.name]) - (low + high) / 2) / (high - low)) ** 2 : 0);
    }, 0);
  const run = sheet.runs.reduce((best, candidate) => (off(candidate.setting) < off(best.setting) ? candidate : best));
  return { name: `run ${run.number} of the trial`, setting: run.setting };
}
