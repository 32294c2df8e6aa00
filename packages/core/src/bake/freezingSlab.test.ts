import { expect, it } from "vitest";
import { DEFAULT_MOIST } from "./closures.js";
import { plankSeconds } from "./freezing.js";
import { makeHeatWater } from "./heatWater.js";
import { integrateStretch, newBalance } from "./integrate.js";
import { buildMesh, SIDE } from "./mesh.js";

/**
 * Freezing of a slab against Plank's formula (Encyclopaedia of Food Sciences, eq. 2; seen), which takes all heat out at one
 * temperature and none beside it. The slab is made to suit: a sharp freezing point, little heat but latent heat.
 */
it.each([
  [20, 0.04],
  [100, 0.04],
  [20, 0.08],
])("h %i W/(m² K), %f m: the slab freezes when Plank says, within a tenth", (h, thickness) => {
  const dryDensity = 500;
  const water = 0.9;
  const latentJKg = 333_600;
  const pointC = -0.02;
  const airC = -8;
  const mesh = buildMesh(
    { kind: "cylinder", radiusM: 0.2, heightM: thickness },
    { cells: { across: 1, along: 1, up: 60 }, growth: 1 },
  );
  const system = makeHeatWater({
    mesh,
    solidsKg: mesh.volume.map((v) => v * dryDensity),
    moist: { ...DEFAULT_MOIST, solidsHeatCapacityJKgK: 800, pathShare: 0 },
    freezing: { pointC, boundKgKg: 0, iceHeatCapacityJKgK: 2000, latentJKg },
  });
  system.conductivity.fill(0.8);
  for (let r = 0; r < mesh.rimCell.length; r++) {
    system.rimTransfer[r] = mesh.rimSurface[r] === SIDE ? 0 : h;
    system.rimAmbient[r] = airC;
  }
  system.refresh();
  const y = system.initial(0, water);
  const expected = plankSeconds({
    shape: "slab",
    sizeM: thickness,
    densityKgM3: dryDensity,
    latentJKg: water * latentJKg,
    freezingPointC: pointC,
    airC,
    hWM2K: h,
    conductivityWMK: 0.8,
  });
  const middle = mesh.cellAt(0, 0, 30);
  const temperatures = new Float64Array(mesh.cellCount);
  let frozenS = Number.NaN;
  const samplesS = Array.from({ length: 400 }, (_, i) => (i * expected) / 200);
  const balance = newBalance();
  integrateStretch(
    system,
    y,
    {
      fromS: 0,
      toS: 2 * expected,
      samplesS,
      onSample: (_, timeS, state) => {
        system.temperatures(state, temperatures);
        // Nine tenths ice: ten times the freezing point.
        if (temperatures[middle] > 10 * pointC) return undefined;
        frozenS = timeS;
        return "stop";
      },
    },
    { temperatureTolerance: 0.02, waterTolerance: 1, firstStepS: 1, longestStepS: 600 },
    balance,
    1,
  );
  expect(Math.abs(frozenS / expected - 1)).toBeLessThan(0.1);
  expect(Math.abs(balance.heatGap / balance.heatMovedJ)).toBeLessThan(1e-8);
});
