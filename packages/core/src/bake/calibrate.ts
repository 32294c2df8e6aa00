import { OVEN_PRIOR, type OvenFit } from "./oven.js";
import { type BakePrediction, type BakeRequest, predictBake } from "./predictBake.js";

/** What was measured in one real bake, beside what was baked. Everything but one measurement may be missing. */
export interface OvenRecord {
  readonly name: string;
  /** What was baked and how the oven was set; `oven.fitted` is not looked at. */
  readonly request: BakeRequest;
  /** When the skewer came out clean [s]. */
  readonly cleanSkewerS?: number;
  /** A probe in the middle of the cake. */
  readonly probe?: { readonly timesS: readonly number[]; readonly temperaturesC: readonly number[] };
  /** When it was taken out [s] and what it had lost by then [% of the batter]. */
  readonly out?: { readonly atS: number; readonly lossPercent?: number; readonly centreMm?: number };
}

/** How well each measurement is trusted (standard deviations); assumptions. */
export const RECORD_SPREADS = {
  /** Of the logarithm of the time: bakers look every two or three minutes. */
  skewer: 0.07,
  /** Probes stand a few millimetres off [K]; a curve counts as three independent readings. */
  probeK: 5,
  lossPercent: 1.5,
  heightShare: 0.15,
} as const;
const PROBE_WEIGHT = 3;
/** A record whose worst residual passes this many standard deviations of a fit without it is flagged and left out. */
export const BAD_RECORD_DEVIATIONS = 3.5;

export interface RecordResidual {
  readonly name: string;
  readonly measured: string;
  /** Measured less predicted, over its standard deviation. */
  readonly deviations: number;
  readonly words: string;
}

export interface Calibration {
  readonly fit: OvenFit;
  readonly used: readonly string[];
  /** Records that do not belong with the others, and why. */
  readonly flagged: readonly { readonly name: string; readonly why: string }[];
  readonly before: readonly RecordResidual[];
  readonly after: readonly RecordResidual[];
  /** Root mean square of the residuals in standard deviations, before and after, of the records used. */
  readonly misfit: { readonly before: number; readonly after: number };
  readonly bakes: number;
  readonly outcome: "fitted" | "stopped" | "no-records";
}

type Parameters = readonly [offsetK: number, logAbove: number, logBelow: number];

/**
 * Fits an oven and a place in it: effective air temperature, heat transfer above and below, and what remains uncertain.
 *
 * Gauss and Newton with the prior as three more measurements (shrinkage): one record moves the fit a little, ten pin it down. A record
 * that contradicts the others by more than 3.5 standard deviations is left out and named; at most a third of them are.
 *
 * @param records  of one oven and one place; predicted at coarse accuracy
 * @param prior  what is known before; the usual oven unless said
 */
