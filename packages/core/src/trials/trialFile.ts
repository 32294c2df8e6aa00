import type { Problem, Reading } from "../quantities/index.js";
import { type Comparison, comparePaired, compareSwapped, compareWelch } from "./compare.js";
import { compareLevels } from "./contrasts.js";
import type { DesignWords, NamedDesign } from "./designWords.js";
import type { Factor, Setting } from "./factors.js";
import type { GoalWords } from "./goals.js";
import type { Question, TrialPlan } from "./question.js";
import { readTrial, type TrialReading } from "./readTrial.js";
import { type Measure, newRunSheet, type RunSheet, type RunState, type SheetRun, sheetRows } from "./sheet.js";
import type { TrialModel } from "./trialModel.js";
import { type Answer, sayComparison, sayEffects, sayGroups } from "./words.js";

/** Name and version of the form of a kept trial. */
export const TRIAL_SHAPE = "evencrumb.trial/1";

/** A trial as it is kept: what was asked, what was promised, and the sheet with what happened. */
export interface TrialFile {
  readonly shape: typeof TRIAL_SHAPE;
  readonly kind: Question["kind"];
  readonly title: string;
  readonly promise: {
    readonly summary: string;
    readonly certainty: string;
    readonly ifNothingIsSeen: string;
    readonly cautions: readonly string[];
  };
  /** Difference that matters, in the unit of the measure. */
  readonly matters?: number;
  readonly pairing?: "days" | "shelves" | "apart";
  /** What a comparison of two is to show, said before it is read; default "better". The margin is `matters`. */
  readonly aim?: "better" | "no worse" | "the same";
  /** What is wanted, of one measure or several at once. */
  readonly goals?: readonly GoalWords[];
  readonly sheet: RunSheet;
  /** How the results are to be read, when it is by a model. */
  readonly model?: TrialModel;
}

/** What a measured question and its plan become when they are kept. Tastings are kept as their serving plan. */
export function trialFileOf(question: Question, plan: TrialPlan, title: string, allergens: readonly string[] = []): TrialFile {
  if (!("measure" in question)) throw new RangeError(`trialFileOf: "${question.kind}" is a tasting; keep its serving plan`);
  const { measure } = question;
  const also = (question.also ?? []).filter(({ name }) => name !== measure.name);
  const sheet = newRunSheet(
    { title, seed: question.seed, factors: plan.factors, measures: [measure, ...also], allergens },
    plan.settings,
    plan.order,
  );
  const model: TrialModel | undefined =
    plan.model === undefined
      ? plan.kind === "which of several"
        ? { factors: plan.factors, responses: [{ name: measure.name, unit: measure.unit }], terms: [["cake"]], blocks: "day" }
        : undefined
      : {
          factors: plan.factors,
          responses: [{ name: measure.name, unit: measure.unit }],
          terms: plan.model.terms.filter((term) => term.length > 0),
          coded: true,
          coding: "average",
          ...(plan.design?.blockBy === undefined ? {} : { blocks: plan.design.blockBy }),
          ...(plan.design?.shared === undefined ? {} : { wholePlots: [plan.design.shared] }),
        };
  const { summary, certainty, ifNothingIsSeen, cautions } = plan;
  return {
    shape: TRIAL_SHAPE,
    kind: question.kind,
    title,
    promise: { summary, certainty, ifNothingIsSeen, cautions },
    matters: question.matters,
    ...(question.kind === "better"
      ? { pairing: question.pairing, ...(question.aim === undefined || question.aim === "better" ? {} : { aim: question.aim }) }
      : {}),
    sheet,
    ...(model === undefined ? {} : { model }),
    ...(question.goals === undefined || question.goals.length === 0 ? {} : { goals: question.goals }),
  };
}

