import type { Problem, Result } from "@evencrumb/core/quantities";
import type { Question, TrialPlan } from "@evencrumb/core/trials";
import { WorkBridge } from "../work/bridge.js";

export interface TrialJobs {
  readonly plan: {
    readonly request: Question;
    /** Share of the search done for a plan of so many runs; a larger plan begins anew. */
    readonly progress: { readonly share: number; readonly runCount: number };
    readonly answer: Result<TrialPlan, readonly Problem[]>;
  };
}

/** One worker for all trials that are planned in this page. */
export const trialWork = new WorkBridge<TrialJobs>(
  () => new Worker(new URL("./trialsWorker.ts", import.meta.url), { type: "module" }),
);
