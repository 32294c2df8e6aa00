import { arrangeRuns } from "./arrangeRuns.js";
import { fractionRuns, offeredDesigns, recommendedDesign, usualModel } from "./designOffers.js";
import { type DesignPoints, designPoints, modelOfDesign, type SearchProgress } from "./designPoints.js";
import { type DesignQuality, designQuality } from "./designQuality.js";
import { type DesignWords, settingOf } from "./designWords.js";
import { fQuantile, noncentralFUpper, tQuantile } from "./distributions.js";
import { type Factor, fromCoded } from "./factors.js";
import { modelRow } from "./model.js";
import { percentWords as percent, timesInTen } from "./planWords.js";
import type { QuestionOf, TrialPlan } from "./question.js";
import { dayCounts } from "./runOrder.js";
import { spreadOf, spreadWords } from "./spreadWords.js";
import { figure } from "./words.js";

type FactorQuestion = QuestionOf<"how much"> | QuestionOf<"which blend">;
type Steps<Answer> = Generator<SearchProgress, Answer, "go on" | "stop" | undefined>;

/** At most so often is a plan baked over to notice what matters; at most so many bakes for each coefficient of a searched plan. */
const MOST_REPEATS = 4;

/**
 * The bakes for a question about amounts, choices or shares: the design that was picked or is recommended, with as many bakes as it
 * takes to notice what matters, shared out over days.
 *
 * @throws RangeError in words when the picked design cannot be made of these factors
 */
export function* planFactors(question: FactorQuestion): Steps<TrialPlan> {
  const factors: readonly Factor[] =
    question.kind === "how much" ? question.factors : [...question.shares, ...(question.process ?? [])];
  const words = designOf(question, factors);
  const optimal = words.design === "D-optimal" || words.design === "I-optimal";
  const { points, repeats, runCountWanted } = optimal
    ? yield* searchedPoints(question, words)
    : { ...(yield* repeatedPoints(question, words, factors)), runCountWanted: undefined };
  const values = Array.from({ length: repeats }, () => points.values).flat();
  return finished(question, words, points, values, repeats, runCountWanted);
}

/** The words of the design: what was picked, and what is usual for the rest. */
function designOf(question: FactorQuestion, factors: readonly Factor[]): DesignWords & { readonly picked: boolean } {
  const usual = recommendedDesign(factors);
  const design = question.design ?? usual.design;
  const picked = question.design !== undefined && question.design !== usual.design;
  const { runCount, centreCount, axial, steps, checkBlends, repeats, perBatter, shared, blockBy, perDay, perLoad } = question;
  const process = question.kind === "which blend" ? (question.process ?? []) : [];
  const runs = runCount ?? (design === "two-level fraction" ? (picked ? fractionSize(factors) : usual.runCount) : undefined);
  const centres = centreCount ?? (picked ? (design === "central composite" ? 2 : undefined) : usual.centreCount);
  return {
    design,
    factors,
    seed: question.seed,
    model: question.model ?? (picked ? usualModel(design, factors) : usual.model),
    crossing: process.length > 1 ? "reduced" : "full",
    refine: picked,
    picked,
    ...(question.kind === "which blend" && question.rules !== undefined ? { rules: question.rules } : {}),
    ...(runs === undefined ? {} : { runCount: runs }),
    ...(centres === undefined ? {} : { centreCount: centres }),
    ...(axial === undefined ? {} : { axial }),
    ...(steps === undefined ? {} : { steps }),
    ...(checkBlends === undefined ? {} : { checkBlends }),
    ...(repeats === undefined ? {} : { repeats }),
    ...(perBatter === undefined || perBatter.length === 0 ? {} : { perBatter, shared: shared ?? "batter" }),
    ...(blockBy === undefined ? {} : { blockBy }),
    perDay: perDay ?? 6,
    perLoad: perLoad ?? 1,
  };
}

const fractionSize = (factors: readonly Factor[]): number =>
  Math.min(fractionRuns(factors.length), 2 ** Math.max(2, factors.length - 1));