/** A design asked for by name, kept with its sheet, so that it can be baked and read as any other trial. */
export function trialFileOfDesign(
  words: DesignWords,
  design: NamedDesign,
  measure: Measure,
  title: string,
  allergens: readonly string[] = [],
): TrialFile {
  const batters = words.perBatter !== undefined;
  return {
    shape: TRIAL_SHAPE,
    kind: words.factors.some(({ kind }) => kind === "share") ? "which blend" : "how much",
    title,
    promise: {
      summary: `Bake ${design.settings.length} runs of a ${words.design} design, in the order of the sheet.`,
      certainty: `Average variance of a predicted mean ${design.quality.averageVariance.toFixed(3)}, largest ${design.quality.largestVariance.toFixed(3)}, of that of one bake.`,
      ifNothingIsSeen: "Ask for the power with your own spread before you bake.",
      cautions:
        design.quality.aliased.length > 0 ? [`Cannot be told apart from others: ${design.quality.aliased.join(", ")}.`] : [],
    },
    sheet: newRunSheet(
      { title, seed: words.seed, factors: words.factors, measures: [measure], allergens },
      design.settings,
      design.order,
    ),
    model: {
      factors: words.factors,
      responses: [{ name: measure.name, unit: measure.unit }],
      terms: design.model.terms.filter((term) => term.length > 0),
      coded: true,
      coding: "average",
      ...(batters ? { wholePlots: [words.shared ?? "batter"] } : { blocks: words.blockBy ?? "day" }),
    },
  };
}

/** What the results of a kept trial say. */
export interface TrialAnswer {
  readonly answer: Answer;
  readonly baked: number;
  readonly spoiled: number;
  readonly missing: number;
  readonly comparison?: Comparison;
  /** Pairs that were used, for the picture. */
  readonly pairs?: readonly { readonly label: string; readonly first: number; readonly second: number }[];
  readonly reading?: TrialReading;
  readonly problems: readonly Problem[];
}

export function answerTrial(file: TrialFile): TrialAnswer {
  const { sheet } = file;
  const measure = sheet.measures[0]!;
  const count = (state: RunState) => sheet.runs.filter((run) => run.state === state).length;
  const base = { baked: count("baked"), spoiled: count("spoiled"), missing: count("planned") + count("missed") };
  if (file.kind === "better") return { ...base, ...answerBetter(file, measure), problems: [] };
  const model: TrialModel = file.model ?? { factors: sheet.factors, responses: [{ name: measure.name }] };
  const rows = sheetRows(sheet);
  const { blocks, ...withoutBlocks } = model;
  const blockCount = blocks === undefined ? 0 : new Set(rows.map((row) => row[blocks])).size;
  const { value: reading, problems } = readTrial(blockCount > 1 ? model : withoutBlocks, rows);
  const response = reading.responses[0];
  if (response === undefined) {
    const answer: Answer = {
      verdict: "cannot tell",
      sentence: `It cannot be told yet: ${base.baked} of ${sheet.runs.length} runs are measured.`,
      certainty: "Nothing can be judged.",
      next: ["Bake and measure the rest of the sheet."],
    };
    return { ...base, answer, reading, problems };
  }
  const { analysis } = response;
  const answer =
    file.kind === "which of several" && analysis.residualSd !== undefined
      ? sayGroups(compareLevels(analysis, "cake"), measure)
      : sayEffects(analysis, measure);
  return { ...base, answer, reading, problems };
}

function answerBetter(file: TrialFile, measure: Measure) {
  const cake = file.sheet.factors.find(({ name }) => name === "cake");
  const [first, second] = cake?.kind === "choice" ? (cake.levels as readonly [string, string]) : (["A", "B"] as const);
  const value = (run: SheetRun): number | undefined =>
    run.state === "baked" ? (run.measured[measure.name] ?? undefined) : undefined;
  const words = { first, second, measure, ...(file.matters === undefined ? {} : { matters: file.matters }) };
  if (file.pairing === "apart") {
    const of = (name: string) =>
      file.sheet.runs.flatMap((run) => (run.setting.cake === name && value(run) !== undefined ? [value(run)!] : []));
    const comparison = compareWelch(of(first), of(second));
    return { comparison, answer: sayComparison(comparison, words) };
  }
  // A pair is a day; a day with a spoiled half gives no difference and is left out.
  const days = [...new Set(file.sheet.runs.map(({ day }) => day))];
  const pairs = days.flatMap((day) => {
    const [a, b] = [first, second].map((name) =>
      file.sheet.runs.find((run) => run.day === day && run.setting.cake === name && value(run) !== undefined),
    );
    return a === undefined || b === undefined
      ? []
      : [
          {
            label: `${file.pairing === "shelves" ? "load" : "day"} ${day + 1}`,
            first: value(a)!,
            second: value(b)!,
            swapped: b.setting.shelf === "upper",
          },
        ];
  });
  const values = pairs.map((pair) => [pair.first, pair.second] as const);
  const comparison =
    file.pairing === "shelves"
      ? compareSwapped(
          values,
          pairs.map(({ swapped }) => swapped),
        )
      : comparePaired(values);
  return {
    comparison,
    pairs: pairs.map(({ label, first: a, second: b }) => ({ label, first: a, second: b })),
    answer: sayComparison(comparison, words),
  };
}

