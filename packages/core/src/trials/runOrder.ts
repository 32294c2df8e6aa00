import { createRandom } from "./random.js";

/** Where and when one run is baked. Counted from 0; a sheet prints them from 1. */
export interface PlacedRun {
  /** Place of the run in the design. */
  readonly runIndex: number;
  readonly day: number;
  /** Oven load within the day. */
  readonly load: number;
  /** Place within the load. */
  readonly position: number;
  /** Batter that the run is taken from, when several runs share one. */
  readonly wholePlot?: number;
}

export interface OrderOptions {
  readonly seed: number;
  /** Runs that one day can take; default all on one day. */
  readonly perDay?: number;
  /** Runs that go into the oven together; default 1. */
  readonly perLoad?: number;
  /** Day of each run, when the design already shared them out. */
  readonly days?: readonly number[];
  /** Batter of each run: runs of one batter stay together on one day. */
  readonly wholePlots?: readonly number[];
  /** Oven load of each run, when the design already shared them out: instead of `wholePlots` and `perLoad`. */
  readonly loads?: readonly number[];
}

/** Runs per day, as even as can be. */
export function dayCounts(runCount: number, perDay: number): number[] {
  if (!(perDay >= 1)) throw new RangeError(`dayCounts: ${perDay} runs a day`);
  const days = Math.max(1, Math.ceil(runCount / perDay));
  return Array.from({ length: days }, (_, day) => Math.floor(runCount / days) + (day < runCount % days ? 1 : 0));
}

/**
 * The order in which runs are baked: shuffled within each day, never across days; runs of one batter together.
 * The seed on the sheet draws the same order again.
 *
 * @throws RangeError when one batter's runs are on different days, or a batter is larger than a day
 */
export function runOrder(runCount: number, options: OrderOptions): PlacedRun[] {
  const random = createRandom(options.seed);
  const wholePlots = options.loads ?? options.wholePlots ?? [...Array(runCount).keys()];
  const plots = new Map<number, number[]>();
  for (let run = 0; run < runCount; run++) plots.set(wholePlots[run]!, [...(plots.get(wholePlots[run]!) ?? []), run]);
  let days = options.days;
  if (days === undefined) {
    // Batters are dealt to days at random; with batters of one run each this deals runs.
    const perDay = options.perDay ?? runCount;
    const sizes = [...plots.values()].map((runs) => runs.length);
    if (Math.max(0, ...sizes) > perDay)
      throw new RangeError(`runOrder: one batter makes ${Math.max(...sizes)} runs, a day takes ${perDay}`);
    const plotsPerDay = Math.floor(perDay / Math.max(1, ...sizes));
    const labels = random.shuffled(dayCounts(plots.size, plotsPerDay).flatMap((count, day) => Array<number>(count).fill(day)));
    const dealt = Array<number>(runCount).fill(0);
    for (const [place, runs] of [...plots.values()].entries()) for (const run of runs) dealt[run] = labels[place]!;
    days = dealt;
  }
  const dayNumbers = [...new Set(days)].sort((a, b) => a - b);
  const placed: PlacedRun[] = [];
  const perLoad = options.perLoad ?? 1;
  for (const day of dayNumbers) {
    const today = [...plots].filter(([, runs]) => days[runs[0]!] === day);
    for (const [, runs] of today)
      if (runs.some((run) => days[run] !== day)) throw new RangeError("runOrder: runs of one batter are on different days");
    let place = 0;
    for (const [load, [plot, runs]] of random.shuffled(today).entries()) {
      for (const [position, runIndex] of random.shuffled(runs).entries()) {
        if (options.loads !== undefined) placed.push({ runIndex, day, load, position });
        else {
          const base = { runIndex, day, load: Math.floor(place / perLoad), position: place % perLoad };
          placed.push(options.wholePlots === undefined ? base : { ...base, wholePlot: plot });
        }
        place++;
      }
    }
  }
  return placed;
}

/** A design in which each batter (whole plot) is split over several bakes: every whole-plot setting with every split setting. */
export function splitPlotRuns<T>(
  wholeSettings: readonly T[],
  splitSettings: readonly T[],
  batterRepeats: number,
): { readonly whole: T; readonly split: T; readonly wholePlot: number }[] {
  const batters = Array.from({ length: batterRepeats }, () => wholeSettings).flat();
  return batters.flatMap((whole, wholePlot) => splitSettings.map((split) => ({ whole, split, wholePlot })));
}
