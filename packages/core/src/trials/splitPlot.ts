import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { fUpper, tQuantile, tTwoSided } from "./distributions.js";
import type { Factor } from "./factors.js";
import { logDeterminant, orthogonalise, project } from "./leastSquares.js";
import { buildModel, type LevelCoding, type Model, modelColumns, type Term } from "./model.js";
import { termName } from "./terms.js";

/** Runs that share something that varies by itself: a batter, a day, a taster. */
export interface Grouping {
  readonly name: string;
  /** Group of each run, counted from 0. */
  readonly labels: readonly number[];
}

export interface SplitPlotInput {
  readonly factors: readonly Factor[];
  readonly terms: readonly Term[];
  readonly runs: readonly { readonly values: readonly number[]; readonly response: number }[];
  /** Largest first by habit (day, then batter); the order does not matter to the result. */
  readonly groupings: readonly Grouping[];
  readonly coded?: boolean;
  readonly coding?: Readonly<Record<string, LevelCoding>>;
  readonly confidence?: number;
}

export interface SplitPlotCoefficient {
  readonly name: string;
  readonly estimate: number;
  readonly standardError: number;
  /** Satterthwaite's degrees of freedom. */
  readonly df: number;
  readonly t: number;
  readonly p: number;
  readonly from: number;
  readonly to: number;
}

export interface SplitPlotTerm {
  readonly term: Term;
  readonly name: string;
  readonly df: number;
  readonly denominatorDf: number;
  readonly f: number;
  readonly p: number;
}

export interface SplitPlotFit {
  readonly kind: "fitted";
  readonly coefficients: readonly SplitPlotCoefficient[];
  /** Covariance of the coefficients, in their order. */
  readonly covariance: readonly (readonly number[])[];
  readonly aliased: readonly string[];
  /** Each factor's terms tested against the variation they really meet; marginal to all others (choices coded to their average). */
  readonly terms: readonly SplitPlotTerm[];
  readonly components: readonly {
    readonly name: string;
    readonly variance: number;
    readonly sd: number;
    readonly groupCount: number;
  }[];
  readonly residualVariance: number;
  /** -2 ln of the restricted likelihood, constants included. */
  readonly criterion: number;
  readonly iterations: number;
  /** Components whose best estimate is zero: no variation of that kind could be seen. */
  readonly atZero: readonly string[];
  /** What predictions and contrasts are made from (`mixedContrast`, `predictMixed`). */
  readonly behind: {
    readonly model: Model;
    /** Columns of the model that have a coefficient, in the order of `coefficients`. */
    readonly kept: readonly number[];
    /** How the covariance of the coefficients moves with each variance: that of one run first, then in the order of `components`. */
    readonly slopes: readonly (readonly (readonly number[])[])[];
    /** Covariance of the variances, in the same order; rows of a variance that rests at zero are zero. */
    readonly varianceCovariance: readonly (readonly number[])[];
    /** Runs less coefficients. */
    readonly residualDf: number;
    readonly confidence: number;
  };
}

export type SplitPlotOutcome = SplitPlotFit | { readonly kind: "not fitted"; readonly why: string };

/**
 * Fit of a model with several sources of variation, by restricted maximum likelihood.
 *
 * One batter divided over tins or oven settings is one whole plot: what was done to the batter is judged against the variation of
 * batters, what was done to the tins against that of tins. Taking the tins for independent cakes gives a false certainty.
 *
 * Sources: Patterson and Thompson (1971), Biometrika 58, 545; Fisher scoring after Searle, Casella and McCulloch (1992),
 * Variance Components, ch. 6; degrees of freedom Satterthwaite (1946) in the form of Giesbrecht and Burns (1985), and of Fai and
 * Cornelius (1996) for several coefficients together. Agrees with lme4 and lmerTest (see the peer test).
 */
