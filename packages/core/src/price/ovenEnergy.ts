/** What is known of an oven and a bake, for an estimate of its energy. */
export interface OvenUse {
  /** Rated power [kW], above 0. */
  readonly ratedKw: number;
  readonly warmUpMinutes: number;
  readonly bakeMinutes: number;
  /** Share of the bake for which it heats, percent; 30 to 60 is usual once it is warm (from memory). */
  readonly dutyPercent?: number;
  /** How many batches share the warm-up; 1 or more. */
  readonly batches?: number;
}

export interface OvenEnergy {
  readonly kwh: number;
  /** With a duty of 30 and of 60 percent; what it really is tells a meter. */
  readonly fromKwh: number;
  readonly toKwh: number;
  readonly words: string;
}

const [LEAST_DUTY, USUAL_DUTY, MOST_DUTY] = [30, 45, 60];

/**
 * Energy of a bake by the oven's rating: full power while it warms up, a share of it while it bakes.
 *
 * An estimate for want of a prediction or a meter; the bake model's energy is better where there is one.
 *
 * @throws RangeError for what is not above 0
 */
export function ovenEnergy({ ratedKw, warmUpMinutes, bakeMinutes, dutyPercent, batches = 1 }: OvenUse): OvenEnergy {
  if (!(ratedKw > 0)) throw new RangeError(`ovenEnergy: ${ratedKw} kW is not above 0`);
  if (!(warmUpMinutes >= 0 && bakeMinutes >= 0 && batches >= 1))
    throw new RangeError("ovenEnergy: minutes are 0 or more, batches 1 or more");
  if (dutyPercent !== undefined && !(dutyPercent > 0 && dutyPercent <= 100))
    throw new RangeError(`ovenEnergy: a duty of ${dutyPercent} % is not above 0 and at most 100`);
  const kwh = (duty: number) => (ratedKw / 60) * (warmUpMinutes / batches + (bakeMinutes * duty) / 100);
  const stated = dutyPercent ?? USUAL_DUTY;
  return {
    kwh: kwh(stated),
    fromKwh: kwh(dutyPercent ?? LEAST_DUTY),
    toKwh: kwh(dutyPercent ?? MOST_DUTY),
    words: `${ratedKw} kW: ${warmUpMinutes} min warming up${batches > 1 ? ` shared by ${batches} batches` : ""}, ${bakeMinutes} min at ${stated} % of its power`,
  };
}

/**
 * Energy of a batch from the bake model's answer for one tin: the oven is heated once, each cake takes its own.
 *
 * @param tins  tins that bake together, 1 or more
 * @returns  [kWh]; as uncertain as the model's oven, which is a usual domestic one (see the bake's page)
 */
export function predictedEnergyKwh(
  { energyKwh, cakeEnergyKwh }: { readonly energyKwh: number; readonly cakeEnergyKwh: number },
  tins: number,
): number {
  if (!(tins >= 1)) throw new RangeError(`predictedEnergyKwh: ${tins} tins are not 1 or more`);
  return energyKwh - cakeEnergyKwh + tins * cakeEnergyKwh;
}
