import { bandSolver, iterativeSolver, makeBlockMatrix, type ShiftedSolver } from "./blockMatrix.js";
import { type Mesh, SURFACES } from "./mesh.js";
import type { StiffSystem } from "./rosenbrock.js";

/** Every closure of the coupled equations; docs/models/bake.md says where each stands. */
export interface MoistClosures {
  /** Heat capacity of dry solids and of liquid water [J/(kg K)]. */
  readonly solidsHeatCapacityJKgK: number;
  readonly waterHeatCapacityJKgK: number;
  /** Water activity is X / (X + this), X water per dry solids [kg/kg]. */
  readonly activityHalfKgKg: number;
  /** Open share of the pores over tortuosity, for vapour [1]. */
  readonly pathShare: number;
  /** Pressure around the cake [Pa]. */
  readonly pressurePa: number;
  /** Enthalpy of vapour [J/kg] at temperature t [°C] is this plus the next times t; liquid water at 0 °C has none. */
  readonly vapourEnthalpyJKg: number;
  readonly vapourHeatCapacityJKgK: number;
  /** Vapour pressure over ambient pressure from which pressure-driven flow sets in [1], and the width of its onset [1]. */
  readonly pressureFlowFrom: number;
  readonly pressureFlowWidth: number;
  /** How many times easier pressure drives vapour than diffusion does [1]. */
  readonly pressureFlowGain: number;
  /** Diffusivity of liquid water in the crumb [m²/s]. */
  readonly liquidDiffusivityM2S: number;
}

/** What freezes: none in a bake. Chen's form: ice = freezable (1 - point / t). */
export interface FreezingClosure {
  readonly pointC: number;
  /** Water that never freezes [kg/kg dry]. */
  readonly boundKgKg: number;
  readonly iceHeatCapacityJKgK: number;
  readonly latentJKg: number;
}

export interface HeatWaterSetup {
  readonly mesh: Mesh;
  /** Dry solids in each cell [kg]; in conduction alone, all of the mass. */
  readonly solidsKg: Float64Array;
  readonly moist?: MoistClosures;
  /** Heat capacity when there is no vapour [J/(kg K)]. */
  readonly heatCapacityJKgK?: number;
  /** Heat capacity that tin and lining add to each cell, per kg of its dry solids [J/(kg K)]. */
  readonly addedHeatCapacityJKgK?: Float64Array;
  readonly freezing?: FreezingClosure;
  /** "direct" unless the band would be wide. */
  readonly solver?: "direct" | "iterative";
  /** Known source of heat and water for the manufactured solution in the tests: rates per kg dry solids [W/kg, 1/s]. */
  readonly source?: (t: number, rates: Float64Array) => void;
}

const GAS_CONSTANT = 8.314462618;
const WATER_MOLAR_KG = 0.018015;
const DIFFUSIVITY_273 = 2.23e-5;
const ZERO_C = 273.15;

/** Cubic Hermite from values and slopes (times the step), the slopes limited so that it does not ring beyond its ends. */
function hermite(v0: number, m0: number, v1: number, m1: number, s: number): number {
  const limit = 3 * Math.abs(v1 - v0);
  const a = Math.max(-limit, Math.min(limit, m0));
  const b = Math.max(-limit, Math.min(limit, m1));
  const r = 1 - s;
  return r * r * (1 + 2 * s) * v0 + s * s * (3 - 2 * s) * v1 + s * r * (r * a - s * b);
}

/** x^0.75 by two square roots, several times quicker than a general power. */
const threeQuarters = (x: number): number => {
  const root = Math.sqrt(x);
  return root * Math.sqrt(root);
};

/**
 * Heat and water in a mesh of cake: the rates, their exact Jacobian, and a ledger of what crosses each surface.
 *
 * Unknowns, cell by cell: enthalpy h [J/kg dry solids, from 0 °C] and water X [kg/kg dry solids]; h alone without vapour. Both are
 * conserved quantities, so any sum of fluxes between cells cancels exactly.
 */