export function fitSplitPlot(input: SplitPlotInput): SplitPlotOutcome {
  const coding = input.coding ?? {};
  const core = solve(input, coding);
  if (core.kind === "not fitted") return core;
  const confidence = input.confidence ?? 0.95;
  const { model, kept, beta, covariance } = core;
  const coefficients = kept.map((column, index): SplitPlotCoefficient => {
    const unit = kept.map((_, other) => (other === index ? 1 : 0));
    const { variance, df } = core.contrast(unit);
    const standardError = Math.sqrt(variance);
    const estimate = beta[index]!;
    const t = estimate / standardError;
    const reach = tQuantile((1 + confidence) / 2, df) * standardError;
    return {
      name: model.columns[column]!.name,
      estimate,
      standardError,
      df,
      t,
      p: tTwoSided(t, df),
      from: estimate - reach,
      to: estimate + reach,
    };
  });
  // Tests of whole terms need codings in which "no main effect" means "no effect on average".
  const average = Object.fromEntries(
    input.factors.flatMap((factor) => (factor.kind === "choice" ? [[factor.name, "average" as const]] : [])),
  );
  const sameCoding = Object.entries(average).every(([name, value]) => (coding[name] ?? "first") === value);
  const forTests = sameCoding ? core : solve(input, { ...coding, ...average });
  if (forTests.kind === "not fitted") return forTests;
  return {
    kind: "fitted",
    coefficients,
    covariance,
    aliased: core.aliased,
    terms: termTests(input.terms, forTests),
    components: core.components,
    residualVariance: core.residualVariance,
    criterion: core.criterion,
    iterations: core.iterations,
    atZero: core.components.filter(({ variance }) => variance === 0).map(({ name }) => name),
    behind: {
      model,
      kept,
      slopes: core.slopes,
      varianceCovariance: core.varianceCovariance,
      residualDf: core.residualDf,
      confidence,
    },
  };
}

/** Work grows with the cube of the groups. */
const MOST_GROUPS = 400;

interface Solved {
  readonly kind: "solved";
  readonly model: ReturnType<typeof buildModel>;
  readonly kept: readonly number[];
  readonly aliased: readonly string[];
  readonly beta: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly components: SplitPlotFit["components"];
  readonly residualVariance: number;
  readonly criterion: number;
  readonly iterations: number;
  readonly slopes: SplitPlotFit["behind"]["slopes"];
  readonly varianceCovariance: SplitPlotFit["behind"]["varianceCovariance"];
  readonly residualDf: number;
  contrast(weights: readonly number[]): { readonly variance: number; readonly df: number };
}

