import type { Cake, CakeSample, Surrounding } from "./cake.js";
import { CAKE_EMISSIVITY } from "./oven.js";
import { saturationPressure } from "./steam.js";
import type { Vessel } from "./vessel.js";

/** What is done with the cake after the oven. Times count from the moment it leaves the oven. */
export interface AfterPlan {
  readonly roomC: number;
  /** Relative humidity of the room [1], 0.5 unless said. */
  readonly roomHumidity?: number;
  /** Left in the tin for this long [s]; until it can be handled when absent. */
  readonly inTinS?: number;
  /** Cooled in a refrigerator of this temperature [°C] once it can be wrapped. */
  readonly fridgeC?: number;
  /** Wrapped and frozen as soon as it can be wrapped. */
  readonly freezer?: { readonly airC: number; readonly blast: boolean };
  /** Thawed in its wrapping at this temperature [°C], after freezing. */
  readonly thawC?: number;
}

/** A time [s], or null when it does not happen within the time that was followed. */
type When = number | null;

export interface AfterAnswer {
  /** When it can be handled: turned out without tearing or burning fingers. */
  readonly handleSeconds: When;
  readonly turnedOutSeconds: number;
  /** When it can be wrapped without water gathering under the wrapping. */
  readonly wrapSeconds: When;
  /** When it can be filled with cream, or iced. */
  readonly fillSeconds: When;
  /** In the refrigerator: when the warmest point is within a degree of 5 °C, or of the air. */
  readonly chilledSeconds?: When;
  /** When it is frozen through (warmest point -15 °C), and thawed (coldest point within 5 K of the room). */
  readonly frozenSeconds?: When;
  readonly thawedSeconds?: When;
  /** Lost while cooling [% of the batter's weight]. */
  readonly lossPercent: number;
  readonly curves: {
    readonly timesS: Float64Array;
    readonly warmestC: Float64Array;
    readonly coldestC: Float64Array;
    readonly centreC: Float64Array;
    readonly surfaceC: Float64Array;
    readonly place: readonly ("tin" | "rack" | "fridge" | "freezer" | "thaw")[];
  };
  readonly rules: readonly string[];
  readonly cautions: readonly string[];
}

/**
 * Handled when the crumb a centimetre from the wall has cooled to this [°C]: warm to the hand, crumb firm enough to hold. An
 * assumption, chosen once so that a sandwich cake takes some minutes and a deep one about half an hour, as bakers say.
 */
const HANDLE_EDGE_C = 55;
const HANDLE_CENTRE_C = 75;
const FROZEN_C = -15;
const COOLING_S = 8 * 3600;
const COLD_S = 48 * 3600;
const SAMPLE_S = 60;

