import type { Problem, Result } from "../quantities/index.js";
import { axialBlends } from "./blendDesigns.js";
import { type BlendRegion, type BlendRule, candidateBlends, regionPoints } from "./blendRegion.js";
import { bakesForDifference, noticeableDifference, powerOfComparison } from "./compare.js";
import { type DesignQuality, designQuality } from "./designQuality.js";
import { assignBlocks, type FoundDesign, findDesign } from "./designSearch.js";
import {
  type DiscriminationMethod,
  dPrimeOf,
  guessingChance,
  minimumAgreeing,
  minimumCorrect,
  powerOfDiscrimination,
  tastersForDiscrimination,
  tastersForPreference,
} from "./discrimination.js";
import { fQuantile, noncentralFUpper, tQuantile } from "./distributions.js";
import { bestFraction, crossed } from "./factorial.js";
import {
  type AmountFactor,
  type ChoiceFactor,
  checkFactors,
  type Factor,
  fromCoded,
  type Setting,
  type ShareFactor,
} from "./factors.js";
import { buildModel, type Model, type ModelName, modelRow, type Term, termsOf } from "./model.js";
import { createRandom } from "./random.js";
import { dayCounts, type PlacedRun, runOrder } from "./runOrder.js";
import { planTasting, type TastingPlan } from "./serving.js";
import type { Measure, Spread } from "./sheet.js";
import { boxBehnken, centralComposite } from "./surfaceDesigns.js";
import { figure } from "./words.js";

/** What every question can say about the bench. */
interface BenchWords {
  readonly seed: number;
  /** Bakes that one day can take; default 6. */
  readonly perDay?: number;
  /** Cakes that go into the oven together; default 1. */
  readonly perLoad?: number;
  /** Chance of a false alarm; default 0.05. */
  readonly alpha?: number;
  /** Chance to notice what matters; default 0.8. */
  readonly power?: number;
}

interface MeasuredWords extends BenchWords {
  readonly measure: Measure;
  /** Smallest difference that would change what is baked, in the unit of the measure, above 0. */
  readonly matters: number;
  /** The baker's own spread of one bake within a day; without it the measure's typical one is taken, and said. */
  readonly spread?: Spread;
}

/** A baker's question. */
export type Question =
  | (MeasuredWords & {
      readonly kind: "better";
      /** "days": one of each on every baking day; "shelves": both in one oven, places swapped every other time; "apart": each on its own days. */
      readonly pairing: "days" | "shelves" | "apart";
      readonly names?: readonly [string, string];
      /** Most bakes of each that the baker is ready for. */
      readonly most?: number;
    })
  | (MeasuredWords & {
      readonly kind: "how much";
      readonly factors: readonly (AmountFactor | ChoiceFactor)[];
      readonly runCount?: number;
    })
  | (MeasuredWords & {
      readonly kind: "which blend";
      readonly shares: readonly ShareFactor[];
      readonly rules?: readonly BlendRule[];
      readonly process?: readonly (AmountFactor | ChoiceFactor)[];
      readonly model?: Extract<ModelName, "scheffe linear" | "scheffe quadratic" | "scheffe special cubic">;
      readonly runCount?: number;
      readonly onProgress?: (found: FoundDesign) => "go on" | "stop";
    })
  | (MeasuredWords & { readonly kind: "which of several"; readonly names: readonly string[] })
  | (BenchWords & {
      readonly kind: "which is liked best";
      readonly names: readonly string[];
      readonly tasterCount: number;
      readonly allergens: readonly string[];
    })
  | (BenchWords & {
      readonly kind: "can people tell";
      readonly method?: DiscriminationMethod;
      /** Share of people who really notice that matters, 0 to 1; default 0.5. */
      readonly shareTelling?: number;
      readonly tasterCount?: number;
      readonly names?: readonly [string, string];
      readonly allergens: readonly string[];
    })
  | (BenchWords & {
      readonly kind: "which do they prefer";
      /** Share that would have to prefer one for it to matter, above 0.5; default 0.7. */
      readonly share?: number;
      readonly tasterCount?: number;
      readonly names?: readonly [string, string];
      readonly allergens: readonly string[];
    });

