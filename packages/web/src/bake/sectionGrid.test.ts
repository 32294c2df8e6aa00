import type { BakeSection } from "@evencrumb/core/bake";
import { expect, it } from "vitest";
import { contour, sectionAt } from "./sectionGrid.js";

/** Two columns of two cells, 10 mm each; the outer column grows to twice its height in a minute. */
const section: BakeSection = {
  timesS: Float64Array.of(0, 60),
  acrossM: Float64Array.of(0, 0.01, 0.02),
  upM: Float64Array.of(0, 0.01, 0.02),
  temperatureC: Float32Array.of(20, 20, 20, 20, 40, 80, 40, 80),
  waterKgKg: new Float32Array(8),
  growth: Float32Array.of(1, 1, 1, 1, 1, 2, 1, 2),
  set: new Float32Array(8),
};

it("stands between two pictures in proportion to the time", () => {
  const grid = sectionAt(section, 30);
  expect([...grid.xM]).toEqual([0, 0.005, 0.015, 0.02]);
  const top = (grid.rows - 1) * grid.columns;
  expect(grid.yM[top]).toBeCloseTo(0.02, 9);
  expect(grid.yM[top + 3]).toBeCloseTo(0.03, 9);
  expect(grid.temperatureC[top]).toBeCloseTo(30, 6);
  expect(grid.temperatureC[top + 3]).toBeCloseTo(50, 6);
});

it("holds the first and the last picture", () => {
  expect(sectionAt(section, -5).temperatureC[0]).toBe(20);
  expect(sectionAt(section, 999).temperatureC[3]).toBe(80);
});

it("draws the line of a temperature where it lies", () => {
  const grid = sectionAt(section, 60);
  const line = contour(grid, grid.temperatureC, 60);
  expect(line.length).toBeGreaterThan(0);
  // Half way between the column centres at 40 and 80 °C, from base to top.
  for (let at = 0; at < line.length; at += 2) expect(line[at]).toBeCloseTo(0.01, 9);
  const heights = line.filter((_, index) => index % 2 === 1);
  expect(Math.min(...heights)).toBeCloseTo(0, 9);
  expect(Math.max(...heights)).toBeCloseTo(0.03, 9);
  expect(contour(grid, grid.temperatureC, 300)).toEqual([]);
});
