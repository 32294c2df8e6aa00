import type { Problem, Reading } from "../quantities/index.js";
import { type BestPoint, bestPoint } from "./bestPoint.js";
import { type Comparison, comparePaired, compareSwapped, compareWelch, type Equivalence, testEquivalence } from "./compare.js";
import { type ConfirmationReading, readConfirmation } from "./confirmation.js";
import { compareLevels } from "./contrasts.js";
import type { Goal } from "./desirability.js";
import { advice, type Standing, sayEffects, standings } from "./effectWords.js";
import { type ComparisonAim, harmlessLimits, sayEquivalence } from "./equivalenceWords.js";
import type { DataRow } from "./factors.js";
import { type GoalWords, goalsFromWords, usualGoal } from "./goals.js";
import { type ResponseReading, readTrial, type TrialReading } from "./readTrial.js";
import { type Measure, type RunState, type SheetRun, sheetRows } from "./sheet.js";
import type { TrialFile } from "./trialFile.js";
import type { TrialModel } from "./trialModel.js";
import { type Answer, sayBest, sayComparison, sayGroups } from "./words.js";

/** What the results of a kept trial say. */
export interface TrialAnswer {
  readonly answer: Answer;
  readonly baked: number;
  readonly spoiled: number;
  readonly missing: number;
  readonly comparison?: Comparison;
  /** What the comparison was to show, and the test at the margin that matters; only where a margin was named. */
  readonly aim?: ComparisonAim;
  readonly equivalence?: Equivalence;
  /** Pairs that were used, for the picture. */
  readonly pairs?: readonly { readonly label: string; readonly first: number; readonly second: number }[];
  /** All measures with enough figures; the one that decides comes first. */
  readonly reading?: TrialReading;
  /** How many batters and cakes stand behind each factor; only where cakes share batters. */
  readonly standing?: readonly Standing[];
  readonly confirmation?: ConfirmationReading;
  readonly problems: readonly Problem[];
}

export function answerTrial(file: TrialFile): TrialAnswer {
  const { sheet } = file;
  const measure = sheet.measures[0]!;
  const count = (state: RunState) => sheet.runs.filter((run) => run.state === state).length;
  const base = { baked: count("baked"), spoiled: count("spoiled"), missing: count("planned") + count("missed") };
  if (file.kind === "confirmation") {
    if (file.confirms === undefined) throw new RangeError("answerTrial: a confirmation without what it confirms");
    const confirmation = readConfirmation(file.confirms, sheet);
    return { ...base, confirmation, answer: confirmation.answer, problems: [] };
  }
  if (file.kind === "better") return { ...base, ...answerBetter(file, measure), problems: [] };
  const rows = sheetRows(sheet);
  const model = modelOf(file, rows);
  const { value: reading, problems } = readTrial(model, rows);
  const response = reading.responses[0];
  if (response?.name !== measure.name) {
    const answer: Answer = {
      verdict: "cannot tell",
      sentence: `It cannot be told yet: ${base.baked} of ${sheet.runs.length} runs are measured.`,
      certainty: "Nothing can be judged.",
      next: ["Bake and measure the rest of the sheet."],
    };
    return { ...base, answer, reading, problems };
  }
  const standing = standingOf(model, response, rows);
  return {
    ...base,
    answer: answerOf(file, response, measure, standing, rows),
    reading,
    ...(standing.length === 0 ? {} : { standing }),
    problems,
  };
}

function answerOf(
  file: TrialFile,
  response: ResponseReading,
  measure: Measure,
  standing: readonly Standing[],
  rows: readonly DataRow[],
): Answer {
  const { analysis, splitPlot } = response;
  const runNames = response.usedRows.map((row) => `run ${rows[row]!.run}`);
  // Tins of one batter taken for independent cakes give a false certainty: their ranges hold three times in four, not nineteen in twenty.
  if (splitPlot?.kind === "not fitted")
    return {
      verdict: "cannot tell",
      sentence: `It cannot be told yet: several cakes share a batter, and ${splitPlot.why}.`,
      certainty: "Taking cakes of one batter for independent ones would promise more than they can tell.",
      next: ["Bake the rest of the sheet, or more batters: more cakes of the same batter do not help."],
    };
  if (file.kind !== "which of several" || analysis.residualSd === undefined)
    return sayEffects(analysis, measure, standing, runNames);
  const answer = sayGroups(compareLevels(analysis, "cake"), measure);
  return { ...answer, next: [...advice(analysis, runNames), ...answer.next] };
}

