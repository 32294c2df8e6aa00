import { expect, it } from "vitest";
import { type Layer, moistureBetweenLayers } from "./index.js";

const layer = (over: Partial<Layer>): Layer => ({
  name: "layer",
  thicknessM: 0.01,
  drySolidsKgPerM3: 300,
  waterKgPerKg: 0.4,
  diffusivityM2PerS: 3e-10,
  activity: (water) => water / (water + 0.06),
  ...over,
});

// Exact: two touching half spaces of one material meet at the mean and relax as an error function until the ends are felt
// (Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., section 2.4). Linear activity makes the equation linear.
it("agrees with the exact two-slab solution", () => {
  const linear = (water: number) => 0.5 + water / 4;
  const pair = [
    layer({ waterKgPerKg: 0.6, activity: linear, thicknessM: 0.02 }),
    layer({ waterKgPerKg: 0.2, activity: linear, thicknessM: 0.02 }),
  ];
  const cells = 200;
  const hours = 12;
  const end = moistureBetweenLayers(pair, { hours, sampleEveryHours: hours / 16, cellsPerLayer: cells }).at(-1)!;
  const width = 0.02 / cells;
  for (const cell of [120, 160, 180, 195, 204, 220, 240, 280]) {
    const distance = (cell + 0.5) * width - 0.02;
    const exact = 0.4 - 0.2 * erf(distance / (2 * Math.sqrt(3e-10 * hours * 3600)));
    expect(Math.abs(end.water[cell]! - exact)).toBeLessThan(0.001);
  }
});

it("conserves water and ends at one activity (conserved)", () => {
  const cake = layer({ name: "sponge", thicknessM: 0.02 });
  const jam = layer({
    name: "jam",
    thicknessM: 0.003,
    drySolidsKgPerM3: 850,
    waterKgPerKg: 0.5,
    activity: (water) => water / (water + 0.12),
  });
  const profiles = moistureBetweenLayers([cake, jam, cake], { hours: 24 * 90, sampleEveryHours: 24 });
  const total = (means: readonly number[]) => means[0]! * 0.02 * 300 + means[1]! * 0.003 * 850 + means[2]! * 0.02 * 300;
  const start = total(profiles[0]!.meanWater);
  for (const { meanWater } of profiles) expect(Math.abs(total(meanWater) / start - 1)).toBeLessThan(1e-11);
  const last = profiles.at(-1)!.activity;
  expect(Math.max(...last) - Math.min(...last)).toBeLessThan(0.002);
});

it("moves water towards the lower activity, even into the wetter layer", () => {
  // The syrupy layer holds more water and still draws: its activity is lower.
  const dry = layer({ waterKgPerKg: 0.35, activity: (water) => water / (water + 0.03) });
  const syrupy = layer({ waterKgPerKg: 0.6, activity: (water) => water / (water + 0.2) });
  const end = moistureBetweenLayers([dry, syrupy], { hours: 24, sampleEveryHours: 24 }).at(-1)!;
  expect(end.meanWater[0]).toBeLessThan(0.35);
  expect(end.meanWater[1]).toBeGreaterThan(0.6);
});

// Exact scale: 5 mm at 3e-10 m2/s has a diffusion time of 23 hours, so after a day the neighbouring 5 mm is well under way.
it("halves its error with the step (order)", () => {
  const linear = (water: number) => 0.5 + water / 4;
  const pair = [layer({ waterKgPerKg: 0.6, activity: linear }), layer({ waterKgPerKg: 0.2, activity: linear })];
  const mean = (sampleEveryHours: number) => moistureBetweenLayers(pair, { hours: 16, sampleEveryHours }).at(-1)!.meanWater[0]!;
  const fine = mean(0.0625);
  const ratio = (mean(1) - fine) / (mean(0.5) - fine);
  expect(ratio).toBeGreaterThan(1.8);
  expect(ratio).toBeLessThan(2.4);
});

/** Error function to 1.2e-7 (Numerical Recipes, 3rd ed., section 6.2.2), plenty for a comparison at 1e-3. */
function erf(x: number): number {
  const t = 1 / (1 + 0.5 * Math.abs(x));
  const tail =
    t *
    Math.exp(
      -x * x -
        1.26551223 +
        t *
          (1.00002368 +
            t *
              (0.37409196 +
                t *
                  (0.09678418 +
                    t *
                      (-0.18628806 +
                        t * (0.27886807 + t * (-1.13520398 + t * (1.48851587 + t * (-0.82215223 + t * 0.17087277)))))))),
    );
  return x >= 0 ? 1 - tail : tail - 1;
}
