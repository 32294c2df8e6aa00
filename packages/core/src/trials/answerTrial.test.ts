import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { answerTrial, bestOfTrial, wishesOf } from "./answerTrial.js";
import { readCsv } from "./csv.js";
import type { Factor, Setting } from "./factors.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { termsOf } from "./model.js";
import { createRandom } from "./random.js";
import type { PlacedRun } from "./runOrder.js";
import { type Measure, newRunSheet, recordRun, USUAL_MEASURES } from "./sheet.js";
import { readTrialFile, TRIAL_SHAPE, type TrialFile } from "./trialFile.js";

const height = USUAL_MEASURES.find(({ name }) => name === "height at the centre")!;
const promise = { summary: "", certainty: "", ifNothingIsSeen: "", cautions: [] };

function trial(
  kind: TrialFile["kind"],
  factors: readonly Factor[],
  measures: readonly Measure[],
  rows: readonly {
    readonly setting: Setting;
    readonly placed?: Partial<PlacedRun>;
    readonly measured: Readonly<Record<string, number>>;
  }[],
  rest: Partial<TrialFile> = {},
): TrialFile {
  const order = rows.map(({ placed }, runIndex): PlacedRun => ({ runIndex, day: 0, load: 0, position: 0, ...placed }));
  let sheet = newRunSheet(
    { title: "Trial", seed: 1, factors, measures, allergens: [] },
    rows.map(({ setting }) => setting),
    order,
  );
  for (const [index, { measured }] of rows.entries()) sheet = recordRun(sheet, index + 1, { measured }).value;
  const file: TrialFile = { shape: TRIAL_SHAPE, kind, title: "Trial", promise, sheet, ...rest };
  const back = readTrialFile(JSON.parse(JSON.stringify(file)));
  expect(back.problems).toEqual([]);
  return back.value!;
}

const cake: Factor = { kind: "choice", name: "cake", levels: ["the standard", "the cheaper one"] };
/** Pairs of invented heights: the standard, and what the other stands above it. */
const pairs = (gains: readonly number[], rest: Partial<TrialFile>) =>
  trial(
    "better",
    [cake],
    [height],
    gains.flatMap((gain, day) => [
      { setting: { cake: "the standard" }, placed: { day }, measured: { [height.name]: 40 + (day % 3) } },
      { setting: { cake: "the cheaper one" }, placed: { day }, measured: { [height.name]: 40 + (day % 3) + gain } },
    ]),
    { pairing: "days", ...rest },
  );

it("answers whether the new one is no worse, at the margin that was named before", () => {
  const little = [-0.6, 0.2, -0.9, 0.1, -0.4, -0.2, 0.3, -0.7];
  const fine = answerTrial(pairs(little, { aim: "no worse", matters: 2 }));
  expect(fine.answer.verdict).toBe("yes");
  expect(fine.answer.sentence).toBe(
    "The cheaper one is no worse than the standard by the 2 mm that matter: at worst it is flatter by 0.57 mm.",
  );
  // One-sided: the end of the interval is that of a two-sided one of nine in ten, by hand: mean -0.275, sd 0.4464, t(0.95, 7) 1.8946.
  expect(fine.equivalence!.from).toBeCloseTo(-0.275 - (1.894579 * 0.446414) / Math.sqrt(8), 4);
  expect(fine.equivalence!.limits).toEqual([-2, Number.POSITIVE_INFINITY]);
  // The same bakes do not show it at a margin that they cannot resolve, and are not called worse for that.
  const open = answerTrial(pairs(little, { aim: "no worse", matters: 0.5 }));
  expect(open.answer.verdict).toBe("not shown");
  expect(open.answer.sentence).toContain("may still be flatter by 0.57 mm, and 0.5 mm matter");
  expect(open.answer.certainty).toContain("does not show that it is worse either");
  const worse = answerTrial(
    pairs(
      little.map((gain) => gain - 5),
      { aim: "no worse", matters: 2 },
    ),
  );
  expect(worse.answer.verdict).toBe("no");
  expect(worse.answer.sentence).toContain("more than the 2 mm that matter");
  expect(worse.answer.next).toEqual(["Keep the standard."]);
});

it("calls two the same only within what matters, both ways", () => {
  const same = answerTrial(pairs([-0.3, 0.4, -0.2, 0.1, 0.3, -0.4], { aim: "the same", matters: 1 }));
  expect(same.answer.verdict).toBe("same");
  const taller = answerTrial(pairs([0.9, 1.3, 1.2, 0.8, 1.4, 1.1], { aim: "the same", matters: 1 }));
  expect(taller.answer.verdict).toBe("not shown");
  // Larger is welcome: by "no worse" it passes.
  expect(answerTrial(pairs([0.9, 1.3, 1.2, 0.8, 1.4, 1.1], { aim: "no worse", matters: 1 })).answer.verdict).toBe("yes");
  // A measure without a better side has no worse one either: then it is read as a difference.
  const plain = { ...pairs([0.1, -0.1, 0.2, -0.3], { aim: "no worse", matters: 1 }) };
  const { better: _better, ...flat } = height;
  expect(answerTrial({ ...plain, sheet: { ...plain.sheet, measures: [flat] } }).aim).toBe("better");
});

it("says that a difference that was not seen is shown to be small, where it is", () => {
  const { answer } = answerTrial(pairs([-0.3, 0.4, -0.2, 0.1, 0.3, -0.4], { matters: 1 }));
  expect(answer.verdict).toBe("same");
  expect(answer.sentence).toBe("The cheaper one and the standard are within 1 mm of each other.");
});

