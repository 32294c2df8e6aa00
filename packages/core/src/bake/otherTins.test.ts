import { expect, it } from "vitest";
import { makeTin } from "../tins/index.js";
import { EQUAL_WEIGHTS_BATTER } from "./batter.js";
import { bakeInOtherTins } from "./otherTins.js";

const round = (diameterMm: number, depthMm: number) =>
  makeTin({ kind: "round", topDiameterMm: diameterMm, baseDiameterMm: diameterMm, depthMm });

it("other tins: deeper takes longer, and one too small says why", () => {
  const request = {
    batter: EQUAL_WEIGHTS_BATTER,
    massGrams: 500,
    specificGravity: 0.85,
    tin: round(200, 50),
    oven: { setC: 170, fan: false },
    accuracy: "coarse",
  } as const;
  const [wide, deep, small] = bakeInOtherTins(request, [
    { name: "23 cm", tin: round(230, 50) },
    { name: "15 cm deep", tin: round(150, 80) },
    { name: "little", tin: round(80, 40) },
  ]);
  expect(wide.fits && deep.fits).toBe(true);
  if (!wide.fits || !deep.fits) return;
  expect(deep.doneSeconds.likely).toBeGreaterThan(wide.doneSeconds.likely);
  expect(deep.batterMm).toBeGreaterThan(wide.batterMm);
  expect(wide.dryShare).toBeGreaterThanOrEqual(0);
  expect(small.fits).toBe(false);
  if (!small.fits) expect(small.problems[0].remedy).toContain("larger tin");
});
