import { describe, expect, it } from "vitest";
import { DEFAULT_MOIST } from "./closures.js";
import { makeHeatWater } from "./heatWater.js";
import { integrateStretch, newBalance } from "./integrate.js";
import { buildMesh } from "./mesh.js";

/**
 * Manufactured solution: temperature and water are prescribed smooth fields, the source that makes them a solution is computed from
 * the fluxes by fine differences, and the solver has to give the fields back. All walls are shut, so the fields have no slope there.
 */
const [R, H] = [0.1, 0.03];
const DENSITY = 350;
const K = 0.15;
const closures = { ...DEFAULT_MOIST, liquidDiffusivityM2S: 1e-9 };
const { PI, cos, exp, log } = Math;
const exactT = (r: number, z: number, t: number) =>
  65 + (t / 600) * 12 + 14 * cos((PI * r) / R) * cos((PI * z) / H) * exp(-t / 900);
const exactX = (r: number, z: number, t: number) => 0.4 + 0.08 * cos((PI * r) / R) * cos((PI * z) / H) * exp(-t / 1200);
const enthalpy = (r: number, z: number, t: number) =>
  (closures.solidsHeatCapacityJKgK + closures.waterHeatCapacityJKgK * exactX(r, z, t)) * exactT(r, z, t);

// The closures, written out again from docs/models/bake.md and not imported from the solver.
function drive(T: number, X: number): number {
  const share =
    ((X / (X + closures.activityHalfKgKg)) * 611.21 * exp(((18.678 - T / 234.5) * T) / (257.14 + T))) / closures.pressurePa;
  const over = Math.max(0, share - closures.pressureFlowFrom);
  const w = closures.pressureFlowWidth;
  const onset = over < w ? (over * over) / (2 * w) : over - w / 2;
  const below = Math.min(share, closures.pressureFlowFrom);
  return closures.pressurePa * (-log(1 - below) + over / (1 - closures.pressureFlowFrom) + closures.pressureFlowGain * onset);
}
const path = (T: number) =>
  ((closures.pathShare * 2.23e-5 * 0.018015) / (8.314462618 * 273.15)) * ((T + 273.15) / 273.15) ** 0.75;

/** Divergence of heat and water flux at a point, by central differences of the exact fields. */
function divergence(r: number, z: number, t: number): [number, number] {
  const d = 1e-4;
  const flux = (r0: number, z0: number, r1: number, z1: number, gap: number): [number, number] => {
    const [Ta, Tb] = [exactT(r0, z0, t), exactT(r1, z1, t)];
    const [Xa, Xb] = [exactX(r0, z0, t), exactX(r1, z1, t)];
    const middle = (Ta + Tb) / 2;
    const vapour = ((path(Ta) + path(Tb)) / 2 / gap) * (drive(Ta, Xa) - drive(Tb, Xb));
    const liquid = ((closures.liquidDiffusivityM2S * DENSITY) / gap) * (Xa - Xb);
    const heat =
      (K / gap) * (Ta - Tb) +
      vapour * (closures.vapourEnthalpyJKg + closures.vapourHeatCapacityJKgK * middle) +
      liquid * closures.waterHeatCapacityJKgK * middle;
    return [heat, vapour + liquid];
  };
  const out = flux(r, z, r + d, z, d);
  const inn = flux(r - d, z, r, z, d);
  const up = flux(r, z, r, z + d, d);
  const down = flux(r, z - d, r, z, d);
  return [0, 1].map((i) => ((r + d / 2) * out[i] - (r - d / 2) * inn[i]) / (r * d) + (up[i] - down[i]) / d) as [number, number];
}

