import { expect, it } from "vitest";
import { analyse } from "./analyse.js";
import { type ConfirmationOf, confirmationSheet, expectBakes, readConfirmation, settingBeside } from "./confirmation.js";
import { tQuantile } from "./distributions.js";
import type { Factor } from "./factors.js";
import { newRunSheet, type RunSheet, recordRun, USUAL_MEASURES } from "./sheet.js";

const height = USUAL_MEASURES.find(({ name }) => name === "height at the centre")!;
const factors: Factor[] = [{ kind: "amount", name: "sugar", unit: "g", low: 160, high: 220 }];
const settings = [160, 160, 190, 190, 220, 220];
const measured = [38.2, 37.6, 40.4, 41.0, 43.1, 42.5];
const analysis = analyse({
  responseName: height.name,
  factors,
  terms: [[], ["sugar"]],
  runs: settings.map((sugar, index) => ({ values: [sugar], response: measured[index]! })),
});
const both = [{ sugar: 220 }, { sugar: 190 }] as const;

function planned(count: number, goals: ConfirmationOf["goals"] = [{ response: height.name, direction: "larger" }]) {
  const expected = expectBakes([{ analysis, unit: "mm" }], both);
  if (!expected.ok) throw new Error("nothing expected");
  const trial = newRunSheet(
    { title: "Sugar", seed: 1, factors, measures: [height], allergens: ["eggs"] },
    settings.map((sugar) => ({ sugar })),
    settings.map((_, runIndex) => ({ runIndex, day: 0, load: 0, position: 0 })),
  );
  return confirmationSheet({ title: "Sugar", sheet: trial }, expected.value, {
    title: "Confirmation",
    evidence: "Height is moved by sugar.",
    names: ["the best setting", "the standard"],
    settings: both,
    count,
    seed: 3,
    goals: goals!,
  });
}

const fill = (sheet: RunSheet, best: number, other: number): RunSheet =>
  sheet.runs.reduce(
    (now, run) =>
      recordRun(now, run.number, { measured: { [height.name]: run.setting.cake === "the standard" ? other : best } }).value,
    sheet,
  );

it("expects a difference as a line fitted by hand does", () => {
  const expected = expectBakes([{ analysis, unit: "mm" }], both);
  if (!expected.ok) throw new Error("nothing expected");
  const [one] = expected.value;
  // Straight line: slope = Sxy / Sxx, its error s / sqrt(Sxx); thirty grams of it, and the spread of two new bakes.
  const meanOf = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const [x, y] = [meanOf(settings), meanOf(measured)];
  const sxx = settings.reduce((sum, value) => sum + (value - x) ** 2, 0);
  const slope = settings.reduce((sum, value, index) => sum + (value - x) * (measured[index]! - y), 0) / sxx;
  const s = Math.sqrt(settings.reduce((sum, value, index) => sum + (measured[index]! - y - slope * (value - x)) ** 2, 0) / 4);
  for (const { count, from, to } of one!.ranges) {
    const reach = tQuantile(0.975, 4) * s * Math.sqrt(900 / sxx + 2 / count);
    expect(from).toBeCloseTo(30 * slope - reach, 9);
    expect(to).toBeCloseTo(30 * slope + reach, 9);
  }
  // Two measures share the confidence.
  const shared = expectBakes(
    [
      { analysis, unit: "mm" },
      { analysis: { ...analysis, responseName: "firmness" }, unit: "N" },
    ],
    both,
  );
  if (!shared.ok) throw new Error("nothing expected");
  const [first] = shared.value[0]!.ranges;
  expect((first!.to - first!.from) / 2).toBeCloseTo(tQuantile(0.9875, 4) * s * Math.sqrt(900 / sxx + 2), 9);
});

it("plans both on one day, in an order drawn by lot, with what they should give", () => {
  const { sheet, promise, confirms, kind } = planned(2);
  expect(kind).toBe("confirmation");
  expect(sheet.runs.map(({ setting }) => setting.cake).toSorted()).toEqual([
    "the best setting",
    "the best setting",
    "the standard",
    "the standard",
  ]);
  expect(sheet.runs.every(({ setting }) => setting.sugar === (setting.cake === "the standard" ? 190 : 220))).toBe(true);
  expect(sheet.allergens).toEqual(["eggs"]);
  expect(promise.certainty).toMatch(
    /^Not baked yet\. Expected of the best setting: height at the centre \d\.\d+ to \d\.\d+ mm more than the standard\.$/,
  );
  expect(readConfirmation(confirms, sheet).confirmed).toBe(false);
  expect(() => planned(9)).toThrow("not within 1 to 4");
});

it("recommends the new standard only when it came out as predicted, and better", () => {
  const { sheet, confirms } = planned(2);
  const good = readConfirmation(confirms, fill(sheet, 43, 40.5));
  expect(good.confirmed).toBe(true);
  expect(good.answer.verdict).toBe("yes");
  expect(good.answer.sentence).toMatch(
    /^The best setting came out as predicted: height at the centre is 2\.5\d* mm more than the standard \(expected/,
  );
  expect(good.answer.next[0]).toContain("Make it the standard");
  // Another day may be higher or lower altogether: only the difference counts.
  expect(readConfirmation(confirms, fill(sheet, 53, 50.5)).confirmed).toBe(true);

  const bad = readConfirmation(confirms, fill(sheet, 36, 41));
  expect([bad.confirmed, bad.answer.verdict]).toEqual([false, "no"]);
  expect(bad.answer.next[0]).toBe("Do not make it the standard on this bake.");

  const half = sheet.runs.filter(({ setting }) => setting.cake === "the standard");
  const onlyOne = {
    ...fill(sheet, 43, 40.5),
    runs: fill(sheet, 43, 40.5).runs.map((run) =>
      half.some(({ number }) => number === run.number) ? { ...run, state: "spoiled" as const } : run,
    ),
  };
  expect(readConfirmation(confirms, onlyOne).answer.verdict).toBe("cannot tell");
});

it("does not recommend what came out as predicted and is not wanted", () => {
  const limited = planned(1, [{ response: height.name, direction: "larger", low: 45 }]);
  const reading = readConfirmation(limited.confirms, fill(limited.sheet, 43, 40.8));
  expect(reading.confirmed).toBe(false);
  expect(reading.answer.sentence).toContain("43 mm, and 45 or less is not acceptable");
  const smaller = planned(1, [{ response: height.name, direction: "smaller" }]);
  expect(readConfirmation(smaller.confirms, fill(smaller.sheet, 43, 40.8)).answer.sentence).toContain(
    "no better than the standard",
  );
});

it("bakes beside the standard where the trial knows it, else beside the run in the middle", () => {
  const { sheet } = planned(1);
  const own: RunSheet = {
    ...sheet,
    factors,
    runs: settings.map((sugar, index) => ({ ...sheet.runs[0]!, number: index + 1, setting: { sugar } })),
  };
  expect(settingBeside(own, { sugar: 200 })).toEqual({ name: "the standard", setting: { sugar: 200 } });
  expect(settingBeside(own, { sugar: 300 })).toEqual({ name: "run 3 of the trial", setting: { sugar: 190 } });
  expect(settingBeside(own, undefined).name).toBe("run 3 of the trial");
});
