import { describe, expect, it } from "vitest";
import { type BakeCase, readBakeCase, type SurfaceCondition } from "./caseInput.js";
import { besselJ, cylinderShare, wallShare } from "./exactConduction.js";
import { solveCase } from "./solveCase.js";

// Exact solutions: Carslaw and Jaeger (1959), ch. III and VII. Their own worth is checked first, against tabulated values.
describe("the exact solutions", () => {
  it.each([
    [0, 1, 0.7651976866],
    [0, 2.404825557695773, 0],
    [1, 1, 0.4400505857],
    [1, 10, 0.0434727462],
  ] as const)("Bessel J%i(%f) (published: Abramowitz and Stegun, table 9.1)", (order, x, value) => {
    expect(besselJ(order, x)).toBeCloseTo(value, 9);
  });
  // Published in part (one-term tables of heat-transfer textbooks, zeta and C to four digits); the rows are the full series.
  it.each([
    [1, 0.2, 0.950642, 0.870174],
    [5, 0.1, 0.977309, 0.926486],
    [20, 0.5, 0.414662, 0.116178],
  ])("Biot %f, Fourier %f: middle of wall and cylinder", (biot, fourier, wall, cylinder) => {
    expect(wallShare(biot, fourier, 0)).toBeCloseTo(wall, 6);
    expect(cylinderShare(biot, fourier, 0)).toBeCloseTo(cylinder, 6);
  });
  it("fixed surface (published: Carslaw and Jaeger's curves; digits computed)", () => {
    expect(wallShare(Number.POSITIVE_INFINITY, 0.2, 0)).toBeCloseTo(0.772312, 6);
    expect(cylinderShare(Number.POSITIVE_INFINITY, 0.2, 0)).toBeCloseTo(0.501487, 6);
  });
  it("one term of the series agrees with the handbook tables", () => {
    // Cengel, Heat and Mass Transfer, table 4-2: Bi 1 -> wall 0.8603, 1.1191; cylinder 1.2558, 1.2071. Late, one term is all.
    expect(wallShare(1, 2, 0)).toBeCloseTo(1.1191 * Math.exp(-(0.8603 ** 2) * 2), 4);
    expect(cylinderShare(1, 2, 0)).toBeCloseTo(1.2071 * Math.exp(-(1.2558 ** 2) * 2), 4);
  });
});

const material = { densityKgM3: 500, heatCapacityJKgK: 2800, conductivityWMK: 0.2 };
const diffusivity = 0.2 / (500 * 2800);
const [startC, ovenC] = [22, 180];
const condition = (biot: number, lengthM: number): SurfaceCondition =>
  biot === Number.POSITIVE_INFINITY ? { fixedC: ovenC } : { hWM2K: (biot * 0.2) / lengthM, ambientC: ovenC };
const toC = (share: number) => ovenC + (startC - ovenC) * share;
const BIOTS = [0.01, 0.1, 1, 10, 100, Number.POSITIVE_INFINITY];

