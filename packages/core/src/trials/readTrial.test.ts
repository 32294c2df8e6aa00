import { readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, it } from "vitest";
import { readCsv, writeCsv } from "./csv.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { readTrial } from "./readTrial.js";
import { readTrialModel } from "./trialModel.js";

const cake = readCsv(readFileSync(new URL("./fixtures/cakeBreakage.csv", import.meta.url), "utf8")).value;

it("reads a blend from CSV text and plain words", () => {
  const set = fixtures.cases.yarn_simplex_lattice;
  const table = readCsv(writeCsv(["x1", "x2", "x3", "y"], set.data)).value;
  const { value: model, problems } = readTrialModel({
    factors: ["x1", "x2", "x3"],
    response: "y",
    model: "Scheffé quadratic",
    predict: [{ x1: 0.5, x2: 0, x3: 0.5 }],
  });
  expect(problems).toEqual([]);
  const reading = readTrial(model, table.rows);
  expect(reading.problems).toEqual([]);
  const [response] = reading.value.responses;
  expect(response!.analysis.coefficients.map(({ estimate }) => Number(estimate.toFixed(6)))).toEqual([
    11.7, 9.4, 16.4, 19, 11.4, -9.6,
  ]);
  const expected = set.computed.predictions[0]!;
  expect(response!.predictions[0]!.prediction.single!.from).toBeCloseTo(expected.pi95[0]!, 10);
});

// Published: Cook (1938); R's lme4 in the fixture. Batter labels must be unique, so they are made of replicate and recipe.
it("reads the chocolate cakes with two sources of variation", () => {
  const rows = cake.rows.map((row) => ({ ...row, batter: `${row.replicate} ${row.recipe}` }));
  const { value: model } = readTrialModel({
    factors: [{ name: "recipe" }, { name: "temperature" }],
    responses: ["angle"],
    terms: ["recipe", "temperature"],
    wholePlots: ["replicate", "batter"],
  });
  const { value, problems } = readTrial(model, rows);
  expect(problems).toEqual([]);
  const { splitPlot } = value.responses[0]!;
  if (splitPlot?.kind !== "fitted") throw new Error("not fitted");
  expect(splitPlot.coefficients.map(({ name }) => name)).toEqual(["intercept", "recipe [B]", "recipe [C]", "temperature"]);
  expect(splitPlot.coefficients[3]!.estimate).toBeCloseTo(0.158031746, 8);
  expect(splitPlot.coefficients[3]!.standardError).toBeCloseTo(0.0162157697, 6);
});

it("leaves out missing values response by response, and says what it cannot use", () => {
  const rows = [
    { sugar: 100, mm: 40, note: "a" },
    { sugar: 120, mm: null, note: "b" },
    { sugar: 140, mm: 44, note: "c" },
    { sugar: null, mm: 43, note: "d" },
    { sugar: 160, mm: "tall", note: "e" },
    { sugar: 150, mm: 45.5, note: "f" },
  ];
  const { value, problems } = readTrial({ factors: [{ name: "sugar" }], responses: [{ name: "mm" }, { name: "width" }] }, rows);
  expect(value.responses.map(({ name, usedRows }) => [name, usedRows])).toEqual([["mm", [0, 2, 5]]]);
  expect(problems.map(({ path, expected }) => [path.join("."), expected])).toEqual([
    ["rows.3", "a setting for each of sugar"],
    ["rows.4.mm", "a number, or an empty cell"],
    ["responses.1", 'a column called "width"'],
  ]);
});

it("refuses shares that do not add to 1, and models that do not fit their factors", () => {
  const shares = {
    factors: [
      { name: "butter", kind: "share" as const },
      { name: "oil", kind: "share" as const },
    ],
    responses: [{ name: "y" }],
  };
  const rows = [
    { butter: 0.5, oil: 0.4, y: 1 },
    { butter: 0.5, oil: 0.5, y: 1 },
    { butter: 0.4, oil: 0.6, y: 2 },
    { butter: 0.3, oil: 0.7, y: 2 },
  ];
  expect(readTrial(shares, rows).problems[0]).toMatchObject({
    path: ["rows", 0],
    expected: "shares that add to 1",
    found: "0.9",
  });
  expect(readTrial({ ...shares, model: "quadratic" }, rows).problems[0]).toMatchObject({
    path: ["model"],
    expected: "a Scheffé model, since shares add to 1",
  });
  expect(
    readTrial({ factors: [{ name: "butter" }], responses: [{ name: "y" }], model: "scheffe linear" }, rows).problems[0]!.path,
  ).toEqual(["model"]);
});

