import type { Problem, Reading } from "../quantities/index.js";
import type { Goal } from "./desirability.js";
import type { Measure } from "./sheet.js";

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

/**
 * Goals with all their limits.
 *
 * A limit that the baker did not name must not decide: what is not called unacceptable stays acceptable a whole range below the
 * worst that was seen; "good enough" is the best that was seen, and for a goal that stands alone a whole range beyond it, so that
 * the best there is gets chosen (common practice, no source).
 *
 * @param seen  measured values of each response, at least one
 */
export function goalsFromWords(
  words: readonly GoalWords[],
  seen: (response: string) => readonly number[],
  measures: readonly Measure[],
): Reading<readonly Goal[]> {
  const problems: Problem[] = [];
  const goals = words.flatMap((wish, index): Goal[] => {
    const values = seen(wish.response);
    const unit = measures.find(({ name }) => name === wish.response)?.unit ?? "";
    const say = (code: Problem["code"], field: string, expected: string, found: string, remedy: string): Goal[] => {
      problems.push({ code, path: ["goals", index, field], expected, found, remedy });
      return [];
    };
    if (values.length === 0)
      return say(
        "missing-field",
        "response",
        `${wish.response} measured in the bakes`,
        "nothing",
        "Measure it, or leave the wish out.",
      );
    const { direction, importance } = wish;
    if (importance !== undefined && !(importance > 0))
      return say("out-of-range", "importance", "a weight above 0", String(importance), "Leave the wish out instead.");
    const [least, most] = [Math.min(...values), Math.max(...values)];
    const span = Math.max(most - least, 1e-9);
    const beyond = words.length === 1 ? span : 0;
    const weight = importance === undefined ? {} : { importance };
    if (direction === "target") {
      const { target } = wish;
      if (target === undefined)
        return say("missing-field", "target", `the ${wish.response} that is wanted, in ${unit}`, "nothing", "Write it down.");
      const low = wish.low ?? Math.min(least, target) - span;
      const high = wish.high ?? Math.max(most, target) + span;
      if (!(low < target && target < high))
        return say(
          "out-of-range",
          "target",
          `a wanted ${wish.response} between what is not acceptable`,
          `${target} between ${low} and ${high} ${unit}`,
          "Put the limits on either side of it.",
        );
      return [{ response: wish.response, direction, low, high, target, ...weight }];
    }
    const larger = direction === "larger";
    const limit = larger
      ? (wish.low ?? Math.min(least, wish.target ?? least) - span)
      : (wish.high ?? Math.max(most, wish.target ?? most) + span);
    const target = wish.target ?? (larger ? Math.max(most + beyond, limit + span) : Math.min(least - beyond, limit - span));
    if (larger ? !(limit < target) : !(limit > target))
      return say(
        "out-of-range",
        larger ? "low" : "high",
        `a limit ${larger ? "below" : "above"} what is good enough`,
        `${limit} against ${target} ${unit}`,
        "Swap the two, or leave one out.",
      );
    return [{ response: wish.response, direction, target, ...(larger ? { low: limit } : { high: limit }), ...weight }];
  });
  return { value: goals, problems };
}

/** The wish that a measure brings along: more or less of it, where that is known. */
export function usualGoal({ name, better }: Measure): GoalWords | undefined {
  return better === undefined ? undefined : { response: name, direction: better };
}
