import { describe, expect, it } from "vitest";
import { runWords, shellWords } from "./testing.js";

const ec = (line: string, options?: Parameters<typeof runWords>[1]) => runWords(shellWords(line), options);
const SANDWICH = "examples/formulas/sandwich.1.yaml";

interface BakeAnswer {
  readonly outcome: string;
  readonly doneSeconds: { readonly likely: number; readonly from: number; readonly to: number };
  readonly coldestPoint: { readonly rM: number; readonly zM: number; readonly temperatureC: number };
  readonly weightLossPercent: { readonly likely: number };
  readonly curves: Readonly<Record<string, readonly number[]>>;
  readonly lethalityLog10: number;
  readonly energyKwh: number;
  readonly height: { readonly edgeMm: number; readonly centreMm: number };
  readonly cooling: { readonly handleSeconds: number; readonly wrapSeconds: number };
  readonly assumptions: readonly string[];
}

describe("bake", () => {
  it("answers what a baker would ask, as JSON", async () => {
    const { status, json, said } = await ec(`bake ${SANDWICH} --json`);
    expect([status, said]).toEqual([0, ""]);
    const answer = json<BakeAnswer>();
    // The formula's own card says 24 minutes; the band is wide because nothing is known of the oven.
    expect(answer.doneSeconds.from).toBeLessThan(24 * 60);
    expect(answer.doneSeconds.to).toBeGreaterThan(24 * 60);
    expect(answer.curves.timesS!.length).toBe(answer.curves.coldestC!.length);
    expect(answer.coldestPoint.temperatureC).toBeGreaterThan(90);
    expect(answer.height.centreMm).toBeGreaterThan(answer.height.edgeMm);
    expect(answer.cooling.wrapSeconds).toBeGreaterThan(answer.cooling.handleSeconds);
    expect(answer.assumptions.length).toBeGreaterThan(2);
  });
  it("in words", async () => {
    const { output } = await ec(`bake ${SANDWICH} --tin "round 23x5 cm" --oven 150C,fan`);
    expect(output).toContain("(predicted)");
    expect(output).toContain("local food law");
  });
  it("taken out too early says so, and answers no", async () => {
    const { status, output } = await ec(`bake ${SANDWICH} --minutes 8`);
    expect(output).toContain("likely to sink");
    expect(status).toBe(0);
  });
  it.each([
    [`bake ${SANDWICH} --oven hot`, "170C"],
    [`bake ${SANDWICH} --component Crust`, "Sponge"],
    [`bake ${SANDWICH} --grams 5000`, "larger tin"],
    [`bake ${SANDWICH} --lining silk`, "paper"],
    ["bake", "formula"],
  ])("%s is refused with words", async (line, words) => {
    const { status, said } = await ec(line);
    expect(status).toBe(2);
    expect(said).toContain(words);
  });
});

describe("the bare solver", () => {
  const wall = { hWM2K: 25, ambientC: 180 };
  const question = {
    shape: { kind: "cylinder", radiusM: 0.1, heightM: 0.06 },
    material: { densityKgM3: 500, heatCapacityJKgK: 2800, conductivityWMK: 0.2 },
    surfaces: { top: wall, side: wall, base: wall },
    initialC: 22,
    durationS: 1200,
    sampleEveryS: 600,
    probes: [{ rM: 0, zM: 0.03 }],
    accuracy: "full",
  };
  it("solves a case: 38.94 °C in the middle after 20 min (exact series)", async () => {
    const { status, json } = await ec("bake --case case.json --json", { files: { "case.json": JSON.stringify(question) } });
    expect(status).toBe(0);
    const answer = json<{ timesS: number[]; probesC: number[][]; heat: { enteredJ: number; storedJ: number } }>();
    expect(answer.timesS).toEqual([0, 600, 1200]);
    expect(answer.probesC[0]![2]).toBeCloseTo(38.94, 1);
    expect(Math.abs(answer.heat.enteredJ / answer.heat.storedJ - 1)).toBeLessThan(1e-8);
  });
  it("with vapour echoes every closure", async () => {
    const moist = { ...question, accuracy: "coarse", vapour: { initialWaterKgKg: 0.43, vapourTransferKgM2SPa: { top: 1.8e-7 } } };
    const { json } = await ec("bake --case case.json --json", { files: { "case.json": JSON.stringify(moist) } });
    const { closures } = json<{ vapour: { closures: Record<string, unknown> } }>().vapour;
    expect(Object.keys(closures).length).toBe(14);
    expect(closures.initialWaterKgKg).toBe(0.43);
  });
  it("a broken case is refused", async () => {
    const { status, said } = await ec("bake --case case.json", { files: { "case.json": "{" } });
    expect(status).toBe(2);
    expect(said).toContain("JSON");
  });
});

it("cool and freeze answer in hours that bakers know", async () => {
  const cool = (await ec(`cool ${SANDWICH} --fridge 4 --json`)).json<{ handleSeconds: number; chilledSeconds: number }>();
  expect(cool.handleSeconds / 60).toBeGreaterThan(10);
  expect(cool.chilledSeconds).toBeGreaterThan(cool.handleSeconds);
  const freeze = (await ec(`freeze ${SANDWICH} --json`)).json<{
    frozenSeconds: number;
    thawedSeconds: number;
    wrapSeconds: number;
  }>();
  expect((freeze.frozenSeconds - freeze.wrapSeconds) / 3600).toBeGreaterThan(2);
  expect(freeze.thawedSeconds).toBeGreaterThan(freeze.frozenSeconds);
});

it("calibrate learns from records, and bake uses what it learnt", async () => {
  const record = (name: string, position: number, cleanSkewerMinutes: number) => ({
    name,
    formula: SANDWICH,
    position,
    cleanSkewerMinutes,
  });
  const records = [record("Monday", 1, 21), record("Tuesday", 1, 22), record("Wednesday", 2, 27), record("Thursday", 2, 28)];
  const files = { "records.json": JSON.stringify(records) };
  const learnt = await ec("calibrate records.json --json", { files });
  expect(learnt.status).toBe(0);
  const answer = learnt.json<{ positions: { position: string }[]; compared: { words: string }[] }>();
  expect(answer.positions.map((p) => p.position)).toEqual(["1", "2"]);
  expect(answer.compared[0]!.words).toContain("On position 2 it takes");
  const withOven = { files: { "oven.json": learnt.output } };
  const one = (await ec(`bake ${SANDWICH} --calibration oven.json --position 1 --json`, withOven)).json<BakeAnswer>();
  const two = (await ec(`bake ${SANDWICH} --calibration oven.json --position 2 --json`, withOven)).json<BakeAnswer>();
  expect(two.doneSeconds.likely).toBeGreaterThan(one.doneSeconds.likely + 120);
  expect((await ec("calibrate records.json", { files })).output).toContain("standard deviations");
});
