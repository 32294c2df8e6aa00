import type { Band } from "../quantities/index.js";
import { OVEN_PRIOR } from "./oven.js";
import { type BakeRequest, LOSS_BAND, predictBake } from "./predictBake.js";

/** How one sampled world differs from the likely one; plain numbers, to be sent to workers. */
export interface BakeDraw {
  readonly offsetK: number;
  readonly aboveFactor: number;
  readonly belowFactor: number;
  readonly gravityFactor: number;
  readonly conductivity: number;
  readonly vapourPath: number;
  readonly doneShiftK: number;
  readonly initialShiftK: number;
}

/** Standard deviations of what the oven's calibration does not cover. Assumptions; factors by their logarithm. */
export const BAKE_SPREADS = {
  gravity: 0.04,
  conductivity: 0.08,
  vapourPath: 0.2,
  doneK: 1,
  initialK: 1.5,
} as const;

const BASES = [2, 3, 5, 7, 11, 13, 17, 19];

/** Van der Corput's radical inverse: digits mirrored at the point. */
function radicalInverse(index: number, base: number): number {
  let [value, scale, rest] = [0, 1 / base, index];
  while (rest > 0) {
    value += (rest % base) * scale;
    rest = Math.floor(rest / base);
    scale /= base;
  }
  return value;
}

/** A small generator of shifts from a seed (mulberry32); not for anything but spreading points. */
function shifts(seed: number, count: number): number[] {
  let state = seed >>> 0;
  return Array.from({ length: count }, () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4_294_967_296;
  });
}

/**
 * Standard normal quantile for a share strictly between 0 and 1.
 * Source: Acklam's rational approximation (from memory), relative error below 1.2e-9; checked against the error function in the tests.
 */
export function normalQuantile(share: number): number {
  const a = [-39.69683028665376, 220.9460984245205, -275.9285104469687, 138.357751867269, -30.66479806614716, 2.506628277459239];
  const b = [-54.47609879822406, 161.5858368580409, -155.6989798598866, 66.80131188771972, -13.28068155288572];
  const c = [
    -0.007784894002430293, -0.3223964580411365, -2.400758277161838, -2.549732539343734, 4.374664141464968, 2.938163982698783,
  ];
  const d = [0.007784695709041462, 0.3224671290700398, 2.445134137142996, 3.754408661907416];
  const poly = (coefficients: readonly number[], x: number) => coefficients.reduce((sum, k) => sum * x + k, 0);
  if (!(share > 0 && share < 1)) throw new RangeError(`normalQuantile: ${share} is not between 0 and 1`);
  if (share < 0.02425) {
    const q = Math.sqrt(-2 * Math.log(share));
    return poly(c, q) / (poly(d, q) * q + 1);
  }
  if (share > 1 - 0.02425) return -normalQuantile(1 - share);
  const q = share - 0.5;
  const r = q * q;
  return (poly(a, r) * q) / (poly(b, r) * r + 1);
}

/**
 * Draws spread evenly over what is uncertain: a Halton sequence in eight dimensions, shifted by the seed (Cranley and Patterson).
 *
 * @param count  how many; 512 for a smooth band, 64 for a quick one
 * @param seed  the same seed gives the same draws
 */
export function bakeDraws(request: BakeRequest, count: number, seed = 1): BakeDraw[] {
  const fit = request.oven.fitted ?? OVEN_PRIOR;
  const shift = shifts(seed, BASES.length);
  return Array.from({ length: count }, (_, i) => {
    const z = BASES.map((base, d) => {
      const u = (radicalInverse(i + 1, base) + shift[d]) % 1;
      return normalQuantile(Math.min(1 - 1e-6, Math.max(1e-6, u)));
    });
    return {
      offsetK: fit.offsetK + z[0] * fit.offsetSpreadK,
      aboveFactor: fit.aboveFactor * Math.exp(z[1] * fit.aboveSpread),
      belowFactor: fit.belowFactor * Math.exp(z[2] * fit.belowSpread),
      gravityFactor: Math.exp(z[3] * BAKE_SPREADS.gravity),
      conductivity: Math.exp(z[4] * BAKE_SPREADS.conductivity),
      vapourPath: Math.exp(z[5] * BAKE_SPREADS.vapourPath),
      doneShiftK: z[6] * BAKE_SPREADS.doneK,
      initialShiftK: z[7] * BAKE_SPREADS.initialK,
    };
  });
}

