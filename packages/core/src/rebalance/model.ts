/** One unknown of an optimisation. */
export interface ModelVariable {
  readonly name: string;
  readonly lower: number;
  /** `Infinity` for none. */
  readonly upper: number;
  readonly integer?: boolean;
  /** Cost per unit. */
  readonly linear: number;
  /** Cost per unit squared: `quadratic` x^2, 0 or more (convex). */
  readonly quadratic?: number;
}

/** lower <= sum of coefficient x variable <= upper; equal bounds make an equation. */
export interface ModelRow {
  readonly name: string;
  readonly terms: readonly { readonly variable: number; readonly coefficient: number }[];
  readonly lower: number;
  readonly upper: number;
}

/** Minimise the cost of all variables within all rows. Integer variables and quadratic costs do not go together. */
export interface OptimisationModel {
  readonly variables: readonly ModelVariable[];
  readonly rows: readonly ModelRow[];
}

export type SolverAnswer =
  | { readonly status: "optimal"; readonly values: readonly number[]; readonly objective: number }
  | { readonly status: "infeasible" }
  | { readonly status: "failed"; readonly words: string };

/** A general-purpose solver for linear, mixed-integer and convex quadratic models; handed in, so that core stays light. */
export interface OptimisationSolver {
  solve(model: OptimisationModel): SolverAnswer;
}

/** Cost of a point. */
export function objectiveOf(model: OptimisationModel, values: readonly number[]): number {
  return model.variables.reduce(
    (sum, { linear, quadratic = 0 }, index) => sum + values[index]! * (linear + quadratic * values[index]!),
    0,
  );
}
