/**
 * One time step of RODAS3, a Rosenbrock method of order 3 with an embedded method of order 2: L-stable and stiffly accurate, so that
 * a wet surface that turns into crust within seconds neither rings nor forces tiny steps. Linearly implicit: each stage is one linear
 * solve, and because every stage is a sum of fluxes, heat and water are conserved to the accuracy of that solve, whatever the step.
 *
 * Source of the coefficients: Sandu, Verwer, Blom, Spee, Carmichael and Potra (1997), Benchmarking stiff ODE solvers for atmospheric
 * chemistry problems II: Rosenbrock solvers, Atmospheric Environment 31, 3459 (from memory; their order is proved by the tests).
 */
export interface StiffSystem {
  /** Number of unknowns. */
  readonly size: number;
  /** Entries of the ledger of what crosses the surfaces, in the order the system chooses. */
  readonly ledgerSize: number;
  /** Rates of change at (t, y), and the rates at which things enter through each surface. */
  evaluate(t: number, y: Float64Array, rates: Float64Array, ledger: Float64Array): void;
  /** Keeps the exact Jacobian at (t, y). */
  linearise(t: number, y: Float64Array): void;
  /** Makes ready to solve `(shift I - Jacobian) x = b`. */
  prepare(shift: number): void;
  solve(b: Float64Array): void;
  /** What the linearised surface fluxes carry for a change `k` of the unknowns. */
  ledgerOf(k: Float64Array, ledger: Float64Array): void;
  /** Explicit derivative with respect to time at the linearisation: of the rates and of the ledger. */
  timeDerivative(rates: Float64Array, ledger: Float64Array): void;
}

const GAMMA = 0.5;
const STAGES = 4;
const A = [[], [0], [2, 0], [2, 0, 1]];
const C = [[], [4], [1, -1], [1, -1, -8 / 3]];
const M = [2, 0, 1, 1];
const ERROR = [0, 0, 0, 1];
const ALPHA = [0, 0, 1, 1];
const GAMMA_SUM = [0.5, 1.5, 0, 0];
/** Stage 2 is evaluated where stage 1 was. */
const NEW_EVALUATION = [true, false, true, true];

export interface StepWork {
  readonly stages: Float64Array[];
  readonly ledgers: Float64Array[];
  readonly point: Float64Array;
  readonly rates: Float64Array;
  readonly startRates: Float64Array;
  readonly startLedger: Float64Array;
  readonly ledger: Float64Array;
  readonly scratchLedger: Float64Array;
  readonly timeRates: Float64Array;
  readonly timeLedger: Float64Array;
  /** The result: unknowns, what entered, and the estimate of the error. */
  readonly next: Float64Array;
  readonly entered: Float64Array;
  readonly error: Float64Array;
}

export function makeStepWork(size: number, ledgerSize: number): StepWork {
  const long = () => new Float64Array(size);
  const short = () => new Float64Array(ledgerSize);
  return {
    stages: [long(), long(), long(), long()],
    ledgers: [short(), short(), short(), short()],
    point: long(),
    rates: long(),
    startRates: long(),
    startLedger: short(),
    ledger: short(),
    scratchLedger: short(),
    timeRates: long(),
    timeLedger: short(),
    next: long(),
    entered: short(),
    error: long(),
  };
}

/**
 * Tries one step; `system.linearise(t, y)` and `evaluate` at the start (into `startRates`, `startLedger`) must have been done.
 * The answer is in `work.next`, `work.entered`, `work.error`.
 */
export function rosenbrockStep(
  system: StiffSystem,
  t: number,
  y: Float64Array,
  h: number,
  autonomous: boolean,
  work: StepWork,
): void {
  const { stages, ledgers, point, rates, ledger, scratchLedger, next, entered, error } = work;
  const n = system.size;
  system.prepare(1 / (h * GAMMA));
  rates.set(work.startRates);
  ledger.set(work.startLedger);
  for (let s = 0; s < STAGES; s++) {
    if (s > 0 && NEW_EVALUATION[s]) {
      point.set(y);
      for (let j = 0; j < s; j++) {
        const a = A[s][j];
        if (a === 0) continue;
        const k = stages[j];
        for (let i = 0; i < n; i++) point[i] += a * k[i];
      }
      system.evaluate(t + ALPHA[s] * h, point, rates, ledger);
    }
    const stage = stages[s];
    stage.set(rates);
    const flow = ledgers[s];
    flow.set(ledger);
    for (let j = 0; j < s; j++) {
      const c = C[s][j] / h;
      const k = stages[j];
      for (let i = 0; i < n; i++) stage[i] += c * k[i];
      for (let i = 0; i < flow.length; i++) flow[i] += c * ledgers[j][i];
    }
    if (!autonomous && GAMMA_SUM[s] !== 0) {
      const g = h * GAMMA_SUM[s];
      for (let i = 0; i < n; i++) stage[i] += g * work.timeRates[i];
      for (let i = 0; i < flow.length; i++) flow[i] += g * work.timeLedger[i];
    }
    system.solve(stage);
    // The stage is h γ (its right-hand side + J k): the ledger follows the same sum through the surfaces alone.
    system.ledgerOf(stage, scratchLedger);
    for (let i = 0; i < flow.length; i++) flow[i] = h * GAMMA * (flow[i] + scratchLedger[i]);
  }
  next.set(y);
  error.fill(0);
  entered.fill(0);
  for (let s = 0; s < STAGES; s++) {
    const k = stages[s];
    if (M[s] !== 0) for (let i = 0; i < n; i++) next[i] += M[s] * k[i];
    if (ERROR[s] !== 0) for (let i = 0; i < n; i++) error[i] += ERROR[s] * k[i];
    for (let i = 0; i < entered.length; i++) entered[i] += M[s] * ledgers[s][i];
  }
}

/** Order of the error estimate plus one: how the error of one step shrinks with the step. */
export const STEP_ERROR_ORDER = 3;
