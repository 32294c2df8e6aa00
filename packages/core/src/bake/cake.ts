import { type BatterProperties, crumbConductivity } from "./batter.js";
import { DEFAULT_MOIST } from "./closures.js";
import { naturalConvection, radiation, vapourTransfer } from "./heatTransfer.js";
import { type FreezingClosure, makeHeatWater } from "./heatWater.js";
import { type Balance, integrateStretch, newBalance, type StepControl } from "./integrate.js";
import { BASE, buildMesh, type CellCounts, type Mesh, SIDE, TOP } from "./mesh.js";
import { settingRate } from "./setting.js";
import { coldestCell, gradingFor } from "./solveCase.js";
import { saturationPressureBuck } from "./steam.js";
import type { Vessel } from "./vessel.js";

/** One cake in one hollow, from batter on. */
export interface CakeSetup {
  readonly batter: BatterProperties;
  readonly vessel: Vessel;
  /** Batter in one hollow [kg]. */
  readonly batterKg: number;
  readonly initialC: number;
  readonly pressurePa: number;
  /** Carbon dioxide that raising agents can give [g/kg batter]. */
  readonly carbonDioxideGPerKg: number;
  readonly accuracy: "coarse" | "full";
  /** For bands: multipliers of conductivity and of the path for vapour. */
  readonly conductivityFactor?: number;
  readonly pathFactor?: number;
  readonly cells?: CellCounts;
  readonly control?: Partial<StepControl>;
}

/** What surrounds one surface of the cake for a while. */
export interface Surrounding {
  /** Convection [W/(m² K)], or by natural convection between the temperatures. */
  readonly convection: number | "natural";
  readonly emissivity: number;
  /** How much hotter than the air the surroundings glow [K]. */
  readonly radiantExcessK: number;
  /** Wall, lining and the like between the cake and the outer surface [m² K/W]. */
  readonly resistanceM2KW: number;
  /** Share of the vapour transfer that is open: 0 behind metal or wrapping, 1 bare. */
  readonly vapourOpen: number;
  readonly airVapourPa: number;
  /** Contact with a stone or a tray [W/(m² K)]; 0 on a rack. */
  readonly contactWM2K?: number;
}

export interface CakeState {
  readonly temperatures: Float64Array;
  /** Share of the crumb that has set in each cell, 0 to 1. */
  readonly set: Float64Array;
  readonly growth: Float64Array;
  readonly y: Float64Array;
}

export interface CakeSample extends CakeState {
  readonly timeS: number;
  readonly coldestC: number;
  readonly warmestC: number;
  readonly centreC: number;
  readonly edgeC: number;
  readonly surfaceC: number;
  readonly lossShare: number;
}

/** Cells for round shapes; a flat cake needs them over its height, a tall one across as well. Boxes are cut coarser still. */
const CELLS = {
  coarse: { flat: [8, 1, 14], tall: [10, 1, 11], box: [6, 5, 8] },
  full: { flat: [16, 1, 24], tall: [20, 1, 20], box: [10, 8, 12] },
} as const;

/** Batter's cells swell towards their target with this delay [s]: bubbles grow through a thick batter (assumption). */
const RISE_DELAY_S = 300;
/** Share of the gas that stays in: films break and batter breathes (assumption). */
const GAS_KEPT = 0.55;
const GROWTH_MAX = 2.6;
/** At the wall batter swells this share less, fading over this distance [m]. */
const WALL_HOLD = 0.35;
const WALL_HOLD_M = 0.015;
/** 1 g CO2 is 556 mL at 25 °C (computed). */
const CO2_M3_PER_G = 5.56e-4;

/**
 * A cake that can be carried through oven, rack, wrapping and freezer. It holds state: one object, one cake.
 */
