import type { Ingredient } from "@evencrumb/core/ingredients";
import type { BentLimit } from "@evencrumb/core/keeping";
import type { WeighingSettings } from "@evencrumb/core/quantities";
import type { RebalanceAnswer, RebalanceRequest } from "@evencrumb/core/rebalance";
import { WorkBridge } from "../work/bridge.js";

/** A request as plain data: what the solver asks of a function is made again on the other side. */
export interface RebalanceQuestion {
  /** What the answer belongs to, so that an older one is never taken for it. */
  readonly key: string;
  readonly request: Omit<RebalanceRequest, "bent" | "stepGrams">;
  readonly limits: readonly BentLimit[];
  readonly weighing: WeighingSettings;
  readonly ingredients: readonly Ingredient[];
}

/** The solver could not be fetched: without a network, before it was ever used on this device. */
export interface NoSolver {
  readonly status: "no-solver";
}

export interface RebalanceJobs {
  readonly rebalance: {
    readonly request: RebalanceQuestion;
    readonly progress: never;
    readonly answer: { readonly key: string; readonly answer: RebalanceAnswer | NoSolver };
  };
}

/** The solver is several megabytes: it is fetched with the first question, and stays. */
export const rebalanceWork = new WorkBridge<RebalanceJobs>(
  () => new Worker(new URL("./rebalanceWorker.ts", import.meta.url), { type: "module" }),
);
