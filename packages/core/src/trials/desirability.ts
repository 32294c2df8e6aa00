/** What is wanted of one response. */
export interface Goal {
  readonly response: string;
  readonly direction: "larger" | "smaller" | "target";
  /** Not acceptable at or below (for "larger" and "target"). */
  readonly low?: number;
  /** Not acceptable at or above (for "smaller" and "target"). */
  readonly high?: number;
  /** Fully satisfied from here ("larger": and above, "smaller": and below). */
  readonly target: number;
  /** Bend of the way from unacceptable to target, 1 a straight line, above 1 strict, below 1 lenient; default 1. */
  readonly shape?: number;
  /** Weight against the other goals; default 1. */
  readonly importance?: number;
}

/**
 * How well one value meets its goal, 0 (not acceptable) to 1.
 *
 * @throws RangeError when the limits are missing or on the wrong side of the target
 *
 * Source: Derringer and Suich (1980), J. Quality Technology 12, 214.
 */
export function desirability(goal: Goal, value: number): number {
  checkGoal(goal);
  const shape = goal.shape ?? 1;
  const { direction, target } = goal;
  if (direction !== "smaller" && value < target)
    return value <= goal.low! ? 0 : ((value - goal.low!) / (target - goal.low!)) ** shape;
  if (direction !== "larger" && value > target)
    return value >= goal.high! ? 0 : ((value - goal.high!) / (target - goal.high!)) ** shape;
  return 1;
}

/** All goals together: the weighted geometric mean. Zero as soon as one value is not acceptable. */
export function overallDesirability(goals: readonly Goal[], values: readonly number[]): number {
  let logs = 0;
  let weights = 0;
  for (const [index, goal] of goals.entries()) {
    const d = desirability(goal, values[index]!);
    if (d <= 0) return 0;
    const weight = goal.importance ?? 1;
    logs += weight * Math.log(d);
    weights += weight;
  }
  return weights > 0 ? Math.exp(logs / weights) : 1;
}

/** How far values are from being acceptable at all, in units of each goal's way; 0 when all are. A slope to climb where D is flat at zero. */
export function shortfall(goals: readonly Goal[], values: readonly number[]): number {
  return goals.reduce((sum, goal, index) => {
    const value = values[index]!;
    const below = goal.direction === "smaller" ? 0 : (goal.low! - value) / (goal.target - goal.low!);
    const above = goal.direction === "larger" ? 0 : (value - goal.high!) / (goal.high! - goal.target);
    return sum + Math.max(0, below, above);
  }, 0);
}

export function checkGoal(goal: Goal): void {
  const { direction, low, high, target } = goal;
  if (direction !== "smaller" && !(low !== undefined && low < target))
    throw new RangeError(`desirability: "${goal.response}" needs a lower limit below ${target}`);
  if (direction !== "larger" && !(high !== undefined && high > target))
    throw new RangeError(`desirability: "${goal.response}" needs an upper limit above ${target}`);
  if (!((goal.shape ?? 1) > 0 && (goal.importance ?? 1) > 0))
    throw new RangeError(`desirability: shape and importance of "${goal.response}" are above 0`);
}
