import type { BakePrediction } from "@evencrumb/core/bake";
import { type Band, formatMinutes, formatTemperature } from "@evencrumb/core/quantities";
import type { Settings } from "../app/house.js";

/** "between 18 and 31 min", or with hours where there are any. */
export function betweenMinutes({ from, to }: Pick<Band, "from" | "to">): string {
  if (!Number.isFinite(to)) return `from ${formatMinutes(from)} to more than four hours`;
  const [low, high] = [formatMinutes(from), formatMinutes(to)];
  return low.endsWith(" min") && !low.includes("h") && to < 3600
    ? `between ${low.replace(" min", "")} and ${high}`
    : `between ${low} and ${high}`;
}

/** "12:30", as a clock that runs from the oven's door. */
export const clockOf = (seconds: number): string => {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
};

/** An oven's setting as this baker reads it. */
export const settingWords = (setC: number, scale: Settings["temperature"]): string =>
  formatTemperature(setC, scale === "gas-mark" ? "gas" : scale);

/** Value of a curve at a time, straight between its samples. */
export function valueAt(timesS: Float64Array, values: Float64Array, timeS: number): number {
  let at = timesS.findIndex((time) => time >= timeS);
  if (at < 0) at = timesS.length - 1;
  if (at === 0) return values[0] ?? Number.NaN;
  const share = Math.min(1, (timeS - timesS[at - 1]!) / (timesS[at]! - timesS[at - 1]!));
  return values[at - 1]! * (1 - share) + values[at]! * share;
}

/** What the picture shows at a moment, in words. */
export function momentWords({ curves }: BakePrediction, timeS: number): string {
  const read = (values: Float64Array) => Math.round(valueAt(curves.timesS, values, timeS));
  return `coldest ${read(curves.coldestC)} °C, edge ${read(curves.edgeC)} °C, surface ${read(curves.surfaceC)} °C, ${valueAt(curves.timesS, curves.lossPercent, timeS).toFixed(1)} % lost`;
}