export function calibrate(
  records: readonly OvenRecord[],
  prior: OvenFit = OVEN_PRIOR,
  hooks: { readonly onProgress?: (share: number) => void; readonly stopped?: () => boolean } = {},
): Calibration {
  let bakes = 0;
  let stopped = false;
  const bake = (record: OvenRecord, p: Parameters): RecordResidual[] => {
    bakes++;
    hooks.onProgress?.(1 - 1 / (1 + bakes / (4 * Math.max(1, records.length))));
    return residualsOf(record, p, prior);
  };
  const priorPoint: Parameters = [prior.offsetK, Math.log(prior.aboveFactor), Math.log(prior.belowFactor)];
  const priorSpread = [prior.offsetSpreadK, prior.aboveSpread, prior.belowSpread];
  const before = records.flatMap((record) => bake(record, priorPoint));

  let used = records.slice();
  const flagged: { name: string; why: string }[] = [];
  let solved = solve(used, priorPoint);
  while (!stopped && used.length >= 3 && flagged.length < Math.floor(records.length / 3)) {
    const worst = used
      .map((record) => ({ record, size: Math.max(...bake(record, solved.point).map((r) => Math.abs(r.deviations))) }))
      .sort((a, b) => b.size - a.size)[0];
    // A bad record bends the fit towards itself, so the verdict is that of the others. Looked at from half the limit on.
    if (worst.size < 0.5 * BAD_RECORD_DEVIATIONS) break;
    const others = used.filter((record) => record !== worst.record);
    const without = solve(others, solved.point);
    const size = Math.max(...bake(worst.record, without.point).map((r) => Math.abs(r.deviations)));
    if (size < BAD_RECORD_DEVIATIONS) break;
    const residual = bake(worst.record, without.point).sort((a, b) => Math.abs(b.deviations) - Math.abs(a.deviations))[0];
    flagged.push({
      name: worst.record.name,
      why: `${residual.words}: ${Math.abs(residual.deviations).toFixed(1)} standard deviations from what the other bakes of this oven say. Check the tin, the weight, the setting and the clock of this record.`,
    });
    used = others;
    solved = without;
  }
  const after = records.flatMap((record) => bake(record, solved.point));
  const names = new Set(used.map((r) => r.name));
  const rms = (list: readonly RecordResidual[]) => {
    const own = list.filter((r) => names.has(r.name));
    return own.length === 0 ? 0 : Math.sqrt(own.reduce((sum, r) => sum + r.deviations ** 2, 0) / own.length);
  };
  hooks.onProgress?.(1);
  return {
    fit: {
      offsetK: solved.point[0],
      aboveFactor: records.length === 0 ? prior.aboveFactor : Math.exp(solved.point[1]),
      belowFactor: records.length === 0 ? prior.belowFactor : Math.exp(solved.point[2]),
      offsetSpreadK: solved.spread[0],
      aboveSpread: solved.spread[1],
      belowSpread: solved.spread[2],
    },
    used: used.map((r) => r.name),
    flagged,
    before,
    after,
    misfit: { before: rms(before), after: rms(after) },
    bakes,
    outcome: stopped ? "stopped" : records.length === 0 ? "no-records" : "fitted",
  };

  function solve(list: readonly OvenRecord[], start: Parameters): { point: Parameters; spread: number[] } {
    if (list.length === 0) return { point: start, spread: priorSpread.slice() };
    let point = [...start] as [number, number, number];
    let spread = priorSpread.slice();
    const steps = [4, 0.08, 0.08];
    for (let iteration = 0; iteration < 3; iteration++) {
      const normal = priorSpread.map((s, i) => priorSpread.map((_, j) => (i === j ? 1 / (s * s) : 0)));
      const right = priorSpread.map((s, i) => (priorPoint[i] - point[i]) / (s * s));
      for (const record of list) {
        if (hooks.stopped?.()) {
          stopped = true;
          return { point, spread };
        }
        const here = bake(record, point);
        const slopes = steps.map((step, i) => {
          const moved = [...point] as [number, number, number];
          moved[i] += step;
          return bake(record, moved).map((r, k) => (r.deviations - here[k].deviations) / step);
        });
        here.forEach((r, k) => {
          // Large residuals count less (Huber), so that one bad record cannot run away with the first fit.
          const weight = Math.abs(r.deviations) > 1.5 ? 1.5 / Math.abs(r.deviations) : 1;
          for (let i = 0; i < 3; i++) {
            right[i] -= weight * slopes[i][k] * r.deviations;
            for (let j = 0; j < 3; j++) normal[i][j] += weight * slopes[i][k] * slopes[j][k];
          }
        });
      }
      const inverse = invert3(normal);
      const move = inverse.map((row) => row.reduce((sum, v, j) => sum + v * right[j], 0));
      // A step of more than two prior deviations is a sign of a bent model: go there in two strides.
      point = point.map((p, i) => p + Math.max(-2 * priorSpread[i], Math.min(2 * priorSpread[i], move[i]))) as [
        number,
        number,
        number,
      ];
      spread = inverse.map((row, i) => Math.sqrt(row[i]));
      if (move.every((m, i) => Math.abs(m) < 0.05 * priorSpread[i])) break;
    }
    return { point, spread };
  }
}