/** Fixed designs: laid out once, and baked over as often as it takes. */
function* repeatedPoints(
  question: FactorQuestion,
  words: DesignWords & { readonly picked: boolean },
  factors: readonly Factor[],
): Steps<{ readonly points: DesignPoints; readonly repeats: number }> {
  let points = yield* designPoints(words);
  const [only] = factors;
  if (!words.picked && factors.length === 1 && only!.kind === "amount")
    points = { ...points, values: [-1, 0, 1, -1, 0, 1, 0].map((level) => [fromCoded(only!, level)]) };
  if (question.repeats !== undefined) return { points, repeats: question.repeats };
  let repeats = 1;
  while (repeats < MOST_REPEATS && !isEnough(question, words, points, repeats)) repeats++;
  return { points, repeats };
}

/** Optimal designs: searched for with more and more bakes until they are enough. */
function* searchedPoints(
  question: FactorQuestion,
  words: DesignWords,
): Steps<{ readonly points: DesignPoints; readonly repeats: number; readonly runCountWanted?: number }> {
  const termCount = modelOfDesign(words).model.columns.length;
  const repeats = question.repeats ?? 1;
  const split = words.perBatter !== undefined;
  let runCount = Math.max(question.runCount ?? termCount + 5, termCount + (question.kind === "which blend" || split ? 1 : 0));
  const most = 4 * termCount;
  for (;;) {
    const points = yield* designPoints({ ...words, runCount });
    if (points.stopped || question.runCount !== undefined || runCount >= most || isEnough(question, words, points, repeats))
      return { points, repeats, runCountWanted: termCount + 5 };
    // The variance falls about as the number of runs grows: step there at once, and look again.
    const gap = shortBy(question, words, points, repeats);
    runCount = Math.min(most, Math.max(runCount + 1, Math.floor(runCount * Math.min(2, gap ** 2 * 0.85))));
  }
}

/** Whether so many bakes notice what matters, as often as is wanted; days are taken out of what judges the spread. */
function isEnough(question: FactorQuestion, words: DesignWords, points: DesignPoints, repeats: number): boolean {
  if (question.kind === "which blend") return shortBy(question, words, points, repeats) <= 1;
  const { quality, days } = roughQuality(question, words, points, repeats);
  const { spread } = spreadOf(question);
  return mainEffects(quality, words.factors).every(({ standardErrorInSds, df }) => {
    const left = df - (days - 1);
    const lambda = (question.matters / 2 / spread.sd / standardErrorInSds) ** 2;
    return (
      left >= 1 && noncentralFUpper(fQuantile(1 - (question.alpha ?? 0.05), 1, left), 1, left, lambda) >= (question.power ?? 0.8)
    );
  });
}

/** Smallest difference that is told from none, over the difference that matters: of two average blends, or of the worst effect. */
function shortBy(question: FactorQuestion, words: DesignWords, points: DesignPoints, repeats: number): number {
  const { quality, days } = roughQuality(question, words, points, repeats);
  const { spread } = spreadOf(question);
  const df = judgingDf(quality) - (days - 1);
  if (df < 1) return 2;
  const t = tQuantile(1 - (question.alpha ?? 0.05) / 2, df);
  const error =
    question.kind === "which blend"
      ? Math.sqrt(2 * quality.averageVariance)
      : // An effect over the range is two coefficients; a chance of 80 % takes about 0.84 of an error more.
        2 * Math.max(...mainEffects(quality, words.factors).map((entry) => entry.standardErrorInSds)) * (1 + 0.84 / t);
  return (t * spread.sd * error) / question.matters;
}

/** Before days are shared out, which is left to the end because it takes long. */
function roughQuality(question: FactorQuestion, words: DesignWords, points: DesignPoints, repeats: number) {
  const values = Array.from({ length: repeats }, () => points.values).flat();
  const rows = values.map((row) => modelRow(points.model, row));
  const wholePlots =
    words.perBatter === undefined
      ? undefined
      : arrangeRuns(points.model, values, { ...arrangement(words, repeats), perDay: values.length, perLoad: values.length })
          .wholePlots;
  const quality = designQuality({
    rows,
    region: points.around.map((row) => modelRow(points.model, row)),
    names: points.model.columns.map(({ name }) => name),
    ...(wholePlots === undefined ? {} : { wholePlots }),
  });
  return { quality, days: wholePlots === undefined ? dayCounts(values.length, question.perDay ?? 6).length : 1 };
}

const arrangement = (words: DesignWords, repeats: number) => ({ ...words, repeats, perDay: words.perDay ?? 6 });

