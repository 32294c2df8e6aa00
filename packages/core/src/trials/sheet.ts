import type { Problem, Reading } from "../quantities/index.js";
import { readCsv, writeCsv } from "./csv.js";
import type { Cell, DataRow, Factor, Setting } from "./factors.js";
import type { PlacedRun } from "./runOrder.js";

/** Something that is measured in a bake. */
export interface Measure {
  readonly name: string;
  readonly unit: string;
  /** What is wanted, for words such as "better". */
  readonly better?: "larger" | "smaller";
  /** Word for more and for less of it: "taller", "flatter". */
  readonly more?: string;
  readonly less?: string;
  /** How it is measured, in one line. */
  readonly how?: string;
  /** Standard deviation between bakes of the same formula on one day, when the baker has no repeats of their own. */
  readonly typicalSd?: { readonly value: number; readonly source: string };
}

const ASSUMED = "assumption, no source; replaced by the baker's own spread as soon as there are repeats";

/** Measures a baker can take with a scale, a ruler and patience. The typical spreads are assumptions and say so. */
export const USUAL_MEASURES: readonly Measure[] = [
  { name: "weight before", unit: "g", how: "Tin and batter, less the tin." },
  { name: "weight after", unit: "g", how: "Tin and cake, less the tin, as soon as it is out." },
  {
    name: "weight loss",
    unit: "%",
    better: "smaller",
    more: "drier",
    less: "moister",
    how: "(before - after) / before x 100.",
    typicalSd: { value: 0.6, source: ASSUMED },
  },
  {
    name: "height at the centre",
    unit: "mm",
    better: "larger",
    more: "taller",
    less: "flatter",
    how: "Ruler or skewer through the middle, cold.",
    typicalSd: { value: 2, source: ASSUMED },
  },
  {
    name: "height at the edge",
    unit: "mm",
    better: "larger",
    more: "taller",
    less: "flatter",
    how: "Mean of four places, cold.",
    typicalSd: { value: 1.5, source: ASSUMED },
  },
  {
    name: "volume",
    unit: "ml",
    better: "larger",
    more: "larger",
    less: "smaller",
    how: "Rape seed or millet displaced in a box.",
    typicalSd: { value: 25, source: ASSUMED },
  },
  {
    name: "firmness",
    unit: "N",
    better: "smaller",
    more: "firmer",
    less: "softer",
    how: "Weight on a plunger that presses a slice to three quarters of its height.",
    typicalSd: { value: 0.5, source: ASSUMED },
  },
  {
    name: "core temperature",
    unit: "°C",
    more: "hotter",
    less: "cooler",
    how: "Probe in the middle as it comes out.",
    typicalSd: { value: 1.5, source: ASSUMED },
  },
  {
    name: "crust lightness",
    unit: "L*",
    more: "paler",
    less: "darker",
    how: "From a photograph with a reference card.",
    typicalSd: { value: 2, source: ASSUMED },
  },
  {
    name: "liking",
    unit: "points of 9",
    better: "larger",
    more: "better liked",
    less: "less liked",
    how: "1 dislike extremely to 9 like extremely, one mark per taster.",
    typicalSd: { value: 1.6, source: ASSUMED },
  },
];

/** "spoiled": dropped, burnt, forgotten; its figures are kept and not used. "missed": not baked. */
export type RunState = "planned" | "baked" | "spoiled" | "missed";
const RUN_STATES: readonly RunState[] = ["planned", "baked", "spoiled", "missed"];

/** One line of the run sheet. */
export interface SheetRun extends PlacedRun {
  /** Order on the sheet, counted from 1. */
  readonly number: number;
  readonly setting: Setting;
  readonly state: RunState;
  readonly measured: Readonly<Record<string, number | null>>;
  readonly notes: string;
  /** Where pictures of it are kept: what keeps the sheet knows what the words mean. */
  readonly photos?: readonly string[];
}

/** The plan of one trial and what became of it. Plain data: what is saved, printed and sent. */
export interface RunSheet {
  readonly title: string;
  readonly seed: number;
  readonly factors: readonly Factor[];
  readonly measures: readonly Measure[];
  readonly allergens: readonly string[];
  readonly runs: readonly SheetRun[];
}

/** A sheet with nothing measured yet, in baking order. */
export function newRunSheet(words: Omit<RunSheet, "runs">, settings: readonly Setting[], order: readonly PlacedRun[]): RunSheet {
  const measured = Object.fromEntries(words.measures.map(({ name }) => [name, null]));
  const runs = order.map(
    (placed, index): SheetRun => ({
      ...placed,
      number: index + 1,
      setting: settings[placed.runIndex]!,
      state: "planned",
      measured,
      notes: "",
    }),
  );
  return { ...words, runs };
}