export interface HeatWater extends StiffSystem {
  readonly mesh: Mesh;
  readonly coupled: boolean;
  /** Unknowns a cell. */
  readonly perCell: 1 | 2;
  /** To be set by the caller, then `refresh()`: conductivity [W/(m K)] and growth in height [1] of each cell. */
  readonly conductivity: Float64Array;
  readonly growth: Float64Array;
  /** Per rim face: heat transfer [W/(m² K)] (Infinity: surface at ambient temperature; 0: insulated), resistance in series [m² K/W]. */
  readonly rimTransfer: Float64Array;
  readonly rimResistance: Float64Array;
  /** Per rim face: vapour transfer [kg/(m² s Pa)]; 0 where no vapour passes. */
  readonly rimVapour: Float64Array;
  /** Per rim face: air temperature [°C] at `timeZero` and its rate of change [K/s]. */
  readonly rimAmbient: Float64Array;
  readonly rimAmbientRate: Float64Array;
  /** Vapour pressure of the air around [Pa], per rim face. */
  readonly rimAirVapourPa: Float64Array;
  timeZero: number;
  /** Whether the rates are linear in the unknowns: then equal steps share one factorisation. */
  readonly linear: boolean;
  /** Whether a source of its own depends on time. */
  readonly driven: boolean;
  refresh(): void;
  /** Unknowns for a temperature [°C] and water [kg/kg]. */
  initial(temperatureC: number, waterKgKg: number): Float64Array;
  /** The state at a share of a step, from its ends and the rates there; cubic, and never beyond its ends. */
  between(
    y0: Float64Array,
    f0: Float64Array,
    y1: Float64Array,
    f1: Float64Array,
    h: number,
    share: number,
    out: Float64Array,
  ): void;
  /** Temperature [°C] of every cell from the unknowns. */
  temperatures(y: Float64Array, out: Float64Array): void;
  /** Temperature [°C] on each rim face. */
  rimTemperatures(t: number, y: Float64Array, out: Float64Array): void;
  /** Ratio of vapour pressure to the pressure around, largest over all cells. */
  highestVapourShare(y: Float64Array): number;
  /** Heat [J] and water [kg] in the meshed part. */
  totals(y: Float64Array): { readonly heatJ: number; readonly waterKg: number };
}