function solve(
  input: SplitPlotInput,
  coding: Readonly<Record<string, LevelCoding>>,
): Solved | { readonly kind: "not fitted"; readonly why: string } {
  const { runs, groupings } = input;
  const n = runs.length;
  const model = buildModel(input.factors, input.terms, { coded: input.coded ?? false, coding });
  const basis = orthogonalise(
    modelColumns(
      model,
      runs.map((run) => run.values),
    ),
    n,
  );
  const p = basis.kept.length;
  if (n - p < groupings.length + 1)
    return { kind: "not fitted", why: `${n} runs leave ${n - p} to judge ${groupings.length + 1} kinds of variation` };
  const response = Float64Array.from(runs, (run) => run.response);
  const fit = project(basis, response);
  const counts = groupings.map(({ labels }) => Math.max(...labels) + 1);
  for (const [index, { name, labels }] of groupings.entries()) {
    if (labels.length !== n) throw new RangeError(`fitSplitPlot: ${labels.length} labels of "${name}" for ${n} runs`);
    if (counts[index]! < 2) return { kind: "not fitted", why: `all runs have the same ${name}; at least two are needed` };
    if (counts[index] === n) return { kind: "not fitted", why: `every run has its own ${name}; nothing is shared` };
  }
  if (counts.reduce((a, b) => a + b, 0) > MOST_GROUPS)
    return { kind: "not fitted", why: `${counts.join(" + ")} groups are more than the ${MOST_GROUPS} that can be worked out` };
  // Cross-products once; afterwards all work is in the number of groups, not of runs.
  const starts = counts.map((_, index) => counts.slice(0, index).reduce((a, b) => a + b, 0));
  const q = counts.reduce((a, b) => a + b, 0);
  const member = groupings.map(({ labels }, index) => labels.map((label) => starts[index]! + label));
  const zz = new Matrix(q, q);
  const zq = new Matrix(q, p);
  const zr = new Matrix(q, 1);
  for (let run = 0; run < n; run++) {
    for (const a of member) {
      const row = a[run]!;
      zr.set(row, 0, zr.get(row, 0) + fit.residuals[run]!);
      for (let column = 0; column < p; column++) zq.set(row, column, zq.get(row, column) + basis.q[column]!.high[run]!);
      for (const b of member) zz.set(row, b[run]!, zz.get(row, b[run]!) + 1);
    }
  }
  const rr = fit.residualSquares;
  const kindOf = counts.flatMap((count, index) => Array<number>(count).fill(index + 1));
  const size = groupings.length + 1;
  if (!(rr > 1e-24 * response.reduce((sum, value) => sum + value * value, 0)))
    return { kind: "not fitted", why: "the model passes through every run; nothing is left to vary" };

  const evaluate = (theta: readonly number[]) => {
    const residual = theta[0]!;
    const root = kindOf.map((kind) => Math.sqrt(theta[kind]! / residual));
    const a = Matrix.eye(q, q);
    for (let i = 0; i < q; i++) for (let j = 0; j < q; j++) a.set(i, j, a.get(i, j) + root[i]! * zz.get(i, j) * root[j]!);
    const factor = choleskyOf(a);
    const logA = factor.logDet;
    const scaled = (m: Matrix) => {
      const copy = m.clone();
      for (let i = 0; i < q; i++) for (let j = 0; j < copy.columns; j++) copy.set(i, j, copy.get(i, j) * root[i]!);
      return copy;
    };
    const [sz, sq, sr] = [scaled(zz), scaled(zq), scaled(zr)];
    const [az, aq, ar] = [factor.solve(sz), factor.solve(sq), factor.solve(sr)];
    const less = (left: Matrix, inner: Matrix, plain: Matrix) => plain.clone().sub(left.transpose().mmul(inner)).div(residual);
    const zvz = less(sz, az, zz);
    const zvq = less(sz, aq, zq);
    const zvr = less(sz, ar, zr);
    const h = less(sq, aq, Matrix.eye(p, p));
    const qvr = less(sq, ar, Matrix.zeros(p, 1));
    const rvr = (rr - sr.transpose().mmul(ar).get(0, 0)) / residual;
    const hFactor = choleskyOf(h);
    const hq = hFactor.solve(zvq.transpose());
    const zpz = zvz.clone().sub(zvq.mmul(hq));
    const hr = hFactor.solve(qvr);
    const zpr = zvr.clone().sub(zvq.mmul(hr));
    const rpr = rvr - qvr.transpose().mmul(hr).get(0, 0);
    const traces = Array<number>(size).fill(0);
    const quads = Array<number>(size).fill(0);
    const info = Matrix.zeros(size, size);
    const observed = Matrix.zeros(size, size);
    for (let i = 0; i < q; i++) {
      traces[kindOf[i]!]! += zpz.get(i, i);
      quads[kindOf[i]!]! += zpr.get(i, 0) ** 2;
      for (let j = 0; j < q; j++) {
        const value = zpz.get(i, j);
        info.set(kindOf[i]!, kindOf[j]!, info.get(kindOf[i]!, kindOf[j]!) + value * value);
        observed.set(kindOf[i]!, kindOf[j]!, observed.get(kindOf[i]!, kindOf[j]!) + zpr.get(i, 0) * value * zpr.get(j, 0));
      }
    }
    // What belongs to the plain residual follows from P V P = P.
    traces[0] = (n - p - sum(theta, traces)) / residual;
    quads[0] = (rpr - sum(theta, quads)) / residual;
    for (const [matrix, ends] of [[info, traces] as const, [observed, quads] as const]) {
      for (let k = 1; k < size; k++) {
        let rest = ends[k]!;
        for (let l = 1; l < size; l++) rest -= theta[l]! * matrix.get(k, l);
        matrix.set(k, 0, rest / residual);
        matrix.set(0, k, rest / residual);
      }
      let rest = ends[0]!;
      for (let l = 1; l < size; l++) rest -= theta[l]! * matrix.get(0, l);
      matrix.set(0, 0, rest / residual);
    }
    const score = quads.map((value, index) => (value - traces[index]!) / 2);
    const criterion =
      (n - p) * Math.log(2 * Math.PI) + n * Math.log(residual) + logA + hFactor.logDet + logDeterminant(basis) + rpr;
    return { score, info: info.mul(0.5), observed: observed.sub(info), criterion, hFactor, hr, zvq, h };
  };

  // Fisher scoring from equal shares of the spread; a component that wants to be negative rests at zero until it wants to grow.
  let theta = Array<number>(size).fill(rr / (n - p) / size);
  let state = evaluate(theta);
  let iterations = 0;
  for (; iterations < 500; iterations++) {
    const free = [...theta.keys()].filter((index) => index === 0 || theta[index]! > 0 || state.score[index]! > 0);
    const step = solveSmall(
      state.info.selection(free, free),
      free.map((index) => state.score[index]!),
    );
    let share = 1;
    let next = theta;
    let nextState = state;
    for (; share > 1e-10; share /= 2) {
      next = theta.map((value, index) => {
        const place = free.indexOf(index);
        const moved = place < 0 ? value : value + share * step[place]!;
        return index === 0 ? Math.max(moved, value / 10) : Math.max(0, moved);
      });
      nextState = evaluate(next);
      if (nextState.criterion <= state.criterion + 1e-12 * Math.abs(state.criterion)) break;
    }
    const change = Math.max(...next.map((value, index) => Math.abs(value - theta[index]!) / (theta[0]! + value)));
    theta = next;
    state = nextState;
    if (change < 1e-11) break;
  }

  const bq = Float64Array.from({ length: p }, (_, index) => fit.effects[index]! + state.hr.get(index, 0));
  const inverse = Matrix.zeros(p, p);
  for (let column = 0; column < p; column++)
    for (let row = 0; row <= column; row++) inverse.set(row, column, basis.inverse[column]!.high[row]!);
  const beta = inverse.mmul(Matrix.columnVector([...bq])).to1DArray();
  const covarianceQ = state.hFactor.solve(Matrix.eye(p, p));
  const covariance = inverse.mmul(covarianceQ).mmul(inverse.transpose());
  const active = [...theta.keys()].filter((index) => theta[index]! > 0);
  const contrast = (weights: readonly number[]) => {
    const w = covarianceQ.mmul(inverse.transpose().mmul(Matrix.columnVector([...weights])));
    const variance = w.transpose().mmul(state.h).mmul(w).get(0, 0);
    const zw = state.zvq.mmul(w);
    const gradient = Array<number>(size).fill(0);
    for (let i = 0; i < q; i++) gradient[kindOf[i]!]! += zw.get(i, 0) ** 2;
    gradient[0] = (variance - sum(theta, gradient)) / theta[0]!;
    const g = active.map((index) => gradient[index]!);
    // Observed information: second derivatives of -ln likelihood at the estimate.
    const solved = solveSmall(state.observed.selection(active, active), g);
    const uncertainty = g.reduce((total, value, index) => total + value * solved[index]!, 0);
    return { variance, df: uncertainty > 0 ? (2 * variance ** 2) / uncertainty : n - p };
  };
  // The same slopes as in `contrast`, for all coefficients at once, so that a prediction can be made from plain data.
  const spread = covarianceQ.mmul(inverse.transpose());
  const grouped = groupings.map((_, kind) => {
    const mine = kindOf.flatMap((one, row) => (one === kind + 1 ? [row] : []));
    const seen = state.zvq.selection(mine, [...Array(p).keys()]).mmul(spread);
    return seen.transpose().mmul(seen);
  });
  const ofResidual = grouped
    .reduce((left, slope, kind) => left.sub(slope.clone().mul(theta[kind + 1]!)), covariance.clone())
    .div(theta[0]!);
  const varianceCovariance = Array.from({ length: size }, () => Array<number>(size).fill(0));
  for (const [column, index] of active.entries()) {
    const unit = active.map((_, other) => (other === column ? 1 : 0));
    for (const [row, value] of solveSmall(state.observed.selection(active, active), unit).entries())
      varianceCovariance[active[row]!]![index] = value;
  }
  return {
    kind: "solved",
    slopes: [ofResidual, ...grouped].map((slope) => slope.to2DArray()),
    varianceCovariance,
    residualDf: n - p,
    model,
    kept: basis.kept,
    aliased: basis.aliased.map((column) => model.columns[column]!.name),
    beta,
    covariance: covariance.to2DArray(),
    components: groupings.map(({ name }, index) => ({
      name,
      variance: theta[index + 1]!,
      sd: Math.sqrt(theta[index + 1]!),
      groupCount: counts[index]!,
    })),
    residualVariance: theta[0]!,
    criterion: state.criterion,
    iterations,
    contrast,
  };
}