/** Writes one result; anything measured turns a planned run into a baked one. */
export function recordRun(
  sheet: RunSheet,
  number: number,
  entry: {
    readonly measured?: Readonly<Record<string, number | null>>;
    readonly state?: RunState;
    readonly notes?: string;
    readonly photos?: readonly string[];
  },
): Reading<RunSheet> {
  const run = sheet.runs.find((candidate) => candidate.number === number);
  if (run === undefined) {
    return {
      value: sheet,
      problems: [
        {
          code: "out-of-range",
          path: ["runs", number],
          expected: `a run from 1 to ${sheet.runs.length}`,
          found: String(number),
          remedy: "Use the number on the run sheet.",
        },
      ],
    };
  }
  const problems: Problem[] = [];
  const measured: Record<string, number | null> = { ...run.measured };
  for (const [name, value] of Object.entries(entry.measured ?? {})) {
    if (!sheet.measures.some((measure) => measure.name === name)) {
      problems.push({
        code: "unknown-field",
        path: ["runs", number, name],
        expected: sheet.measures.map((measure) => measure.name).join(", "),
        found: name,
        remedy: "Use the name on the run sheet.",
      });
    } else if (value !== null && !Number.isFinite(value)) {
      problems.push({
        code: "wrong-type",
        path: ["runs", number, name],
        expected: "a number",
        found: String(value),
        remedy: "Write the number alone.",
      });
    } else measured[name] = value;
  }
  if (entry.measured !== undefined && !("weight loss" in entry.measured)) fillWeightLoss(sheet, entry.measured, measured);
  const anything = Object.values(measured).some((value) => value !== null);
  const state = entry.state ?? (run.state === "planned" && anything ? "baked" : run.state);
  const next: SheetRun = {
    ...run,
    measured,
    state,
    notes: entry.notes ?? run.notes,
    ...(entry.photos === undefined ? {} : { photos: entry.photos }),
  };
  return { value: { ...sheet, runs: sheet.runs.map((candidate) => (candidate === run ? next : candidate)) }, problems };
}

/** The loss follows from the two weights, where the sheet asks for all three; a loss that is written down itself stays. */
function fillWeightLoss(
  { measures }: RunSheet,
  written: Readonly<Record<string, number | null>>,
  measured: Record<string, number | null>,
): void {
  if (!("weight before" in written || "weight after" in written) || !measures.some(({ name }) => name === "weight loss")) return;
  const [before, after] = [measured["weight before"], measured["weight after"]];
  if (typeof before === "number" && typeof after === "number" && before > 0)
    measured["weight loss"] = Number(((100 * (before - after)) / before).toPrecision(4));
}

/**
 * The sheet with one more thing to measure, in every run. The first measure stays the one that was asked about.
 *
 * @throws RangeError when it is measured already
 */
export function addMeasure(sheet: RunSheet, measure: Measure): RunSheet {
  if (sheet.measures.some(({ name }) => name === measure.name))
    throw new RangeError(`addMeasure: ${measure.name} is on the sheet already`);
  return {
    ...sheet,
    measures: [...sheet.measures, measure],
    runs: sheet.runs.map((run) => ({ ...run, measured: { ...run.measured, [measure.name]: null } })),
  };
}

/**
 * Several figures written down for one measure, as a baker takes them: "41 42,5 43". The mean is what is recorded.
 *
 * @returns undefined unless every word is a number; a comma between digits is a decimal comma
 */
export function meanOfFigures(text: string): { readonly mean: number; readonly figures: readonly number[] } | undefined {
  const words = text
    .trim()
    .split(/[\s;/]+/)
    .map((word) => word.replace(",", ".").replace("−", "-"));
  if (words.length < 2 || !words.every((word) => /^-?(\d+\.?\d*|\.\d+)$/.test(word))) return undefined;
  const figures = words.map(Number);
  return { mean: Number((figures.reduce((sum, figure) => sum + figure, 0) / figures.length).toPrecision(6)), figures };
}

const FIXED_COLUMNS = ["run", "day", "load", "place", "batter", "state"] as const;

/** The sheet as CSV, one line a run, in baking order; days, loads and places counted from 1. */
export function writeRunSheet(sheet: RunSheet): string {
  const factorNames = sheet.factors.map(({ name }) => name);
  const measureNames = sheet.measures.map(({ name, unit }) => `${name} [${unit}]`);
  const rows = sheet.runs.map((run): DataRow => {
    const row: Record<string, Cell> = {
      run: run.number,
      day: run.day + 1,
      load: run.load + 1,
      place: run.position + 1,
      batter: run.wholePlot === undefined ? null : run.wholePlot + 1,
      state: run.state,
      notes: run.notes === "" ? null : run.notes,
    };
    for (const name of factorNames) row[name] = run.setting[name] ?? null;
    for (const [index, { name }] of sheet.measures.entries()) row[measureNames[index]!] = run.measured[name] ?? null;
    return row;
  });
  return writeCsv([...FIXED_COLUMNS, ...factorNames, ...measureNames, "notes"], rows);
}