/** A plan in words, and all that is needed to carry it out. */
export interface TrialPlan {
  readonly kind: Question["kind"];
  /** "Bake each on 8 days." */
  readonly summary: string;
  /** How sure the plan is, and on what assumption. */
  readonly certainty: string;
  /** What is learnt when nothing is seen. */
  readonly ifNothingIsSeen: string;
  readonly bakeCount: number;
  readonly tasterCount: number;
  readonly dayCount: number;
  /** Chance to notice what matters; undefined when it does not apply. */
  readonly power?: number;
  readonly factors: readonly Factor[];
  readonly settings: readonly Setting[];
  readonly order: readonly PlacedRun[];
  readonly model?: { readonly name: ModelName; readonly terms: readonly Term[] };
  readonly quality?: DesignQuality;
  readonly tasting?: TastingPlan;
  readonly cautions: readonly string[];
}

/**
 * From a question to a plan.
 *
 * @returns problems of the question (limits that no blend meets, nothing named), or the plan
 */
export function planTrial(question: Question): Result<TrialPlan, readonly Problem[]> {
  const problems = checkQuestion(question);
  if (problems.length > 0) return { ok: false, error: problems };
  switch (question.kind) {
    case "better":
      return { ok: true, value: planBetter(question) };
    case "how much":
      return { ok: true, value: planHowMuch(question) };
    case "which blend":
      return { ok: true, value: planBlend(question) };
    case "which of several":
      return { ok: true, value: planSeveral(question) };
    case "which is liked best":
      return { ok: true, value: planLikedBest(question) };
    case "can people tell":
      return { ok: true, value: planTelling(question) };
    case "which do they prefer":
      return { ok: true, value: planPreference(question) };
  }
}

type Of<K extends Question["kind"]> = Extract<Question, { kind: K }>;

function planBetter(question: Of<"better">): TrialPlan {
  const { measure, matters, pairing } = question;
  const [first, second] = question.names ?? ["A", "B"];
  const { spread, caution } = spreadOf(question);
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const paired = pairing !== "apart";
  // A pair shares its day: its difference holds the spread within a day twice. A bake on a day of its own holds it once and the
  // day's spread once; days are taken to differ as much as bakes within a day (assumption). Both come to the same factor.
  const sd = Math.SQRT2 * spread.sd;
  const found = bakesForDifference({ difference: matters, sd, paired, alpha, power: wanted });
  let count = found?.count ?? 1000;
  if (pairing === "shelves" && count % 2 === 1) count++; // as often one way round as the other
  if (pairing === "shelves") count = Math.max(count, 4);
  const limited = question.most !== undefined && count > question.most;
  if (limited) count = Math.max(2, question.most!);
  const power = powerOfComparison({ difference: matters, sd, paired, count, alpha });
  const least = noticeableDifference({ sd, paired, count, alpha, power: wanted });
  const factor: ChoiceFactor = { kind: "choice", name: "cake", levels: [first, second] };
  const settings: Setting[] = [];
  let order: PlacedRun[];
  const random = createRandom(question.seed);
  if (paired) {
    const swaps = random.shuffled(Array.from({ length: count }, (_, index) => index % 2 === 0));
    order = [];
    for (let pair = 0; pair < count; pair++) {
      const names = swaps[pair] ? [first, second] : [second, first];
      for (const [place, name] of names.entries()) {
        order.push({
          runIndex: settings.length,
          day: pair,
          load: pairing === "shelves" ? 0 : place,
          position: pairing === "shelves" ? place : 0,
        });
        settings.push({ cake: name!, ...(pairing === "shelves" ? { shelf: place === 0 ? "upper" : "lower" } : {}) });
      }
    }
  } else {
    for (let index = 0; index < count; index++) settings.push({ cake: first }, { cake: second });
    order = runOrder(settings.length, orderWords(question));
  }
  const how =
    pairing === "days"
      ? `Bake ${first} and ${second} on each of ${count} days, in the order of the sheet.`
      : pairing === "shelves"
        ? `Bake ${first} and ${second} together ${count} times, swapping their shelves as the sheet says.`
        : `Bake ${count} of ${first} and ${count} of ${second}, in the order of the sheet.`;
  const unit = measure.unit;
  return {
    kind: "better",
    summary: how,
    certainty: `A difference of ${matters} ${unit} in ${measure.name} would then be noticed ${timesInTen(power)}, ${spreadWords(spread, unit)}; where there is none, a false alarm comes once in ${Math.round(1 / alpha)}.`,
    ifNothingIsSeen: `If no difference is seen, a true one of ${figure(least, least / 3)} ${unit} or more is unlikely (it would have been noticed ${timesInTen(wanted)}); a smaller one may still be there.`,
    bakeCount: settings.length,
    tasterCount: 0,
    dayCount: Math.max(...order.map(({ day }) => day)) + 1,
    power,
    factors: pairing === "shelves" ? [factor, { kind: "choice", name: "shelf", levels: ["upper", "lower"] }] : [factor],
    settings,
    order,
    cautions: [
      ...caution,
      ...(limited
        ? [
            `With at most ${question.most} the chance to notice ${matters} ${unit} is only ${percent(power)}; ${found === undefined ? "more than a thousand" : found.count} would give ${percent(wanted)}.`,
          ]
        : []),
      ...(paired ? [] : ["Pairs on the same day or in the same oven would need fewer bakes, because days differ."]),
    ],
  };
}