it("stays within its means: many rows are read, a column of different words is refused", () => {
  const rows = Array.from({ length: 20_000 }, (_, index) => ({
    sugar: index % 50,
    note: `note ${index}`,
    day: `day ${index % 7}`,
    mm: 40 + (index % 50) * 0.1 + ((index * 7919) % 13) * 0.01,
  }));
  const many = readTrial({ factors: [{ name: "sugar" }], responses: [{ name: "mm" }], blocks: "day" }, rows);
  expect(many.problems).toEqual([]);
  expect(many.value.responses[0]!.analysis.lackOfFit!.pureError.df).toBe(20_000 - 50 - 6);
  const words = readTrial({ factors: [{ name: "note" }], responses: [{ name: "mm" }] }, rows);
  expect(words.problems[0]).toMatchObject({ code: "too-large", found: "20000 columns for 20000 runs" });
});

it("says what is wrong with the words of a model", () => {
  const { problems } = readTrialModel({
    factors: ["a", "a", { kind: "amount" }],
    modell: "linear",
    model: "cubic",
    confidence: 95,
    terms: [["b"]],
    predict: [{}],
  });
  expect(problems.map(({ path }) => path.join("."))).toEqual([
    "modell",
    "factors.2",
    "factors.1",
    "responses",
    "model",
    "terms.0",
    "confidence",
    "predict.0",
  ]);
});

// Published: Derringer and Suich (1980), D 0.583 (from memory); Peer: R 4.2.2, t.test and TukeyHSD.
it("answers wishes and comparisons that the words ask for", () => {
  const tyre = fixtures.cases.tyre_tread_desirability;
  const goals = [
    { response: "y1", direction: "larger", low: 120, target: 170 },
    { response: "y2", direction: "larger", low: 1000, target: 1300 },
    { response: "y3", direction: "target", low: 400, target: 500, high: 600 },
    { response: "y4", direction: "target", low: 60, target: 67.5, high: 75 },
  ];
  const factors = ["x1", "x2", "x3"].map((name) => ({ name, low: -1.633, high: 1.633 }));
  const { value: words, problems } = readTrialModel({ factors, responses: ["y1", "y2", "y3", "y4"], model: "quadratic", goals });
  expect(problems).toEqual([]);
  expect(readTrial(words, tyre.data).value.best!.overall).toBeCloseTo(0.5833, 4);
  const rows = [
    ["A", 1, 40],
    ["B", 1, 43],
    ["A", 2, 42],
    ["B", 2, 44.5],
    ["A", 3, 39],
    ["B", 3, 42.5],
    ["A", 4, 41],
    ["B", 4, 42],
  ].map(([cake, day, mm]) => ({ cake: cake!, day: day!, mm: mm! }));
  const ask = (more: object) =>
    readTrial(readTrialModel({ factors: [{ name: "cake" }], response: "mm", ...more }).value, rows).value.responses[0]!;
  const paired = ask({ paired: "day", equivalence: [-5, 5] }).twoLevels!;
  if (paired.comparison.kind !== "compared") throw new Error("not compared");
  expect(paired.comparison.difference.estimate).toBeCloseTo(2.5, 12);
  expect(paired.comparison.difference.p).toBeCloseTo(0.01898623, 8);
  expect(paired.equivalence!.equivalent).toBe(true);
  const blocked = ask({ blocks: "day", comparisons: ["cake", { factor: "cake", with: "A" }] });
  // Exact: with two levels and days as blocks, Tukey and Dunnett are the paired t.
  for (const { differences } of blocked.comparisons) expect(differences[0]!.p).toBeCloseTo(paired.comparison.difference.p, 9);
  expect(
    readTrialModel({
      factors: ["x1"],
      response: "y1",
      goals: [{ response: "y1", direction: "larger", low: 5, target: 3 }],
      equivalence: [1, 0],
    }).problems.map(({ path }) => path.join(".")),
  ).toEqual(["goals.0", "equivalence"]);
});

it("never throws on any words (property)", () => {
  const anything = fc.anything({ withNullPrototype: true });
  fc.assert(fc.property(anything, (document) => void readTrialModel(document)));
  const fields = fc.record(
    { factors: anything, responses: anything, model: anything, terms: anything, predict: anything, blocks: anything },
    { requiredKeys: [] },
  );
  fc.assert(
    fc.property(fields, (document) => {
      const { value, problems } = readTrialModel(document);
      if (problems.length === 0)
        readTrial(value, [
          { a: 1, b: "x", y: 2 },
          { a: 2, b: "y", y: 3 },
        ]);
    }),
  );
});