/** What is kept of each sampled bake; equal lengths, in the order of the draws. Typed arrays, to be transferred. */
export interface BakeOutcomes {
  readonly doneS: Float64Array;
  readonly lossPercent: Float64Array;
  readonly centreMm: Float64Array;
  readonly browning: Float64Array;
  /** Fewer than asked for when it was stopped. */
  readonly count: number;
}

/**
 * Runs a share of the draws: what one worker does. At the request's accuracy; coarse is enough for a band.
 *
 * @param hooks  progress (share of these draws) and a question whether to stop, asked before each bake
 */
export function runBakeDraws(
  request: BakeRequest,
  draws: readonly BakeDraw[],
  hooks: { readonly onProgress?: (share: number) => void; readonly stopped?: () => boolean } = {},
): BakeOutcomes {
  const doneS = new Float64Array(draws.length);
  const lossPercent = new Float64Array(draws.length);
  const centreMm = new Float64Array(draws.length);
  const browning = new Float64Array(draws.length);
  let count = 0;
  const { after: _, sectionEveryS: __, ...bare } = request;
  for (const draw of draws) {
    if (hooks.stopped?.()) break;
    const answer = predictBake({ ...bare, ...worldOf(request, draw) });
    doneS[count] = answer.outcome === "never-done" ? Number.POSITIVE_INFINITY : answer.doneSeconds.likely;
    lossPercent[count] = answer.weightLossPercent.likely;
    centreMm[count] = answer.height.centreMm;
    browning[count] = answer.browning.deltaE;
    count++;
    hooks.onProgress?.(count / draws.length);
  }
  return { doneS, lossPercent, centreMm, browning, count };
}

function worldOf(request: BakeRequest, draw: BakeDraw): Partial<BakeRequest> {
  const fit = request.oven.fitted ?? OVEN_PRIOR;
  return {
    specificGravity: request.specificGravity * draw.gravityFactor,
    initialC: (request.initialC ?? 22) + draw.initialShiftK,
    oven: {
      ...request.oven,
      fitted: { ...fit, offsetK: draw.offsetK, aboveFactor: draw.aboveFactor, belowFactor: draw.belowFactor },
    },
    vary: { conductivity: draw.conductivity, vapourPath: draw.vapourPath, doneShiftK: draw.doneShiftK },
  };
}

export interface BakeBands {
  readonly doneSeconds: Band;
  readonly weightLossPercent: Band;
  readonly centreMm: Band;
  readonly browningDeltaE: Band;
  readonly samples: number;
}

/** Puts the workers' shares together: middle, and the range that holds nine cases in ten. */
export function gatherBakeBands(shares: readonly BakeOutcomes[]): BakeBands {
  const all = (pick: (share: BakeOutcomes) => Float64Array): Band => {
    const values = shares.flatMap((share) => Array.from(pick(share).subarray(0, share.count))).sort((a, b) => a - b);
    const at = (q: number): number => {
      const place = q * (values.length - 1);
      const low = Math.floor(place);
      const high = Math.min(low + 1, values.length - 1);
      return values[low] === values[high] ? values[low] : values[low] + (place - low) * (values[high] - values[low]);
    };
    return { likely: at(0.5), from: at(0.05), to: at(0.95) };
  };
  const samples = shares.reduce((sum, share) => sum + share.count, 0);
  if (samples === 0) throw new RangeError("gatherBakeBands: no bake was run");
  return {
    doneSeconds: all((s) => s.doneS),
    weightLossPercent: withModelError(all((s) => s.lossPercent)),
    centreMm: all((s) => s.centreMm),
    browningDeltaE: all((s) => s.browning),
    samples,
  };
}

/** Sampling knows what the inputs are unsure of, not how far the model itself is off; both go into the band of the loss. */
function withModelError({ likely, from, to }: Band): Band {
  const below = Math.hypot(Math.log(likely / from), Math.log(1 / LOSS_BAND[0]));
  const above = Math.hypot(Math.log(to / likely), Math.log(LOSS_BAND[1]));
  return { likely, from: likely * Math.exp(-below), to: likely * Math.exp(above) };
}
