import fc from "fast-check";
import { expect, it } from "vitest";
import { dayCounts, runOrder, splitPlotRuns } from "./runOrder.js";

it("bakes every run once, keeps a day within its size and a load within the oven (property)", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 40 }),
      fc.integer({ min: 1, max: 12 }),
      fc.integer({ min: 1, max: 4 }),
      fc.nat(),
      (count, perDay, perLoad, seed) => {
        const placed = runOrder(count, { seed, perDay, perLoad });
        expect(placed.map(({ runIndex }) => runIndex).sort((a, b) => a - b)).toEqual([...Array(count).keys()]);
        for (const size of dayCounts(count, perDay)) expect(size).toBeLessThanOrEqual(perDay);
        const loads = new Map<string, number>();
        for (const { day, load } of placed) loads.set(`${day} ${load}`, (loads.get(`${day} ${load}`) ?? 0) + 1);
        for (const size of loads.values()) expect(size).toBeLessThanOrEqual(perLoad);
      },
    ),
  );
});

it("draws the same order from the same seed, and keeps to the days it is given", () => {
  const days = [0, 0, 1, 1, 2, 2];
  const placed = runOrder(6, { seed: 9, days });
  expect(runOrder(6, { seed: 9, days })).toEqual(placed);
  for (const { runIndex, day } of placed) expect(day).toBe(days[runIndex]);
});

it("keeps the bakes of one batter together on one day", () => {
  const runs = splitPlotRuns(["A", "B"], ["160", "170", "180"], 3);
  expect(runs.length).toBe(18);
  const placed = runOrder(18, { seed: 4, perDay: 6, perLoad: 3, wholePlots: runs.map(({ wholePlot }) => wholePlot) });
  for (let start = 0; start < 18; start += 3)
    expect(new Set(placed.slice(start, start + 3).map(({ wholePlot }) => wholePlot)).size).toBe(1);
  expect(() => runOrder(18, { seed: 4, perDay: 2, wholePlots: runs.map(({ wholePlot }) => wholePlot) })).toThrow(
    "one batter makes 3 runs, a day takes 2",
  );
});