function planHowMuch(question: Of<"how much">): TrialPlan {
  const { factors } = question;
  const amounts = factors.filter((factor) => factor.kind === "amount");
  const choices = factors.filter((factor) => factor.kind === "choice");
  // Up to three amounts bend (quadratic); more are screened for which of them matter at all.
  const screening = amounts.length > 3 || (choices.length > 0 && amounts.length > 2);
  const name: ModelName = screening ? "linear" : amounts.length === 0 ? "linear" : "quadratic";
  const terms = termsOf({ model: name }, factors);
  let coded: number[][];
  if (amounts.length === 0 || choices.length > 0 || question.runCount !== undefined) coded = [];
  else if (screening) {
    const runs = 2 ** Math.ceil(Math.log2(amounts.length + 1));
    coded = [...bestFraction(amounts.length, Math.max(8, runs)).runs, ...Array.from({ length: 3 }, () => amounts.map(() => 0))];
  } else if (amounts.length === 1) coded = [[-1], [0], [1], [-1], [0], [1], [0]];
  else if (amounts.length === 2)
    coded = centralComposite(2, { axial: "face", centreCounts: [2, 2] }).map((run) => [...run.coded]);
  else coded = boxBehnken(3, 3).map((run) => [...run.coded]);
  const model = buildModel(factors, terms, { coded: true, coding: averageCoding(factors) });
  const region = crossed(
    factors
      .map((factor) =>
        factor.kind === "amount" ? [-1, -0.5, 0, 0.5, 1].map((level) => fromCoded(factor, level)) : [...factor.levels.keys()],
      )
      .slice(0, 6),
  );
  if (coded.length > 0) {
    const once = coded.map((row) => row.map((level, index) => fromCoded(amounts[index]!, level)));
    const repeats = repeatsNeeded(question, model, once, factors);
    const values = Array.from({ length: repeats }, () => once).flat();
    const cautions =
      repeats > 1
        ? [
            `The plan of ${once.length} is baked ${repeats} times over, because ${question.matters} ${question.measure.unit} is small against the spread of one bake.`,
          ]
        : [];
    return finishDesign(question, factors, model, name, terms, values, region, question.matters / 2, cautions);
  }
  const candidates = crossed(
    factors.map((factor) =>
      factor.kind === "amount" ? [-1, 0, 1].map((level) => fromCoded(factor, level)) : [...factor.levels.keys()],
    ),
  );
  const runCount = Math.max(question.runCount ?? model.columns.length + 5, model.columns.length + 1);
  const found = findDesign({
    candidates: candidates.map((row) => modelRow(model, row)),
    termCount: model.columns.length,
    runCount,
    criterion: "D",
    seed: question.seed,
    starts: 20,
  });
  return finishDesign(
    question,
    factors,
    model,
    name,
    terms,
    found.chosen.map((index) => candidates[index]!),
    region,
    question.matters / 2,
    [],
  );
}

