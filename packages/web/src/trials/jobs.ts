import type { OvenSettings } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import type { Ingredient } from "@evencrumb/core/ingredients";
import type { Problem, Result } from "@evencrumb/core/quantities";
import type { NamedTin } from "@evencrumb/core/tins";
import type {
  Binding,
  Factor,
  JudgedBakes,
  Question,
  SearchProgress,
  Setting,
  SettleWords,
  TrialPlan,
} from "@evencrumb/core/trials";
import { WorkBridge } from "../work/bridge.js";
import type { RunCake } from "./runs.js";

export interface TrialJobs {
  readonly plan: {
    readonly request: Question;
    /** Share of the search done for a plan of so many runs; a larger plan begins anew. */
    readonly progress: SearchProgress;
    readonly answer: Result<TrialPlan, readonly Problem[]>;
  };
  /** The runs as formulas in which the rebalancer holds what was asked. */
  readonly make: {
    readonly request: {
      readonly standard: Formula;
      readonly factors: readonly Factor[];
      readonly bindings: readonly Binding[];
      readonly settings: readonly Setting[];
      readonly words: SettleWords;
      readonly ingredients: readonly Ingredient[];
      readonly owned: readonly NamedTin[];
    };
    readonly progress: { readonly done: number; readonly of: number };
    /** null when the solver could not be fetched: there is no network, and it was never here. */
    readonly answer: readonly RunCake[] | null;
  };
  /** What the bake model doubts about each run. */
  readonly bakes: {
    readonly request: {
      readonly standard: Formula;
      readonly runs: readonly Formula[];
      readonly ingredients: readonly Ingredient[];
      readonly owned: readonly NamedTin[];
      readonly ovens: Readonly<Record<string, Partial<OvenSettings>>>;
    };
    readonly progress: { readonly done: number; readonly of: number };
    readonly answer: JudgedBakes;
  };
}

const start = () => new Worker(new URL("./trialsWorker.ts", import.meta.url), { type: "module" });
/** One worker for the plans, and one for the bakes of a plan: the next plan need not wait for them. */
export const trialWork = new WorkBridge<TrialJobs>(start);
export const runWork = new WorkBridge<TrialJobs>(start);
