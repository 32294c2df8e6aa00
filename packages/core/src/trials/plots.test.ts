import { expect, it } from "vitest";
import { analyse, predictAt } from "./analyse.js";
import { regionPoints } from "./blendRegion.js";
import type { Factor } from "./factors.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { termsOf } from "./model.js";
import { centreOf, contourMap, effectLines, residualPicture, ternaryMap, ternaryPlace } from "./plots.js";

const shares = ["x1", "x2", "x3"].map((name): Factor => ({ kind: "share", name, lower: 0, upper: 1 }));
const yarn = analyse({
  responseName: "y",
  factors: shares,
  terms: termsOf({ model: "scheffe quadratic" }, shares),
  runs: fixtures.cases.yarn_simplex_lattice.data.map(({ x1, x2, x3, y }) => ({ values: [x1, x2, x3], response: y })),
});

it("maps a blend over the triangle and greys what is held out", () => {
  const map = ternaryMap(yarn, ["x1", "x2", "x3"], [0, 0, 0], { lower: [0, 0, 0], upper: [1, 0.5, 1] }, 10);
  expect(map.points.length).toBe(66);
  expect(map.triangles.length).toBe(100);
  const top = map.points.find(({ shares: [a] }) => a === 1)!;
  expect([top.x, top.y]).toEqual([0.5, Math.sqrt(3) / 2]);
  expect(top.estimate).toBeCloseTo(11.7, 9);
  for (const point of map.points) expect(point.allowed).toBe(point.shares[1] <= 0.5 + 1e-9);
  expect(map.baked.length).toBe(15);
  expect([map.least, map.most]).toEqual([
    [0, 0, 0],
    [1, 1, 1],
  ]);
});

it("draws no more of the triangle than the limits need, with their outline", () => {
  const region = { lower: [0.2, 0.1, 0.3], upper: [0.5, 0.4, 0.6], rules: [{ weights: [1, -1, 0], constant: 0 }] };
  const map = ternaryMap(yarn, ["x1", "x2", "x3"], [0, 0, 0], region, 10);
  expect(map.least.map((share) => Number(share.toFixed(9)))).toEqual([0.2, 0.1, 0.3]);
  expect(map.most.map((share) => Number(share.toFixed(9)))).toEqual([0.6, 0.5, 0.7]);
  // The corners of the outline are those that the double description finds.
  const key = ({ x, y }: { readonly x: number; readonly y: number }) => `${(x + 1e-9).toFixed(6)} ${(y + 1e-9).toFixed(6)}`;
  const found = new Set(regionPoints(region).vertices.map((shares) => key(ternaryPlace(map, shares))));
  expect(new Set(map.border.map(key))).toEqual(found);
  expect(ternaryMap(yarn, ["x1", "x2", "x3"], [0, 0, 0], { lower: [0.6, 0.6, 0], upper: [1, 1, 1] }, 4).border).toEqual([]);
});

it("maps two amounts, and agrees with the prediction at each point", () => {
  const factors = ["a", "b"].map((name): Factor => ({ kind: "amount", name, unit: "g", low: 0, high: 10 }));
  const runs = [
    [0, 0],
    [10, 0],
    [0, 10],
    [10, 10],
    [5, 5],
    [5, 0],
    [0, 5],
    [5, 10],
  ].map((values, index) => ({ values, response: values[0]! * 2 + values[1]! ** 2 + (index % 3) }));
  const fit = analyse({ responseName: "y", factors, terms: termsOf({ model: "quadratic" }, factors), runs });
  const map = contourMap(fit, "a", "b", [5, 5], 4);
  expect(map.estimate[3]![1]).toBeCloseTo(predictAt(fit, [2.5, 7.5]).estimate, 12);
  expect(map.points[1]).toEqual({ x: 10, y: 0 });
  const lines = effectLines(fit, 2);
  expect(lines.map(({ points }) => points.map(({ at }) => at))).toEqual([
    [0, 5, 10],
    [0, 5, 10],
  ]);
  expect(lines[1]!.points[2]!.from!).toBeLessThan(lines[1]!.points[2]!.estimate);
});

it("moves one share and keeps the proportions of the others", () => {
  const [first] = effectLines(yarn, 4);
  expect(first!.points.map(({ at }) => at)).toEqual([0, 0.25, 0.5, 0.75, 1]);
  expect(first!.points[2]!.estimate).toBeCloseTo(predictAt(yarn, [0.5, 0.25, 0.25]).estimate, 12);
  for (const value of centreOf(shares)) expect(value).toBeCloseTo(1 / 3, 12);
});

it("orders residuals against normal quantiles", () => {
  const { rows, normal } = residualPicture(yarn);
  expect(rows.length).toBe(15);
  expect(normal.map(({ quantile }) => quantile)).toEqual([...normal.map(({ quantile }) => quantile)].sort((a, b) => a - b));
  expect(normal[7]!.quantile).toBeCloseTo(0, 12);
});