// Published: Derringer and Suich (1980), D 0.583 at (-0.05, 0.145, -0.868).
it("finds the setting at which four goals are met best, from the sheet of a trial", () => {
  const set = fixtures.cases.tyre_tread_desirability;
  const names = ["x1", "x2", "x3"];
  const factors = names.map((name): Factor => ({ kind: "amount", name, low: -1.633, high: 1.633 }));
  const measures = ["y1", "y2", "y3", "y4"].map((name): Measure => ({ name, unit: "of 1" }));
  const rows = set.data as unknown as Record<string, number>[];
  const file = trial(
    "how much",
    factors,
    measures,
    rows.map((row) => ({
      setting: Object.fromEntries(names.map((name) => [name, row[name]!])),
      measured: Object.fromEntries(measures.map(({ name }) => [name, row[name]!])),
    })),
    {
      model: {
        factors,
        responses: [{ name: "y1" }],
        terms: termsOf({ model: "quadratic" }, factors).filter((term) => term.length > 0),
      },
      goals: [
        { response: "y1", direction: "larger", low: 120, target: 170 },
        { response: "y2", direction: "larger", low: 1000, target: 1300 },
        { response: "y3", direction: "target", low: 400, target: 500, high: 600 },
        { response: "y4", direction: "target", low: 60, target: 67.5, high: 75 },
      ],
    },
  );
  const answer = answerTrial(file);
  expect(answer.reading!.responses.map(({ name }) => name)).toEqual(["y1", "y2", "y3", "y4"]);
  const { value, problems } = bestOfTrial(file, answer);
  expect(problems).toEqual([]);
  expect(value!.best.overall).toBeCloseTo(0.583, 3);
  for (const [index, x] of [-0.05, 0.145, -0.868].entries()) expect(Math.abs(value!.best.values[index]! - x)).toBeLessThan(0.01);
  // Without wishes and without a better side there is no best.
  const { goals: _goals, ...without } = file;
  expect(wishesOf(without)).toEqual([]);
  expect(bestOfTrial(without, answer).value).toBeUndefined();
  const wrong = bestOfTrial({ ...file, goals: [{ response: "y9", direction: "larger" }] }, answer);
  expect(wrong.problems[0]!.expected).toBe("y9 measured in the bakes");
});

it("keeps to the rules among the shares when it looks for the best blend", () => {
  const factors: Factor[] = ["sugar", "honey", "syrup"].map((name) => ({ kind: "share", name, lower: 0, upper: 1 }));
  const blends = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    [0.5, 0.5, 0],
    [0.5, 0, 0.5],
    [0, 0.5, 0.5],
    [0.34, 0.33, 0.33],
  ];
  const random = createRandom(4);
  const file = trial(
    "which blend",
    factors,
    [height],
    [...blends, ...blends].map((shares) => ({
      setting: { sugar: shares[0]!, honey: shares[1]!, syrup: shares[2]! },
      measured: { [height.name]: 40 + 6 * shares[0]! + 0.3 * random.normal() },
    })),
    { model: { factors, responses: [], model: "scheffe linear" }, rules: [{ weights: [-1, 1, 0], constant: 0 }] },
  );
  const answer = answerTrial(file);
  // Linear blending has no term that could be noticed by itself: the blend is judged as a whole.
  expect(answer.answer.sentence).toMatch(
    /^Height at the centre is moved by the blend \(as sugar goes from 0 % to 100 % it rises by \d/,
  );
  const { best } = bestOfTrial(file, answer).value!;
  expect(best.setting.sugar).toBeCloseTo(0.5, 3);
  expect(best.setting.honey).toBeCloseTo(0.5, 3);
});

// Published: Cochran and Cox (1957), 45 batters in six oven settings; R's lme4 (fixture): slope 0.1580, error 0.0162 a degree.
it("reads batters and bakes apart, and says how many of each stand behind it", () => {
  const table = readCsv(readFileSync(new URL("./fixtures/cakeBreakage.csv", import.meta.url), "utf8")).value;
  const factors: Factor[] = [
    { kind: "choice", name: "recipe", levels: ["A", "B", "C"] },
    { kind: "amount", name: "temperature", unit: "°C", low: 175, high: 225 },
  ];
  const batters = [...new Set(table.rows.map((row) => `${row.replicate} ${row.recipe}`))];
  const file = trial(
    "how much",
    factors,
    [{ name: "angle", unit: "°", better: "larger" }],
    table.rows.map((row) => ({
      setting: { recipe: String(row.recipe), temperature: Number(row.temperature) },
      placed: { wholePlot: batters.indexOf(`${row.replicate} ${row.recipe}`) },
      measured: { angle: Number(row.angle) },
    })),
    // The model says nothing of batters: the sheet does, and that is enough.
    { model: { factors, responses: [], terms: [["recipe"], ["temperature"]] } },
  );
  const { answer, reading, standing } = answerTrial(file);
  const { analysis } = reading!.responses[0]!;
  expect(analysis.mixed).toBeDefined();
  // 50 degrees at 0.1580 a degree; its range 1.97 errors of 50 x 0.0162 either way.
  expect(answer.sentence).toBe("Angle is moved by temperature (from 175 to 225 °C it rises by 7.9 °, between 6.3 and 9.5).");
  expect(answer.sentence).not.toContain("recipe");
  expect(standing).toEqual([
    { factor: "recipe", between: "batter", count: 45 },
    { factor: "temperature", between: "cake", count: 270 },
  ]);
  expect(answer.certainty).toContain(
    "There are 45 batters behind what is said of recipe and 270 cakes behind what is said of temperature.",
  );
  expect(answer.certainty).not.toContain("follows");
  // One batter only: nothing can be said of batters, and tins are not taken for independent instead.
  const one = answerTrial({
    ...file,
    sheet: { ...file.sheet, runs: file.sheet.runs.filter(({ wholePlot }) => wholePlot === 0) },
  });
  expect(one.answer.verdict).toBe("cannot tell");
});
