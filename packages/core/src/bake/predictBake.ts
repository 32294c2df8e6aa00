import type { Band } from "../quantities/index.js";
import type { Tin } from "../tins/index.js";
import { type AfterAnswer, type AfterPlan, followAfter } from "./afterOven.js";
import { type BatterNumbers, batterProperties } from "./batter.js";
import { type Cake, type CakeSample, makeCake, type Surrounding } from "./cake.js";
import { LOGS_SHOWN_MAX, logReductions } from "./lethality.js";
import { CAKE_EMISSIVITY, OVEN_AIR, OVEN_PRIOR, OVEN_VAPOUR_PA, type OvenSettings, ovenSchedule } from "./oven.js";
import { BROWNING_LIMIT, browningRate, gelTemperature } from "./setting.js";
import { boilingPoint, pressureAtAltitude } from "./steam.js";
import { type Vessel, vesselOf } from "./vessel.js";

/** One component in one tin in one oven. Plain data: it can be handed to a worker as it is. */
export interface BakeRequest {
  readonly batter: BatterNumbers;
  /** Batter in the tin [g]; in all cups of a tray together. */
  readonly massGrams: number;
  readonly specificGravity: number;
  readonly tin: Tin;
  readonly oven: OvenSettings;
  /** Height above the sea [m], 0 unless said. */
  readonly altitudeM?: number;
  /** Batter when it goes in [°C], 22 unless said. */
  readonly initialC?: number;
  readonly lining?: "none" | "paper";
  readonly insulatingStrip?: boolean;
  readonly cover?: "none" | "foil" | "lid";
  /** Taken out at this time [s]; when it is done unless said. */
  readonly bakeSeconds?: number;
  readonly accuracy: "coarse" | "full";
  /** What happens after the oven; nothing is followed when absent. */
  readonly after?: AfterPlan;
  /** Pictures of the cross-section this often [s]; none when absent. */
  readonly sectionEveryS?: number;
  /** Multipliers for bands; 1 each when absent. */
  readonly vary?: BakeVariation;
}

export interface BakeVariation {
  readonly conductivity?: number;
  readonly vapourPath?: number;
  /** Moves the temperature at which it counts as done [K]. */
  readonly doneShiftK?: number;
}

export interface BakeHooks {
  /** Share of the longest bake that is behind, 0 to 1. */
  readonly onProgress?: (share: number) => void;
  /** Asked often; true ends the bake with the outcome "stopped". */
  readonly stopped?: () => boolean;
}

/** Upright cut through the middle over time, on the solver's own cells; typed arrays, to be transferred from a worker. */
export interface BakeSection {
  readonly timesS: Float64Array;
  /** Cell edges from the axis, or the middle, to the wall [m], and over the batter's height at rest [m]. */
  readonly acrossM: Float64Array;
  readonly upM: Float64Array;
  /** Frame by frame, row by row from the base, from the middle outwards: `timesS.length` x up x across. */
  readonly temperatureC: Float32Array;
  readonly waterKgKg: Float32Array;
  /** How much taller each cell has become, and how far it has set, 0 to 1. */
  readonly growth: Float32Array;
  readonly set: Float32Array;
}

export interface BakePrediction {
  readonly outcome: "baked" | "never-done" | "stopped";
  /** When the skewer comes out clean [s], with its band. */
  readonly doneSeconds: Band;
  /** Temperature at which the coldest point counts as done [°C], and the rule in words. */
  readonly doneC: number;
  readonly doneRule: string;
  /** When it was taken out [s]. */
  readonly outSeconds: number;
  readonly coldestPoint: { readonly rM: number; readonly zM: number; readonly temperatureC: number };
  /** Share of the batter's weight lost when it leaves the oven [%]. */
  readonly weightLossPercent: Band;
  readonly curves: {
    readonly timesS: Float64Array;
    readonly coldestC: Float64Array;
    readonly centreC: Float64Array;
    readonly edgeC: Float64Array;
    readonly surfaceC: Float64Array;
    readonly lossPercent: Float64Array;
    /** CIELAB difference from raw batter, top middle. */
    readonly browning: Float64Array;
  };
  /** Reductions of Salmonella in the coldest point, cut at 12. */
  readonly lethalityLog10: number;
  readonly energyKwh: number;
  /** Heat that went into the cake alone [kWh]. */
  readonly cakeEnergyKwh: number;
  /** Of each hollow, when it leaves the oven; indicative. */
  readonly height: { readonly edgeMm: number; readonly centreMm: number; readonly batterMm: number };
  readonly browning: { readonly deltaE: number; readonly words: string };
  /** Share of the volume whose starch is less than half set when it leaves the oven. */
  readonly unsetShare: number;
  /** Share of the cake (by dry solids) that has lost more than half its water: crust and dry edge. */
  readonly dryShare: number;
  readonly cooling?: AfterAnswer;
  readonly section?: BakeSection;
  readonly assumptions: readonly string[];
  readonly cautions: readonly string[];
  readonly run: { readonly cells: number; readonly steps: number; readonly heatGap: number; readonly waterGap: number };
}