// The bar: 0.05 °C at full accuracy, at every sample after the first jump, in the middle, on the surfaces and between.
describe("conduction within 0.05 °C of the exact solution", () => {
  it.each(BIOTS)("finite cylinder, Biot %f", (biot) => {
    const [radiusM, half] = [0.1, 0.03];
    const surface = condition(biot, half);
    const durationS = Math.min(7200, (4 * half * half) / diffusivity);
    const places = [
      [0, half],
      [radiusM, half],
      [0, 2 * half],
      [0.07, 0.045],
      [radiusM, 2 * half],
    ] as const;
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM, heightM: 2 * half },
      material,
      surfaces: { top: surface, side: surface, base: surface },
      initialC: startC,
      durationS,
      sampleEveryS: durationS / 12,
      probes: places.map(([rM, zM]) => ({ rM, zM })),
      accuracy: "full",
    });
    let worst = 0;
    answer.timesS.forEach((t, i) => {
      if (i === 0) return;
      places.forEach(([r, z], p) => {
        const exact = toC(
          wallShare(biot, (diffusivity * t) / half ** 2, Math.abs(z - half) / half) *
            cylinderShare((biot * radiusM) / half, (diffusivity * t) / radiusM ** 2, r / radiusM),
        );
        worst = Math.max(worst, Math.abs(answer.probesC[p][i] - exact));
      });
    });
    expect(worst).toBeLessThan(0.05);
  });

  it.each(BIOTS)("plane wall (insulated side), Biot %f", (biot) => {
    const half = 0.03;
    const surface = condition(biot, half);
    const durationS = Math.min(7200, (4 * half * half) / diffusivity);
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM: 0.1, heightM: 2 * half },
      material,
      surfaces: { top: surface, side: "insulated", base: surface },
      initialC: startC,
      durationS,
      sampleEveryS: durationS / 12,
      probes: [
        { rM: 0, zM: half },
        { rM: 0.04, zM: 2 * half },
      ],
      accuracy: "full",
    });
    let worst = 0;
    answer.timesS.forEach((t, i) => {
      if (i === 0) return;
      [0, 1].forEach((place, p) => {
        worst = Math.max(worst, Math.abs(answer.probesC[p][i] - toC(wallShare(biot, (diffusivity * t) / half ** 2, place))));
      });
    });
    expect(worst).toBeLessThan(0.05);
  });

  it.each(BIOTS)("infinite cylinder (insulated ends), Biot %f", (biot) => {
    const radiusM = 0.05;
    const surface = condition(biot, radiusM);
    const durationS = Math.min(7200, (2 * radiusM * radiusM) / diffusivity);
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM, heightM: 0.05 },
      material,
      surfaces: { top: "insulated", side: surface, base: "insulated" },
      initialC: startC,
      durationS,
      sampleEveryS: durationS / 12,
      probes: [
        { rM: 0, zM: 0.02 },
        { rM: radiusM, zM: 0.02 },
      ],
      accuracy: "full",
    });
    let worst = 0;
    answer.timesS.forEach((t, i) => {
      if (i === 0) return;
      [0, 1].forEach((place, p) => {
        worst = Math.max(
          worst,
          Math.abs(answer.probesC[p][i] - toC(cylinderShare(biot, (diffusivity * t) / radiusM ** 2, place))),
        );
      });
    });
    expect(worst).toBeLessThan(0.05);
  });

  it.each([1, 20, Number.POSITIVE_INFINITY])("box, Biot %f over the half height", (biot) => {
    const [a, b, c] = [0.08, 0.05, 0.03];
    const surface = condition(biot, c);
    const places = [
      [0, 0, c],
      [a, 0, c],
      [0.04, 0.03, 0.045],
    ] as const;
    const answer = solveCase({
      shape: { kind: "box", lengthM: 2 * a, widthM: 2 * b, heightM: 2 * c },
      material,
      surfaces: { top: surface, side: surface, base: surface },
      initialC: startC,
      durationS: 3600,
      sampleEveryS: 400,
      probes: places.map(([xM, yM, zM]) => ({ xM, yM, zM })),
      accuracy: "full",
    });
    let worst = 0;
    answer.timesS.forEach((t, i) => {
      if (i === 0) return;
      places.forEach(([x, y, z], p) => {
        const one = (half: number, place: number) => wallShare((biot * half) / c, (diffusivity * t) / half ** 2, place / half);
        worst = Math.max(worst, Math.abs(answer.probesC[p][i] - toC(one(a, x) * one(b, y) * one(c, Math.abs(z - c)))));
      });
    });
    expect(worst).toBeLessThan(0.05);
  });
});