function termTests(terms: readonly Term[], solved: Solved): SplitPlotTerm[] {
  const { model, kept, beta, covariance } = solved;
  return terms.flatMap((term, termIndex): SplitPlotTerm[] => {
    const places = kept.flatMap((column, index) => (model.columns[column]!.termIndex === termIndex ? [index] : []));
    if (term.length === 0 || places.length === 0) return [];
    const block = new Matrix(places.map((a) => places.map((b) => covariance[a]![b]!)));
    const { realEigenvalues, eigenvectorMatrix } = new EigenvalueDecomposition(block, { assumeSymmetric: true });
    let squares = 0;
    const dfs: number[] = [];
    for (const [index, variance] of realEigenvalues.entries()) {
      const weights = kept.map(() => 0);
      for (const [row, place] of places.entries()) weights[place] = eigenvectorMatrix.get(row, index);
      const estimate = weights.reduce((total, weight, place) => total + weight * beta[place]!, 0);
      squares += estimate ** 2 / variance;
      dfs.push(solved.contrast(weights).df);
    }
    const df = places.length;
    const f = squares / df;
    const denominatorDf = combineDfs(dfs);
    return [{ term, name: termName(term), df, denominatorDf, f, p: fUpper(f, df, denominatorDf) }];
  });
}

/** One denominator for several contrasts (Fai and Cornelius 1996, as in lmerTest). */
function combineDfs(dfs: readonly number[]): number {
  const least = Math.min(...dfs);
  if (dfs.every((df) => Math.abs(df - least) < 1e-6 * least)) return least;
  const expectation = dfs.reduce((total, df) => total + (df > 2 ? df / (df - 2) : 0), 0);
  return expectation > dfs.length ? (2 * expectation) / (expectation - dfs.length) : least;
}