export function makeHeatWater(setup: HeatWaterSetup): HeatWater {
  const { mesh, solidsKg, moist, freezing } = setup;
  const coupled = moist !== undefined;
  const perCell = coupled ? 2 : 1;
  const { cellCount: n, faceA, faceB, rimCell, rimSurface } = mesh;
  const faceCount = faceA.length;
  const rimCount = rimCell.length;
  const surfaceCount = SURFACES.length;
  const ledgerSize = surfaceCount * 2;

  const solidsHeat = new Float64Array(n).fill(moist?.solidsHeatCapacityJKgK ?? setup.heatCapacityJKgK ?? 0);
  if (setup.addedHeatCapacityJKgK) for (let c = 0; c < n; c++) solidsHeat[c] += setup.addedHeatCapacityJKgK[c];
  const cw = moist?.waterHeatCapacityJKgK ?? 0;
  const half = moist?.activityHalfKgKg ?? 1;
  const pressure = moist?.pressurePa ?? 101_325;
  const hv0 = moist?.vapourEnthalpyJKg ?? 0;
  const cv = moist?.vapourHeatCapacityJKgK ?? 0;
  const flowFrom = moist?.pressureFlowFrom ?? 1;
  const flowWidth = moist?.pressureFlowWidth ?? 1;
  const flowGain = moist?.pressureFlowGain ?? 0;
  const liquid = moist?.liquidDiffusivityM2S ?? 0;
  const slopeFrom = 1 / (1 - flowFrom);
  const driveFrom = -Math.log(1 - flowFrom);
  const pathFactor = ((moist?.pathShare ?? 0) * DIFFUSIVITY_273 * WATER_MOLAR_KG) / (GAS_CONSTANT * ZERO_C);

  const conductivity = new Float64Array(n).fill(1);
  const growth = new Float64Array(n).fill(1);
  const rimTransfer = new Float64Array(rimCount);
  const rimResistance = new Float64Array(rimCount);
  const rimVapour = new Float64Array(rimCount);
  const rimAmbient = new Float64Array(rimCount);
  const rimAmbientRate = new Float64Array(rimCount);
  const rimAirVapourPa = new Float64Array(rimCount);

  // Conductances at rest of the current step, renewed by refresh().
  const faceHeat = new Float64Array(faceCount);
  const faceOpen = new Float64Array(faceCount); // area over distance, for vapour
  const faceLiquid = new Float64Array(faceCount);
  const rimHeat = new Float64Array(rimCount);
  const rimInner = new Float64Array(rimCount); // area over distance from cell centre to surface
  const rimWet = new Float64Array(rimCount); // area times film coefficient, for vapour

  // Per cell, of the latest evaluation.
  const temperature = new Float64Array(n);
  const drive = new Float64Array(n); // Stefan potential [Pa]
  const path = new Float64Array(n); // vapour conductivity [kg/(m s Pa)]
  const inverseMass = Float64Array.from(solidsKg, (m) => 1 / m);

  // Derivatives, of the latest linearisation.
  const tH = new Float64Array(n);
  const tX = new Float64Array(n);
  const dH = new Float64Array(n);
  const dX = new Float64Array(n);
  const pathT = new Float64Array(n);
  const matrix = makeBlockMatrix(perCell, n, faceA, faceB);
  const solver: ShiftedSolver =
    (setup.solver ?? "direct") === "direct" ? bandSolver(matrix, mesh.cellBand) : iterativeSolver(matrix);
  // Ledger rows: derivative of heat and water in through a rim face by h and X of its cell.
  const rimRowHeatH = new Float64Array(rimCount);
  const rimRowHeatX = new Float64Array(rimCount);
  const rimRowWaterH = new Float64Array(rimCount);
  const rimRowWaterX = new Float64Array(rimCount);

  let preparedShift = Number.NaN;
  let linearisedAt = 0;
  const system: HeatWater = {
    mesh,
    coupled,
    perCell,
    size: perCell * n,
    ledgerSize,
    conductivity,
    growth,
    rimTransfer,
    rimResistance,
    rimVapour,
    rimAmbient,
    rimAmbientRate,
    rimAirVapourPa,
    timeZero: 0,
    refresh,
    evaluate,
    linearise,
    linear: !coupled && freezing === undefined && setup.source === undefined,
    driven: setup.source !== undefined,
    prepare: (shift) => {
      if (shift === preparedShift && system.linear) return;
      solver.prepare(shift);
      preparedShift = shift;
    },
    solve: (b) => solver.solve(b),
    ledgerOf,
    timeDerivative,
    between,
    initial,
    temperatures,
    rimTemperatures,
    highestVapourShare,
    totals,
  };
  return system;

  function refresh(): void {
    preparedShift = Number.NaN;
    for (let f = 0; f < faceCount; f++) {
      const a = faceA[f];
      const b = faceB[f];
      let area = mesh.faceArea[f];
      let halfA = mesh.faceHalfA[f];
      let halfB = mesh.faceHalfB[f];
      if (mesh.faceAxis[f] === 2) {
        halfA *= growth[a];
        halfB *= growth[b];
      } else area *= 0.5 * (growth[a] + growth[b]);
      faceHeat[f] = area / (halfA / conductivity[a] + halfB / conductivity[b]);
      faceOpen[f] = area / (halfA + halfB);
      if (liquid > 0) {
        const density = 0.5 * (solidsKg[a] / (mesh.volume[a] * growth[a]) + solidsKg[b] / (mesh.volume[b] * growth[b]));
        faceLiquid[f] = liquid * density * faceOpen[f];
      }
    }
    for (let r = 0; r < rimCount; r++) {
      const c = rimCell[r];
      const upright = mesh.rimAxis[r] !== 2;
      const area = upright ? mesh.rimArea[r] * growth[c] : mesh.rimArea[r];
      const distance = upright ? mesh.rimHalf[r] : mesh.rimHalf[r] * growth[c];
      rimInner[r] = area / distance;
      rimHeat[r] = area / (1 / rimTransfer[r] + rimResistance[r] + distance / conductivity[c]);
      rimWet[r] = area * rimVapour[r];
    }
  }

  /** Temperature from enthalpy and water; freezing follows Chen's ice curve, which makes it a quadratic. */
  function temperatureOf(c: number, h: number, x: number): number {
    const capacity = solidsHeat[c] + cw * x;
    const warm = h / capacity;
    if (freezing === undefined || warm >= freezing.pointC) return warm;
    const ice = Math.max(0, x - freezing.boundKgKg);
    const frozen = capacity - ice * (cw - freezing.iceHeatCapacityJKgK);
    const a = capacity * freezing.pointC - frozen * freezing.pointC - ice * freezing.latentJKg - h;
    const k = ice * freezing.latentJKg * freezing.pointC;
    return (-a - Math.sqrt(a * a - 4 * frozen * k)) / (2 * frozen);
  }

  /** dT/dh, for the temperature just computed. */
  function slopeOf(c: number, t: number, x: number): number {
    const capacity = solidsHeat[c] + cw * x;
    if (freezing === undefined || t >= freezing.pointC) return 1 / capacity;
    const ice = Math.max(0, x - freezing.boundKgKg);
    return 1 / (capacity - ice * (cw - freezing.iceHeatCapacityJKgK) - (ice * freezing.latentJKg * freezing.pointC) / (t * t));
  }

  function stefan(share: number): number {
    if (share <= flowFrom) return -pressure * Math.log(1 - share);
    const over = share - flowFrom;
    const onset = over < flowWidth ? (over * over) / (2 * flowWidth) : over - flowWidth / 2;
    return pressure * (driveFrom + slopeFrom * over + flowGain * onset);
  }

  function stefanSlope(share: number): number {
    if (share <= flowFrom) return 1 / (1 - share);
    const over = share - flowFrom;
    return slopeFrom + flowGain * (over < flowWidth ? over / flowWidth : 1);
  }

  function evaluate(t: number, y: Float64Array, rates: Float64Array, ledger: Float64Array): void {
    ledger.fill(0);
    rates.fill(0);
    if (!coupled) {
      for (let c = 0; c < n; c++) temperature[c] = temperatureOf(c, y[c], 0);
      for (let f = 0; f < faceCount; f++) {
        const a = faceA[f];
        const b = faceB[f];
        const heat = faceHeat[f] * (temperature[a] - temperature[b]);
        rates[a] -= heat;
        rates[b] += heat;
      }
      for (let r = 0; r < rimCount; r++) {
        const c = rimCell[r];
        const heat = rimHeat[r] * (rimAmbient[r] + rimAmbientRate[r] * (t - system.timeZero) - temperature[c]);
        rates[c] += heat;
        ledger[rimSurface[r]] += heat;
      }
      for (let c = 0; c < n; c++) rates[c] *= inverseMass[c];
      if (setup.source) setup.source(t, rates);
      return;
    }
    for (let c = 0; c < n; c++) {
      const x = y[2 * c + 1];
      const tc = temperatureOf(c, y[2 * c], x);
      temperature[c] = tc;
      const activity = x > 0 ? x / (x + half) : x / half;
      // Buck (1996) over water, Pa.
      const saturation = 611.21 * Math.exp(((18.678 - tc / 234.5) * tc) / (257.14 + tc));
      drive[c] = stefan((activity * saturation) / pressure);
      path[c] = pathFactor * threeQuarters((tc + ZERO_C) / ZERO_C);
    }
    for (let f = 0; f < faceCount; f++) {
      const a = faceA[f];
      const b = faceB[f];
      const middle = 0.5 * (temperature[a] + temperature[b]);
      const vapour = 0.5 * (path[a] + path[b]) * faceOpen[f] * (drive[a] - drive[b]);
      let heat = faceHeat[f] * (temperature[a] - temperature[b]) + vapour * (hv0 + cv * middle);
      let water = vapour;
      if (liquid > 0) {
        const flow = faceLiquid[f] * (y[2 * a + 1] - y[2 * b + 1]);
        heat += flow * cw * middle;
        water += flow;
      }
      rates[2 * a] -= heat;
      rates[2 * b] += heat;
      rates[2 * a + 1] -= water;
      rates[2 * b + 1] += water;
    }
    for (let r = 0; r < rimCount; r++) {
      const c = rimCell[r];
      let heat = rimHeat[r] * (rimAmbient[r] + rimAmbientRate[r] * (t - system.timeZero) - temperature[c]);
      if (rimWet[r] > 0) {
        const inner = path[c] * rimInner[r];
        const vapour = ((rimWet[r] * inner) / (rimWet[r] + inner)) * (stefan(rimAirVapourPa[r] / pressure) - drive[c]);
        heat += vapour * (hv0 + cv * temperature[c]);
        rates[2 * c + 1] += vapour;
        ledger[surfaceCount + rimSurface[r]] += vapour;
      }
      rates[2 * c] += heat;
      ledger[rimSurface[r]] += heat;
    }
    for (let c = 0; c < n; c++) {
      rates[2 * c] *= inverseMass[c];
      rates[2 * c + 1] *= inverseMass[c];
    }
    if (setup.source) setup.source(t, rates);
  }

  function linearise(t: number, y: Float64Array): void {
    const { diagonal, upper, lower } = matrix;
    diagonal.fill(0);
    if (!coupled) {
      for (let c = 0; c < n; c++) {
        temperature[c] = temperatureOf(c, y[c], 0);
        tH[c] = slopeOf(c, temperature[c], 0);
      }
      for (let f = 0; f < faceCount; f++) {
        const a = faceA[f];
        const b = faceB[f];
        const byA = faceHeat[f] * tH[a];
        const byB = faceHeat[f] * tH[b];
        diagonal[a] -= byA * inverseMass[a];
        diagonal[b] -= byB * inverseMass[b];
        upper[f] = byB * inverseMass[a];
        lower[f] = byA * inverseMass[b];
      }
      for (let r = 0; r < rimCount; r++) {
        const c = rimCell[r];
        rimRowHeatH[r] = -rimHeat[r] * tH[c];
        diagonal[c] += rimRowHeatH[r] * inverseMass[c];
      }
      return;
    }
    for (let c = 0; c < n; c++) {
      const x = y[2 * c + 1];
      const tc = temperatureOf(c, y[2 * c], x);
      temperature[c] = tc;
      const dTdh = slopeOf(c, tc, x);
      // At constant h: frozen water is left out of this slope, where X hardly moves (see docs/models/bake.md).
      const dTdx = -cw * tc * dTdh;
      tH[c] = dTdh;
      tX[c] = dTdx;
      const activity = x > 0 ? x / (x + half) : x / half;
      const activityX = x > 0 ? half / ((x + half) * (x + half)) : 1 / half;
      const denominator = 257.14 + tc;
      const exponent = ((18.678 - tc / 234.5) * tc) / denominator;
      const saturation = 611.21 * Math.exp(exponent);
      const saturationT = (saturation * (18.678 - (2 * tc) / 234.5 - exponent)) / denominator;
      const share = (activity * saturation) / pressure;
      drive[c] = stefan(share);
      const slope = stefanSlope(share);
      const byT = slope * activity * saturationT;
      dH[c] = byT * dTdh;
      dX[c] = byT * dTdx + slope * activityX * saturation;
      path[c] = pathFactor * threeQuarters((tc + ZERO_C) / ZERO_C);
      pathT[c] = (0.75 * path[c]) / (tc + ZERO_C);
    }
    for (let f = 0; f < faceCount; f++) {
      const a = faceA[f];
      const b = faceB[f];
      const open = 0.5 * faceOpen[f];
      const conductance = (path[a] + path[b]) * open;
      const difference = drive[a] - drive[b];
      const middle = 0.5 * (temperature[a] + temperature[b]);
      const vapour = conductance * difference;
      const enthalpy = hv0 + cv * middle;
      // Derivatives of the vapour flux by the unknowns of both cells.
      const vTa = pathT[a] * open * difference;
      const vTb = pathT[b] * open * difference;
      const vHa = conductance * dH[a] + vTa * tH[a];
      const vXa = conductance * dX[a] + vTa * tX[a];
      const vHb = -conductance * dH[b] + vTb * tH[b];
      const vXb = -conductance * dX[b] + vTb * tX[b];
      const carried = 0.5 * cv * vapour;
      let qTa = faceHeat[f] + carried;
      let qTb = -faceHeat[f] + carried;
      let wXa = vXa;
      let wXb = vXb;
      let qXa = vXa * enthalpy;
      let qXb = vXb * enthalpy;
      if (liquid > 0) {
        const gain = faceLiquid[f];
        const flow = gain * (y[2 * a + 1] - y[2 * b + 1]);
        qTa += 0.5 * cw * flow;
        qTb += 0.5 * cw * flow;
        wXa += gain;
        wXb -= gain;
        qXa += gain * cw * middle;
        qXb -= gain * cw * middle;
      }
      const qHa = vHa * enthalpy + qTa * tH[a];
      const qHb = vHb * enthalpy + qTb * tH[b];
      qXa += qTa * tX[a];
      qXb += qTb * tX[b];
      const ma = inverseMass[a];
      const mb = inverseMass[b];
      const A = 4 * a;
      const B = 4 * b;
      const F = 4 * f;
      diagonal[A] -= qHa * ma;
      diagonal[A + 1] -= qXa * ma;
      diagonal[A + 2] -= vHa * ma;
      diagonal[A + 3] -= wXa * ma;
      diagonal[B] += qHb * mb;
      diagonal[B + 1] += qXb * mb;
      diagonal[B + 2] += vHb * mb;
      diagonal[B + 3] += wXb * mb;
      upper[F] = -qHb * ma;
      upper[F + 1] = -qXb * ma;
      upper[F + 2] = -vHb * ma;
      upper[F + 3] = -wXb * ma;
      lower[F] = qHa * mb;
      lower[F + 1] = qXa * mb;
      lower[F + 2] = vHa * mb;
      lower[F + 3] = wXa * mb;
    }
    for (let r = 0; r < rimCount; r++) {
      const c = rimCell[r];
      let qT = -rimHeat[r];
      let vH = 0;
      let vX = 0;
      let enthalpy = 0;
      if (rimWet[r] > 0) {
        const inner = path[c] * rimInner[r];
        const sum = rimWet[r] + inner;
        const conductance = (rimWet[r] * inner) / sum;
        const difference = stefan(rimAirVapourPa[r] / pressure) - drive[c];
        const vT = ((rimWet[r] * rimWet[r]) / (sum * sum)) * rimInner[r] * pathT[c] * difference;
        vH = -conductance * dH[c] + vT * tH[c];
        vX = -conductance * dX[c] + vT * tX[c];
        enthalpy = hv0 + cv * temperature[c];
        qT += cv * conductance * difference;
      }
      rimRowWaterH[r] = vH;
      rimRowWaterX[r] = vX;
      rimRowHeatH[r] = vH * enthalpy + qT * tH[c];
      rimRowHeatX[r] = vX * enthalpy + qT * tX[c];
      const m = inverseMass[c];
      diagonal[4 * c] += rimRowHeatH[r] * m;
      diagonal[4 * c + 1] += rimRowHeatX[r] * m;
      diagonal[4 * c + 2] += vH * m;
      diagonal[4 * c + 3] += vX * m;
    }
    linearisedAt = t;
  }

  function ledgerOf(k: Float64Array, ledger: Float64Array): void {
    ledger.fill(0);
    for (let r = 0; r < rimCount; r++) {
      const c = rimCell[r];
      const s = rimSurface[r];
      if (!coupled) ledger[s] += rimRowHeatH[r] * k[c];
      else {
        ledger[s] += rimRowHeatH[r] * k[2 * c] + rimRowHeatX[r] * k[2 * c + 1];
        ledger[surfaceCount + s] += rimRowWaterH[r] * k[2 * c] + rimRowWaterX[r] * k[2 * c + 1];
      }
    }
  }

  function timeDerivative(rates: Float64Array, ledger: Float64Array): void {
    rates.fill(0);
    ledger.fill(0);
    if (setup.source) {
      const later = new Float64Array(rates.length);
      setup.source(linearisedAt + 0.5, later);
      setup.source(linearisedAt - 0.5, rates);
      for (let i = 0; i < rates.length; i++) rates[i] = later[i] - rates[i];
    }
    for (let r = 0; r < rimCount; r++) {
      if (rimAmbientRate[r] === 0) continue;
      const c = rimCell[r];
      const heat = rimHeat[r] * rimAmbientRate[r];
      rates[perCell * c] += heat * inverseMass[c];
      ledger[rimSurface[r]] += heat;
    }
  }

  /** Enthalpy for a temperature and water: the inverse of `temperatureOf`. */
  function enthalpyOf(c: number, t: number, x: number): number {
    const capacity = solidsHeat[c] + cw * x;
    if (freezing === undefined || t >= freezing.pointC) return capacity * t;
    const ice = Math.max(0, x - freezing.boundKgKg);
    const frozen = capacity - ice * (cw - freezing.iceHeatCapacityJKgK);
    return capacity * freezing.pointC + frozen * (t - freezing.pointC) - ice * freezing.latentJKg * (1 - freezing.pointC / t);
  }

  function between(
    y0: Float64Array,
    f0: Float64Array,
    y1: Float64Array,
    f1: Float64Array,
    h: number,
    share: number,
    out: Float64Array,
  ): void {
    // Water and temperature are interpolated and not enthalpy: in a drying cell enthalpy and water fall together, and two separately
    // limited curves would show a dip of some degrees that is not there.
    for (let c = 0; c < n; c++) {
      const i = perCell * c;
      const x0 = coupled ? y0[i + 1] : 0;
      const x1 = coupled ? y1[i + 1] : 0;
      const t0 = temperatureOf(c, y0[i], x0);
      const t1 = temperatureOf(c, y1[i], x1);
      const s0 = slopeOf(c, t0, x0);
      const s1 = slopeOf(c, t1, x1);
      const x0Rate = coupled ? f0[i + 1] : 0;
      const x1Rate = coupled ? f1[i + 1] : 0;
      const x = coupled ? hermite(x0, h * x0Rate, x1, h * x1Rate, share) : 0;
      const t = hermite(t0, h * s0 * (f0[i] - cw * t0 * x0Rate), t1, h * s1 * (f1[i] - cw * t1 * x1Rate), share);
      out[i] = enthalpyOf(c, t, x);
      if (coupled) out[i + 1] = x;
    }
  }

  function initial(temperatureC: number, waterKgKg: number): Float64Array {
    const y = new Float64Array(perCell * n);
    for (let c = 0; c < n; c++) {
      const x = coupled ? waterKgKg : 0;
      y[perCell * c] = enthalpyOf(c, temperatureC, x);
      if (coupled) y[2 * c + 1] = x;
    }
    return y;
  }

  function temperatures(y: Float64Array, out: Float64Array): void {
    for (let c = 0; c < n; c++) out[c] = coupled ? temperatureOf(c, y[2 * c], y[2 * c + 1]) : temperatureOf(c, y[c], 0);
  }

  function rimTemperatures(t: number, y: Float64Array, out: Float64Array): void {
    for (let r = 0; r < rimCount; r++) {
      const c = rimCell[r];
      const cell = coupled ? temperatureOf(c, y[2 * c], y[2 * c + 1]) : temperatureOf(c, y[c], 0);
      const ambient = rimAmbient[r] + rimAmbientRate[r] * (t - system.timeZero);
      // The same heat passes from the air to the surface and from the surface to the cell.
      out[r] = cell + ((ambient - cell) * rimHeat[r]) / (rimInner[r] * conductivity[c]);
    }
  }

  function highestVapourShare(y: Float64Array): number {
    if (!coupled) return 0;
    let highest = 0;
    for (let c = 0; c < n; c++) {
      const x = y[2 * c + 1];
      const tc = temperatureOf(c, y[2 * c], x);
      const activity = x > 0 ? x / (x + half) : 0;
      const share = (activity * 611.21 * Math.exp(((18.678 - tc / 234.5) * tc) / (257.14 + tc))) / pressure;
      if (share > highest) highest = share;
    }
    return highest;
  }

  function totals(y: Float64Array) {
    let heatJ = 0;
    let waterKg = 0;
    for (let c = 0; c < n; c++) {
      heatJ += solidsKg[c] * y[perCell * c];
      if (coupled) waterKg += solidsKg[c] * y[2 * c + 1];
    }
    return { heatJ, waterKg };
  }
}
