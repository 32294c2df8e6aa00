import { readSmall, type SmallStorage, writeSmall } from "../keep/storage.js";

/** What is ticked, written and running at the bench. It stays on the device, so that it needs no network and survives a reload. */
export interface BenchState {
  /** Lines that are weighed: "0-1-2" is component, stage, line. */
  readonly ticked: readonly string[];
  /** What was written into the fields to measure. */
  readonly written: Readonly<Record<string, string>>;
  readonly notes: string;
  /** When each running timer ends [ms since 1970], by stage. */
  readonly timers: Readonly<Record<string, number>>;
  /** [ms since 1970] */
  readonly changedAt: number;
}

export const EMPTY_BENCH: BenchState = { ticked: [], written: {}, notes: "", timers: {}, changedAt: 0 };

export function readBench(key: string, storage?: SmallStorage): BenchState {
  return { ...EMPTY_BENCH, ...readSmall<Partial<BenchState>>(`bench.${key}`, storage) };
}

export function writeBench(key: string, state: BenchState, storage?: SmallStorage): void {
  writeSmall(`bench.${key}`, state, storage);
}

export const toggled = (ticked: readonly string[], line: string): readonly string[] =>
  ticked.includes(line) ? ticked.filter((one) => one !== line) : [...ticked, line];
