import fc from "fast-check";
import { expect, it } from "vitest";
import { analyse } from "./analyse.js";
import { bestPoint, highest, toAllowed } from "./bestPoint.js";
import { isAllowed } from "./blendRegion.js";
import { desirability, type Goal, overallDesirability, shortfall } from "./desirability.js";
import type { Factor } from "./factors.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { termsOf } from "./model.js";
import { simplify } from "./simplify.js";
import { stationaryPoint } from "./surface.js";

const cube = (size: number, names: readonly string[]): Factor[] =>
  names.map((name) => ({ kind: "amount", name, low: -size, high: size }));

// Published: Derringer and Suich (1980): D 0.583 at (-0.05, 0.145, -0.868); predicted 129.5, 1300, 465.7, 68 (from memory).
it("finds the published compound of four properties", () => {
  const set = fixtures.cases.tyre_tread_desirability;
  const names = ["x1", "x2", "x3"];
  const factors = cube(1.633, names);
  const rows = set.data as unknown as Record<string, number>[];
  const analyses = ["y1", "y2", "y3", "y4"].map((responseName) =>
    analyse({
      responseName,
      factors,
      terms: termsOf({ model: "quadratic" }, factors),
      runs: rows.map((row) => ({ values: names.map((name) => row[name]!), response: row[responseName]! })),
    }),
  );
  for (const [index, analysis] of analyses.entries()) expect(analysis.residualSd).toBeCloseTo(set.rmse[index]!, 8);
  const goals: Goal[] = [
    { response: "y1", direction: "larger", low: 120, target: 170 },
    { response: "y2", direction: "larger", low: 1000, target: 1300 },
    { response: "y3", direction: "target", low: 400, target: 500, high: 600 },
    { response: "y4", direction: "target", low: 60, target: 67.5, high: 75 },
  ];
  const best = bestPoint(analyses, goals, { factors }, { seed: 2 });
  expect(best.overall).toBeCloseTo(0.583, 3);
  expect(best.overall).toBeGreaterThanOrEqual(set.best_in_cube_1633.D - 1e-7);
  for (const [index, x] of [-0.05, 0.145, -0.868].entries()) expect(Math.abs(best.values[index]! - x)).toBeLessThan(0.01);
  const at = set.at_published_optimum;
  expect(overallDesirability(goals, at.predicted)).toBeCloseTo(at.D, 10);
  expect(best.responses[0]!.confirmation!.from).toBeLessThan(best.responses[0]!.prediction.estimate);
});

// Published: equations of Myers and Montgomery (1995) with the goals of R's desirability package.
it("finds the best of conversion and activity, on a ridge where one goal is met exactly", () => {
  const set = fixtures.cases.reaction_desirability;
  const goals: Goal[] = [
    { response: "conversion", direction: "larger", low: 80, target: 97 },
    { response: "activity", direction: "target", low: 55, target: 57.5, high: 60 },
  ];
  const responses = ([x1, x2, x3]: readonly number[]): [number, number] => [
    81.09 +
      1.0284 * x1! +
      4.043 * x2! +
      6.2037 * x3! -
      1.8366 * x1! ** 2 +
      2.9382 * x2! ** 2 -
      5.1915 * x3! ** 2 +
      2.215 * x1! * x2! +
      11.375 * x1! * x3! -
      3.875 * x2! * x3!,
    59.85 +
      3.583 * x1! +
      0.2546 * x2! +
      2.2298 * x3! +
      0.83479 * x1! ** 2 +
      0.07484 * x2! ** 2 +
      0.05716 * x3! ** 2 -
      0.3875 * x1! * x2! -
      0.375 * x1! * x3! +
      0.3125 * x2! * x3!,
  ];
  expect(overallDesirability(goals, responses([0, 0, 0]))).toBeCloseTo(set.at_centre.D, 10);
  const score = (x: readonly number[]) => {
    const y = responses(x);
    return shortfall(goals, y) > 0 ? -shortfall(goals, y) : overallDesirability(goals, y);
  };
  const found = highest(score, { factors: cube(1.682, ["x1", "x2", "x3"]) }, { seed: 1 });
  expect(found.value).toBeGreaterThanOrEqual(set.best_in_cube_1682.D - 1e-6);
  for (const [index, x] of set.best_in_cube_1682.x.entries()) expect(Math.abs(found.values[index]! - x)).toBeLessThan(0.01);
});