it("a ring keeps what symmetry demands, and balances heat (conserved)", () => {
  const surface = { hWM2K: 20, ambientC: 180 };
  const answer = solveCase({
    shape: { kind: "ring", innerRadiusM: 0.02, outerRadiusM: 0.1, heightM: 0.06 },
    material,
    surfaces: { top: surface, side: surface, base: surface },
    initialC: 20,
    durationS: 1800,
    sampleEveryS: 300,
    probes: [
      { rM: 0.06, zM: 0.02 },
      { rM: 0.06, zM: 0.04 },
      { rM: 0.02, zM: 0.03 },
      { rM: 0.1, zM: 0.03 },
    ],
    accuracy: "full",
  });
  for (const [i, t] of answer.probesC[0].entries()) expect(t).toBeCloseTo(answer.probesC[1][i], 6);
  // The tube's wall is small and curved inwards: heat spreads from it, so it stays cooler than the outer wall.
  expect(answer.probesC[2][6]).toBeLessThan(answer.probesC[3][6]);
  expect(Math.abs(answer.heat.enteredJ / answer.heat.storedJ - 1)).toBeLessThan(1e-8);
});

// Published inputs: metal bodies of textbooks; answers by the one-term or chart method, so they agree to its error only.
describe("textbook examples", () => {
  it("brass cylinder 10 x 12 cm cooling 15 min in air: 63 °C in the middle (Cengel, ex. 4-7)", () => {
    const surface = { hWM2K: 60, ambientC: 25 };
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM: 0.05, heightM: 0.12 },
      material: { densityKgM3: 8530, heatCapacityJKgK: 380.5, conductivityWMK: 110 },
      surfaces: { top: surface, side: surface, base: surface },
      initialC: 120,
      durationS: 900,
      sampleEveryS: 900,
      probes: [
        { rM: 0, zM: 0.06 },
        { rM: 0, zM: 0.12 },
      ],
      accuracy: "full",
    });
    expect(answer.probesC[0][1]).toBeCloseTo(62.73, 1); // the exact series for the same numbers
    expect(answer.probesC[1][1]).toBeCloseTo(62.12, 1);
    expect(Math.round(answer.probesC[0][1])).toBe(63);
  });
  it("tin 81 x 111 mm in steam, 30 min: 49.6 °C in the middle (handbook inputs; exact series)", () => {
    const surface = { hWM2K: 2000, ambientC: 100 };
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM: 0.0405, heightM: 0.111 },
      material: { densityKgM3: 900, heatCapacityJKgK: 3500, conductivityWMK: 0.34 },
      surfaces: { top: surface, side: surface, base: surface },
      initialC: 35,
      durationS: 1800,
      sampleEveryS: 1800,
      probes: [{ rM: 0, zM: 0.0555 }],
      accuracy: "full",
    });
    expect(answer.probesC[0][1]).toBeCloseTo(49.616, 1);
  });
  it("brass plate 4 cm, 7 min in an oven at 500 °C: surface 282 °C (Cengel, ex. 4-3)", () => {
    const surface = { hWM2K: 120, ambientC: 500 };
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM: 0.5, heightM: 0.04 },
      material: { densityKgM3: 8530, heatCapacityJKgK: 110 / (8530 * 33.9e-6), conductivityWMK: 110 },
      surfaces: { top: surface, side: "insulated", base: surface },
      initialC: 20,
      durationS: 420,
      sampleEveryS: 420,
      probes: [{ rM: 0, zM: 0.04 }],
      accuracy: "full",
    });
    expect(answer.probesC[0][1]).toBeCloseTo(279.58, 1); // exact; the book reads 282 from a chart
  });
  it("a cake-like finite cylinder over an hour (computed reference, exact series)", () => {
    const surface = { hWM2K: 25, ambientC: 180 };
    const answer = solveCase({
      shape: { kind: "cylinder", radiusM: 0.1, heightM: 0.06 },
      material,
      surfaces: { top: surface, side: surface, base: surface },
      initialC: 22,
      durationS: 3600,
      sampleEveryS: 600,
      probes: [
        { rM: 0, zM: 0.03 },
        { rM: 0.1, zM: 0.03 },
        { rM: 0, zM: 0.06 },
      ],
      accuracy: "full",
    });
    const rows = [
      [1, 24.541, 121.904, 118.673],
      [2, 38.942, 140.371, 132.601],
      [4, 73.413, 158.627, 146.159],
      [6, 101.322, 167.297, 155.125],
    ];
    for (const [i, ...expected] of rows) {
      for (const [p, t] of expected.entries()) expect(Math.abs(answer.probesC[p][i] - t)).toBeLessThan(0.02);
    }
  });
});