/** Coefficients of the factors themselves, not of their squares and products. */
const mainEffects = (quality: DesignQuality, factors: readonly Factor[]) => {
  const main = quality.coefficients.filter((entry) =>
    factors.some((factor) => factor.name === entry.name || entry.name.startsWith(`${factor.name} [`)),
  );
  const single = main.filter(({ name }) => !name.includes(" × "));
  return single.length > 0 ? single : quality.coefficients;
};

const judgingDf = (quality: DesignQuality): number => Math.min(quality.residualDf, quality.wholePlotDf ?? quality.residualDf);

function finished(
  question: FactorQuestion,
  words: DesignWords & { readonly picked: boolean },
  points: DesignPoints,
  values: readonly (readonly number[])[],
  repeats: number,
  runCountWanted: number | undefined,
): TrialPlan {
  const { measure, matters } = question;
  const { model, name, terms, fraction } = points;
  const { factors } = words;
  const { spread, caution } = spreadOf(question);
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const blend = question.kind === "which blend";
  const { order, blocks, wholePlots, dayCount } = arrangeRuns(model, values, arrangement(words, repeats));
  const byLoad = blocks !== undefined && words.blockBy === "load" && wholePlots === undefined;
  const quality = designQuality({
    rows: values.map((row) => modelRow(model, row)),
    region: points.around.map((row) => modelRow(model, row)),
    names: model.columns.map((column) => column.name),
    ...(blocks === undefined ? {} : { blocks }),
    ...(wholePlots === undefined ? {} : { wholePlots }),
    effectInSds: matters / 2 / spread.sd,
    alpha,
  });
  const main = blend ? [] : mainEffects(quality, factors);
  const power =
    main.length > 0 && main.every((entry) => entry.power !== undefined)
      ? Math.min(...main.map((entry) => entry.power!))
      : undefined;
  const df = judgingDf(quality);
  const t = df > 0 ? tQuantile(1 - alpha / 2, df) : Number.POSITIVE_INFINITY;
  const reach = t * spread.sd * Math.sqrt(quality.averageVariance);
  const { unit } = measure;
  const hidden = blend ? Math.SQRT2 * reach : noticedEffect(main, spread.sd, alpha, wanted);
  return {
    kind: question.kind,
    summary: summaryOf(question, words, values.length, dayCount, wholePlots),
    certainty: blend
      ? `A blend's mean ${measure.name} will be known to about ${figure(reach, reach / 3)} ${unit} either way, ${spreadWords(spread, unit)}.`
      : power === undefined
        ? `With no bake left over to judge the spread by, it cannot be said how surely ${matters} ${unit} would be noticed.`
        : `If ${factors.length === 1 ? "it" : "one of them"} moves ${measure.name} by ${matters} ${unit} from the low to the high end, it will be noticed ${timesInTen(power)}, ${spreadWords(spread, unit)}.`,
    ifNothingIsSeen: blend
      ? `If nothing is seen, two of the blends are unlikely to differ by more than about ${figure(hidden, hidden / 3)} ${unit}; smaller differences may be there.`
      : `If nothing is seen, effects of ${figure(hidden, hidden / 3)} ${unit} or more across the range are unlikely; smaller ones may be there.`,
    bakeCount: values.length,
    tasterCount: 0,
    dayCount,
    ...(power === undefined ? {} : { power }),
    factors,
    settings: values.map((row) => settingOf(factors, row)),
    order,
    model: { name, terms },
    quality,
    design: {
      name: words.design,
      field: offeredDesigns(factors).find(({ design }) => design === words.design)?.field ?? words.design,
      stopped: points.stopped,
      ...(fraction === undefined || fraction.generators.length === 0 ? {} : { fraction }),
      ...(blocks === undefined ? {} : { blockBy: byLoad ? "load" : "day" }),
      ...(wholePlots === undefined ? {} : { shared: words.shared ?? "batter" }),
    },
    cautions: [
      ...caution,
      ...(points.stopped
        ? [
            "The search was stopped: this is the best plan found until then. Looking longer may find one that tells a little more.",
          ]
        : []),
      ...(repeats > 1 && question.repeats === undefined
        ? [
            wholePlots !== undefined
              ? `The plan of ${values.length / repeats} is baked ${repeats} times over, because what differs from ${words.shared === "load" ? "load to load" : "batter to batter"} has to be judged by several of them.`
              : `The plan of ${values.length / repeats} is baked ${repeats} times over, because ${matters} ${unit} is small against the spread of one bake.`,
          ]
        : []),
      ...(question.runCount !== undefined && runCountWanted !== undefined && question.runCount < runCountWanted - 2
        ? [
            `${values.length} bakes leave ${Math.max(0, quality.residualDf)} to judge the spread; ${runCountWanted} would be better.`,
          ]
        : []),
      ...batterCautions(words, quality, wholePlots),
      ...(fraction !== undefined && fraction.resolution === 3
        ? ["Single effects are mixed with effects of pairs. Take it as a first look, and bake again what seems to matter."]
        : []),
      ...(quality.aliased.length > 0
        ? [`These cannot be told apart from others with so few bakes: ${quality.aliased.join(", ")}.`]
        : []),
      ...(power !== undefined && Math.round(100 * power) < Math.round(100 * wanted)
        ? [
            `The chance to notice ${matters} ${unit} is only ${percent(power)}. Bake the whole plan twice, widen the ranges, or be content with larger effects.`,
          ]
        : []),
      ...(quality.indispensable.length > 0 ? ["Some runs cannot be spared: if one of them spoils, bake it again."] : []),
    ],
  };
}

