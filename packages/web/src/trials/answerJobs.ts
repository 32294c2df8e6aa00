import type { Reading } from "@evencrumb/core/quantities";
import type { TrialBest, TrialFile } from "@evencrumb/core/trials";
import { WorkBridge } from "../work/bridge.js";

export interface AnswerJobs {
  /** The setting at which the wishes of a trial are met best: a second or two on a tablet. */
  readonly best: {
    readonly request: TrialFile;
    readonly progress: never;
    readonly answer: Reading<TrialBest | undefined>;
  };
}

export const answerWork = new WorkBridge<AnswerJobs>(
  () => new Worker(new URL("./answerWorker.ts", import.meta.url), { type: "module" }),
);
