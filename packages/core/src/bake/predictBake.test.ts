import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeTin, type Tin } from "../tins/index.js";
import { EQUAL_WEIGHTS_BATTER } from "./batter.js";
import { type BakeRequest, predictBake } from "./predictBake.js";
import { boilingPoint, pressureAtAltitude } from "./steam.js";

const round = (diameterMm: number, depthMm: number, more: Parameters<typeof makeTin>[1] = {}): Tin =>
  makeTin({ kind: "round", topDiameterMm: diameterMm, baseDiameterMm: diameterMm, depthMm }, more);

const sandwich: BakeRequest = {
  batter: EQUAL_WEIGHTS_BATTER,
  massGrams: 500,
  specificGravity: 0.85,
  tin: round(200, 50),
  oven: { setC: 170, fan: false },
  accuracy: "coarse",
};
const minutes = (request: BakeRequest) => predictBake(request).doneSeconds.likely / 60;

// Common practice, no source. The oven's convection and radiation were chosen once with the first two in mind (see OVEN_AIR).
describe("what bakers know", () => {
  // No evidence for the model: its oven was chosen to give this and the next. It shows that a change keeps to it.
  it("1 kg of equal weights in two 20 cm tins at 170 °C: done in about 20 to 26 minutes", () => {
    const done = minutes({ ...sandwich, accuracy: "full" });
    expect(done).toBeGreaterThan(20);
    expect(done).toBeLessThan(26);
  });
  it("a fan oven is set about 20 °C lower for the same time", () => {
    const still = minutes(sandwich);
    const fan = minutes({ ...sandwich, oven: { setC: 150, fan: true } });
    expect(Math.abs(fan / still - 1)).toBeLessThan(0.1);
  });
  it("about half an hour in the tin before it can be handled; an hour or two on the rack before it can be wrapped", () => {
    const cooling = predictBake({ ...sandwich, after: { roomC: 20 } }).cooling!;
    expect(cooling.handleSeconds! / 60).toBeGreaterThan(15);
    expect(cooling.handleSeconds! / 60).toBeLessThan(40);
    expect(cooling.wrapSeconds! / 60).toBeGreaterThan(60);
    expect(cooling.wrapSeconds! / 60).toBeLessThan(180);
    expect(cooling.fillSeconds!).toBeGreaterThan(cooling.wrapSeconds!);
  });
  it("dull and dark tins are up to a fifth or so quicker than bright ones (seen: McGee)", () => {
    const dark = minutes({ ...sandwich, tin: round(200, 50, { material: "dark-steel" }) });
    const bright = minutes(sandwich);
    expect(dark).toBeLessThan(0.95 * bright);
    expect(dark).toBeGreaterThan(0.7 * bright);
  });
  it("a deep 18 cm cake of 1.2 kg at 160 °C takes an hour and more", () => {
    const done = minutes({ ...sandwich, massGrams: 1200, tin: round(180, 90), oven: { setC: 160, fan: false } });
    expect(done).toBeGreaterThan(60);
    expect(done).toBeLessThan(95);
  });
  it("baking powder and steam make it half as tall again or more, and a little taller in the middle", () => {
    const { height } = predictBake(sandwich);
    expect(height.centreMm / height.batterMm).toBeGreaterThan(1.3);
    expect(height.centreMm / height.batterMm).toBeLessThan(2);
    expect(height.centreMm).toBeGreaterThan(height.edgeMm);
  });
  it("frozen in hours and thawed in two to three (seen: household guidance)", () => {
    const cooling = predictBake({
      ...sandwich,
      after: { roomC: 20, freezer: { airC: -20, blast: false }, thawC: 20 },
    }).cooling!;
    const freezing = (cooling.frozenSeconds! - cooling.wrapSeconds!) / 3600;
    expect(freezing).toBeGreaterThan(2);
    expect(freezing).toBeLessThan(8);
    const thawing = (cooling.thawedSeconds! - cooling.frozenSeconds!) / 3600;
    expect(thawing).toBeGreaterThan(1);
    expect(thawing).toBeLessThan(4);
  });
});