/**
 * Takes a filled-in sheet back: matched by run number; settings that were changed at the bench are taken as what was really baked.
 * Columns that the sheet does not know are named and left.
 */
export function readRunSheet(sheet: RunSheet, text: string): Reading<RunSheet> {
  const { value: table, problems: tableProblems } = readCsv(text);
  const problems: Problem[] = [...tableProblems];
  const measureOf = new Map(
    sheet.measures.flatMap(
      (measure) =>
        [
          [`${measure.name} [${measure.unit}]`, measure],
          [measure.name, measure],
        ] as const,
    ),
  );
  const known = new Set<string>([...FIXED_COLUMNS, "notes", ...sheet.factors.map(({ name }) => name), ...measureOf.keys()]);
  for (const column of table.columns) {
    if (!known.has(column))
      problems.push({
        code: "unknown-field",
        path: [column],
        position: { line: 1, column: 1 },
        expected: "the columns of the run sheet",
        found: column,
        remedy: "Add it as a measure first, or leave it out.",
      });
  }
  let next = sheet;
  for (const [index, row] of table.rows.entries()) {
    const position = { line: table.lines[index]!, column: 1 };
    const number = row.run;
    const run = next.runs.find((candidate) => candidate.number === number);
    if (run === undefined) {
      problems.push({
        code: "out-of-range",
        path: [index, "run"],
        position,
        expected: `a run number from 1 to ${sheet.runs.length}`,
        found: String(number),
        remedy: "Keep the run numbers of the sheet.",
      });
      continue;
    }
    const measured: Record<string, number | null> = {};
    for (const column of table.columns) {
      const measure = measureOf.get(column);
      if (measure === undefined) continue;
      const value = row[column];
      if (typeof value === "string")
        problems.push({
          code: "wrong-type",
          path: [index, column],
          position,
          expected: `a number in ${measure.unit}`,
          found: value,
          remedy: "Write the number alone.",
        });
      else if (value !== undefined) measured[measure.name] = value;
    }
    const setting: Record<string, number | string> = { ...run.setting };
    for (const factor of sheet.factors) {
      const value = row[factor.name];
      if (value === null || value === undefined) continue;
      if (factor.kind === "choice" ? !factor.levels.includes(String(value)) : typeof value !== "number") {
        const expected = factor.kind === "choice" ? `one of ${factor.levels.join(", ")}` : "a number";
        problems.push({
          code: "out-of-range",
          path: [index, factor.name],
          position,
          expected,
          found: String(value),
          remedy: "Write what was really baked.",
        });
      } else setting[factor.name] = factor.kind === "choice" ? String(value) : (value as number);
    }
    const state = row.state;
    if (state !== null && state !== undefined && !RUN_STATES.includes(state as RunState)) {
      problems.push({
        code: "out-of-range",
        path: [index, "state"],
        position,
        expected: RUN_STATES.join(", "),
        found: String(state),
        remedy: "Choose one of these.",
      });
    }
    const recorded = recordRun(next, run.number, {
      measured,
      ...(RUN_STATES.includes(state as RunState) && state !== "planned" ? { state: state as RunState } : {}),
      ...(row.notes === null || row.notes === undefined ? {} : { notes: String(row.notes) }),
    });
    problems.push(...recorded.problems);
    next = {
      ...recorded.value,
      runs: recorded.value.runs.map((candidate) => (candidate.number === run.number ? { ...candidate, setting } : candidate)),
    };
  }
  return { value: next, problems };
}

/** Rows for `readTrial`: baked runs with their settings, day, load, batter and figures; spoiled and missed runs are left out. */
export function sheetRows(sheet: RunSheet): DataRow[] {
  return sheet.runs
    .filter(({ state }) => state === "baked")
    .map((run) => ({
      run: run.number,
      day: `day ${run.day + 1}`,
      load: `day ${run.day + 1} load ${run.load + 1}`,
      ...(run.wholePlot === undefined ? {} : { batter: `batter ${run.wholePlot + 1}` }),
      ...run.setting,
      ...run.measured,
    }));
}

/** Spread of bakes that were meant to be the same: pooled over groups of repeats, with the limit it stays under nine times in ten. */
export interface Spread {
  readonly sd: number;
  readonly df: number;
  readonly source: string;
}

/** Spread from the baker's own repeats; undefined without any. */
export function spreadOfRepeats(groups: readonly (readonly number[])[], source = "your own repeats"): Spread | undefined {
  let squares = 0;
  let df = 0;
  for (const group of groups) {
    if (group.length < 2) continue;
    const mean = group.reduce((sum, value) => sum + value, 0) / group.length;
    squares += group.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    df += group.length - 1;
  }
  return df > 0 && squares > 0 ? { sd: Math.sqrt(squares / df), df, source } : undefined;
}
