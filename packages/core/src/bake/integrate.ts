import type { HeatWater } from "./heatWater.js";
import { SURFACES } from "./mesh.js";
import { makeStepWork, rosenbrockStep, STEP_ERROR_ORDER } from "./rosenbrock.js";

/** How finely time is cut. */
export interface StepControl {
  /** Error allowed in one step [K], and in water [kg/kg dry]; root mean square over the cells. */
  readonly temperatureTolerance: number;
  readonly waterTolerance: number;
  readonly firstStepS: number;
  readonly longestStepS: number;
  /** Fixed steps instead, for the test of the order in time. */
  readonly fixedStepS?: number;
}

/** One stretch of time in which nothing jumps; air temperatures may change linearly (set in the system beforehand). */
export interface Stretch {
  readonly fromS: number;
  readonly toS: number;
  /** Times [s] at which `onSample` is wanted, ascending, within the stretch. */
  readonly samplesS: ArrayLike<number>;
  /** Called with the state interpolated at a sample time. Return "stop" to end the run there. */
  readonly onSample: (index: number, timeS: number, y: Float64Array) => "stop" | undefined;
  /** Called before every step with the state and the step about to be tried: renew conductivity, growth, transfer. */
  readonly beforeStep?: (timeS: number, y: Float64Array, stepS: number) => void;
  /** Asked now and then; true stops the run (an outcome, not an error). */
  readonly stopped?: () => boolean;
}

export interface Balance {
  /** Heat [J] and water [kg] that entered through each surface, of the meshed part (negative: left). */
  readonly heatEnteredJ: Float64Array;
  readonly waterEnteredKg: Float64Array;
  /** Largest gap between what entered and what is stored, over what moved. */
  heatGap: number;
  waterGap: number;
  heatMovedJ: number;
  waterMovedKg: number;
  steps: number;
  rejected: number;
  /** Sources inside the cake make the account of its surfaces meaningless: only in the test with a manufactured solution. */
  readonly open?: boolean;
}

export const newBalance = (): Balance => ({
  heatEnteredJ: new Float64Array(SURFACES.length),
  waterEnteredKg: new Float64Array(SURFACES.length),
  heatGap: 0,
  waterGap: 0,
  heatMovedJ: 0,
  waterMovedKg: 0,
  steps: 0,
  rejected: 0,
});

/** Heat and water balances must close to this share of what moved. */
export const BALANCE_TOLERANCE = 1e-8;

export type StretchEnd = "reached" | "stopped";

/**
 * Carries the state `y` over a stretch, in place.
 *
 * @param balance  running account, added to
 * @param stepS  step to begin with; returns the one to go on with
 * @throws Error when the balance does not close or steps shrink to nothing: both would be ours to mend
 */