describe("sanity over the input space (property)", () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  // Random seeds are fixed so that a failure is the same failure tomorrow.
  const check = (runs: number) => ({ numRuns: runs, seed: 20_260_301 });
  const some = fc.record({
    setC: number(150, 200),
    fan: fc.boolean(),
    diameterMm: number(120, 260),
    // Thinner sheets of foam, high up, are dried and cooled by their own vapour: order by depth is lost in the coarse mesh's 3 %.
    depthMm: number(18, 50),
    specificGravity: number(0.45, 1.05),
    altitudeM: number(0, 2500),
  });
  const request = (p: {
    setC: number;
    fan: boolean;
    diameterMm: number;
    depthMm: number;
    specificGravity: number;
    altitudeM: number;
  }): BakeRequest => ({
    batter: EQUAL_WEIGHTS_BATTER,
    massGrams: ((Math.PI * p.diameterMm ** 2) / 4 / 1000) * p.depthMm * p.specificGravity,
    specificGravity: p.specificGravity,
    tin: round(p.diameterMm, 100),
    oven: { setC: p.setC, fan: p.fan },
    altitudeM: p.altitudeM,
    accuracy: "coarse",
  });

  it("hotter is faster, deeper is slower", () => {
    fc.assert(
      fc.property(some, (p) => {
        const here = minutes(request(p));
        expect(minutes(request({ ...p, setC: p.setC + 15 }))).toBeLessThan(here);
        expect(minutes(request({ ...p, depthMm: p.depthMm * 1.3 }))).toBeGreaterThan(here);
      }),
      check(12),
    );
  });
  it("wider at equal depth hardly changes the time once it is much wider than deep", () => {
    fc.assert(
      fc.property(number(15, 30), (depthMm) => {
        const p = { setC: 175, fan: false, diameterMm: 220, depthMm, specificGravity: 0.85, altitudeM: 0 };
        expect(Math.abs(minutes(request({ ...p, diameterMm: 300 })) / minutes(request(p)) - 1)).toBeLessThan(0.12);
      }),
      check(4),
    );
  });
  it("keeps temperatures within start and oven, weight loss within its water, and moist crumb at boiling at most", () => {
    fc.assert(
      fc.property(some, (p) => {
        const r = request(p);
        const answer = predictBake({ ...r, sectionEveryS: 120 });
        const { temperatureC, waterKgKg } = answer.section!;
        const hottest = p.setC + 15 + 1;
        for (let i = 0; i < temperatureC.length; i++) {
          expect(temperatureC[i]).toBeGreaterThan(21.9);
          expect(temperatureC[i]).toBeLessThan(hottest);
          // Boiling of this crumb's own water. 2 K: what it takes to push steam out through the pores in the model; see the page.
          const x = waterKgKg[i];
          if (x > 0.1) expect(temperatureC[i]).toBeLessThan(boilingPoint(pressureAtAltitude(p.altitudeM), x / (x + 0.0479)) + 2);
          expect(x).toBeGreaterThan(-0.01);
        }
        expect(answer.weightLossPercent.likely).toBeGreaterThan(0);
        expect(answer.weightLossPercent.likely).toBeLessThan(26.5);
        expect(Math.abs(answer.run.heatGap)).toBeLessThan(1e-8);
        expect(Math.abs(answer.run.waterGap)).toBeLessThan(1e-8);
      }),
      check(12),
    );
  });
});

describe("the parts of a prediction", () => {
  it("taking it out early says that it will sink and that it is not baked through", () => {
    const early = predictBake({ ...sandwich, bakeSeconds: 12 * 60 });
    expect(early.outSeconds).toBe(720);
    expect(early.unsetShare).toBeGreaterThan(0.3);
    expect(early.cautions.join(" ")).toContain("likely to sink");
  });
  it("paper lining, a strip, a cover and a tray below slow it down; a stone speeds it up", () => {
    const plain = minutes(sandwich);
    expect(minutes({ ...sandwich, lining: "paper" })).toBeGreaterThan(plain);
    expect(minutes({ ...sandwich, insulatingStrip: true })).toBeGreaterThan(plain);
    expect(minutes({ ...sandwich, cover: "foil" })).toBeGreaterThan(plain);
    expect(minutes({ ...sandwich, oven: { setC: 170, fan: false, shelf: "tray" } })).toBeGreaterThan(plain);
    expect(minutes({ ...sandwich, oven: { setC: 170, fan: false, shelf: "stone" } })).toBeLessThan(plain);
  });
  it("a cold start and an opened door take longer; a hotter beginning does not", () => {
    const plain = minutes(sandwich);
    expect(minutes({ ...sandwich, oven: { setC: 170, fan: false, preheated: false } })).toBeGreaterThan(plain + 3);
    expect(minutes({ ...sandwich, oven: { setC: 170, fan: false, doors: [{ atS: 300, openS: 40 }] } })).toBeGreaterThan(plain);
    expect(minutes({ ...sandwich, oven: { setC: 190, fan: false, changes: [{ atS: 600, setC: 170 }] } })).toBeLessThan(plain);
  });
  it("an insulating strip flattens the dome", () => {
    const dome = (r: BakeRequest) => {
      const { height } = predictBake(r);
      return height.centreMm - height.edgeMm;
    };
    const deep = { ...sandwich, massGrams: 900 };
    expect(dome({ ...deep, insulatingStrip: true })).toBeLessThan(dome(deep));
  });
  it("can be stopped, and says so", () => {
    let asked = 0;
    const answer = predictBake(sandwich, { stopped: () => ++asked > 5 });
    expect(answer.outcome).toBe("stopped");
  });
  it("bakes every shape of tin", () => {
    const box = { topLengthMm: 200, topWidthMm: 100, baseLengthMm: 190, baseWidthMm: 90, depthMm: 70 };
    for (const tin of [
      makeTin({ kind: "loaf", ...box }),
      makeTin({ kind: "square", topLengthMm: 200, topWidthMm: 200, baseLengthMm: 200, baseWidthMm: 200, depthMm: 60 }),
      makeTin({ kind: "ring", outerDiameterMm: 220, tubeDiameterMm: 60, depthMm: 80 }),
      makeTin({ kind: "fluted-ring", outerDiameterMm: 220, tubeDiameterMm: 60, depthMm: 90, fluteShare: 0.2 }),
      makeTin({ kind: "ball", diameterMm: 160, part: "half" }),
      makeTin({ kind: "tray-of-cups", cupCount: 12, topDiameterMm: 70, baseDiameterMm: 50, depthMm: 35 }),
    ]) {
      const answer = predictBake({ ...sandwich, tin, massGrams: 600 });
      expect(answer.outcome, tin.shape.kind).toBe("baked");
      expect(answer.doneSeconds.likely / 60, tin.shape.kind).toBeGreaterThan(8);
      expect(answer.doneSeconds.likely / 60, tin.shape.kind).toBeLessThan(75);
    }
  });
});