/** How often a plan must be baked over to notice what matters, 1 to 4; days are taken out of what judges the spread. */
function repeatsNeeded(
  question: Of<"how much">,
  model: Model,
  once: readonly (readonly number[])[],
  factors: readonly Factor[],
): number {
  const { spread } = spreadOf(question);
  const rows = once.map((row) => modelRow(model, row));
  const quality = designQuality({ rows, region: rows, names: model.columns.map((column) => column.name) });
  const error = Math.max(
    ...quality.coefficients
      .filter((entry) => factors.some((factor) => factor.name === entry.name))
      .map((entry) => entry.standardErrorInSds),
  );
  for (let repeats = 1; repeats < 4; repeats++) {
    const runs = repeats * once.length;
    const df = runs - quality.termCount - (dayCounts(runs, question.perDay ?? 6).length - 1);
    if (df < 1) continue;
    const lambda = (repeats * (question.matters / 2 / spread.sd) ** 2) / error ** 2;
    if (noncentralFUpper(fQuantile(1 - (question.alpha ?? 0.05), 1, df), 1, df, lambda) >= (question.power ?? 0.8))
      return repeats;
  }
  return 4;
}

function planBlend(question: Of<"which blend">): TrialPlan {
  const { shares } = question;
  const process = question.process ?? [];
  const factors: Factor[] = [...shares, ...process];
  const region: BlendRegion = {
    lower: shares.map(({ lower }) => lower),
    upper: shares.map(({ upper }) => upper),
    rules: question.rules ?? [],
  };
  const name = question.model ?? (shares.length <= 5 ? "scheffe quadratic" : "scheffe linear");
  const terms = termsOf({ model: name, process: "linear", crossing: process.length > 1 ? "reduced" : "full" }, factors);
  const model = buildModel(factors, terms, { coded: true, coding: averageCoding(factors) });
  const blends = [...candidateBlends(region), ...(fullSimplex(region) ? axialBlends(shares.length) : [])];
  const processSettings = crossed(
    process.map((factor) => (factor.kind === "amount" ? [factor.low, factor.high] : [...factor.levels.keys()])),
  );
  const candidates = processSettings.flatMap((setting) => blends.map((blend) => [...blend, ...setting]));
  const rows = candidates.map((values) => modelRow(model, values));
  const termCount = model.columns.length;
  // Enough bakes that two average blends which differ by what matters are told apart; at least five to judge the spread by.
  const { spread } = spreadOf(question);
  const search = (runCount: number) =>
    findDesign({ candidates: rows, termCount, runCount, criterion: "D", seed: question.seed, starts: 30 }, question.onProgress);
  const blendGap = (design: FoundDesign) =>
    differenceReach(design.chosen.length, termCount, design.averageVariance, spread.sd, question);
  let runCount = Math.max(question.runCount ?? termCount + 5, termCount + 1);
  let found = search(runCount);
  const most = 4 * termCount;
  while (question.runCount === undefined && runCount < most && blendGap(found) > question.matters) {
    // The variance falls about as the number of runs grows: step there at once, and look again.
    runCount = Math.min(
      most,
      Math.max(runCount + 1, Math.floor(runCount * Math.min(2, (blendGap(found) / question.matters) ** 2 * 0.85))),
    );
    found = search(runCount);
  }
  const cautions =
    question.runCount !== undefined && question.runCount < termCount + 3
      ? [`${runCount} bakes leave ${runCount - termCount} to judge the spread; ${termCount + 5} would be better.`]
      : [];
  return finishDesign(
    question,
    factors,
    model,
    name,
    terms,
    found.chosen.map((index) => candidates[index]!),
    candidates,
    undefined,
    cautions,
  );
}

