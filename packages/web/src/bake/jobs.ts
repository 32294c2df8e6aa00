import type { BakeBands, BakePrediction, BakeRequest, Calibration, OvenRecord } from "@evencrumb/core/bake";
import { WorkBridge } from "../work/bridge.js";

/** How one tin of the shelf would bake. */
export interface TinOutlook {
  readonly name: string;
  readonly doneS: { readonly likely: number; readonly from: number; readonly to: number };
  readonly outcome: BakePrediction["outcome"];
  readonly batterMm: number;
  readonly centreMm: number;
  readonly edgeMm: number;
  /** How long before the coldest point the crumb near the wall was as hot [s]. */
  readonly edgeAheadS: number;
  readonly browning: string;
  readonly lossPercent: number;
  readonly cautions: readonly string[];
}

export interface PositionAnswer {
  readonly position: string;
  readonly calibration: Calibration;
  /** Curves of the middle, before and after, of the first record with probe readings. */
  readonly probe?: {
    readonly name: string;
    readonly before: { readonly timesS: Float64Array; readonly centreC: Float64Array };
    readonly after: { readonly timesS: Float64Array; readonly centreC: Float64Array };
    readonly measured: { readonly timesS: readonly number[]; readonly temperaturesC: readonly number[] };
  };
}

export interface BakeJobs {
  readonly predict: {
    readonly request: BakeRequest;
    /** Share of the way, 0 to 1. */
    readonly progress: number;
    /** With what was asked: an answer that comes late must not be taken for another's. */
    readonly answer: { readonly request: BakeRequest; readonly prediction: BakePrediction };
  };
  /** The bake again and again with what is uncertain drawn anew each time, evenly spread. */
  readonly band: {
    readonly request: { readonly bake: BakeRequest; readonly count: number };
    readonly progress: number;
    readonly answer: BakeBands;
  };
  readonly tins: {
    readonly request: readonly { readonly name: string; readonly request: BakeRequest }[];
    readonly progress: readonly TinOutlook[];
    readonly answer: readonly TinOutlook[];
  };
  readonly calibrate: {
    readonly request: readonly { readonly position: string; readonly records: readonly OvenRecord[] }[];
    readonly progress: number;
    readonly answer: { readonly positions: readonly PositionAnswer[]; readonly compared: readonly string[] };
  };
}

const start = () => new Worker(new URL("./bakeWorker.ts", import.meta.url), { type: "module" });
/** Answers within a frame or two while something is dragged; nothing long may be asked of it. */
export const quickBakes = new WorkBridge<BakeJobs>(start);
/** The full accuracy, stopped whenever something changes. */
export const fullBakes = new WorkBridge<BakeJobs>(start);
/** Many bakes, one after the other: the other tins, sampled bands and calibration. */
export const manyBakes = new WorkBridge<BakeJobs>(start);
