import { assignBlocks } from "./designSearch.js";
import { orthogonalise } from "./leastSquares.js";
import { type Model, modelRow } from "./model.js";
import { dayCounts, type PlacedRun, runOrder } from "./runOrder.js";

export interface ArrangeWords {
  readonly seed: number;
  readonly perDay: number;
  readonly perLoad?: number;
  /** How often the whole design is in the values, one after the other. */
  readonly repeats: number;
  /** Factors that are the same for all bakes of one batter (or oven load). */
  readonly perBatter?: readonly string[];
  readonly shared?: "batter" | "load";
  readonly blockBy?: "day" | "load";
}

/** When and where each run is baked, and what that takes out of the comparison. */
export interface ArrangedRuns {
  readonly order: readonly PlacedRun[];
  readonly dayCount: number;
  /** Day, or oven load, of each run; undefined when there is only one. */
  readonly blocks?: readonly number[];
  /** Batter (or load) that a run shares with others, of a split plot. */
  readonly wholePlots?: readonly number[];
}

/**
 * Shares the runs of a design out over days and oven loads, and draws their order.
 *
 * Bakes of one batter stay on one day; days (or loads) get their runs so that they disturb the model as little as possible.
 *
 * @throws RangeError when one batter makes more bakes than a day takes, or a factor of `perBatter` is not there
 */
export function arrangeRuns(model: Model, values: readonly (readonly number[])[], words: ArrangeWords): ArrangedRuns {
  const rows = values.map((row) => modelRow(model, row));
  const perLoad = words.perLoad ?? 1;
  if (words.perBatter !== undefined && words.perBatter.length > 0) return arrangePlots(model, values, rows, words);
  if (words.blockBy === "load" && perLoad > 1 && values.length > perLoad) {
    const sizes = dayCounts(values.length, perLoad);
    const { blocks } = assignBlocks(rows, sizes, words.seed, startsFor(values.length));
    const loadsPerDay = Math.max(1, Math.floor(words.perDay / perLoad));
    const order = runOrder(values.length, {
      seed: words.seed,
      days: blocks.map((load) => Math.floor(load / loadsPerDay)),
      loads: blocks,
    });
    return { order, blocks, dayCount: dayCountOf(order) };
  }
  const sizes = dayCounts(values.length, words.perDay);
  const blocks = sizes.length > 1 ? assignBlocks(rows, sizes, words.seed, startsFor(values.length)).blocks : undefined;
  const order = runOrder(values.length, {
    seed: words.seed,
    perDay: words.perDay,
    perLoad,
    ...(blocks === undefined ? {} : { days: blocks }),
  });
  return { order, dayCount: sizes.length, ...(blocks === undefined ? {} : { blocks }) };
}

function arrangePlots(
  model: Model,
  values: readonly (readonly number[])[],
  rows: readonly Float64Array[],
  words: ArrangeWords,
): ArrangedRuns {
  const wholePlots = plotsOf(model, values, words.perBatter!, words.repeats);
  const members = [...new Set(wholePlots)].map((plot) => [...wholePlots.keys()].filter((run) => wholePlots[run] === plot));
  const size = Math.max(...members.map((runs) => runs.length));
  const what = words.shared === "load" ? "oven load" : "batter";
  if (size > words.perDay) throw new RangeError(`arrangeRuns: one ${what} makes ${size} bakes, and a day takes ${words.perDay}`);
  if (words.shared === "load" && words.perLoad !== undefined && size > words.perLoad)
    throw new RangeError(`arrangeRuns: ${size} bakes share one oven load, and the oven takes ${words.perLoad} together`);
  const sizes = dayCounts(members.length, Math.floor(words.perDay / size));
  let days: number[] | undefined;
  if (sizes.length > 1) {
    // Batters go to days as runs would: a batter counts by the mean of its runs.
    const means = members.map((runs) => rows[0]!.map((_, column) => mean(runs.map((run) => rows[run]![column]!))));
    // Only what differs from batter to batter can be disturbed by days; the rest is the same in every mean.
    const own = independentColumns(means);
    const differing = means.map((row) => Float64Array.from(own, (column) => row[column]!));
    const { blocks } = assignBlocks(differing, sizes, words.seed, startsFor(members.length));
    days = wholePlots.map((plot) => blocks[plot]!);
  }
  const order = runOrder(values.length, {
    seed: words.seed,
    days: days ?? values.map(() => 0),
    ...(words.shared === "load" ? { loads: wholePlots } : { wholePlots, perLoad: words.perLoad ?? 1 }),
  });
  return { order, dayCount: sizes.length, wholePlots, ...(days === undefined ? {} : { blocks: days }) };
}

/** Runs that can share one batter: same values of the batter's factors, within one repeat. Numbered from 0. */
function plotsOf(
  { factors }: Model,
  values: readonly (readonly number[])[],
  perBatter: readonly string[],
  repeats: number,
): number[] {
  const places = perBatter.map((name) => factors.findIndex((factor) => factor.name === name));
  if (places.includes(-1))
    throw new RangeError(
      `arrangeRuns: perBatter names ${perBatter.join(", ")}; the factors are ${factors.map(({ name }) => name).join(", ")}`,
    );
  const size = values.length / repeats;
  const keys = values.map((row, index) => `${Math.floor(index / size)} ${places.map((place) => row[place]).join(" ")}`);
  const distinct = [...new Set(keys)];
  return keys.map((key) => distinct.indexOf(key));
}

/** Columns that say something new, the first ones first. */
const independentColumns = (rows: readonly Float64Array[]): readonly number[] =>
  orthogonalise(
    Array.from({ length: rows[0]?.length ?? 0 }, (_, column) => ({
      high: Float64Array.from(rows, (row) => row[column]!),
      low: new Float64Array(rows.length),
    })),
    rows.length,
  ).kept;

/** Sharing many runs out takes long, and then one beginning is nearly as good as another. */
const startsFor = (count: number): number => (count > 40 ? 1 : 4);

const mean = (list: readonly number[]): number => list.reduce((sum, value) => sum + value, 0) / list.length;
const dayCountOf = (order: readonly PlacedRun[]): number => Math.max(...order.map(({ day }) => day)) + 1;