function finishDesign(
  question: Of<"how much"> | Of<"which blend">,
  factors: readonly Factor[],
  model: Model,
  name: ModelName,
  terms: readonly Term[],
  values: readonly (readonly number[])[],
  region: readonly (readonly number[])[],
  coefficient: number | undefined,
  cautions: readonly string[],
): TrialPlan {
  const { measure, matters } = question;
  const { spread, caution } = spreadOf(question);
  const perDay = question.perDay ?? 6;
  const sizes = dayCounts(values.length, perDay);
  const rows = values.map((row) => modelRow(model, row));
  const days = sizes.length > 1 ? assignBlocks(rows, sizes, question.seed, 4).blocks : undefined;
  const order = runOrder(values.length, { ...orderWords(question), ...(days === undefined ? {} : { days }) });
  // Judged with the days taken out, as they will be in the reading.
  const dayColumns = sizes.length - 1;
  const withDays = (row: Float64Array, day: number | undefined): Float64Array => {
    const wide = new Float64Array(row.length + dayColumns);
    wide.set(row);
    for (let other = 0; other < dayColumns; other++)
      wide[row.length + other] = day === undefined ? 0 : (day === other ? 1 : 0) - (day === dayColumns ? 1 : 0);
    return wide;
  };
  const quality = designQuality({
    rows: rows.map((row, index) => withDays(row, days?.[index])),
    region: region.map((row) => withDays(modelRow(model, row), undefined)),
    names: [
      ...model.columns.map((column) => column.name),
      ...Array.from({ length: dayColumns }, (_, index) => `day ${index + 1}`),
    ],
    effectInSds: (coefficient ?? matters / 2) / spread.sd,
    ...(question.alpha === undefined ? {} : { alpha: question.alpha }),
  });
  const main =
    coefficient === undefined ? [] : quality.coefficients.filter((entry) => factors.some((factor) => factor.name === entry.name));
  const power =
    main.length > 0 && main.every((entry) => entry.power !== undefined)
      ? Math.min(...main.map((entry) => entry.power!))
      : undefined;
  const df = values.length - quality.termCount;
  const t = df > 0 ? tQuantile(1 - (question.alpha ?? 0.05) / 2, df) : Number.POSITIVE_INFINITY;
  const reach = t * spread.sd * Math.sqrt(quality.averageVariance);
  const unit = measure.unit;
  const certainty =
    power === undefined
      ? `A blend's mean ${measure.name} will be known to about ${figure(reach, reach / 3)} ${unit} either way, ${spreadWords(spread, unit)}.`
      : `If one of them moves ${measure.name} by ${matters} ${unit} from the low to the high end, it will be noticed ${timesInTen(power)}, ${spreadWords(spread, unit)}.`;
  const hidden =
    coefficient === undefined
      ? Math.SQRT2 * reach
      : undefinedEffect(quality, spread.sd, df, question.alpha ?? 0.05, question.power ?? 0.8, factors);
  return {
    kind: question.kind,
    summary: `Bake ${values.length} ${question.kind === "which blend" ? "blends" : "settings"} on ${sizes.length} ${sizes.length === 1 ? "day" : "days"}, in the order of the sheet.`,
    certainty,
    ifNothingIsSeen:
      coefficient === undefined
        ? `If nothing is seen, two of the blends are unlikely to differ by more than about ${figure(hidden, hidden / 3)} ${unit}; smaller differences may be there.`
        : `If nothing is seen, effects of ${figure(hidden, hidden / 3)} ${unit} or more across the range are unlikely; smaller ones may be there.`,
    bakeCount: values.length,
    tasterCount: 0,
    dayCount: sizes.length,
    ...(power === undefined ? {} : { power }),
    factors,
    settings: values.map((row) => settingOf(factors, row)),
    order,
    model: { name, terms },
    quality,
    cautions: [
      ...caution,
      ...cautions,
      ...(quality.aliased.length > 0
        ? [`These cannot be told apart from others with so few bakes: ${quality.aliased.join(", ")}.`]
        : []),
      ...(power !== undefined && power < (question.power ?? 0.8)
        ? [
            `The chance to notice ${matters} ${unit} is only ${percent(power)}. Bake the whole plan twice, widen the ranges, or be content with larger effects.`,
          ]
        : []),
      ...(quality.indispensable.length > 0 ? ["Some runs cannot be spared: if one of them spoils, bake it again."] : []),
    ],
  };
}