/** Band of the loss over its likely value: as far as measured bakes lie from the model, either way (assumption). */
export const LOSS_BAND = [0.6, 1.7] as const;
/** Four hours: nothing that is called a cake takes longer at a temperature that bakes. */
const LONGEST_BAKE_S = 4 * 3600;
const SAMPLE_S = 15;

/**
 * Predicts one bake, and what follows it.
 *
 * @throws RangeError for numbers outside what the model covers: the caller checks the baker's input first (see `checkBakeRequest`)
 */
export function predictBake(request: BakeRequest, hooks: BakeHooks = {}): BakePrediction {
  const { batter, oven } = request;
  const altitude = request.altitudeM ?? 0;
  const pressurePa = pressureAtAltitude(altitude);
  const initialC = request.initialC ?? 22;
  const sugarInWater = batter.sugarFraction / (batter.sugarFraction + batter.fractions.water);
  const properties = batterProperties(batter, gelTemperature(sugarInWater));
  const boilC = boilingPoint(pressurePa, properties.initialActivity);
  const { doneC, doneRule } = doneTemperature(batter, properties.gelC, boilC, request.vary?.doneShiftK ?? 0);
  const vessel = vesselOf(request.tin, request.massGrams / request.specificGravity);
  const batterKg = request.massGrams / 1000 / vessel.hollowCount;
  const cake = makeCake({
    batter: properties,
    vessel,
    batterKg,
    initialC,
    pressurePa,
    carbonDioxideGPerKg: batter.carbonDioxideGPerKg,
    accuracy: request.accuracy,
    ...(request.vary?.conductivity === undefined ? {} : { conductivityFactor: request.vary.conductivity }),
    ...(request.vary?.vapourPath === undefined ? {} : { pathFactor: request.vary.vapourPath }),
  });
  cake.surround(ovenSurroundings(request, vessel));

  const samples: CakeSample[] = [];
  const heights: { edgeMm: number; centreMm: number }[] = [];
  const browning: number[] = [];
  let brown = 0;
  let readyBefore = 0;
  let doneS: number | null = null;
  let last: CakeSample | undefined;
  const schedule = ovenSchedule(oven, Math.min(LONGEST_BAKE_S, Math.max(request.bakeSeconds ?? 0, LONGEST_BAKE_S)));
  let stopped = false;
  for (let i = 0; i + 1 < schedule.timesS.length; i++) {
    const [from, to] = [schedule.timesS[i], schedule.timesS[i + 1]];
    const times: number[] = [];
    for (let t = Math.ceil(from / SAMPLE_S) * SAMPLE_S; t < to || (i + 2 === schedule.timesS.length && t <= to); t += SAMPLE_S)
      times.push(t);
    const end = cake.run(
      from,
      to,
      { fromC: schedule.valuesC[i], toC: schedule.valuesC[i + 1] },
      times,
      (sample) => {
        if (last) {
          const rate = 0.5 * (browningRate(last.surfaceC) + browningRate(sample.surfaceC));
          brown = BROWNING_LIMIT - (BROWNING_LIMIT - brown) * Math.exp(-rate * (sample.timeS - last.timeS));
          const ready = doneShare(sample, initialC, doneC);
          if (doneS === null && ready >= 1)
            doneS = last.timeS + ((1 - readyBefore) / (ready - readyBefore)) * (sample.timeS - last.timeS);
          readyBefore = ready;
        }
        last = sample;
        samples.push(sample);
        browning.push(brown);
        heights.push({ edgeMm: 1000 * cake.heightOf(cake.edgeAcross), centreMm: 1000 * cake.heightOf(cake.centreAcross) });
        hooks.onProgress?.(Math.min(1, Math.max(0, (sample.coldestC - initialC) / (doneC - initialC))));
        const enough = request.bakeSeconds === undefined || sample.timeS >= request.bakeSeconds;
        if (doneS !== null && enough) {
          return "stop";
        }
        return undefined;
      },
      hooks.stopped,
    );
    if (end === "stopped") {
      stopped = doneS === null;
      break;
    }
  }
  const outcome: BakePrediction["outcome"] = stopped ? "stopped" : doneS === null ? "never-done" : "baked";
  const outAt = request.bakeSeconds === undefined ? samples.length - 1 : indexAt(samples, request.bakeSeconds);
  const out = samples[outAt];
  const shown = samples.slice(0, outAt + 1);
  const place = cake.coldestPlace(out.temperatures);
  const height = heights[outAt];
  cake.restore(out);
  const allM3 = cake.mesh.volume.reduce((sum, v) => sum + v, 0);
  const unset = out.set.reduce((sum, share, c) => sum + (share < 0.5 ? cake.mesh.volume[c] : 0), 0) / allM3;
  const dry =
    out.temperatures.reduce((sum, _, c) => sum + (out.y[2 * c + 1] < 0.5 * properties.water ? cake.mesh.volume[c] : 0), 0) /
    allM3;
  const cakeEnergyKwh = (heatTaken(cake) * vessel.hollowCount) / 3.6e6;
  const bandShare = quickBand(oven, doneC);
  const done = doneS ?? out.timeS;
  const lossPercent = 100 * out.lossShare;
  const curve = (pick: (sample: CakeSample) => number) => Float64Array.from(shown, pick);
  const balance = { ...cake.balance };
  const section = request.sectionEveryS === undefined ? undefined : cutSection(cake, shown, request.sectionEveryS);
  const lethality = logReductions(
    shown.map((s) => s.timeS),
    shown.map((s) => s.coldestC),
  );
  const after =
    request.after === undefined || outcome === "stopped"
      ? undefined
      : followAfter(cake, vessel, out, request.after, hooks.stopped);
  const prediction: Omit<BakePrediction, "cautions"> = {
    outcome,
    doneSeconds: { likely: done, from: done * (1 - bandShare.down), to: done * (1 + bandShare.up) },
    doneC,
    doneRule,
    outSeconds: out.timeS,
    coldestPoint: { rM: place.acrossM, zM: place.upM, temperatureC: out.coldestC },
    weightLossPercent: { likely: lossPercent, from: lossPercent * LOSS_BAND[0], to: lossPercent * LOSS_BAND[1] },
    curves: {
      timesS: curve((s) => s.timeS),
      coldestC: curve((s) => s.coldestC),
      centreC: curve((s) => s.centreC),
      edgeC: curve((s) => s.edgeC),
      surfaceC: curve((s) => s.surfaceC),
      lossPercent: curve((s) => 100 * s.lossShare),
      browning: Float64Array.from(browning.slice(0, outAt + 1)),
    },
    lethalityLog10: Math.min(LOGS_SHOWN_MAX, lethality),
    energyKwh: cakeEnergyKwh + ovenEnergyKwh(oven, out.timeS),
    cakeEnergyKwh,
    height: { ...height, batterMm: 1000 * vessel.shape.heightM },
    browning: { deltaE: browning[outAt], words: brownWords(browning[outAt]) },
    unsetShare: unset,
    dryShare: dry,
    ...(after ? { cooling: after } : {}),
    ...(section ? { section } : {}),
    assumptions: assumptionsOf(request, vessel, doneRule),
    run: {
      cells: cake.mesh.cellCount,
      steps: balance.steps,
      heatGap: balance.heatGap / Math.max(1, balance.heatMovedJ),
      waterGap: balance.waterGap / Math.max(1e-9, balance.waterMovedKg),
    },
  };
  return { ...prediction, cautions: cautionsOf(prediction, vessel) };
}

