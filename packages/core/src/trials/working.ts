import type { Reading } from "../quantities/index.js";
import { modelOf } from "./answerTrial.js";
import { pageTest, type Ranking, rankingTest, ranksOfScores } from "./ranking.js";
import { type ResponseReading, readTrial } from "./readTrial.js";
import { sheetRows } from "./sheet.js";
import type { TrialFile } from "./trialFile.js";

/** The working behind an answer, for whoever wants to check it. */
export interface TrialWorking {
  readonly response: ResponseReading;
  /** Name of each run of the analysis: "run 5". */
  readonly runNames: readonly string[];
  /** Cakes put in order day by day, where each was baked and measured on every day; only for several cakes. */
  readonly ranks?: {
    readonly names: readonly string[];
    readonly days: number;
    readonly ranking: Ranking;
    /** For three cakes or more: whether the days follow the order in which the cakes are named. */
    readonly page?: ReturnType<typeof pageTest>;
  };
}

/**
 * Everything about the measure that decides: all comparisons of every choice (Tukey each with each, Dunnett with the first), the smaller
 * model, and for several cakes their order day by day.
 *
 * @returns undefined where there is nothing to read by a model: two cakes in pairs, a confirmation, or too few runs
 */
export function workingOfTrial(file: TrialFile): Reading<TrialWorking | undefined> {
  if (file.kind === "better" || file.kind === "confirmation") return { value: undefined, problems: [] };
  const rows = sheetRows(file.sheet);
  const model = modelOf(file, rows);
  const choices = file.sheet.factors.filter((factor) => factor.kind === "choice");
  const isMain = (name: string) =>
    (model.terms ?? choices.map((factor) => [factor.name])).some((term) => term.length === 1 && term[0] === name);
  const comparisons = choices
    .filter(({ name }) => isMain(name))
    .flatMap(({ name, levels }) => [{ factor: name }, ...(levels.length > 2 ? [{ factor: name, with: levels[0]! }] : [])]);
  const { value, problems } = readTrial(
    { ...model, responses: model.responses.slice(0, 1), comparisons, simplify: SIMPLIFY_ABOVE },
    rows,
  );
  const [response] = value.responses;
  if (response === undefined) return { value: undefined, problems };
  const runNames = response.usedRows.map((row) => `run ${rows[row]!.run}`);
  const ranks = file.kind === "which of several" ? dayRanks(file) : undefined;
  return { value: { response, runNames, ...(ranks === undefined ? {} : { ranks }) }, problems };
}

/** A term with a larger p may be left out of the smaller model. */
export const SIMPLIFY_ABOVE = 0.1;

function dayRanks({ sheet }: TrialFile): TrialWorking["ranks"] {
  const [measure] = sheet.measures;
  const cake = sheet.factors.find(({ name }) => name === "cake");
  if (measure === undefined || cake?.kind !== "choice") return undefined;
  const days = [...new Set(sheet.runs.map(({ day }) => day))];
  const whole = days.flatMap((day) => {
    const values = cake.levels.map((level) => {
      const run = sheet.runs.find((one) => one.day === day && one.setting.cake === level && one.state === "baked");
      return run?.measured[measure.name];
    });
    const known = values.filter((value) => typeof value === "number");
    // The best is first: the largest, or the smallest where that is wanted.
    return known.length === cake.levels.length
      ? [ranksOfScores(measure.better === "smaller" ? known.map((value) => -value) : known)]
      : [];
  });
  if (whole.length < 2 || cake.levels.length < 2) return undefined;
  return {
    names: cake.levels,
    days: whole.length,
    ranking: rankingTest(whole),
    ...(cake.levels.length > 2 ? { page: pageTest(whole) } : {}),
  };
}
