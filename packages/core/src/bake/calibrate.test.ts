import { describe, expect, it } from "vitest";
import { makeTin } from "../tins/index.js";
import { bakeDraws, gatherBakeBands, normalQuantile, runBakeDraws } from "./bands.js";
import { EQUAL_WEIGHTS_BATTER } from "./batter.js";
import { calibrate, explainPositions, type OvenRecord } from "./calibrate.js";
import { OVEN_PRIOR, type OvenFit } from "./oven.js";
import { type BakeRequest, predictBake } from "./predictBake.js";

const bakeOf = (massGrams: number, diameterMm: number, setC: number): BakeRequest => ({
  batter: EQUAL_WEIGHTS_BATTER,
  massGrams,
  specificGravity: 0.85,
  tin: makeTin({ kind: "round", topDiameterMm: diameterMm, baseDiameterMm: diameterMm, depthMm: 80 }),
  oven: { setC, fan: false },
  accuracy: "coarse",
});

/** A made-up oven, its bakes by the model itself: what goes in must come out (recovery), nothing more. */
const truth: OvenFit = { ...OVEN_PRIOR, offsetK: -9, aboveFactor: 0.9, belowFactor: 1.15 };
const recordOf = (name: string, request: BakeRequest, noise: number, fit = truth): OvenRecord => {
  const answer = predictBake({ ...request, oven: { ...request.oven, fitted: fit } });
  const { timesS, centreC } = answer.curves;
  const at = [0.3, 0.5, 0.7, 0.9].map((share) => Math.floor(share * (timesS.length - 1)));
  return {
    name,
    request,
    cleanSkewerS: answer.doneSeconds.likely * (1 + noise),
    probe: { timesS: at.map((i) => timesS[i]), temperaturesC: at.map((i) => centreC[i] + 20 * noise) },
  };
};
const bakes: [number, number, number][] = [
  [500, 200, 170],
  [500, 200, 180],
  [700, 200, 170],
  [400, 180, 170],
  [900, 180, 160],
  [300, 150, 175],
];
const noises = [0.02, -0.03, 0.01, 0.03, -0.02, 0];
const records = bakes.map((b, i) => recordOf(`bake ${i + 1}`, bakeOf(...b), noises[i]));

describe("calibration", () => {
  it("finds the oven that the records came from, and narrows what is uncertain", () => {
    const { fit, misfit, flagged } = calibrate(records);
    expect(flagged).toEqual([]);
    expect(misfit.after).toBeLessThan(0.6 * misfit.before);
    // Together they must predict the next bake; single parameters trade off against one another and are shrunk.
    const next = bakeOf(600, 220, 165);
    const done = (fitted: OvenFit) => predictBake({ ...next, oven: { ...next.oven, fitted } }).doneSeconds.likely;
    // Six times trusted to 7 % each give 3 %; twice that, and well below what was not known before.
    expect(Math.abs(done(fit) / done(truth) - 1)).toBeLessThan(0.06);
    expect(Math.abs(done(OVEN_PRIOR) / done(truth) - 1)).toBeGreaterThan(Math.abs(done(fit) / done(truth) - 1));
    expect(fit.offsetSpreadK).toBeLessThan(OVEN_PRIOR.offsetSpreadK);
    expect(fit.belowSpread).toBeLessThan(OVEN_PRIOR.belowSpread);
  });
  it("one record moves the fit less than four like it do (shrinkage)", () => {
    const size = (fit: OvenFit) =>
      Math.hypot(fit.offsetK / 7, Math.log(fit.aboveFactor) / 0.15, Math.log(fit.belowFactor) / 0.15);
    const { probe: _, ...one } = recordOf("one", bakeOf(500, 200, 170), 0.05);
    const four = [1, 2, 3, 4].map((i) => ({ ...one, name: `like it ${i}` }));
    expect(size(calibrate([one]).fit)).toBeLessThan(0.9 * size(calibrate(four).fit));
  });
  it("flags a bad record and does not believe it", () => {
    const wrong = { ...recordOf("wrong clock", bakeOf(500, 200, 170), 0), cleanSkewerS: 45 * 60 };
    const { flagged, fit } = calibrate([...records, wrong]);
    expect(flagged.map((f) => f.name)).toEqual(["wrong clock"]);
    expect(flagged[0].why).toContain("Check the tin");
    // The search ends within a twentieth of the prior's spread (0.35 K) of its goal, from wherever it came.
    expect(Math.abs(fit.offsetK - calibrate(records).fit.offsetK)).toBeLessThan(0.35);
  });
  it("two cakes of one batch on two shelves: says why one needed longer", () => {
    const low = { ...OVEN_PRIOR, belowFactor: 0.7 };
    const answer = explainPositions(
      bakeOf(500, 200, 170),
      { name: "the upper shelf", fit: OVEN_PRIOR },
      { name: "the lower shelf", fit: low },
    );
    expect(answer.otherSeconds).toBeGreaterThan(answer.oneSeconds);
    expect(answer.words).toContain("heat from below");
    expect(answer.words).toContain("longer");
  });
  it("without records the prior stands", () => {
    const { fit, outcome } = calibrate([]);
    expect(outcome).toBe("no-records");
    expect(fit).toEqual(OVEN_PRIOR);
  });
  it("can be stopped", () => {
    expect(calibrate(records, OVEN_PRIOR, { stopped: () => true }).outcome).toBe("stopped");
  });
});

describe("bands", () => {
  it("normal quantiles (published: tables of the normal distribution)", () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.959964, 6);
    expect(normalQuantile(0.001)).toBeCloseTo(-3.090232, 6);
    expect(normalQuantile(0.5)).toBeCloseTo(0, 12);
  });
  it("the same seed gives the same draws, spread evenly; shares of them add up", () => {
    const request = bakeOf(500, 200, 170);
    const draws = bakeDraws(request, 200, 7);
    expect(bakeDraws(request, 200, 7)).toEqual(draws);
    const mean = draws.reduce((sum, d) => sum + d.offsetK, 0) / draws.length;
    expect(Math.abs(mean)).toBeLessThan(0.5);
    const few = draws.slice(0, 24);
    const whole = gatherBakeBands([runBakeDraws(request, few)]);
    const parts = gatherBakeBands([runBakeDraws(request, few.slice(0, 10)), runBakeDraws(request, few.slice(10))]);
    expect(parts).toEqual(whole);
    expect(whole.doneSeconds.from).toBeLessThan(whole.doneSeconds.likely);
    expect(whole.doneSeconds.to).toBeGreaterThan(whole.doneSeconds.likely);
  });
  it("a calibrated oven has a narrower band", () => {
    const request = bakeOf(500, 200, 170);
    const width = (r: BakeRequest) => {
      const { doneSeconds } = gatherBakeBands([runBakeDraws(r, bakeDraws(r, 32))]);
      return (doneSeconds.to - doneSeconds.from) / doneSeconds.likely;
    };
    const fitted = { ...OVEN_PRIOR, offsetSpreadK: 2, aboveSpread: 0.05, belowSpread: 0.05 };
    expect(width({ ...request, oven: { ...request.oven, fitted } })).toBeLessThan(width(request));
  });
});
