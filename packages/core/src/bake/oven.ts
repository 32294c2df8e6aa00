/** How an oven is set and what is known of it. Plain numbers. */
export interface OvenSettings {
  /** Temperature on the dial [°C]. */
  readonly setC: number;
  readonly fan: boolean;
  /** Set to something else at a time after loading [s]. */
  readonly changes?: readonly { readonly atS: number; readonly setC: number }[];
  /** Door opened during the bake. */
  readonly doors?: readonly { readonly atS: number; readonly openS: number }[];
  /** Hot when the cake goes in; true unless said. */
  readonly preheated?: boolean;
  readonly shelf?: "rack" | "tray" | "stone";
  /** What calibration found for this oven and place; nothing when absent. */
  readonly fitted?: OvenFit;
}

/** What bakes of an oven and a place in it have taught. */
export interface OvenFit {
  /** Effective air temperature less the dial [K]. */
  readonly offsetK: number;
  /** Heat transfer above and below over the prior [1]. */
  readonly aboveFactor: number;
  readonly belowFactor: number;
  /** Standard deviations that remain: of the offset [K] and of the logarithm of each factor. */
  readonly offsetSpreadK: number;
  readonly aboveSpread: number;
  readonly belowSpread: number;
}

/** What is known before any bake: assumptions, common practice in their size. */
export const OVEN_PRIOR: OvenFit = {
  offsetK: 0,
  aboveFactor: 1,
  belowFactor: 1,
  offsetSpreadK: 7,
  aboveSpread: 0.15,
  belowSpread: 0.15,
};

/** Temperatures at times, straight between them. */
export interface Schedule {
  readonly timesS: readonly number[];
  readonly valuesC: readonly number[];
}

/** Loading lets this share of the air's excess over the room out; an assumption, as are the time constants. */
const LOADING_LOSS = 0.2;
const RECOVERY_S = { still: 150, fan: 110 };
const ROOM_C = 22;
const HEATING_K_S = 12 / 60;

/**
 * Air temperature [°C] of the oven from the moment the cake goes in: loading, openings of the door, recoveries, changes of setting.
 *
 * @param untilS  how far [s]
 */
export function ovenSchedule(oven: OvenSettings, untilS: number): Schedule {
  const offset = oven.fitted?.offsetK ?? 0;
  const tau = oven.fan ? RECOVERY_S.fan : RECOVERY_S.still;
  type Event = { readonly atS: number; readonly setC?: number; readonly openS?: number };
  const events: Event[] = [
    ...(oven.changes ?? []).map((c) => ({ atS: c.atS, setC: c.setC })),
    ...(oven.doors ?? []).map((d) => ({ atS: d.atS, openS: d.openS })),
  ].sort((a, b) => a.atS - b.atS);
  const timesS: number[] = [];
  const valuesC: number[] = [];
  const put = (t: number, v: number) => {
    if (timesS.length > 0 && t <= timesS[timesS.length - 1] + 0.5) return;
    timesS.push(t);
    valuesC.push(v);
  };
  let target = oven.setC + offset;
  let t = 0;
  let air = (oven.preheated ?? true) ? target - LOADING_LOSS * (target - ROOM_C) : ROOM_C;
  put(0, air);
  const recover = (until: number) => {
    // Cold ovens heat at a steady rate; near the setting, and after a door, they approach it exponentially.
    const begin = t;
    const from = air;
    const steady = Math.max(0, (target - 20 - from) / HEATING_K_S);
    const value = (s: number) => {
      if (s <= steady) return from + HEATING_K_S * s;
      const start = steady > 0 ? from + HEATING_K_S * steady : from;
      return target + (start - target) * Math.exp(-(s - steady) / tau);
    };
    for (const s of [steady, ...[0.35, 0.8, 1.4, 2.2, 3.5].map((k) => steady + k * tau)])
      if (s > 0 && begin + s < until) put(begin + s, value(s));
    air = value(until - begin);
    t = until;
    put(until, air);
  };
  for (const event of events) {
    if (event.atS >= untilS) break;
    if (event.atS > t) recover(event.atS);
    if (event.setC !== undefined) target = event.setC + offset;
    if (event.openS !== undefined) {
      // Half of the excess goes in the first half minute (assumption).
      air = ROOM_C + (air - ROOM_C) * Math.exp((-event.openS / 30) * 0.5);
      t = event.atS + Math.max(1, event.openS);
      put(t, air);
    }
  }
  if (t < untilS) recover(untilS);
  return { timesS, valuesC };
}

/**
 * Convection [W/(m² K)] in an oven and how much hotter its glowing parts are than its air [K].
 *
 * Assumptions, within what was measured on cakes (20 to 48 W/(m² K) in all at 186 to 225 °C, three quarters of it radiation: Baik et
 * al. 1999, abstract seen) and what correlations give for still air (5 above, 9 to 10 beside and below: computed). Chosen once so that
 * a sandwich cake takes the time that bakers know, and so that a fan is worth about 20 °C; not fitted case by case.
 */
export const OVEN_AIR = {
  still: { above: 11, beside: 15, below: 15, radiantExcessK: 15 },
  fan: { above: 24, beside: 28, below: 28, radiantExcessK: 5 },
} as const;

/** Emissivity of batter and crust: 0.85 to 0.95 (from memory). */
export const CAKE_EMISSIVITY = 0.9;
/** Vapour pressure of oven air while something bakes [Pa]; an assumption, little depends on it. */
export const OVEN_VAPOUR_PA = { still: 5000, fan: 3000 } as const;
