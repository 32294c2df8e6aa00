import fc from "fast-check";
import { expect, it } from "vitest";
import { answerTrial } from "./answerTrial.js";
import { makeDesign, type NamedDesign } from "./designWords.js";
import { readDesignWords } from "./questionWords.js";
import { createRandom } from "./random.js";
import { recordRun, USUAL_MEASURES } from "./sheet.js";
import { evidenceNote, readTrialFile, trialFileOfDesign } from "./trialFile.js";

function design(document: Record<string, unknown>): NamedDesign {
  const { value, problems } = readDesignWords({ kind: "design", ...document });
  if (value === undefined) throw new Error(problems.map(({ path, expected }) => `${path.join(".")}: ${expected}`).join());
  const made = makeDesign(value.words);
  if (!made.ok) throw new Error(made.error.map(({ found }) => found).join());
  return made.value;
}
const amounts = (...names: string[]) => names.map((name) => ({ name, low: 0, high: 10 }));
const shares = [
  { name: "butter", lower: 0.2, upper: 0.7 },
  { name: "oil", lower: 0.1, upper: 0.5 },
  { name: "yoghurt", lower: 0, upper: 0.55 },
];

it("lays out the named designs with the runs they are known for", () => {
  expect(design({ design: "two-level factorial", factors: amounts("a", "b", "c"), centreCount: 3 }).settings.length).toBe(11);
  expect(
    design({ design: "central composite", factors: amounts("a", "b"), axial: "rotatable", centreCount: 2 }).settings.length,
  ).toBe(12);
  expect(design({ design: "Box-Behnken", factors: amounts("a", "b", "c") }).settings.length).toBe(15);
  expect(design({ design: "all levels", factors: [...amounts("a"), { name: "tin", levels: ["x", "y"] }] }).settings.length).toBe(
    6,
  );
  const free = [
    { name: "a", kind: "share" },
    { name: "b", kind: "share" },
    { name: "c", kind: "share" },
  ];
  expect(design({ design: "simplex lattice", factors: free, steps: 3, model: "scheffe quadratic" }).settings.length).toBe(10);
  expect(
    design({ design: "simplex centroid", factors: free, checkBlends: true, model: "scheffe special cubic" }).settings.length,
  ).toBe(10);
  const vertices = design({ design: "extreme vertices", factors: shares });
  expect(vertices.vertices!.length).toBe(6);
  expect(vertices.settings.length).toBe(13);
  const crossed = design({ design: "extreme vertices", factors: [...shares, ...amounts("minutes")], process: "linear" });
  expect(crossed.settings.length).toBe(26);
  expect(crossed.quality.aliased).toEqual([]);
});

it("shows how a fraction is made and what it cannot tell apart", () => {
  const half = design({
    design: "two-level fraction",
    factors: amounts("a", "b", "c", "d"),
    generators: { d: ["a", "b", "c"] },
    model: "linear",
  });
  expect(half.fraction).toEqual({
    resolution: 4,
    generators: [{ factor: "d", product: ["a", "b", "c"] }],
    aliases: [
      ["a × b", "c × d"],
      ["a × c", "b × d"],
      ["b × c", "a × d"],
    ],
  });
  expect(
    design({ design: "two-level fraction", factors: amounts("a", "b", "c", "d", "e"), runCount: 8, model: "linear" }).fraction!
      .resolution,
  ).toBe(3);
});

it("searches optimal designs in blends, amounts and both", () => {
  const blends = design({ design: "D-optimal", factors: shares, model: "scheffe quadratic", runCount: 9 });
  for (const { butter, oil, yoghurt } of blends.settings as Record<string, number>[])
    expect(butter! + oil! + yoghurt!).toBeCloseTo(1, 9);
  const both = design({
    design: "I-optimal",
    factors: [...shares, ...amounts("minutes")],
    terms: [["butter"], ["oil"], ["yoghurt"], ["butter", "minutes"]],
    runCount: 8,
  });
  expect(both.settings.length).toBe(8);
  const cube = design({ design: "D-optimal", factors: amounts("a", "b"), model: "quadratic", runCount: 9 });
  // Exact: nine runs, D-optimal for the quadratic in two amounts, is the 3 x 3 grid.
  expect(new Set(cube.settings.map(({ a, b }) => `${a} ${b}`)).size).toBe(9);
});

