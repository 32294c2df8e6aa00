import type { Problem, Reading } from "../quantities/index.js";
import {
  type Analysis,
  type AnalysisInput,
  type AnalysisRun,
  analyse,
  type Prediction,
  predictAt,
  settingValues,
} from "./analyse.js";
import { type BestPoint, bestPoint } from "./bestPoint.js";
import {
  type Comparison,
  comparePaired,
  compareWelch,
  type Equivalence,
  type GroupDifference,
  testEquivalence,
} from "./compare.js";
import { compareLevels } from "./contrasts.js";
import type { DataRow, Factor, Setting } from "./factors.js";
import type { Term } from "./model.js";
import { type Simplified, simplify } from "./simplify.js";
import { fitSplitPlot, type SplitPlotOutcome } from "./splitPlot.js";
import { transformed } from "./transform.js";
import { factorsFromData, type TrialModel, termsFromWords } from "./trialModel.js";

/** What the data say about one response. */
export interface ResponseReading {
  readonly name: string;
  readonly unit?: string;
  /** Rows of the table that were used, in order. */
  readonly usedRows: readonly number[];
  readonly analysis: Analysis;
  /** With what is shared between runs as sources of variation of their own; only when the model names whole plots. */
  readonly splitPlot?: SplitPlotOutcome;
  readonly simplified?: Simplified;
  readonly predictions: readonly { readonly at: Setting; readonly prediction: Prediction }[];
  /** Levels compared, by factor; all comparisons of one factor hold together. */
  readonly comparisons: readonly {
    readonly factor: string;
    readonly method: "Tukey" | "Dunnett";
    readonly differences: readonly GroupDifference[];
  }[];
  /** For one choice of two levels: second minus first, in pairs when the model says what makes a pair, else by Welch. */
  readonly twoLevels?: {
    readonly first: string;
    readonly second: string;
    readonly comparison: Comparison;
    readonly equivalence?: Equivalence;
  };
}

export interface TrialReading {
  readonly factors: readonly Factor[];
  readonly terms: readonly Term[];
  readonly responses: readonly ResponseReading[];
  /** Where the goals are met best; only when the model names goals. */
  readonly best?: BestPoint;
}

/** Largest number of model columns for which an answer is worked out; more is a mistake in the words. */
const MOST_TERMS = 400;
/** Runs times the square of the columns: some seconds of work. */
const MOST_WORK = 2e8;

/** Number of model columns; a choice in a term multiplies by its levels less one. */
const columnsOf = (terms: readonly Term[], factors: readonly Factor[]): number =>
  terms.reduce((sum, term) => {
    const choices = [...new Set(term)].flatMap((name) =>
      factors.filter((factor) => factor.name === name && factor.kind === "choice"),
    );
    return sum + choices.reduce((product, factor) => product * (factor.kind === "choice" ? factor.levels.length - 1 : 1), 1);
  }, 0);

/**
 * Reads a table of runs by the words of a model: the way from a CSV file to coefficients, whatever program made the file.
 * Runs with a missing setting or a missing value are left out, response by response, and said.
 */