/** Follows one cake from the oven's door on; called with the cake restored to the state in which it left the oven. */
export function followAfter(cake: Cake, vessel: Vessel, out: CakeSample, plan: AfterPlan, stopped?: () => boolean): AfterAnswer {
  cake.stopRising();
  const humidity = (plan.roomHumidity ?? 0.5) * saturationPressure(Math.max(0.1, plan.roomC));
  const start = out.timeS;
  let clock = start;
  const samples: CakeSample[] = [];
  const places: AfterAnswer["curves"]["place"][number][] = [];
  const wait = (
    place: AfterAnswer["curves"]["place"][number],
    airC: number,
    seconds: number,
    until: (sample: CakeSample) => boolean,
  ): When => {
    const times: number[] = [];
    for (let t = clock; t < clock + seconds; t += t - start < 7200 ? SAMPLE_S : 5 * SAMPLE_S) times.push(t);
    let reached: When = null;
    let ended = clock;
    const end = cake.run(
      clock,
      clock + seconds,
      { fromC: airC, toC: airC },
      times,
      (sample) => {
        samples.push(sample);
        places.push(place);
        ended = sample.timeS;
        if (until(sample)) {
          reached = sample.timeS - start;
          return "stop";
        }
        return undefined;
      },
      stopped,
    );
    if (end === "stopped" && samples.length > 0) {
      cake.restore(samples[samples.length - 1]);
      clock = ended;
    } else clock += seconds;
    return reached;
  };

  const bare = (vapourOpen: number): Surrounding => ({
    convection: "natural",
    emissivity: CAKE_EMISSIVITY,
    radiantExcessK: 0,
    resistanceM2KW: 0,
    vapourOpen,
    airVapourPa: humidity,
  });
  const wall: Surrounding = {
    ...bare(0),
    emissivity: vessel.wall.emissivity,
    resistanceM2KW: vessel.wall.resistanceM2KW,
  };
  cake.surround({ top: bare(1), side: wall, base: wall });
  const coolEnough = (s: CakeSample) => s.edgeC <= HANDLE_EDGE_C && s.centreC <= HANDLE_CENTRE_C;
  let handleSeconds: When;
  let turnedOutSeconds: number;
  if (plan.inTinS === undefined) {
    handleSeconds = wait("tin", plan.roomC, COOLING_S, coolEnough);
    turnedOutSeconds = clock - start;
  } else {
    handleSeconds = null;
    const wanted = plan.inTinS;
    wait("tin", plan.roomC, Math.max(SAMPLE_S, wanted), (s) => {
      if (handleSeconds === null && coolEnough(s)) handleSeconds = s.timeS - start;
      return false;
    });
    turnedOutSeconds = clock - start;
  }

  cake.turnOut();
  cake.surround({ top: bare(1), side: bare(1), base: bare(1) });
  let fillSeconds: When = null;
  const wrapSeconds = wait("rack", plan.roomC, COOLING_S, (s) => {
    if (handleSeconds === null && coolEnough(s)) handleSeconds = s.timeS - start;
    return s.warmestC <= plan.roomC + 5;
  });
  const cutAt = samples.length - 1;
  // On the rack until it can be filled, unless something colder was planned.
  let chilledSeconds: When | undefined;
  let frozenSeconds: When | undefined;
  let thawedSeconds: When | undefined;
  if (plan.freezer === undefined && plan.fridgeC === undefined) {
    fillSeconds = wait("rack", plan.roomC, COOLING_S, (s) => s.warmestC <= Math.max(22, plan.roomC + 1.5));
  } else {
    // A film of wrapping with the air it encloses (assumption).
    const wrapped: Surrounding = { ...bare(0), resistanceM2KW: 0.02 };
    if (plan.fridgeC !== undefined) {
      const cold = plan.fridgeC;
      const stirred: Surrounding = { ...wrapped, convection: 8 };
      cake.surround({ top: stirred, side: stirred, base: stirred });
      chilledSeconds = wait("fridge", cold, COOLING_S, (s) => {
        if (fillSeconds === null && s.warmestC <= 22) fillSeconds = s.timeS - start;
        return s.warmestC <= Math.max(5, cold) + 1;
      });
    }
    if (plan.freezer !== undefined) {
      const { airC, blast } = plan.freezer;
      cake.allowFreezing();
      const cold: Surrounding = { ...wrapped, ...(blast ? { convection: 25 } : {}) };
      cake.surround({ top: cold, side: cold, base: cold });
      frozenSeconds = wait("freezer", airC, COLD_S, (s) => s.warmestC <= Math.max(FROZEN_C, airC + 3));
      if (plan.thawC !== undefined) {
        const warm = plan.thawC;
        cake.surround({ top: wrapped, side: wrapped, base: wrapped });
        thawedSeconds = wait("thaw", warm, COLD_S, (s) => s.coldestC >= warm - 5);
      }
    }
  }
  const pick = (of: (sample: CakeSample) => number) => Float64Array.from(samples, of);
  return {
    handleSeconds,
    turnedOutSeconds,
    wrapSeconds,
    fillSeconds,
    ...(chilledSeconds === undefined ? {} : { chilledSeconds }),
    ...(frozenSeconds === undefined ? {} : { frozenSeconds }),
    ...(thawedSeconds === undefined ? {} : { thawedSeconds }),
    lossPercent: 100 * ((samples[cutAt] ?? out).lossShare - out.lossShare),
    curves: {
      timesS: pick((s) => s.timeS - start),
      warmestC: pick((s) => s.warmestC),
      coldestC: pick((s) => s.coldestC),
      centreC: pick((s) => s.centreC),
      surfaceC: pick((s) => s.surfaceC),
      place: places,
    },
    rules: [
      `Handled when the crumb a centimetre from the wall is at ${HANDLE_EDGE_C} °C and the middle at ${HANDLE_CENTRE_C} °C (assumption).`,
      "Wrapped when no part is more than 5 °C above the room, so that hardly any water gathers under the wrapping (assumption).",
      "Filled with cream when no part is above 22 °C, or the room if that is warmer (common practice: quite cold; no source).",
      `Frozen when the warmest point is at ${FROZEN_C} °C; thawed when the coldest is within 5 °C of the room (assumptions).`,
    ],
    cautions: [
      "Cakes with cream, custard or other chilled fillings belong in the refrigerator; how long they may stand warm is for local food law.",
    ],
  };
}