export function makeCake(setup: CakeSetup) {
  const { batter, vessel, batterKg, pressurePa } = setup;
  const box = vessel.shape.kind === "box";
  const tall = vessel.shape.heightM > 0.5 * acrossOf(vessel);
  const [across, along, up] = CELLS[setup.accuracy][box ? "box" : tall ? "tall" : "flat"];
  const cells = setup.cells ?? { across, along, up };
  const { baseScale, topScale } = vessel;
  const mesh = buildMesh(vessel.shape, {
    cells,
    ...gradingFor(vessel.shape, cells, 5),
    planScale: (share) => baseScale + (topScale - baseScale) * share,
  });
  const n = mesh.cellCount;
  const meshM3 = mesh.symmetryParts * mesh.volume.reduce((sum, v) => sum + v, 0);
  const dryKg = batterKg / (1 + batter.water);
  const solids = mesh.volume.map((v) => (v * dryKg) / meshM3);
  const addedHeat = new Float64Array(n);
  for (let r = 0; r < mesh.rimCell.length; r++)
    if (mesh.rimSurface[r] !== TOP)
      addedHeat[mesh.rimCell[r]] += (mesh.rimArea[r] * vessel.wall.heatJM2K) / solids[mesh.rimCell[r]];
  const moist = {
    ...DEFAULT_MOIST,
    solidsHeatCapacityJKgK: batter.solidsHeatCapacityJKgK,
    activityHalfKgKg: batter.activityHalfKgKg,
    pressurePa,
    pathShare: DEFAULT_MOIST.pathShare * (setup.pathFactor ?? 1),
    liquidDiffusivityM2S: CRUMB_LIQUID_DIFFUSIVITY,
  };
  const make = (freezing?: FreezingClosure, bare = false) =>
    makeHeatWater({
      mesh,
      solidsKg: solids,
      moist,
      ...(bare ? {} : { addedHeatCapacityJKgK: addedHeat }),
      ...(freezing ? { freezing } : {}),
      solver: box && setup.accuracy === "full" ? "iterative" : "direct",
    });
  let system = make();
  let y = system.initial(setup.initialC, batter.water);
  const startWaterKg = system.totals(y).waterKg * mesh.symmetryParts;
  let balance: Balance = newBalance();
  const full = setup.accuracy === "full";
  const control: StepControl = {
    temperatureTolerance: full ? 0.03 : 0.4,
    waterTolerance: full ? 3e-4 : 2e-3,
    firstStepS: 1,
    longestStepS: 900,
    ...setup.control,
  };

  // Slow fields that the solver does not carry: how far the crumb has set and swollen. Renewed between steps, with the state at
  // both ends, and used at the middle of the coming step: second order in time.
  const set = new Float64Array(n);
  const growth = new Float64Array(n).fill(1);
  const target = new Float64Array(n).fill(1);
  const setRate = new Float64Array(n);
  const conductivityBefore = new Float64Array(n);
  const temperatures = new Float64Array(n);
  const rims = new Float64Array(mesh.rimCell.length).fill(setup.initialC);
  let fieldTimeS = 0;
  let lastStepS = 0;
  let rising = true;

  const porosity = Math.max(0, 1 - batterKg / meshM3 / batter.denseKgM3);
  const carbonDioxide = setup.carbonDioxideGPerKg * (batterKg / meshM3) * CO2_M3_PER_G;
  const volumePerDryKg = meshM3 / dryKg;
  const coolGas = pressurePa - batter.initialActivity * saturationPressureBuck(setup.initialC);
  const growthTarget = (t: number): number => {
    // Bubbles full of steam have no limit: films leak long before, so the last degrees before boiling count no further.
    const warm = Math.min(t, BUBBLE_MAX_C);
    const released = 0.2 + 0.8 * Math.min(1, Math.max(0, (warm - 25) / 45));
    const gas = pressurePa - batter.initialActivity * saturationPressureBuck(warm);
    const ratio = ((warm + 273.15) / (setup.initialC + 273.15)) * (coolGas / Math.max(gas, 0.2 * pressurePa));
    return Math.min(GROWTH_MAX, 1 + GAS_KEPT * ((porosity + carbonDioxide * released) * ratio - porosity - 0.2 * carbonDioxide));
  };

  // Batter clings to the wall, so it swells less there; an assumption that gives the usual gentle dome.
  const clinging = new Float64Array(n).fill(1);
  for (let k = 0; k < mesh.counts.up; k++)
    for (let j = 0; j < mesh.counts.along; j++)
      for (let i = 0; i < mesh.counts.across; i++) {
        const middle = (edges: Float64Array, at: number) => (edges[at] + edges[at + 1]) / 2;
        let distance = mesh.acrossEdges[mesh.counts.across] - middle(mesh.acrossEdges, i);
        if (vessel.shape.kind === "ring") distance = Math.min(distance, middle(mesh.acrossEdges, i) - mesh.acrossEdges[0]);
        if (box) distance = Math.min(distance, mesh.alongEdges[mesh.counts.along] - middle(mesh.alongEdges, j));
        clinging[mesh.cellAt(i, j, k)] = 1 - WALL_HOLD * Math.exp(-distance / WALL_HOLD_M);
      }

  const surroundings: Surrounding[] = [];
  const levelSizeM = box && vessel.shape.kind === "box" ? vessel.shape.widthM / 4 : acrossSize(mesh) / 2;

  function moveFields(timeS: number): void {
    const h = timeS - fieldTimeS;
    if (h > 0) {
      for (let c = 0; c < n; c++) {
        const t = temperatures[c];
        const rate = t > 40 ? settingRate(t, batter.gelC) : 0;
        set[c] = 1 - (1 - set[c]) * Math.exp(-0.5 * h * (rate + setRate[c]));
        setRate[c] = rate;
        if (rising) {
          const goal = 1 + (growthTarget(t) - 1) * clinging[c];
          const mobile = (1 - set[c]) ** 2;
          const mean = 0.5 * (goal + target[c]);
          if (mean > growth[c]) growth[c] += (mean - growth[c]) * (1 - Math.exp((-h * mobile) / RISE_DELAY_S));
          target[c] = goal;
        }
      }
    }
    fieldTimeS = timeS;
  }

  function beforeStep(timeS: number, state: Float64Array, stepS: number): void {
    system.temperatures(state, temperatures);
    moveFields(timeS);
    const ahead = lastStepS > 0 ? Math.min(1, (0.5 * stepS) / lastStepS) : 0;
    for (let c = 0; c < n; c++) {
      const mobile = (1 - set[c]) ** 2;
      const gain =
        rising && target[c] > growth[c] ? (target[c] - growth[c]) * (1 - Math.exp((-0.5 * stepS * mobile) / RISE_DELAY_S)) : 0;
      const g = growth[c] + gain;
      system.growth[c] = g;
      const k =
        (setup.conductivityFactor ?? 1) * crumbConductivity(batter, state[2 * c + 1], volumePerDryKg * g, temperatures[c]);
      const before = conductivityBefore[c];
      system.conductivity[c] = before > 0 ? Math.max(0.7 * k, Math.min(1.3 * k, k + ahead * (k - before))) : k;
      conductivityBefore[c] = k;
    }
    lastStepS = stepS;
    // A system that has not been refreshed yet does not know its surfaces: then those of the last one, or the batter's, will do.
    if (rimsKnown) system.rimTemperatures(timeS, state, rims);
    rimsKnown = true;
    for (let r = 0; r < rims.length; r++) {
      const around = surroundings[mesh.rimSurface[r]];
      const air = airAt(timeS);
      // Limits keep a first guess from running away; behind a wall the outer side is nearer to the air.
      const skin = Math.min(Math.max(rims[r], -40), 250);
      const glow = air + around.radiantExcessK;
      const convective = around.convection === "natural" ? stillAir(mesh.rimSurface[r], skin, air) : around.convection;
      const radiative = radiation(around.emissivity, skin, glow);
      const contact = around.contactWM2K ?? 0;
      const total = convective + radiative + contact;
      system.rimTransfer[r] = total;
      system.rimResistance[r] = around.resistanceM2KW;
      system.rimAmbient[r] = air + (around.radiantExcessK * radiative) / total;
      system.rimVapour[r] = around.vapourOpen * vapourTransfer(convective, (skin + air) / 2, pressurePa);
      system.rimAirVapourPa[r] = around.airVapourPa;
    }
    system.timeZero = timeS;
    system.refresh();
  }
  let rimsKnown = false;
  let airFromS = 0;
  let airFromC = 20;
  let airRate = 0;
  const airAt = (t: number) => airFromC + airRate * (t - airFromS);

  function stillAir(surface: number, skin: number, air: number): number {
    const hot = skin > air;
    if (surface === SIDE)
      return naturalConvection("upright", skin, air, Math.max(0.01, heightOf(mesh.counts.across - 1)), pressurePa);
    const facing = (surface === TOP) === hot ? "up" : "down";
    return naturalConvection(facing, skin, air, levelSizeM, pressurePa);
  }

  /** Height of a column of cells [m]. */
  function heightOf(i: number): number {
    let height = 0;
    for (let k = 0; k < mesh.counts.up; k++) height += (mesh.upEdges[k + 1] - mesh.upEdges[k]) * growth[mesh.cellAt(i, 0, k)];
    return height;
  }

  const middleUp = () => Math.floor(mesh.counts.up / 2);
  // A centimetre from the wall: where bakers look for the rim coming away.
  const edgeAcross = nearest(mesh.acrossEdges, mesh.acrossEdges[mesh.counts.across] - Math.min(0.01, acrossSize(mesh) / 4));
  const centreAcross = vessel.shape.kind === "ring" ? nearest(mesh.acrossEdges, mean(mesh.acrossEdges)) : 0;

  function sampleAt(timeS: number, state: Float64Array): CakeSample {
    const t = new Float64Array(n);
    system.temperatures(state, t);
    let coldest = Number.POSITIVE_INFINITY;
    let warmest = Number.NEGATIVE_INFINITY;
    for (let c = 0; c < n; c++) {
      if (t[c] < coldest) coldest = t[c];
      if (t[c] > warmest) warmest = t[c];
    }
    let surface = t[mesh.cellAt(centreAcross, 0, mesh.counts.up - 1)];
    const rim = topRim(mesh, centreAcross);
    if (rim >= 0 && rimsKnown) {
      system.rimTemperatures(timeS, state, rims);
      surface = rims[rim];
    }
    return {
      timeS,
      y: state.slice(),
      temperatures: t,
      set: set.slice(),
      growth: growth.slice(),
      coldestC: coldest,
      warmestC: warmest,
      centreC: t[mesh.cellAt(centreAcross, 0, middleUp())],
      edgeC: t[mesh.cellAt(edgeAcross, 0, middleUp())],
      surfaceC: surface,
      lossShare: (startWaterKg - system.totals(state).waterKg * mesh.symmetryParts) / batterKg,
    };
  }

  let stepS = control.firstStepS;

  return {
    mesh,
    heightOf,
    edgeAcross,
    centreAcross,
    coldestPlace: (t: Float64Array) => coldestCell(mesh, t),
    get balance() {
      return balance;
    },
    stopRising() {
      rising = false;
    },
    surround(next: { readonly top: Surrounding; readonly side: Surrounding; readonly base: Surrounding }) {
      surroundings[TOP] = next.top;
      surroundings[SIDE] = next.side;
      surroundings[BASE] = next.base;
      stepS = Math.min(stepS, 2);
    },
    /** Takes the tin away: its heat capacity goes with it, at the temperature of the cake. */
    turnOut() {
      const t = new Float64Array(n);
      system.temperatures(y, t);
      const old = y;
      system = make(undefined, true);
      y = new Float64Array(old.length);
      for (let c = 0; c < n; c++) {
        y[2 * c] = (moist.solidsHeatCapacityJKgK + moist.waterHeatCapacityJKgK * old[2 * c + 1]) * t[c];
        y[2 * c + 1] = old[2 * c + 1];
      }
      balance = newBalance();
      rimsKnown = false;
    },
    /** From here on water may freeze; call it after `turnOut`, above the freezing point. */
    allowFreezing() {
      system = make(
        {
          pointC: batter.freezingPointC,
          boundKgKg: batter.boundKgKg,
          iceHeatCapacityJKgK: 2000,
          latentJKg: 333_600,
        },
        true,
      );
      balance = newBalance();
      rimsKnown = false;
    },
    restore(sample: CakeSample) {
      y.set(sample.y);
      set.set(sample.set);
      growth.set(sample.growth);
      system.temperatures(y, temperatures);
      fieldTimeS = sample.timeS;
      setRate.forEach((_, c) => {
        setRate[c] = temperatures[c] > 40 ? settingRate(temperatures[c], batter.gelC) : 0;
      });
    },
    /**
     * Carries the cake on while the air goes straight from one temperature to another.
     * @returns whether the end was reached, or the sampler or the caller stopped it
     */
    run(
      fromS: number,
      toS: number,
      air: { readonly fromC: number; readonly toC: number },
      samplesS: readonly number[],
      onSample: (sample: CakeSample) => "stop" | undefined,
      stopped?: () => boolean,
    ): "reached" | "stopped" {
      airFromS = fromS;
      airFromC = air.fromC;
      airRate = toS > fromS ? (air.toC - air.fromC) / (toS - fromS) : 0;
      system.rimAmbientRate.fill(airRate);
      const result = integrateStretch(
        system,
        y,
        {
          fromS,
          toS,
          samplesS,
          beforeStep,
          onSample: (_, timeS, state) => onSample(sampleAt(timeS, state)),
          ...(stopped ? { stopped } : {}),
        },
        control,
        balance,
        stepS,
      );
      stepS = result.stepS;
      system.temperatures(y, temperatures);
      moveFields(result.timeS);
      return result.end;
    },
  };
}

