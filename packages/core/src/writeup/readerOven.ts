import {
  type Band,
  celsius,
  conventionalFromFan,
  fahrenheitFromCelsius,
  fanFromConventional,
  formatGasMark,
  formatMinutes,
  gasMarkFromCelsius,
} from "../quantities/index.js";
import type { ReaderMeasures } from "./amounts.js";

/** US ovens are set in steps of 25 °F; this far from a step the true setting is named first [°F]. */
const STEP_F = 25;
const NEAR_STEP_F = 6;

/**
 * An oven setting for readers: "165 °C, fan 145 °C, gas mark 3 (325 °F)", or for US measures
 * "325 °F (329 °F exactly, 165 °C), convection 300 °F".
 *
 * US settings are the nearest step of 25 °F with the exact value beside it where they differ.
 */
export function readerOven(oven: { readonly ovenC: number; readonly fan: boolean }, measures: ReaderMeasures): string {
  const conventional = celsius(oven.fan ? conventionalFromFan(oven.ovenC) : oven.ovenC);
  const fan = celsius(oven.fan ? oven.ovenC : fanFromConventional(oven.ovenC));
  const exact = Math.round(fahrenheitFromCelsius(conventional));
  const step = Math.round(exact / STEP_F) * STEP_F;
  const isNear = Math.abs(exact - step) <= NEAR_STEP_F;
  const set = isNear ? step : Math.round(exact / 5) * 5;
  const degrees = `${Math.round(conventional)} °C`;
  if (measures === "us") {
    const beside = exact === set ? degrees : `${exact} °F exactly, ${degrees}`;
    const steps = isNear
      ? ""
      : `; or ${step} °F where the oven knows only steps of ${STEP_F}, and look ${step > exact ? "sooner" : "later"}`;
    return `${set} °F (${beside}${steps}), convection ${step - STEP_F} °F`;
  }
  const gas = gasMarkFromCelsius(conventional);
  return `${degrees}, fan ${Math.round(fan)} °C${gas === undefined ? "" : `, gas mark ${formatGasMark(gas)}`} (${set} °F)`;
}

/** "45 to 52 min (predicted)" with a band, "about 50 min" from the formula's own minutes, undefined with neither. */
export function readerBakeTime(predicted: Band | undefined, minutes: number | undefined): string | undefined {
  if (predicted !== undefined) {
    const [from, to] = [Math.round(predicted.from / 60), Math.round(predicted.to / 60)];
    if (to < 60 && from !== to) return `${from} to ${to} min (predicted)`;
    return `${formatMinutes(predicted.from)} to ${formatMinutes(predicted.to)} (predicted)`;
  }
  return minutes === undefined ? undefined : `about ${formatMinutes(minutes * 60)}`;
}