export function readTrial(model: TrialModel, rows: readonly DataRow[]): Reading<TrialReading> {
  const problems: Problem[] = [];
  const { value: factors, problems: factorProblems } = factorsFromData(model, rows);
  problems.push(...factorProblems);
  const nothing = { value: { factors, terms: [], responses: [] }, problems };
  if (factorProblems.length > 0) return nothing;
  const { value: terms, problems: termProblems } = termsFromWords(model, factors);
  problems.push(...termProblems);
  if (termProblems.length > 0) return nothing;
  if (terms.length > MOST_TERMS) {
    problems.push({
      code: "too-large",
      path: ["model"],
      expected: `at most ${MOST_TERMS} terms`,
      found: `${terms.length}`,
      remedy: "Choose a smaller model.",
    });
    return nothing;
  }
  for (const name of [model.blocks, ...(model.wholePlots ?? [])]) {
    if (name !== undefined && rows.length > 0 && !rows.some((row) => name in row)) {
      problems.push({
        code: "missing-field",
        path: [name === model.blocks ? "blocks" : "wholePlots"],
        expected: `a column called "${name}"`,
        found: `columns ${Object.keys(rows[0]!).join(", ")}`,
        remedy: "Correct the name, or add the column.",
      });
    }
  }
  const shares = factors.flatMap((factor, index) => (factor.kind === "share" ? [index] : []));
  const responses = model.responses.flatMap((response, responseIndex): ResponseReading[] => {
    if (!rows.some((row) => response.name in row)) {
      problems.push({
        code: "missing-field",
        path: ["responses", responseIndex],
        expected: `a column called "${response.name}"`,
        found: `columns ${Object.keys(rows[0] ?? {}).join(", ") || "none"}`,
        remedy: "Correct the name, or add the column.",
      });
      return [];
    }
    const usedRows: number[] = [];
    const runs: AnalysisRun[] = [];
    const blockNames =
      model.blocks === undefined
        ? []
        : [
            ...new Set(
              rows.flatMap((row) =>
                row[model.blocks!] === null || row[model.blocks!] === undefined ? [] : [String(row[model.blocks!])],
              ),
            ),
          ];
    for (const [rowIndex, row] of rows.entries()) {
      const value = row[response.name];
      if (value === null || value === undefined) continue;
      const path = ["rows", rowIndex, response.name] as const;
      if (typeof value !== "number") {
        problems.push({
          code: "wrong-type",
          path,
          expected: "a number, or an empty cell",
          found: value,
          remedy: "Write the number alone, and its unit in the head of the column.",
        });
        continue;
      }
      const setting = Object.fromEntries(factors.map(({ name }) => [name, row[name] ?? ""]));
      const values = settingValues(factors, setting);
      if (values === undefined) {
        problems.push({
          code: "missing-field",
          path: ["rows", rowIndex],
          expected: `a setting for each of ${factors.map(({ name }) => name).join(", ")}`,
          found: JSON.stringify(setting),
          remedy: "Fill in how the run was made, or leave the run out.",
        });
        continue;
      }
      if (shares.length > 0) {
        const sum = shares.reduce((total, index) => total + values[index]!, 0);
        if (Math.abs(sum - 1) > 0.005) {
          problems.push({
            code: "out-of-range",
            path: ["rows", rowIndex],
            expected: "shares that add to 1",
            found: `${Math.round(sum * 1e6) / 1e6}`,
            remedy: "Correct the shares; write 20 % as 0.2.",
          });
          continue;
        }
      }
      if ((response.transform ?? "none") !== "none") {
        try {
          transformed(value, response.transform!);
        } catch {
          problems.push({
            code: "out-of-range",
            path,
            expected: `a value that has a ${response.transform}`,
            found: `${value}`,
            remedy: "Correct the value, or use no transform.",
          });
          continue;
        }
      }
      const block = model.blocks === undefined ? undefined : blockNames.indexOf(String(row[model.blocks]));
      if (block === -1) {
        problems.push({
          code: "missing-field",
          path: ["rows", rowIndex, model.blocks!],
          expected: "the day or load of the run",
          found: "nothing",
          remedy: "Fill it in, or leave the run out.",
        });
        continue;
      }
      usedRows.push(rowIndex);
      runs.push({ values, response: value, ...(block === undefined ? {} : { block }) });
    }
    if (runs.length < 2) {
      problems.push({
        code: "missing-field",
        path: ["responses", responseIndex],
        expected: "at least two measured runs",
        found: `${runs.length} of "${response.name}"`,
        remedy: "Bake and measure more runs.",
      });
      return [];
    }
    const columnCount = columnsOf(terms, factors) + Math.max(0, blockNames.length - 1);
    if (columnCount > MOST_TERMS || runs.length * columnCount ** 2 > MOST_WORK) {
      problems.push({
        code: "too-large",
        path: ["model"],
        expected: `at most ${MOST_TERMS} columns, and fewer with many runs`,
        found: `${columnCount} columns for ${runs.length} runs`,
        remedy: "Choose a smaller model; a column with a different word in every run is no factor.",
      });
      return [];
    }
    const usedBlocks = [...new Set(runs.map(({ block }) => block))].filter((block) => block !== undefined).sort((a, b) => a - b);
    const coding = model.coding === undefined ? {} : Object.fromEntries(factors.map(({ name }) => [name, model.coding!]));
    const input: AnalysisInput = {
      responseName: response.name,
      factors,
      terms,
      runs: model.blocks === undefined ? runs : runs.map((run) => ({ ...run, block: usedBlocks.indexOf(run.block!) })),
      blockNames: usedBlocks.map((block) => blockNames[block]!),
      coded: model.coded ?? false,
      coding,
      ...(model.blockCoding === undefined ? {} : { blockCoding: model.blockCoding }),
      ...(response.transform === undefined ? {} : { transform: response.transform }),
      ...(model.confidence === undefined ? {} : { confidence: model.confidence }),
    };
    const plainAnalysis = analyse(input);
    const simplified = model.simplify === undefined ? undefined : simplify(input, model.simplify);
    const wholePlots = model.wholePlots ?? [];
    const splitPlot =
      wholePlots.length === 0
        ? undefined
        : fitSplitPlot({
            factors:
              model.blocks === undefined || input.blockNames!.length < 2
                ? factors
                : [...factors, { kind: "choice", name: "block", levels: input.blockNames! }],
            terms: model.blocks === undefined || input.blockNames!.length < 2 ? terms : [...terms, ["block"]],
            runs: input.runs.map((run) => ({
              values: model.blocks === undefined || input.blockNames!.length < 2 ? run.values : [...run.values, run.block!],
              response: transformed(run.response, response.transform ?? "none"),
            })),
            groupings: wholePlots.map((name) => {
              const labels = usedRows.map((rowIndex) => String(rows[rowIndex]![name] ?? ""));
              const distinct = [...new Set(labels)];
              return { name, labels: labels.map((label) => distinct.indexOf(label)) };
            }),
            coded: model.coded ?? false,
            coding: { ...coding, block: model.blockCoding ?? "average" },
            ...(model.confidence === undefined ? {} : { confidence: model.confidence }),
          });
    // What is predicted, compared and drawn follows the sources of variation, where they could be told apart.
    const analysis: Analysis = splitPlot?.kind === "fitted" ? { ...plainAnalysis, mixed: splitPlot } : plainAnalysis;
    const comparisons = (model.comparisons ?? []).flatMap((wanted, index): ResponseReading["comparisons"] => {
      const factor = factors.find(({ name }) => name === wanted.factor);
      const known = factor?.kind === "choice" && (wanted.with === undefined || factor.levels.includes(wanted.with));
      if (!known || !terms.some((term) => term.length === 1 && term[0] === wanted.factor)) {
        problems.push({
          code: "out-of-range",
          path: ["comparisons", index],
          expected: "a choice that is in the model, and one of its levels",
          found: JSON.stringify(wanted),
          remedy: "Give the factor kind choice, and name a level that the data have.",
        });
        return [];
      }
      return [
        {
          factor: wanted.factor,
          method: wanted.with === undefined ? "Tukey" : "Dunnett",
          differences: compareLevels(analysis, wanted.factor, wanted.with),
        },
      ];
    });
    const twoLevels =
      model.paired === undefined && model.equivalence === undefined
        ? undefined
        : compareTwo(model, factors, rows, usedRows, runs, problems);
    // Predictions are made from the full model: its intervals hold what they say, those after leaving out terms hold less.
    const predictions = (model.predict ?? []).flatMap((at, index) => {
      const values = settingValues(factors, at);
      if (values !== undefined) return [{ at, prediction: predictAt(analysis, values) }];
      problems.push({
        code: "out-of-range",
        path: ["predict", index],
        expected: "known levels and numbers",
        found: JSON.stringify(at),
        remedy: "Use the levels that the data have.",
      });
      return [];
    });
    return [
      {
        name: response.name,
        ...(response.unit === undefined ? {} : { unit: response.unit }),
        usedRows,
        analysis,
        ...(splitPlot === undefined ? {} : { splitPlot }),
        ...(simplified === undefined ? {} : { simplified }),
        comparisons,
        ...(twoLevels === undefined ? {} : { twoLevels }),
        predictions,
      },
    ];
  });
  const goals = model.goals ?? [];
  const analyses = responses.map(({ analysis }) => analysis);
  const answered = goals.length > 0 && goals.every((goal) => responses.some(({ name }) => name === goal.response));
  const best = answered ? bestPoint(analyses, goals, { factors }, { seed: 1 }) : undefined;
  return { value: { factors, terms, responses, ...(best === undefined ? {} : { best }) }, problems };
}