/**
 * Temperature at which the coldest point counts as done: the set temperature for this sugar and 15 K, for the set takes minutes and the
 * skewer lags; within 93 to 98 °C, a whisked sponge a degree less, and never nearer than 3 K to boiling.
 *
 * Common practice (seen in two or more places): 93 to 99 °C; the 15 K are an assumption that puts a cake of equal weights at 96 °C.
 */
export function doneTemperature(batter: BatterNumbers, gelC: number, boilC: number, shiftK = 0) {
  const set = Math.min(98, Math.max(93, gelC + 15)) - (batter.whisked ? 1 : 0);
  const doneC = Math.min(set, boilC - 3) + shiftK;
  const doneRule = `Done when the coldest point reaches ${doneC.toFixed(0)} °C: the crumb sets at about ${gelC.toFixed(
    0,
  )} °C with this sugar, and a skewer comes out clean some 15 °C later (common practice, no source). Crumb that its own vapour keeps cooler counts as done when three quarters of its starch have set.`;
  return { doneC, doneRule };
}

/**
 * Crumb that has set to this share counts as done though its own vapour keeps it cooler, as just under the top: in pound cakes baked
 * until they were good, 75 % of the starch had gelatinised (J. Home Econ. Jpn 25(1), 38; abstract seen).
 */