/** The model of a kept trial, with every measure that has figures as a response; days only where there are several. */
export function modelOf(file: TrialFile, rows: readonly DataRow[]): TrialModel {
  const { sheet } = file;
  const [first] = sheet.measures;
  const model: TrialModel = file.model ?? { factors: sheet.factors, responses: [{ name: first!.name }] };
  const measured = sheet.measures.filter(
    (measure) => measure === first || rows.filter((row) => typeof row[measure.name] === "number").length > 1,
  );
  const responses = measured.map(({ name, unit }) => {
    const transform = file.scales?.[name];
    return { name, unit, ...(transform === undefined || transform === "none" ? {} : { transform }) };
  });
  const { blocks, ...rest } = { ...model, responses };
  const several = blocks !== undefined && new Set(rows.map((row) => row[blocks])).size > 1;
  // Cakes that came from one batter are never independent, whatever the model says of them.
  const shares = rows.length > new Set(rows.map(({ run, batter }) => batter ?? `run ${run}`)).size;
  const wholePlots = model.wholePlots ?? (shares ? ["batter"] : []);
  return { ...rest, ...(several ? { blocks } : {}), ...(wholePlots.length === 0 ? {} : { wholePlots }) };
}

function standingOf(model: TrialModel, response: ResponseReading, rows: readonly DataRow[]): readonly Standing[] {
  const name = model.wholePlots?.at(-1);
  if (name === undefined) return [];
  const labels = response.usedRows.map((row) => String(rows[row]![name] ?? ""));
  const distinct = [...new Set(labels)];
  return standings(
    response.analysis,
    labels.map((label) => distinct.indexOf(label)),
    name,
  );
}

/** The setting at which the wishes are met best, and the goals it was sought with. */
export interface TrialBest {
  readonly best: BestPoint;
  readonly goals: readonly Goal[];
  readonly answer: Answer;
}

/** The wishes of a trial: those that were written down, else that of the measure that decides. */
export function wishesOf(file: TrialFile): readonly GoalWords[] {
  if (file.goals !== undefined && file.goals.length > 0) return file.goals;
  const usual = usualGoal(file.sheet.measures[0]!);
  return usual === undefined ? [] : [usual];
}

/**
 * The best setting of a trial that changed amounts, shares or choices, within the limits and rules that were explored.
 *
 * @returns undefined where none can be given: two cakes in pairs, no wish, or nothing left over to judge a prediction by
 */
export function bestOfTrial(file: TrialFile, { reading }: TrialAnswer): Reading<TrialBest | undefined> {
  const wishes = wishesOf(file);
  const responses = reading?.responses ?? [];
  if (wishes.length === 0 || responses.length === 0) return { value: undefined, problems: [] };
  const seen = (name: string) => {
    const column = file.sheet.runs.filter(({ state }) => state === "baked").map(({ measured }) => measured[name]);
    return responses.some((response) => response.name === name) ? column.filter((value) => typeof value === "number") : [];
  };
  const { value: goals, problems } = goalsFromWords(wishes, seen, file.sheet.measures);
  const analyses = responses.map(({ analysis }) => analysis);
  const judged = goals.every(({ response }) =>
    responses.some(
      ({ name, analysis, splitPlot }) =>
        name === response && analysis.residualSd !== undefined && splitPlot?.kind !== "not fitted",
    ),
  );
  if (problems.length > 0 || !judged) return { value: undefined, problems };
  const space = { factors: file.sheet.factors, ...(file.rules === undefined ? {} : { rules: file.rules }) };
  const best = bestPoint(analyses, goals, space, { seed: file.sheet.seed });
  return { value: { best, goals, answer: sayBest(best, file.sheet.measures, file.sheet.factors) }, problems };
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
    return spoken(file, compareWelch(of(first), of(second)), words);
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
    ...spoken(file, comparison, words),
    pairs: pairs.map(({ label, first: a, second: b }) => ({ label, first: a, second: b })),
  };
}

/** The answer to what was asked of two: a difference, "no worse" or "the same", the latter two at the margin that matters. */
function spoken(file: TrialFile, comparison: Comparison, words: Parameters<typeof sayComparison>[1]) {
  const aim = file.aim ?? "better";
  const limits = harmlessLimits(aim, words.measure, file.matters);
  if (limits === undefined) return { comparison, aim: "better" as const, answer: sayComparison(comparison, words) };
  const equivalence = comparison.kind === "compared" ? testEquivalence(comparison.difference, limits) : undefined;
  const tested = equivalence === undefined ? {} : { equivalence };
  const answer =
    aim === "better"
      ? sayComparison(comparison, words, equivalence)
      : sayEquivalence(comparison, aim, { ...words, matters: file.matters! }, limits);
  return { comparison, aim, ...tested, answer };
}