export function integrateStretch(
  system: HeatWater,
  y: Float64Array,
  stretch: Stretch,
  control: StepControl,
  balance: Balance,
  stepS: number,
): { readonly end: StretchEnd; readonly stepS: number; readonly timeS: number } {
  const work = makeStepWork(system.size, system.ledgerSize);
  const { perCell } = system;
  const cells = system.mesh.cellCount;
  const autonomous = !system.driven && system.rimAmbientRate.every((rate) => rate === 0);
  const endRates = new Float64Array(system.size);
  const endLedger = new Float64Array(system.ledgerSize);
  const between = new Float64Array(system.size);
  // Enthalpy error in kelvin needs a heat capacity: that of the first cell's neighbourhood is near enough for a norm.
  const probeLow = system.initial(20, 0.3);
  const probeHigh = system.initial(21, 0.3);
  const capacity = probeHigh[0] - probeLow[0];
  const heatWeight = 1 / (capacity * control.temperatureTolerance);
  const waterWeight = 1 / control.waterTolerance;

  let t = stretch.fromS;
  let next = 0;
  const count = stretch.samplesS.length;
  while (next < count && stretch.samplesS[next] <= t) {
    if (stretch.onSample(next, stretch.samplesS[next], y) === "stop") return { end: "stopped", stepS, timeS: t };
    next++;
  }
  let h = control.fixedStepS ?? Math.min(stepS, control.longestStepS);
  let started = system.totals(y);
  let fresh = true;
  let known = false;
  let growMost = 3;
  while (t < stretch.toS - 1e-9 * Math.max(1, stretch.toS)) {
    if (stretch.stopped?.()) return { end: "stopped", stepS: h, timeS: t };
    const left = stretch.toS - t;
    // Two equal steps rather than a long one and a splinter.
    const step = h >= left ? left : h > 0.5 * left && control.fixedStepS === undefined ? 0.5 * left : h;
    if (fresh && stretch.beforeStep) stretch.beforeStep(t, y, step);
    if (fresh) {
      // Without renewed coefficients the rates at the end of the last step are those at the start of this one.
      if (stretch.beforeStep || !known) system.evaluate(t, y, work.startRates, work.startLedger);
      system.linearise(t, y);
      if (!autonomous) system.timeDerivative(work.timeRates, work.timeLedger);
      fresh = false;
    }
    rosenbrockStep(system, t, y, step, autonomous, work);
    let sum = 0;
    for (let c = 0; c < cells; c++) {
      sum += (work.error[perCell * c] * heatWeight) ** 2;
      if (perCell === 2) sum += (work.error[2 * c + 1] * waterWeight) ** 2;
    }
    const size = Math.sqrt(sum / (perCell * cells));
    const factor = control.fixedStepS !== undefined ? 1 : 0.8 * size ** (-1 / STEP_ERROR_ORDER);
    // NaN counts as a failed step.
    if (control.fixedStepS === undefined && !(size <= 1)) {
      balance.rejected++;
      growMost = 1;
      h = step * (Number.isFinite(factor) ? Math.max(0.2, Math.min(0.9, factor)) : 0.2);
      if (h < 1e-6) throw new Error(`integrateStretch: the step shrank to nothing at ${t} s`);
      continue;
    }
    const after = t + step;
    checkBalance(system, work.next, work.entered, balance, started);
    system.evaluate(after, work.next, endRates, endLedger);
    while (next < count && stretch.samplesS[next] <= after + 1e-9 * Math.max(1, after)) {
      const s = Math.min(1, (stretch.samplesS[next] - t) / step);
      system.between(y, work.startRates, work.next, endRates, step, s, between);
      if (stretch.onSample(next, stretch.samplesS[next], between) === "stop") {
        y.set(work.next);
        return { end: "stopped", stepS: h, timeS: after };
      }
      next++;
    }
    y.set(work.next);
    work.startRates.set(endRates);
    work.startLedger.set(endLedger);
    known = true;
    started = system.totals(y);
    t = after;
    balance.steps++;
    fresh = true;
    if (control.fixedStepS === undefined) {
      // In a linear system an unchanged step costs no factorisation, so it grows in strides only.
      const grown = system.linear && factor < 1.8 ? Math.min(1, factor) : factor;
      h = Math.min(control.longestStepS, step * Math.max(0.3, Math.min(growMost, grown)));
      growMost = 3;
    }
  }
  return { end: "reached", stepS: h, timeS: t };
}

function checkBalance(
  system: HeatWater,
  y: Float64Array,
  entered: Float64Array,
  balance: Balance,
  before: { readonly heatJ: number; readonly waterKg: number },
): void {
  const surfaces = SURFACES.length;
  let heat = 0;
  let water = 0;
  for (let s = 0; s < surfaces; s++) {
    balance.heatEnteredJ[s] += entered[s];
    heat += entered[s];
    balance.heatMovedJ += Math.abs(entered[s]);
    if (system.coupled) {
      balance.waterEnteredKg[s] += entered[surfaces + s];
      water += entered[surfaces + s];
      balance.waterMovedKg += Math.abs(entered[surfaces + s]);
    }
  }
  if (balance.open) return;
  const after = system.totals(y);
  balance.heatGap += after.heatJ - before.heatJ - heat;
  balance.waterGap += after.waterKg - before.waterKg - water;
  // Where next to nothing has moved yet, rounding is measured against what is there.
  const heatScale = Math.max(balance.heatMovedJ, 1e-4 * Math.abs(after.heatJ));
  const waterScale = Math.max(balance.waterMovedKg, 1e-4 * after.waterKg);
  if (!(Math.abs(balance.heatGap) <= BALANCE_TOLERANCE * heatScale))
    throw new Error(`bake: heat balance open by ${balance.heatGap} J of ${heatScale} J`);
  if (system.coupled && !(Math.abs(balance.waterGap) <= BALANCE_TOLERANCE * waterScale))
    throw new Error(`bake: water balance open by ${balance.waterGap} kg of ${waterScale} kg`);
}