const SET_ENOUGH = 0.75;

/** 1 and more when every part is hot enough or has set; it rises steadily, so that the moment can be interpolated. */
function doneShare(sample: CakeSample, initialC: number, doneC: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let c = 0; c < sample.temperatures.length; c++) {
    const share = Math.max((sample.temperatures[c] - initialC) / (doneC - initialC), sample.set[c] / SET_ENOUGH);
    if (share < least) least = share;
  }
  return least;
}

function ovenSurroundings(request: BakeRequest, vessel: Vessel): { top: Surrounding; side: Surrounding; base: Surrounding } {
  const { oven } = request;
  const air = OVEN_AIR[oven.fan ? "fan" : "still"];
  const fit = oven.fitted ?? OVEN_PRIOR;
  const vapour = OVEN_VAPOUR_PA[oven.fan ? "fan" : "still"];
  // Baking paper and the air it traps: 0.3 mm of still air (assumption). A wet strip: 5 mm of damp cloth (assumption).
  const lining = request.lining === "paper" ? 0.01 : 0;
  const strip = request.insulatingStrip ? 0.03 : 0;
  const covered = (request.cover ?? "none") !== "none";
  const shelf = oven.shelf ?? "rack";
  return {
    top: {
      convection: air.above * fit.aboveFactor,
      emissivity: Math.min(1, (covered ? 0.2 : CAKE_EMISSIVITY) * fit.aboveFactor),
      radiantExcessK: air.radiantExcessK,
      // A cover adds a layer of still air (1 cm, assumption) and keeps most vapour in.
      resistanceM2KW: covered ? 0.1 : 0,
      vapourOpen: covered ? 0.1 : 1,
      airVapourPa: covered ? 40_000 : vapour,
    },
    side: {
      convection: air.beside * fit.belowFactor * vessel.sideShare,
      emissivity: vessel.wall.emissivity * vessel.sideShare,
      radiantExcessK: air.radiantExcessK,
      resistanceM2KW: vessel.wall.resistanceM2KW + lining + strip,
      vapourOpen: 0,
      airVapourPa: vapour,
    },
    base: {
      // A tray under the tin shields it; a stone heats by contact (assumptions).
      convection: air.below * fit.belowFactor * (shelf === "tray" ? 0.6 : shelf === "stone" ? 0.2 : 1),
      emissivity: shelf === "rack" ? vessel.wall.emissivity : 0,
      radiantExcessK: air.radiantExcessK,
      resistanceM2KW: vessel.wall.resistanceM2KW + lining,
      vapourOpen: 0,
      airVapourPa: vapour,
      contactWM2K: shelf === "stone" ? 35 : 0,
    },
  };
}

const indexAt = (samples: readonly CakeSample[], timeS: number) => {
  const index = samples.findIndex((s) => s.timeS >= timeS);
  return index < 0 ? samples.length - 1 : index;
};

function heatTaken(cake: Cake): number {
  return cake.mesh.symmetryParts * cake.balance.heatEnteredJ.reduce((sum, q) => sum + q, 0);
}