export type Cake = ReturnType<typeof makeCake>;

/** Liquid water creeping through hot crumb [m²/s]. Assumption; sponge at 20 °C was measured at 0.5 to 7.5e-10 (Guillard 2003). */
const CRUMB_LIQUID_DIFFUSIVITY = 1e-9;
const BUBBLE_MAX_C = 90;

/** Radius, or width of a ring's section [m]. */
function acrossOf({ shape }: Vessel): number {
  if (shape.kind === "cylinder") return shape.radiusM;
  return shape.kind === "ring" ? shape.outerRadiusM - shape.innerRadiusM : shape.widthM / 2;
}

const acrossSize = (mesh: Mesh): number => mesh.acrossEdges[mesh.counts.across] - mesh.acrossEdges[0];
const mean = (edges: Float64Array) => (edges[0] + edges[edges.length - 1]) / 2;

function nearest(edges: Float64Array, place: number): number {
  let best = 0;
  for (let i = 0; i + 1 < edges.length; i++)
    if (Math.abs((edges[i] + edges[i + 1]) / 2 - place) < Math.abs((edges[best] + edges[best + 1]) / 2 - place)) best = i;
  return best;
}

function topRim(mesh: Mesh, across: number): number {
  const cell = mesh.cellAt(across, 0, mesh.counts.up - 1);
  for (let r = 0; r < mesh.rimCell.length; r++) if (mesh.rimSurface[r] === TOP && mesh.rimCell[r] === cell) return r;
  return -1;
}