it("a cake of 6 cm cools on a rack as the exact series says (computed reference)", () => {
  const air = { hWM2K: 14, ambientC: 20 };
  const answer = solveCase({
    shape: { kind: "cylinder", radiusM: 0.1, heightM: 0.06 },
    material: { densityKgM3: 450, heatCapacityJKgK: 2400, conductivityWMK: 0.12 },
    surfaces: { top: air, side: air, base: air },
    initialC: 95,
    durationS: 7200,
    sampleEveryS: 600,
    probes: [{ rM: 0, zM: 0.03 }],
    accuracy: "full",
  });
  for (const [minutes, celsius] of [
    [10, 94.58],
    [30, 84.51],
    [60, 66.51],
    [120, 42.48],
  ])
    expect(Math.abs(answer.probesC[0][minutes / 10] - celsius)).toBeLessThan(0.02);
});

describe("order of convergence (order)", () => {
  const surface = { hWM2K: 25, ambientC: 180 };
  const question: BakeCase = {
    shape: { kind: "cylinder", radiusM: 0.1, heightM: 0.06 },
    material,
    surfaces: { top: surface, side: surface, base: surface },
    initialC: 22,
    durationS: 1200,
    sampleEveryS: 1200,
    probes: [{ rM: 0, zM: 0.03 }],
    accuracy: "full",
  };
  it("is 2 in space", () => {
    const places = [
      [0, 0.03],
      [0.1, 0.03],
      [0.05, 0.015],
    ] as const;
    const exact = places.map(([r, z]) =>
      toC(
        wallShare((25 * 0.03) / 0.2, (diffusivity * 1200) / 0.03 ** 2, Math.abs(z - 0.03) / 0.03) *
          cylinderShare((25 * 0.1) / 0.2, (diffusivity * 1200) / 0.1 ** 2, r / 0.1),
      ),
    );
    const probes = places.map(([rM, zM]) => ({ rM, zM }));
    const errors = [12, 24, 48].map((n) => {
      const control = { temperatureTolerance: 2e-5 };
      const answer = solveCase({ ...question, probes }, { cells: { across: n, along: 1, up: n }, control });
      return Math.hypot(...exact.map((t, p) => answer.probesC[p][1] - t));
    });
    for (const i of [0, 1]) expect(Math.log2(errors[i] / errors[i + 1])).toBeGreaterThan(1.8);
  });
  it("is 3 in time", () => {
    const at = (fixedStepS: number) =>
      solveCase(question, { cells: { across: 8, along: 1, up: 8 }, control: { fixedStepS } }).probesC[0][1];
    const best = at(1);
    const errors = [60, 30, 15].map((h) => Math.abs(at(h) - best));
    for (const i of [0, 1]) expect(Math.log2(errors[i] / errors[i + 1])).toBeGreaterThan(2.7);
  });
});

describe("bad cases are named", () => {
  it("all mistakes at once, each with its path", () => {
    const result = readBakeCase({
      shape: { kind: "cylinder", radiusM: -1, heightM: 0.05 },
      material: { densityKgM3: 500, heatCapacityJKgK: "much", conductivityWMK: 0.2 },
      surfaces: { top: { hWM2K: 20 }, side: "insulated", base: { fixedC: 180 }, lid: 1 },
      initialC: 20,
      durationS: 100,
      sampleEveryS: 10,
      probes: [{ rM: 0, zM: 0.01 }],
      accuracy: "best",
    });
    expect(result.ok).toBe(false);
    if (result.ok) return;
    expect(result.error.map((p) => `${p.path.join(".")}: ${p.code}`)).toEqual([
      "shape.radiusM: out-of-range",
      "material.heatCapacityJKgK: wrong-type",
      "surfaces.lid: unknown-field",
      "surfaces.top.ambientC: missing-field",
      "accuracy: wrong-type",
    ]);
  });
});