function residualsOf(record: OvenRecord, p: Parameters, prior: OvenFit): RecordResidual[] {
  const { request } = record;
  const fitted = { ...prior, offsetK: p[0], aboveFactor: Math.exp(p[1]), belowFactor: Math.exp(p[2]) };
  const { after: _, sectionEveryS: __, bakeSeconds: ___, ...bare } = request;
  const lastProbe = record.probe ? record.probe.timesS[record.probe.timesS.length - 1] : undefined;
  const until = record.out?.atS ?? lastProbe;
  const answer = predictBake({
    ...bare,
    accuracy: "coarse",
    oven: { ...request.oven, fitted },
    ...(until === undefined ? {} : { bakeSeconds: until }),
  });
  const list: RecordResidual[] = [];
  const add = (measured: string, deviations: number, words: string) =>
    list.push({ name: record.name, measured, deviations, words });
  if (record.cleanSkewerS !== undefined) {
    const predicted = answer.doneSeconds.likely;
    const words = `clean skewer after ${(record.cleanSkewerS / 60).toFixed(0)} min, predicted ${(predicted / 60).toFixed(0)} min`;
    add("skewer", Math.log(record.cleanSkewerS / predicted) / RECORD_SPREADS.skewer, words);
  }
  if (record.probe) {
    const { timesS, temperaturesC } = record.probe;
    const gaps = timesS.map((t, i) => temperaturesC[i] - centreAt(answer, t));
    // Three readings' worth: early, middle and late thirds, each by its mean.
    const parts = Math.min(PROBE_WEIGHT, gaps.length);
    for (let k = 0; k < parts; k++) {
      const part = gaps.slice(Math.floor((k * gaps.length) / parts), Math.floor(((k + 1) * gaps.length) / parts));
      const mean = part.reduce((sum, g) => sum + g, 0) / part.length;
      add(`probe ${k + 1} of ${parts}`, mean / RECORD_SPREADS.probeK, `the probe read ${signed(mean)} °C against the prediction`);
    }
  }
  if (record.out?.lossPercent !== undefined) {
    const gap = record.out.lossPercent - answer.weightLossPercent.likely;
    add(
      "weight",
      gap / RECORD_SPREADS.lossPercent,
      `lost ${record.out.lossPercent.toFixed(1)} % of its weight, ${signed(gap)} against the prediction`,
    );
  }
  if (record.out?.centreMm !== undefined) {
    const deviations = Math.log(record.out.centreMm / answer.height.centreMm) / RECORD_SPREADS.heightShare;
    add("height", deviations, `${record.out.centreMm.toFixed(0)} mm tall, predicted ${answer.height.centreMm.toFixed(0)} mm`);
  }
  return list;
}

const signed = (value: number) => `${value < 0 ? "−" : "+"}${Math.abs(value).toFixed(1)}`;

function centreAt(answer: BakePrediction, timeS: number): number {
  const { timesS, centreC } = answer.curves;
  let i = 1;
  while (i < timesS.length - 1 && timesS[i] < timeS) i++;
  const share = Math.min(1, Math.max(0, (timeS - timesS[i - 1]) / (timesS[i] - timesS[i - 1])));
  return centreC[i - 1] + share * (centreC[i] - centreC[i - 1]);
}

function invert3(m: readonly (readonly number[])[]): number[][] {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [
    [(e * i - f * h) / determinant, (c * h - b * i) / determinant, (b * f - c * e) / determinant],
    [(f * g - d * i) / determinant, (a * i - c * g) / determinant, (c * d - a * f) / determinant],
    [(d * h - e * g) / determinant, (b * g - a * h) / determinant, (a * e - b * d) / determinant],
  ];
}

/** Why one shelf needed longer than another, in a sentence, from the fits of both. */
export function explainPositions(
  request: BakeRequest,
  one: { readonly name: string; readonly fit: OvenFit },
  other: { readonly name: string; readonly fit: OvenFit },
): { readonly oneSeconds: number; readonly otherSeconds: number; readonly words: string } {
  const done = (fitted: OvenFit) =>
    predictBake({ ...request, accuracy: "coarse", oven: { ...request.oven, fitted } }).doneSeconds.likely;
  const oneSeconds = done(one.fit);
  const otherSeconds = done(other.fit);
  // One change at a time: what each difference alone is worth.
  const offsetK = other.fit.offsetK - one.fit.offsetK;
  const ratio = (name: "aboveFactor" | "belowFactor") => (other.fit[name] / one.fit[name]).toFixed(2);
  const shares = [
    {
      words: `the air there is ${Math.abs(offsetK).toFixed(0)} °C ${offsetK < 0 ? "cooler" : "hotter"}`,
      seconds: done({ ...one.fit, offsetK: other.fit.offsetK }) - oneSeconds,
    },
    {
      words: `heat from above is ${ratio("aboveFactor")} times as strong there`,
      seconds: done({ ...one.fit, aboveFactor: other.fit.aboveFactor }) - oneSeconds,
    },
    {
      words: `heat from below and the sides is ${ratio("belowFactor")} times as strong there`,
      seconds: done({ ...one.fit, belowFactor: other.fit.belowFactor }) - oneSeconds,
    },
  ].sort((a, b) => Math.abs(b.seconds) - Math.abs(a.seconds));
  const difference = (otherSeconds - oneSeconds) / 60;
  const words =
    Math.abs(difference) < 0.5
      ? `On ${other.name} it takes about as long as on ${one.name}.`
      : `On ${other.name} it takes ${Math.abs(difference).toFixed(0)} min ${difference > 0 ? "longer" : "less"} than on ${one.name}, mostly because ${shares[0].words} (worth ${signed(shares[0].seconds / 60)} min).`;
  return { oneSeconds, otherSeconds, words };
}