function summaryOf(
  question: FactorQuestion,
  words: DesignWords,
  bakeCount: number,
  dayCount: number,
  wholePlots: readonly number[] | undefined,
): string {
  const days = `on ${dayCount} ${dayCount === 1 ? "day" : "days"}, in the order of the sheet`;
  if (wholePlots === undefined) return `Bake ${bakeCount} ${question.kind === "which blend" ? "blends" : "settings"} ${days}.`;
  const plots = new Set(wholePlots).size;
  const each = bakeCount / plots;
  const cakes = Number.isInteger(each) ? `${each} ${each === 1 ? "cake" : "cakes"} from each` : `${bakeCount} cakes from them`;
  return words.shared === "load"
    ? `Heat the oven ${plots} times and bake ${Number.isInteger(each) ? `${each} cakes together each time` : `${bakeCount} cakes in all`}, ${days}.`
    : `Mix ${plots} batters and bake ${cakes}, ${days}.`;
}

/** What a split plot asks of the baker, and what it cannot judge. */
function batterCautions(words: DesignWords, quality: DesignQuality, wholePlots: readonly number[] | undefined): string[] {
  if (wholePlots === undefined) return [];
  const load = words.shared === "load";
  const names = words.perBatter!.join(" and ");
  const sizes = [...new Set(wholePlots)].map((plot) => wholePlots.filter((other) => other === plot).length);
  const most = Math.max(...sizes);
  return [
    `${load ? "Cakes of one load" : "Cakes of one batter"} are taken to share half of the usual spread (an assumption): ${names} ${words.perBatter!.length === 1 ? "is" : "are"} judged by whole ${load ? "loads" : "batters"}, the rest more finely.`,
    ...(load || most === 1
      ? []
      : [
          `Mix each batter in one go for all its cakes: ${most === Math.min(...sizes) ? most : `up to ${most}`} times the weights of its batch sheet.`,
        ]),
    ...((quality.wholePlotDf ?? 0) < 1
      ? [`With so few ${load ? "loads" : "batters"} nothing is left to judge what differs between them: ask for another repeat.`]
      : []),
  ];
}

/** Smallest effect from low to high that would be noticed with the wanted chance. */
function noticedEffect(
  main: readonly { readonly standardErrorInSds: number; readonly df: number }[],
  sd: number,
  alpha: number,
  wanted: number,
): number {
  return Math.max(
    ...main.map(({ standardErrorInSds, df }) => {
      if (df < 1) return Number.POSITIVE_INFINITY;
      const critical = fQuantile(1 - alpha, 1, df);
      let low = 0;
      let high = 1000;
      for (let turn = 0; turn < 60; turn++) {
        const middle = (low + high) / 2;
        if (noncentralFUpper(critical, 1, df, (middle / standardErrorInSds) ** 2) < wanted) low = middle;
        else high = middle;
      }
      return 2 * high * sd;
    }),
  );
}
