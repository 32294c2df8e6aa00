import { describe, expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type BakeRecord, ovenRecordOf, readBakeRecord, readOvenDocument } from "./index.js";

const book = createIngredientBook();
const RECORD: BakeRecord = {
  name: "20 Nov",
  formulaId: "f",
  revisionId: "r",
  formulaName: "Sandwich",
  component: "Sponge",
  ovenId: "b",
  position: "top",
  tin: "round 20x5 cm",
  setC: 165,
  fan: true,
  bakedOn: "2026-11-20",
  gramsBefore: 400,
  gramsAfter: 372,
  outMinutes: 25,
  skewerMinutes: 23,
  probe: [{ minutes: 10, celsius: 61 }],
};
const FIT = { offsetK: -6, aboveFactor: 1.1, belowFactor: 0.9, offsetSpreadK: 2, aboveSpread: 0.05, belowSpread: 0.06 };
const OVEN = {
  name: "Deck oven",
  convection: "natural",
  ratedKw: 5.2,
  positions: [{ name: "upper deck" }],
  calibration: [{ position: "upper deck", fit: FIT, records: 4, madeOn: "2026-11-20" }],
};
const formula: Formula = {
  name: "Sandwich",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "Mix",
          uses: [
            { ingredient: "butter-unsalted", grams: 100 },
            { ingredient: "caster-sugar", grams: 100 },
            { ingredient: "egg-whole-uk", grams: 100 },
            { ingredient: "self-raising-flour", grams: 100 },
          ],
        },
      ],
    },
  ],
};

describe("an oven as it is kept", () => {
  it("comes back as it was written", () => {
    expect(readOvenDocument(OVEN)).toEqual({ value: OVEN, problems: [] });
  });
  it.each([
    ["nothing of use", {}, ["name", "convection", "positions"]],
    ["no places", { ...OVEN, positions: [] }, ["positions"]],
    ["a field it does not know", { ...OVEN, steam: true }, ["steam"]],
    [
      "a fit that no bakes could give",
      { ...OVEN, calibration: [{ ...OVEN.calibration[0], fit: { ...FIT, aboveFactor: 40 } }] },
      ["calibration.0.fit.aboveFactor"],
    ],
    [
      "a fit with a hole",
      { ...OVEN, calibration: [{ ...OVEN.calibration[0], fit: { offsetK: 1 } }] },
      ["aboveFactor", "belowFactor", "offsetSpreadK", "aboveSpread", "belowSpread"].map((field) => `calibration.0.fit.${field}`),
    ],
    [
      "a day that does not exist",
      { ...OVEN, calibration: [{ ...OVEN.calibration[0], madeOn: "2026-02-30" }] },
      ["calibration.0.madeOn"],
    ],
  ])("is refused with %s, and told where", (_what, body, where) => {
    expect(readOvenDocument(body).problems.map(({ path }) => path.join("."))).toEqual(where);
  });
});

describe("a bake record as it is kept", () => {
  it("comes back as it was written, and without what was not measured", () => {
    expect(readBakeRecord(RECORD)).toEqual({ value: RECORD, problems: [] });
    const { gramsAfter: _g, skewerMinutes: _s, outMinutes: _o, probe: _p, ...bare } = RECORD;
    expect(readBakeRecord(bare)).toEqual({ value: bare, problems: [] });
  });
  it.each([
    ["a cake heavier than its batter", { gramsAfter: 401 }, "gramsAfter"],
    ["an oven at a thousand degrees", { setC: 1000 }, "setC"],
    ["a probe above any cake", { probe: [{ minutes: 5, celsius: 400 }] }, "probe.0.celsius"],
    ["minutes as words", { outMinutes: "25" }, "outMinutes"],
    ["no tin", { tin: "" }, "tin"],
  ])("is refused with %s, and told where", (_what, part, where) => {
    expect(readBakeRecord({ ...RECORD, ...part }).problems.map(({ path }) => path.join("."))).toEqual([where]);
  });
  it("is what an oven is calibrated with", () => {
    const { record, problems } = ovenRecordOf("record-1", RECORD, formula, book, []);
    expect(problems).toEqual([]);
    expect(record).toMatchObject({
      cleanSkewerS: 1380,
      probe: { timesS: [600], temperaturesC: [61] },
      out: { atS: 1500, lossPercent: 7 },
      request: { massGrams: 400, oven: { setC: 165, fan: true } },
    });
    const { skewerMinutes: _s, gramsAfter: _g, probe: _p, ...bare } = RECORD;
    expect(ovenRecordOf("record-1", bare, formula, book, []).problems[0]?.remedy).toMatch(/clean skewer/);
    expect(ovenRecordOf("record-1", RECORD, undefined, book, []).record).toBeUndefined();
  });
});
