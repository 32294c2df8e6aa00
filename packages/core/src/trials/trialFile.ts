import type { Problem, Reading } from "../quantities/index.js";
import type { TrialAnswer } from "./answerTrial.js";
import type { BlendRule } from "./blendRegion.js";
import type { ConfirmationOf } from "./confirmation.js";
import type { DesignWords, NamedDesign } from "./designWords.js";
import { COMPARISON_AIMS, type ComparisonAim } from "./equivalenceWords.js";
import type { Factor, Setting } from "./factors.js";
import type { GoalWords } from "./goals.js";
import type { Question, TrialPlan } from "./question.js";
import { type Measure, newRunSheet, type RunSheet, type SheetRun } from "./sheet.js";
import { TRANSFORMS, type Transform } from "./transform.js";
import type { TrialModel } from "./trialModel.js";

/** Name and version of the form of a kept trial. */
export const TRIAL_SHAPE = "evencrumb.trial/1";

/** A trial as it is kept: what was asked, what was promised, and the sheet with what happened. */
export interface TrialFile {
  readonly shape: typeof TRIAL_SHAPE;
  /** The question, or "confirmation": bakes that are to bear out what a trial predicted. */
  readonly kind: Question["kind"] | "confirmation";
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
  readonly sheet: RunSheet;
  /** How the results are to be read, when it is by a model. */
  readonly model?: TrialModel;
  /** Rules among the shares of a blend, beside their limits. */
  readonly rules?: readonly BlendRule[];
  /** What a comparison of two is to show, said before it is read; default "better". The margin is `matters`. */
  readonly aim?: ComparisonAim;
  /** What is wanted, of one measure or several at once. */
  readonly goals?: readonly GoalWords[];
  /** Scales on which measures are read, by name, where it is not as measured. */
  readonly scales?: Readonly<Record<string, Transform>>;
  /** What a confirmation goes back to; only with kind "confirmation". */
  readonly confirms?: ConfirmationOf;
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
    ...(question.kind === "which blend" && (question.rules ?? []).length > 0 ? { rules: question.rules! } : {}),
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
  const { goals, aim, scales } = document;
  if (goals !== undefined && !(Array.isArray(goals) && goals.every(isGoal)))
    refuse(["goals"], "a list of {response, direction, low, high, target, importance}", goals);
  if (aim !== undefined && !(COMPARISON_AIMS as readonly unknown[]).includes(aim))
    refuse(["aim"], COMPARISON_AIMS.join(", "), aim);
  if (
    scales !== undefined &&
    !(isRecord(scales) && Object.values(scales).every((one) => (TRANSFORMS as readonly unknown[]).includes(one)))
  )
    refuse(["scales"], `a scale for each measure: ${TRANSFORMS.join(", ")}`, scales);
  if (kind === "confirmation" && !isConfirmation(document.confirms))
    refuse(
      ["confirms"],
      "what the trial predicted: two names, two settings and what is expected of each measure",
      document.confirms,
    );
  return problems.length > 0 ? { value: undefined, problems } : { value: document as unknown as TrialFile, problems };
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

function isGoal(value: unknown): boolean {
  if (!isRecord(value) || typeof value.response !== "string") return false;
  const numbers = [value.low, value.high, value.target, value.importance];
  return (
    ["larger", "smaller", "target"].includes(value.direction as string) &&
    numbers.every((one) => one === undefined || (typeof one === "number" && Number.isFinite(one)))
  );
}

function isConfirmation(value: unknown): boolean {
  if (!isRecord(value) || !Array.isArray(value.names) || !Array.isArray(value.settings) || !Array.isArray(value.expected))
    return false;
  const isRange = (one: unknown) => isRecord(one) && typeof one.from === "number" && typeof one.to === "number";
  return (
    value.names.length === 2 &&
    value.settings.length === 2 &&
    value.expected.length > 0 &&
    value.expected.every(
      (one: unknown) =>
        isRecord(one) &&
        typeof one.measure === "string" &&
        Array.isArray(one.ranges) &&
        one.ranges.length > 0 &&
        one.ranges.every(isRange),
    )
  );
}

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
