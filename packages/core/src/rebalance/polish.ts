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
  /** The variable that it limits by itself; undefined for a row of several. */
  readonly variable: number | undefined;
}

function bindingLimits(model: OptimisationModel, values: readonly number[]): Limit[] {
  const near = (left: number, right: number) =>
    Number.isFinite(right) && Math.abs(left - right) <= ON_LIMIT * (1 + Math.abs(right));
  const limits: Limit[] = [];
  const add = (coefficients: Float64Array, at: number, lower: number, upper: number, variable?: number) => {
    const base = { coefficients, variable };
    if (lower === upper) limits.push({ ...base, value: upper, side: 1, equation: true });
    else if (near(at, upper)) limits.push({ ...base, value: upper, side: 1, equation: false });
    else if (near(at, lower)) limits.push({ ...base, value: lower, side: -1, equation: false });
  };
  for (const { terms, lower, upper } of model.rows) {
    const coefficients = new Float64Array(values.length);
    for (const { variable, coefficient } of terms) coefficients[variable]! += coefficient;
    add(coefficients, dot(coefficients, values), lower, upper);
  }
  model.variables.forEach(({ lower, upper }, index) => {
    const coefficients = new Float64Array(values.length);
    coefficients[index] = 1;
    add(coefficients, values[index]!, lower, upper, index);
  });
  return limits;
}

/** The point that costs least with the binding limits as equations, and the multiplier of each limit. */
function solveOnLimits(model: OptimisationModel, limits: readonly Limit[]): { values: number[]; multipliers: number[] } {
  return model.variables.every(({ quadratic = 0 }) => quadratic > 0)
    ? projectOnLimits(model, limits)
    : solveWholeSystem(model, limits);
}

/**
 * With a curvature on every variable the optimum is the point of the limits nearest to the free optimum, measured in units in
 * which every curvature is 1. Variables on a limit of their own are taken out first, so what is decomposed is only rows by the
 * variables that are left: a handful by a dozen.
 */
function projectOnLimits(model: OptimisationModel, limits: readonly Limit[]): { values: number[]; multipliers: number[] } {
  const fixed = new Map<number, number>();
  const own = new Map<number, number>();
  const rows: number[] = [];
  limits.forEach(({ coefficients, value, variable }, index) => {
    if (variable === undefined) rows.push(index);
    else if (!fixed.has(variable)) {
      fixed.set(variable, value / coefficients[variable]!);
      own.set(variable, index);
    }
  });
  const free = model.variables.flatMap((_, index) => (fixed.has(index) ? [] : [index]));
  const unit = free.map((index) => 1 / Math.sqrt(2 * model.variables[index]!.quadratic!));
  const start = free.map((index, at) => -model.variables[index]!.linear * unit[at]!);
  const values = model.variables.map((_, index) => fixed.get(index) ?? 0);
  const multipliers = limits.map(() => 0);
  let point = start;
  if (rows.length > 0 && free.length > 0) {
    const sizes: number[] = [];
    const scaled = rows.map((row) => {
      const { coefficients, side } = limits[row]!;
      const entries = free.map((index, at) => side * coefficients[index]! * unit[at]!);
      const size = Math.hypot(...entries) || 1;
      sizes.push(size);
      return entries.map((entry) => entry / size);
    });
    const wanted = rows.map((row, at) => {
      const { coefficients, value, side } = limits[row]!;
      const settled = [...fixed].reduce((sum, [index, grams]) => sum + coefficients[index]! * grams, 0);
      return (side * (value - settled)) / sizes[at]!;
    });
    // Two rounds: the second takes away what rounding left of the first.
    const lambda = rows.map(() => 0);
    const {
      leftSingularVectors: U,
      rightSingularVectors: V,
      diagonal,
    } = new SingularValueDecomposition(new Matrix(scaled), {
      autoTranspose: true,
    });
    for (let round = 0; round < 2; round += 1) {
      const short = wanted.map((want, at) => want - scaled[at]!.reduce((sum, entry, index) => sum + entry * point[index]!, 0));
      diagonal.forEach((singular, k) => {
        if (singular <= diagonal[0]! * 1e-11) return;
        const along = short.reduce((sum, value, at) => sum + U.get(at, k) * value, 0) / singular;
        point = point.map((value, index) => value + V.get(index, k) * along);
        for (const at of lambda.keys()) lambda[at]! -= (U.get(at, k) * along) / singular;
      });
    }
    rows.forEach((row, at) => {
      multipliers[row] = lambda[at]! / sizes[at]!;
    });
  }
  free.forEach((index, at) => {
    values[index] = point[at]! * unit[at]!;
  });
  // The multiplier of a variable's own limit is what is left of its pull.
  for (const [variable, index] of own) {
    const { linear, quadratic = 0 } = model.variables[variable]!;
    const pull = rows.reduce((sum, row) => sum + limits[row]!.side * limits[row]!.coefficients[variable]! * multipliers[row]!, 0);
    const { side, coefficients } = limits[index]!;
    multipliers[index] = -(linear + 2 * quadratic * values[variable]! + pull) / (side * coefficients[variable]!);
  }
  return { values, multipliers };
}

/** Stationarity and the limits as one linear system; the least-norm solution copes with limits that say the same twice. */
function solveWholeSystem(model: OptimisationModel, limits: readonly Limit[]): { values: number[]; multipliers: number[] } {
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