/** A household oven of 60 l loses about 3.5 W per kelvin and takes 0.3 kWh to heat to 180 °C; assumptions. */
function ovenEnergyKwh(oven: OvenSettings, bakeS: number): number {
  const excess = oven.setC - 22;
  return (3.5 * excess * bakeS) / 3.6e6 + (0.3 * excess) / 158;
}

/** Band of the time by first-order propagation; nine cases in ten. `bakeBand` samples the model itself instead. */
function quickBand(oven: OvenSettings, doneC: number) {
  const fit = oven.fitted ?? OVEN_PRIOR;
  const reach = Math.max(20, oven.setC - doneC);
  const transfer = 0.75 * Math.hypot(fit.aboveSpread, fit.belowSpread) * Math.SQRT1_2;
  const spread = Math.hypot(transfer, fit.offsetSpreadK / reach, 0.05, 0.05);
  return { down: 1 - Math.exp(-1.645 * spread), up: Math.exp(1.645 * spread) - 1 };
}

/** Words for Zanoni's colour difference; the borders are assumptions. */
function brownWords(deltaE: number): string {
  if (deltaE < 6) return "pale";
  if (deltaE < 16) return "lightly golden";
  if (deltaE < 28) return "golden brown";
  if (deltaE < 38) return "brown";
  return "very dark";
}

function cutSection(cake: Cake, samples: readonly CakeSample[], everyS: number): BakeSection {
  const { mesh } = cake;
  const { across, up } = mesh.counts;
  const frames: CakeSample[] = [];
  let next = 0;
  for (const sample of samples)
    if (sample.timeS >= next - 1e-6) {
      frames.push(sample);
      next = sample.timeS + everyS;
    }
  const size = frames.length * across * up;
  const section = {
    timesS: Float64Array.from(frames, (f) => f.timeS),
    acrossM: mesh.acrossEdges.slice(),
    upM: mesh.upEdges.slice(),
    temperatureC: new Float32Array(size),
    waterKgKg: new Float32Array(size),
    growth: new Float32Array(size),
    set: new Float32Array(size),
  };
  let at = 0;
  for (const frame of frames)
    for (let k = 0; k < up; k++)
      for (let i = 0; i < across; i++) {
        const c = mesh.cellAt(i, 0, k);
        section.temperatureC[at] = frame.temperatures[c];
        section.waterKgKg[at] = frame.y[2 * c + 1];
        section.growth[at] = frame.growth[c];
        section.set[at] = frame.set[c];
        at++;
      }
  return section;
}

function assumptionsOf(request: BakeRequest, vessel: Vessel, doneRule: string): readonly string[] {
  const { oven } = request;
  const list = [...request.batter.assumed, ...vessel.assumed, doneRule];
  if (oven.fitted === undefined)
    list.push(
      `The oven is taken to keep ${oven.setC} °C with the heat transfer of a usual ${oven.fan ? "fan" : "still"} oven (assumption). Bake records of this oven narrow the band.`,
    );
  if (request.altitudeM === undefined) list.push("Sea level.");
  if (request.initialC === undefined) list.push("The batter goes in at 22 °C.");
  list.push("Height, doming and sinking are indicative; sideways flow of batter is left out.");
  return list;
}

function cautionsOf(p: Omit<BakePrediction, "cautions">, vessel: Vessel): readonly string[] {
  const list: string[] = [];
  if (p.outcome === "never-done") list.push(`It does not get done within ${LONGEST_BAKE_S / 3600} hours at this setting.`);
  if (p.unsetShare > 0.02 && p.outcome !== "stopped")
    list.push(`Taken out now, about ${(100 * p.unsetShare).toFixed(0)} % of it has not set: it is likely to sink (indicative).`);
  if (p.height.centreMm > 1.1 * 1000 * vessel.tinDepthM) list.push("It may rise over the rim of the tin (indicative).");
  if (p.browning.words === "very dark") list.push("The top is likely to be very dark: cover it, or bake cooler for longer.");
  if (p.lethalityLog10 < 5)
    list.push(
      "The coldest point stays short of five tenfold reductions of Salmonella, the yardstick of a muffin study. Raw egg and flour can carry it: bake longer, check with a thermometer, and follow local food law.",
    );
  else
    list.push(
      "Reductions of Salmonella are computed from a study of muffin batter and are no proof for this cake: local food law and licensed advice decide.",
    );
  return list;
}