/** Difference of two average blends that is told from none: the half-width of its interval, days taken out of what judges the spread. */
function differenceReach(runCount: number, termCount: number, averageVariance: number, sd: number, question: BenchWords): number {
  const df = runCount - termCount - (dayCounts(runCount, question.perDay ?? 6).length - 1);
  return df < 1
    ? Number.POSITIVE_INFINITY
    : tQuantile(1 - (question.alpha ?? 0.05) / 2, df) * sd * Math.sqrt(2 * averageVariance);
}

/** Smallest effect from low to high that would be noticed with the wanted chance. */
function undefinedEffect(
  quality: DesignQuality,
  sd: number,
  df: number,
  alpha: number,
  wanted: number,
  factors: readonly Factor[],
): number {
  const main = quality.coefficients.filter((entry) =>
    factors.some((factor) => factor.name === entry.name || entry.name.startsWith(`${factor.name} [`)),
  );
  const error = Math.max(...(main.length > 0 ? main : quality.coefficients).map((entry) => entry.standardErrorInSds));
  if (df < 1) return Number.POSITIVE_INFINITY;
  const critical = fQuantile(1 - alpha, 1, df);
  let low = 0;
  let high = 1000;
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (noncentralFUpper(critical, 1, df, (middle / error) ** 2) < wanted) low = middle;
    else high = middle;
  }
  return 2 * high * sd;
}

function planSeveral(question: Of<"which of several">): TrialPlan {
  const { names, measure, matters } = question;
  const { spread, caution } = spreadOf(question);
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  // Least favourable case: two differ by what matters, the others lie between; days are blocks in which each is baked once.
  const power = (count: number) => {
    const df = (names.length - 1) * (count - 1);
    return noncentralFUpper(
      fQuantile(1 - alpha, names.length - 1, df),
      names.length - 1,
      df,
      (count * matters ** 2) / (2 * spread.sd ** 2),
    );
  };
  let count = 2;
  while (count < 500 && power(count) < wanted) count++;
  const days = Array.from({ length: count }, (_, day) => names.map(() => day)).flat();
  const settings = Array.from({ length: count }, () => names.map((cake): Setting => ({ cake }))).flat();
  let low = 0;
  let high = 100 * spread.sd;
  const df = (names.length - 1) * (count - 1);
  const critical = fQuantile(1 - alpha, names.length - 1, df);
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (noncentralFUpper(critical, names.length - 1, df, (count * middle ** 2) / (2 * spread.sd ** 2)) < wanted) low = middle;
    else high = middle;
  }
  return {
    kind: "which of several",
    summary: `Bake each of ${names.length} once on each of ${count} days, in the order of the sheet.`,
    certainty: `If two of them differ by ${matters} ${measure.unit}, it will be noticed that they are not all the same ${timesInTen(power(count))}, ${spreadWords(spread, measure.unit)}.`,
    ifNothingIsSeen: `If nothing is seen, no two are likely to differ by ${figure(high, high / 3)} ${measure.unit} or more.`,
    bakeCount: settings.length,
    tasterCount: 0,
    dayCount: count,
    power: power(count),
    factors: [{ kind: "choice", name: "cake", levels: names }],
    settings,
    order: runOrder(settings.length, { ...orderWords(question), days }),
    cautions: caution,
  };
}

function planLikedBest(question: Of<"which is liked best">): TrialPlan {
  const { names, tasterCount } = question;
  const tasting = planTasting({
    method: "ranking",
    products: names,
    tasterCount,
    seed: question.seed,
    allergens: question.allergens,
  });
  const least = 1.959963984540054 * Math.sqrt((tasterCount * names.length * (names.length + 1)) / 6);
  return {
    kind: "which is liked best",
    summary: `${tasterCount} tasters put ${names.length} cakes in order of liking, each in the serving order of their sheet.`,
    certainty: `Two cakes are told apart when their sums of places differ by ${Math.ceil(least)} or more, of at most ${tasterCount * (names.length - 1)}.`,
    ifNothingIsSeen: "If no order is agreed on, tastes differ or the cakes are alike; it does not show that they are alike.",
    bakeCount: names.length,
    tasterCount,
    dayCount: 1,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [...tasting.advice, ...(tasterCount < 8 ? ["With fewer than 8 tasters only a very clear order is noticed."] : [])],
  };
}