/** Second level against first, for a model with one choice of two levels. */
function compareTwo(
  model: TrialModel,
  factors: readonly Factor[],
  rows: readonly DataRow[],
  usedRows: readonly number[],
  runs: readonly AnalysisRun[],
  problems: Problem[],
): ResponseReading["twoLevels"] {
  const index = factors.findIndex((factor) => factor.kind === "choice" && factor.levels.length === 2);
  const factor = factors[index];
  if (factor?.kind !== "choice" || factors.filter(({ kind }) => kind === "choice").length !== 1) {
    problems.push({
      code: "conflict",
      path: ["paired"],
      expected: "one choice of two levels",
      found: factors.map(({ name }) => name).join(", "),
      remedy: 'Compare more than two with "comparisons".',
    });
    return undefined;
  }
  const values = (level: number) =>
    runs.flatMap((run, place) => (run.values[index] === level ? [{ value: run.response, row: rows[usedRows[place]!]! }] : []));
  const [first, second] = [values(0), values(1)];
  let comparison: Comparison;
  if (model.paired === undefined)
    comparison = compareWelch(
      first.map(({ value }) => value),
      second.map(({ value }) => value),
      model.confidence,
    );
  else {
    // Several bakes of one level in one pair count by their mean.
    const key = (row: DataRow) => String(row[model.paired!] ?? "");
    const mean = (list: readonly { readonly value: number; readonly row: DataRow }[], name: string) => {
      const mine = list.filter(({ row }) => key(row) === name);
      return mine.length === 0 ? undefined : mine.reduce((sum, { value }) => sum + value, 0) / mine.length;
    };
    const pairs = [...new Set(first.map(({ row }) => key(row)))].flatMap((name) => {
      const [a, b] = [mean(first, name), mean(second, name)];
      return name === "" || a === undefined || b === undefined ? [] : [[a, b] as const];
    });
    comparison = comparePaired(pairs, model.confidence);
  }
  const equivalence =
    model.equivalence !== undefined && comparison.kind === "compared"
      ? testEquivalence(comparison.difference, model.equivalence)
      : undefined;
  return {
    first: factor.levels[0]!,
    second: factor.levels[1]!,
    comparison,
    ...(equivalence === undefined ? {} : { equivalence }),
  };
}