/** What goes with a revision that a trial made the standard: the note under which its evidence is found again. */
export function evidenceNote(file: TrialFile, { answer, baked }: TrialAnswer): string {
  return `${answer.sentence} ${answer.certainty} (Trial "${file.title}", ${baked} bakes, order of seed ${file.sheet.seed}.)`;
}

/** Reads a kept trial from parsed JSON or YAML; everything a later step leans on is checked. */
export function readTrialFile(document: unknown): Reading<TrialFile | undefined> {
  const problems: Problem[] = [];
  const refuse = (path: Problem["path"], expected: string, found: unknown): undefined => {
    problems.push({
      code: "wrong-type",
      path,
      expected,
      found: String(JSON.stringify(found) ?? "nothing").slice(0, 120),
      remedy: "Take the file that `evencrumb trial plan` wrote.",
    });
    return undefined;
  };
  if (!isRecord(document) || document.shape !== TRIAL_SHAPE)
    return { value: refuse(["shape"], TRIAL_SHAPE, isRecord(document) ? document.shape : document), problems };
  const { sheet, kind, promise } = document;
  if (typeof kind !== "string") refuse(["kind"], "the kind of question", kind);
  if (!isRecord(promise) || typeof promise.summary !== "string") refuse(["promise"], "what the plan promised", promise);
  if (
    !isRecord(sheet) ||
    !Array.isArray(sheet.runs) ||
    !Array.isArray(sheet.factors) ||
    !Array.isArray(sheet.measures) ||
    sheet.measures.length === 0
  ) {
    return { value: refuse(["sheet"], "a run sheet with factors, measures and runs", sheet), problems };
  }
  for (const [index, factor] of (sheet.factors as unknown[]).entries())
    if (!isFactor(factor)) refuse(["sheet", "factors", index], "an amount, a share or a choice", factor);
  for (const [index, measure] of (sheet.measures as unknown[]).entries())
    if (!isRecord(measure) || typeof measure.name !== "string" || typeof measure.unit !== "string")
      refuse(["sheet", "measures", index], "a name and a unit", measure);
  for (const [index, run] of (sheet.runs as unknown[]).entries())
    if (!isRun(run)) refuse(["sheet", "runs", index], "a run with number, day, load, position, setting, state and measured", run);
  return problems.length > 0 ? { value: undefined, problems } : { value: document as unknown as TrialFile, problems };
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function isFactor(value: unknown): value is Factor {
  if (!isRecord(value) || typeof value.name !== "string") return false;
  if (value.kind === "amount") return typeof value.low === "number" && typeof value.high === "number";
  if (value.kind === "share") return typeof value.lower === "number" && typeof value.upper === "number";
  return value.kind === "choice" && Array.isArray(value.levels) && value.levels.every((level) => typeof level === "string");
}

function isRun(value: unknown): value is SheetRun {
  if (!isRecord(value) || !isRecord(value.setting) || !isRecord(value.measured)) return false;
  const numbers = [value.number, value.runIndex, value.day, value.load, value.position];
  const setting: Setting = value.setting as Setting;
  return (
    numbers.every((number) => Number.isInteger(number)) &&
    Object.values(setting).every((entry) => typeof entry === "number" || typeof entry === "string") &&
    Object.values(value.measured).every((entry) => entry === null || typeof entry === "number") &&
    ["planned", "baked", "spoiled", "missed"].includes(value.state as string) &&
    typeof value.notes === "string"
  );
}