function planTelling(question: Of<"can people tell">): TrialPlan {
  const method = question.method ?? "triangle";
  const share = question.shareTelling ?? 0.5;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForDiscrimination({ method, shareTelling: share, alpha, power: wanted });
  const tasterCount = question.tasterCount ?? needed?.stable ?? 2000;
  const power = powerOfDiscrimination(method, tasterCount, share, alpha);
  const correct = minimumCorrect(method, tasterCount, alpha);
  const products = question.names ?? ["A", "B"];
  const tasting = planTasting({ method, products, tasterCount, seed: question.seed, allergens: question.allergens });
  let hidden = share;
  for (hidden = 0.01; hidden < 1 && powerOfDiscrimination(method, tasterCount, hidden, alpha) < wanted; hidden += 0.01);
  const guess = guessingChance(method);
  return {
    kind: "can people tell",
    summary: `${tasterCount} tasters, one ${method} test each; ${correct === undefined ? "even all right would not be enough" : `${correct} right answers or more show that people can tell`}.`,
    certainty: `If ${percent(share)} of people really notice (a difference of ${figure(dPrimeOf(method, guess + share * (1 - guess)), 0.1)} spreads of a taster's impression), it will be shown ${timesInTen(power)}.`,
    ifNothingIsSeen:
      hidden < 1
        ? `If it is not shown, fewer than about ${percent(hidden)} of people notice; it does not show that nobody does.`
        : "If it is not shown, nothing has been learnt: the panel is too small.",
    bakeCount: 2,
    tasterCount,
    dayCount: 1,
    power,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [
      ...tasting.advice,
      ...(power < wanted
        ? [
            `With ${tasterCount} tasters the chance to notice is only ${percent(power)}${needed === undefined ? "" : `; ${needed.stable} would give ${percent(wanted)}`}.`,
          ]
        : []),
    ],
  };
}

function planPreference(question: Of<"which do they prefer">): TrialPlan {
  const share = question.share ?? 0.7;
  const alpha = question.alpha ?? 0.05;
  const wanted = question.power ?? 0.8;
  const needed = tastersForPreference(share, alpha, wanted);
  const tasterCount = question.tasterCount ?? needed?.stable ?? 2000;
  const agreeing = minimumAgreeing(tasterCount, alpha);
  const products = question.names ?? ["A", "B"];
  const tasting = planTasting({
    method: "paired preference",
    products,
    tasterCount,
    seed: question.seed,
    allergens: question.allergens,
  });
  return {
    kind: "which do they prefer",
    summary: `${tasterCount} tasters taste both and say which they prefer; ${agreeing === undefined ? "even if all agreed it would not be enough" : `${agreeing} or more for the same one show a preference`}.`,
    certainty: `If ${percent(share)} of people prefer one, it will be shown ${needed !== undefined && tasterCount >= needed.stable ? timesInTen(wanted) : "less often than you asked for"}.`,
    ifNothingIsSeen:
      "If no preference is shown, the two may be liked by equally many or by different people; they need not be alike.",
    bakeCount: 2,
    tasterCount,
    dayCount: 1,
    factors: [],
    settings: [],
    order: [],
    tasting,
    cautions: [
      ...tasting.advice,
      ...(needed !== undefined && tasterCount < needed.stable
        ? [`${needed.stable} tasters would be needed to notice ${percent(share)}.`]
        : []),
    ],
  };
}