const sum = (theta: readonly number[], values: readonly number[]) =>
  theta.reduce((total, value, index) => (index === 0 ? total : total + value * values[index]!), 0);

/** Cholesky factor of a symmetric positive definite matrix, with what is asked of it. */
function choleskyOf(matrix: Matrix): { readonly logDet: number; solve(right: Matrix): Matrix } {
  const size = matrix.rows;
  const lower = Array.from({ length: size }, () => new Float64Array(size));
  let logDet = 0;
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let value = matrix.get(i, j);
      for (let k = 0; k < j; k++) value -= lower[i]![k]! * lower[j]![k]!;
      if (i === j) {
        lower[i]![i] = Math.sqrt(Math.max(value, Number.MIN_VALUE));
        logDet += 2 * Math.log(lower[i]![i]!);
      } else lower[i]![j] = value / lower[j]![j]!;
    }
  }
  return {
    logDet,
    solve(right) {
      const answer = right.clone();
      for (let column = 0; column < right.columns; column++) {
        for (let i = 0; i < size; i++) {
          let value = answer.get(i, column);
          for (let k = 0; k < i; k++) value -= lower[i]![k]! * answer.get(k, column);
          answer.set(i, column, value / lower[i]![i]!);
        }
        for (let i = size - 1; i >= 0; i--) {
          let value = answer.get(i, column);
          for (let k = i + 1; k < size; k++) value -= lower[k]![i]! * answer.get(k, column);
          answer.set(i, column, value / lower[i]![i]!);
        }
      }
      return answer;
    },
  };
}

/** Solution of a small linear system by elimination with pivoting (the observed information need not be positive definite). */
function solveSmall(matrix: Matrix, right: readonly number[]): number[] {
  const rows = matrix.to2DArray().map((row, index) => [...row, right[index]!]);
  const size = rows.length;
  for (let column = 0; column < size; column++) {
    let pivot = column;
    for (let row = column + 1; row < size; row++)
      if (Math.abs(rows[row]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = row;
    [rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!];
    for (let row = 0; row < size; row++) {
      if (row === column || rows[column]![column] === 0) continue;
      const factor = rows[row]![column]! / rows[column]![column]!;
      for (let k = column; k <= size; k++) rows[row]![k]! -= factor * rows[column]![k]!;
    }
  }
  return rows.map((row, index) => row[size]! / row[index]!);
}