it("keeps the bakes of one batter together and reads them as a split plot", () => {
  const document = {
    design: "all levels",
    factors: [
      { name: "recipe", levels: ["old", "new"] },
      { name: "oven", low: 160, high: 180, unit: "°C" },
    ],
    model: "interaction",
    perBatter: ["recipe"],
    repeats: 4,
    perDay: 6,
    perLoad: 3,
    measure: "height at the centre",
  };
  const { value } = readDesignWords({ kind: "design", ...document });
  const made = design(document);
  expect(made.settings.length).toBe(24);
  expect(new Set(made.order.map(({ wholePlot }) => wholePlot)).size).toBe(8);
  const file = trialFileOfDesign(
    value!.words,
    made,
    USUAL_MEASURES.find(({ name }) => name === "height at the centre")!,
    "Oven",
    [],
  );
  expect(readTrialFile(JSON.parse(JSON.stringify(file))).problems).toEqual([]);
  const random = createRandom(3);
  const batters = Array.from({ length: 8 }, () => 2 * random.normal());
  let { sheet } = file;
  for (const run of sheet.runs)
    sheet = recordRun(sheet, run.number, {
      measured: {
        "height at the centre": 40 + batters[run.wholePlot!]! + (Number(run.setting.oven) - 170) * 0.2 + 0.3 * random.normal(),
      },
    }).value;
  const answer = answerTrial({ ...file, sheet });
  const { splitPlot } = answer.reading!.responses[0]!;
  if (splitPlot?.kind !== "fitted") throw new Error("not fitted");
  expect(splitPlot.terms.find(({ name }) => name === "recipe")!.denominatorDf).toBeCloseTo(6, 3);
  expect(splitPlot.components[0]!.groupCount).toBe(8);
  expect(evidenceNote(file, answer)).toContain('Trial "Oven", 24 bakes');
});

it("says why a design cannot be made", () => {
  const refused = (document: Record<string, unknown>) => {
    const { value, problems } = readDesignWords(document);
    if (value === undefined) return problems.map(({ path }) => path.join("."));
    const made = makeDesign(value.words);
    return made.ok ? [] : made.error.map(({ found }) => found);
  };
  expect(refused({ design: "latin", factors: amounts("a") })).toEqual(["design"]);
  expect(refused({ design: "Box-Behnken", factors: amounts("a", "b") })).toEqual(["2 factors; 3 to 7 are possible"]);
  expect(refused({ design: "two-level factorial", factors: shares })).toEqual([
    "shares that add to 1 cannot each be set high and low",
  ]);
  expect(refused({ design: "simplex lattice", factors: shares })).toEqual([
    "upper limits or rules cut the simplex; use extreme vertices or an optimal design",
  ]);
  expect(refused({ design: "D-optimal", factors: shares, runCount: 4 })).toEqual([
    "4 runs cannot fit the 6 coefficients of the model",
  ]);
  expect(refused({ design: "two-level fraction", factors: amounts("a", "b", "c"), generators: { c: ["a", "z"] } })).toEqual([
    "generators",
  ]);
});

it("never throws on any words (property)", () => {
  fc.assert(fc.property(fc.anything({ withNullPrototype: true }), (document) => void readDesignWords(document)));
  const name = fc.constantFrom(
    "two-level factorial",
    "two-level fraction",
    "all levels",
    "central composite",
    "Box-Behnken",
    "simplex lattice",
    "extreme vertices",
    "D-optimal",
  );
  const factor = fc.oneof(
    fc.record({ name: fc.constantFrom("a", "b", "c", "d"), low: fc.constant(0), high: fc.integer({ min: -1, max: 3 }) }),
    fc.record({
      name: fc.constantFrom("x", "y", "z"),
      lower: fc.double({ min: 0, max: 0.5, noNaN: true }),
      upper: fc.double({ min: 0.3, max: 1, noNaN: true }),
    }),
    fc.record({ name: fc.constantFrom("t", "u"), levels: fc.array(fc.string(), { maxLength: 3 }) }),
  );
  fc.assert(
    fc.property(
      name,
      fc.array(factor, { maxLength: 4 }),
      fc.option(fc.integer({ min: 2, max: 20 }), { nil: undefined }),
      (designName, factors, runCount) => {
        const { value } = readDesignWords({ design: designName, factors, ...(runCount === undefined ? {} : { runCount }) });
        if (value !== undefined) makeDesign(value.words);
      },
    ),
    { numRuns: 60 },
  );
});
