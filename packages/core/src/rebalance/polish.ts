import { Matrix, SingularValueDecomposition } from "ml-matrix";
import { type OptimisationModel, objectiveOf } from "./model.js";

export interface Optimum {
  readonly values: readonly number[];
  readonly objective: number;
  /**
   * How far the point is from the conditions that prove it best (Karush, Kuhn and Tucker), relative to the size of the
   * numbers: stationarity, rows and bounds kept, no multiplier of the wrong sign. 0 is a proof; rounding leaves about 1e-12.
   */
  readonly residual: number;
}

/** How near to a limit counts as on it, relative to the limit; solvers leave about 1e-7. */
const ON_LIMIT = 1e-6;

/**
 * Sharpens a solution of a convex quadratic model and proves it.
 *
 * A general solver regularises a quadratic slightly and answers to about 1e-7. Which limits bind is right by then, so the
 * equations of the optimum are solved once more with those limits as equations, and limits whose multiplier turns out to have
 * the wrong sign are let go one at a time.
 */
export function polishQuadratic(model: OptimisationModel, rough: readonly number[]): Optimum {
  let limits = bindingLimits(model, rough);
  let best = solveOnLimits(model, limits);
  for (let round = 0; round < limits.length + 1; round += 1) {
    const wrong = best.multipliers.map((multiplier, index) => ({ index, amount: limits[index]!.equation ? 0 : -multiplier }));
    const worst = wrong.reduce((most, next) => (next.amount > most.amount ? next : most), { index: -1, amount: 1e-9 });
    if (worst.index < 0) break;
    limits = limits.filter((_, index) => index !== worst.index);
    best = solveOnLimits(model, limits);
  }
  // Where the sharpened point is not feasible the guess of limits was wrong: the solver's own point stands.
  const sharpened = residualOf(model, best.values, limits, best.multipliers);
  const kept = residualOf(model, rough, limits, best.multipliers);
  const values = sharpened <= kept ? best.values : rough;
  return { values, objective: objectiveOf(model, values), residual: Math.min(sharpened, kept) };
}

interface Limit {
  readonly coefficients: Float64Array;
  readonly value: number;
  /** +1: the variables have to stay below it; -1: above it. */
  readonly side: 1 | -1;
  readonly equation: boolean;
}

function bindingLimits(model: OptimisationModel, values: readonly number[]): Limit[] {
  const near = (left: number, right: number) =>
    Number.isFinite(right) && Math.abs(left - right) <= ON_LIMIT * (1 + Math.abs(right));
  const limits: Limit[] = [];
  const add = (coefficients: Float64Array, at: number, lower: number, upper: number) => {
    if (lower === upper) limits.push({ coefficients, value: upper, side: 1, equation: true });
    else if (near(at, upper)) limits.push({ coefficients, value: upper, side: 1, equation: false });
    else if (near(at, lower)) limits.push({ coefficients, value: lower, side: -1, equation: false });
  };
  for (const { terms, lower, upper } of model.rows) {
    const coefficients = new Float64Array(values.length);
    for (const { variable, coefficient } of terms) coefficients[variable]! += coefficient;
    add(coefficients, dot(coefficients, values), lower, upper);
  }
  model.variables.forEach(({ lower, upper }, index) => {
    const coefficients = new Float64Array(values.length);
    coefficients[index] = 1;
    add(coefficients, values[index]!, lower, upper);
  });
  return limits;
}

/** Stationarity and the limits as one linear system; the least-norm solution copes with limits that say the same twice. */
function solveOnLimits(model: OptimisationModel, limits: readonly Limit[]): { values: number[]; multipliers: number[] } {
  const [size, count] = [model.variables.length, limits.length];
  const system = Matrix.zeros(size + count, size + count);
  const right = Matrix.zeros(size + count, 1);
  model.variables.forEach(({ linear, quadratic = 0 }, index) => {
    system.set(index, index, 2 * quadratic);
    right.set(index, 0, -linear);
  });
  limits.forEach(({ coefficients, value, side }, row) => {
    coefficients.forEach((coefficient, variable) => {
      system.set(variable, size + row, side * coefficient);
      system.set(size + row, variable, side * coefficient);
    });
    right.set(size + row, 0, side * value);
  });
  const solution = leastNorm(system, right);
  return { values: solution.slice(0, size), multipliers: solution.slice(size) };
}

/** Least-norm, least-squares solution; directions that the equations leave open stay zero. */
function leastNorm(system: Matrix, right: Matrix): number[] {
  // Rows are brought to one size first: a curvature of 1e-5 must not look like rounding beside a coefficient of 1.
  const sizes = system.to2DArray().map((row) => Math.max(1e-12, ...row.map(Math.abs)));
  const even = new Matrix(system.to2DArray().map((row, index) => row.map((value) => value / sizes[index]!)));
  const { leftSingularVectors, rightSingularVectors, diagonal } = new SingularValueDecomposition(even);
  const least = diagonal[0]! * 1e-12;
  const turned = leftSingularVectors
    .transpose()
    .mmul(Matrix.columnVector(right.to1DArray().map((value, index) => value / sizes[index]!)));
  const shrunk = Matrix.columnVector(diagonal.map((value, index) => (value > least ? turned.get(index, 0) / value : 0)));
  return rightSingularVectors.mmul(shrunk).to1DArray();
}

function residualOf(
  model: OptimisationModel,
  values: readonly number[],
  limits: readonly Limit[],
  multipliers: readonly number[],
): number {
  const size = 1 + Math.max(...values.map(Math.abs));
  let worst = 0;
  const note = (violation: number) => {
    // Written so that not-a-number counts as a violation; a limit that is not there gives minus infinity.
    worst = violation <= worst ? worst : Number.isNaN(violation) ? Number.POSITIVE_INFINITY : violation;
  };
  model.variables.forEach(({ linear, quadratic = 0, lower, upper }, index) => {
    const pull = limits.reduce((sum, { coefficients, side }, row) => sum + side * coefficients[index]! * multipliers[row]!, 0);
    note(Math.abs(linear + 2 * quadratic * values[index]! + pull));
    note((lower - values[index]!) / size);
    note((values[index]! - upper) / size);
  });
  for (const { terms, lower, upper } of model.rows) {
    const at = terms.reduce((sum, { variable, coefficient }) => sum + coefficient * values[variable]!, 0);
    if (Number.isFinite(lower)) note((lower - at) / (1 + Math.abs(lower)));
    if (Number.isFinite(upper)) note((at - upper) / (1 + Math.abs(upper)));
  }
  limits.forEach(({ equation }, row) => {
    if (!equation) note(-multipliers[row]!);
  });
  return worst;
}

const dot = (left: Float64Array, right: readonly number[]) => left.reduce((sum, value, index) => sum + value * right[index]!, 0);
