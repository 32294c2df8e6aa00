/** A temperature read at a time after the end of cooking. */
export interface LoggedTemperature {
  readonly hours: number;
  readonly temperatureC: number;
}

export interface CoolingVerdict {
  readonly meets: boolean;
  /** Hours from 57 °C down to 21 °C and to 5 °C; absent when the log does not reach them. */
  readonly hoursTo21?: number;
  readonly hoursTo5?: number;
  readonly rule: string;
}

/**
 * Checks a cooling log against the two-stage rule: 57 to 21 °C within 2 hours, and 57 to 5 °C within 6 hours in all.
 *
 * @param log  readings in order of time; between two readings the temperature is taken as straight
 *
 * Source: FDA Food Code 2022, 3-501.14(A). Great Britain has no single figure in law for cooling; guidance asks for cooling
 * "as quickly as possible". Local rules decide.
 */
export function coolingVerdict(log: readonly LoggedTemperature[]): CoolingVerdict {
  const start = crossing(log, 57);
  const to21 = crossing(log, 21);
  const to5 = crossing(log, 5);
  const hoursTo21 = to21 === undefined ? undefined : to21 - (start ?? 0);
  const hoursTo5 = to5 === undefined ? undefined : to5 - (start ?? 0);
  return {
    meets: hoursTo21 !== undefined && hoursTo21 <= 2 && hoursTo5 !== undefined && hoursTo5 <= 6,
    ...(hoursTo21 === undefined ? {} : { hoursTo21 }),
    ...(hoursTo5 === undefined ? {} : { hoursTo5 }),
    rule: "57 °C to 21 °C within 2 hours and to 5 °C within 6 hours in all (FDA Food Code 2022, 3-501.14(A))",
  };
}

/** Time at which the log first falls to a temperature [h]; undefined when it never does. */
function crossing(log: readonly LoggedTemperature[], temperatureC: number): number | undefined {
  const index = log.findIndex((reading) => reading.temperatureC <= temperatureC);
  if (index < 0) return undefined;
  const after = log[index]!;
  const before = log[index - 1];
  if (before === undefined) return after.hours;
  const share = (before.temperatureC - temperatureC) / (before.temperatureC - after.temperatureC);
  return before.hours + share * (after.hours - before.hours);
}