function checkQuestion(question: Question): readonly Problem[] {
  const problems: Problem[] = [];
  if ("matters" in question && !(question.matters > 0)) {
    problems.push({
      code: "out-of-range",
      path: ["matters"],
      expected: `a difference above 0 ${question.measure.unit}`,
      found: String(question.matters),
      remedy: "Say how large a difference would change what you bake.",
    });
  }
  if ("measure" in question && question.spread === undefined && question.measure.typicalSd === undefined) {
    problems.push({
      code: "missing-field",
      path: ["spread"],
      expected: `how much ${question.measure.name} varies between bakes that were meant to be the same`,
      found: "nothing",
      remedy: "Bake the standard two or three times and measure it, or give a spread.",
    });
  }
  if (question.perDay !== undefined && !(Number.isInteger(question.perDay) && question.perDay >= 1)) {
    problems.push({
      code: "out-of-range",
      path: ["perDay"],
      expected: "1 bake a day or more",
      found: String(question.perDay),
      remedy: "Write how many bakes one day can take.",
    });
  }
  if (question.kind === "how much" || question.kind === "which blend") {
    const factors: readonly Factor[] =
      question.kind === "how much" ? question.factors : [...question.shares, ...(question.process ?? [])];
    problems.push(...checkFactors(factors));
    if (factors.length === 0)
      problems.push({
        code: "missing-field",
        path: ["factors"],
        expected: "at least one thing that is changed",
        found: "nothing",
        remedy: "Name an ingredient, a time or a temperature with its range.",
      });
    if (factors.length > 8)
      problems.push({
        code: "too-large",
        path: ["factors"],
        expected: "at most 8 things changed in one trial",
        found: String(factors.length),
        remedy: "Split the question in two.",
      });
    if (question.kind === "which blend" && problems.length === 0) {
      const corners = regionPoints({
        lower: question.shares.map(({ lower }) => lower),
        upper: question.shares.map(({ upper }) => upper),
        rules: question.rules ?? [],
      }).vertices;
      if (corners.length < 2)
        problems.push({
          code: "conflict",
          path: ["shares"],
          expected: "limits that leave more than one blend",
          found: `${corners.length} possible`,
          remedy: "Widen the limits, or drop a rule.",
        });
    }
  }
  if (
    (question.kind === "which of several" || question.kind === "which is liked best") &&
    (question.names.length < 2 || new Set(question.names).size !== question.names.length)
  ) {
    problems.push({
      code: "out-of-range",
      path: ["names"],
      expected: "two cakes or more, each with its own name",
      found: question.names.join(", "),
      remedy: "Name what is compared.",
    });
  }
  return problems;
}

/** The baker's own spread, widened for how little is known of it, or the measure's typical one with a caution. */
function spreadOf(question: MeasuredWords): { readonly spread: Spread; readonly caution: readonly string[] } {
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

const spreadWords = (spread: Spread, unit: string): string =>
  `if one bake varies by ${figure(spread.sd, spread.sd / 3)} ${unit} (${spread.df > 0 ? `${spread.source}, ${spread.df} to judge it by` : "assumed"})`;

const timesInTen = (power: number): string =>
  power >= 0.995
    ? "almost surely"
    : power >= 0.95
      ? `${Math.round(power * 20)} times in twenty`
      : `about ${Math.max(1, Math.round(power * 10))} times in ten`;
const percent = (share: number): string => `${Math.round(100 * share)} %`;
const orderWords = ({ seed, perDay, perLoad }: BenchWords) => ({ seed, perDay: perDay ?? 6, perLoad: perLoad ?? 1 });
const fullSimplex = ({ lower, upper, rules }: BlendRegion): boolean =>
  lower.every((value) => value === 0) && upper.every((value) => value === 1) && (rules ?? []).length === 0;
const averageCoding = (factors: readonly Factor[]) =>
  Object.fromEntries(factors.flatMap((factor) => (factor.kind === "choice" ? [[factor.name, "average" as const]] : [])));
const settingOf = (factors: readonly Factor[], row: readonly number[]): Setting =>
  Object.fromEntries(
    factors.map((factor, index) => [factor.name, factor.kind === "choice" ? factor.levels[row[index]!]! : tidy(row[index]!)]),
  );
/** Twelve digits: what is set at the bench, without the last digit of the arithmetic. */
const tidy = (value: number): number => Number(value.toPrecision(12));
