import type { Goal } from "./desirability.js";

/** What a baker wants of one measure. Limits that are left out are taken from what was seen in the trial. */
export interface GoalWords {
  readonly response: string;
  readonly direction: Goal["direction"];
  /** Not acceptable at or below (for "larger" and "target"). */
  readonly low?: number;
  /** Not acceptable at or above (for "smaller" and "target"). */
  readonly high?: number;
  /** Good enough from here; for "target" the value that is wanted. */
  readonly target?: number;
  /** Weight against the other goals, above 0; default 1. */
  readonly importance?: number;
}