function solve(n: number, stepS: number, untilS: number): number {
  const mesh = buildMesh({ kind: "cylinder", radiusM: R, heightM: H }, { cells: { across: n, along: 1, up: n }, growth: 1 });
  const centre: [number, number][] = [];
  for (let k = 0; k < n; k++)
    for (let i = 0; i < n; i++)
      centre[mesh.cellAt(i, 0, k)] = [
        (mesh.acrossEdges[i] + mesh.acrossEdges[i + 1]) / 2,
        (mesh.upEdges[k] + mesh.upEdges[k + 1]) / 2,
      ];
  const source = (t: number, rates: Float64Array) => {
    centre.forEach(([r, z], c) => {
      const [heat, water] = divergence(r, z, t);
      const e = 0.5;
      rates[2 * c] += (enthalpy(r, z, t + e) - enthalpy(r, z, t - e)) / (2 * e) + heat / DENSITY;
      rates[2 * c + 1] += (exactX(r, z, t + e) - exactX(r, z, t - e)) / (2 * e) + water / DENSITY;
    });
  };
  const system = makeHeatWater({ mesh, solidsKg: mesh.volume.map((v) => v * DENSITY), moist: closures, source });
  system.conductivity.fill(K);
  system.refresh();
  const y = new Float64Array(2 * mesh.cellCount);
  centre.forEach(([r, z], c) => {
    y[2 * c] = enthalpy(r, z, 0);
    y[2 * c + 1] = exactX(r, z, 0);
  });
  integrateStretch(
    system,
    y,
    { fromS: 0, toS: untilS, samplesS: [], onSample: () => undefined },
    { temperatureTolerance: 1, waterTolerance: 1, firstStepS: stepS, longestStepS: stepS, fixedStepS: stepS },
    // A source adds heat and water on purpose, which the account of the surfaces cannot know.
    { ...newBalance(), open: true },
    stepS,
  );
  const T = new Float64Array(mesh.cellCount);
  system.temperatures(y, T);
  let sum = 0;
  let volume = 0;
  centre.forEach(([r, z], c) => {
    sum += mesh.volume[c] * (T[c] - exactT(r, z, untilS)) ** 2;
    volume += mesh.volume[c];
  });
  return Math.sqrt(sum / volume);
}

describe("manufactured solution of the coupled equations (order)", () => {
  it("is met, with order 2 in space", () => {
    const errors = [8, 16, 32].map((n) => solve(n, 10, 300));
    expect(errors[2]).toBeLessThan(0.02);
    for (const i of [0, 1]) expect(Math.log2(errors[i] / errors[i + 1])).toBeGreaterThan(1.8);
  });
});

describe("order in time of the coupled solver", () => {
  it("is 3 on a warming cake", () => {
    const run = (fixedStepS: number): Float64Array => {
      const mesh = buildMesh({ kind: "cylinder", radiusM: R, heightM: H }, { cells: { across: 6, along: 1, up: 6 } });
      const system = makeHeatWater({ mesh, solidsKg: mesh.volume.map((v) => v * DENSITY), moist: closures });
      system.conductivity.fill(K);
      for (let r = 0; r < mesh.rimCell.length; r++) {
        system.rimTransfer[r] = 25;
        // Air that warms steadily, so that the explicit dependence on time is in it too.
        system.rimAmbient[r] = 60;
        system.rimAmbientRate[r] = 0.05;
        if (mesh.rimSurface[r] === 0) system.rimVapour[r] = 1e-7;
      }
      system.refresh();
      const y = system.initial(30, 0.4);
      const control = { temperatureTolerance: 1, waterTolerance: 1, firstStepS: fixedStepS, longestStepS: 1e9, fixedStepS };
      const balance = newBalance();
      integrateStretch(system, y, { fromS: 0, toS: 480, samplesS: [], onSample: () => undefined }, control, balance, fixedStepS);
      expect(Math.abs(balance.heatGap / balance.heatMovedJ)).toBeLessThan(1e-10);
      return y;
    };
    const best = run(1);
    const errors = [40, 20, 10].map((h) => Math.sqrt(run(h).reduce((sum, v, i) => sum + (v - best[i]) ** 2, 0)));
    for (const i of [0, 1]) expect(Math.log2(errors[i] / errors[i + 1])).toBeGreaterThan(2.7);
  });
});