it("is 0 at the limit, 1 at the target, and bends as asked", () => {
  const goal: Goal = { response: "height", direction: "larger", low: 40, target: 60, shape: 2 };
  expect([30, 40, 50, 60, 70].map((value) => desirability(goal, value))).toEqual([0, 0, 0.25, 1, 1]);
  expect(() => desirability({ response: "height", direction: "smaller", target: 3 }, 2)).toThrow("upper limit above 3");
});

it("moves any blend to the nearest allowed one (property)", () => {
  const factors: Factor[] = [
    { kind: "share", name: "butter", lower: 0.2, upper: 0.7 },
    { kind: "share", name: "oil", lower: 0.1, upper: 0.5 },
    { kind: "share", name: "yoghurt", lower: 0, upper: 0.55 },
  ];
  const rules = [{ weights: [-1, 2, 0], constant: 0 }];
  const region = { lower: [0.2, 0.1, 0], upper: [0.7, 0.5, 0.55], rules };
  fc.assert(
    fc.property(fc.array(fc.double({ min: -1, max: 2, noNaN: true }), { minLength: 3, maxLength: 3 }), (values) => {
      const blend = toAllowed(values, { factors, rules });
      expect(isAllowed(region, blend, 1e-7)).toBe(true);
      for (const [index, value] of toAllowed(blend, { factors, rules }).entries()) expect(value).toBeCloseTo(blend[index]!, 7);
    }),
  );
});

// Published: Lenth (2009), J. Stat. Software 32(7): Time 86.86148, Temp 176.67190, a maximum.
it("finds the published stationary point in natural units", () => {
  const set = fixtures.cases.chem_reactor_ccd_blocks;
  const factors: Factor[] = [
    { kind: "amount", name: "time", low: 80, high: 90 },
    { kind: "amount", name: "temp", low: 170, high: 180 },
  ];
  // Coded values as published (the axial points are rounded to 1.414 there), so coded amounts are decoded first.
  const runs = set.data.map((row) => ({
    values: [85 + 5 * row.x1, 175 + 5 * row.x2],
    block: row.block === "B1" ? 0 : 1,
    response: row.yield,
  }));
  for (const coded of [true, false]) {
    const fit = analyse({
      responseName: "yield",
      factors,
      terms: termsOf({ model: "quadratic" }, factors),
      runs,
      blockNames: ["B1", "B2"],
      coded,
    });
    const point = stationaryPoint(fit)!;
    expect(point.kind).toBe("highest");
    expect(point.values.time).toBeCloseTo(86.86148, 4);
    expect(point.values.temp).toBeCloseTo(176.6719, 4);
    expect(point.eigenvalues[0]).toBeCloseTo(set.eigenvalues[0]!, 8);
    expect(point.eigenvalues[1]).toBeCloseTo(set.eigenvalues[1]!, 8);
  }
});

it("leaves out what cannot be noticed, and never a part of what it keeps", () => {
  const set = fixtures.cases.cake_mix_2_5_factorial;
  const names = ["flour", "shortening", "egg", "temp", "time"];
  const rows = (set.data_all37 as unknown as Record<string, number>[]).slice(5);
  const factors = cube(1, names);
  const runs = rows.map((row) => ({ values: names.map((name) => row[name]!), response: row.taste! }));
  const { analysis, steps } = simplify({
    responseName: "taste",
    factors,
    terms: termsOf({ model: "interaction" }, factors),
    runs,
  });
  const kept = analysis.model.terms.filter((term) => term.length > 0).map((term) => term.join(" × "));
  // temp and time have no effect of their own (-0.03 and 0.006) but their interaction is the largest of all: both must stay.
  expect(kept).toContain("temp × time");
  expect(kept).toContain("temp");
  expect(kept).toContain("time");
  expect(steps.every(({ p }) => p > 0.1)).toBe(true);
});
