import { readFileSync } from "node:fs";
import { expect, it } from "vitest";
import type { Factor } from "./factors.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import type { Term } from "./model.js";
import { fitSplitPlot, type SplitPlotFit } from "./splitPlot.js";

const published = fixtures.cases.chocolate_cake_split_plot;
const lines = readFileSync(new URL("./fixtures/cakeBreakage.csv", import.meta.url), "utf8")
  .trim()
  .split("\n")
  .slice(1)
  .map((line) => line.split(","));
const recipes = ["A", "B", "C"];
const temperatures = ["175", "185", "195", "205", "215", "225"];
const groupings = [
  { name: "replicate", labels: lines.map(([replicate]) => Number(replicate) - 1) },
  { name: "batter", labels: lines.map(([replicate, recipe]) => (Number(replicate) - 1) * 3 + recipes.indexOf(recipe!)) },
];
const recipe: Factor = { kind: "choice", name: "recipe", levels: recipes };

function fitCake(factors: readonly Factor[], terms: readonly Term[], values: (line: string[]) => number[]): SplitPlotFit {
  const fit = fitSplitPlot({
    factors,
    terms,
    groupings,
    runs: lines.map((line) => ({ values: values(line), response: Number(line[3]) })),
  });
  if (fit.kind !== "fitted") throw new Error(fit.why);
  return fit;
}

// Published: Cook (1938), Cochran and Cox (1957) table 7.5: recipe F 1.578 on 2 and 28, temperature 20.52 on 5 and 210, both 1.006 on 10 and 210.
it("judges recipes of chocolate cake against batters and temperatures against cakes", () => {
  const factors: Factor[] = [recipe, { kind: "choice", name: "temperature", levels: temperatures }];
  const fit = fitCake(factors, [[], ["recipe"], ["temperature"], ["recipe", "temperature"]], ([, r, t]) => [
    recipes.indexOf(r!),
    temperatures.indexOf(t!),
  ]);
  const anova = published.computed_anova;
  const strata = [anova["Error: rep:rec"].rec, anova["Error: Within"].tmp, anova["Error: Within"]["rec:tmp"]];
  const denominators = [28, 210, 210];
  for (const [index, test] of fit.terms.entries()) {
    expect(test.f).toBeCloseTo(strata[index]!.F, 8);
    expect(test.df).toBe(strata[index]!.df);
    expect(test.denominatorDf).toBeCloseTo(denominators[index]!, 4);
    expect(test.p).toBeCloseTo(strata[index]!.p, 6);
  }
  // Exact, balanced data: REML components are those of the analysis of variance; R's lme4 gives 38.115097 3.721916 20.470899.
  const mean = (stratum: number) => stratum;
  const within = anova["Error: Within"].Residuals.ms;
  const batter = (anova["Error: rep:rec"].Residuals.ms - within) / 6;
  const replicate = (mean(anova["Error: rep"].Residuals.ms) - anova["Error: rep:rec"].Residuals.ms) / 18;
  expect(fit.components.map(({ variance }) => variance)).toEqual([expect.closeTo(replicate, 8), expect.closeTo(batter, 8)]);
  expect(fit.residualVariance).toBeCloseTo(within, 8);
  expect(fit.components[0]!.variance).toBeCloseTo(published.reml_variance_components.rep, 3);
});

it("agrees with the published slope of the breaking angle on the oven temperature", () => {
  const factors: Factor[] = [recipe, { kind: "amount", name: "temperature", low: 175, high: 225 }];
  const fit = fitCake(factors, [[], ["recipe"], ["temperature"]], ([, r, t]) => [recipes.indexOf(r!), Number(t)]);
  const { fixed, se } = published.reml_linear_temperature;
  const names = ["(Intercept)", "recB", "recC", "temperature"] as const;
  for (const [index, name] of names.entries()) {
    expect(fit.coefficients[index]!.estimate).toBeCloseTo(fixed[name], 8);
    expect(fit.coefficients[index]!.standardError).toBeCloseTo(se[name], 5);
  }
});

it("rests a component at zero when the data show none, and says so", () => {
  // Batters that differ less than their own cakes would make them.
  const runs = [
    [1, 0],
    [-1, 1],
    [1, 0],
    [-1, 1],
    [1.1, 0],
    [-1.1, 1],
    [0.9, 0],
    [-0.9, 1],
  ].map(([response, batter]) => ({ values: [batter!], response: response! * 10 }));
  const labels = [0, 0, 1, 1, 2, 2, 3, 3];
  const fit = fitSplitPlot({
    factors: [{ kind: "choice", name: "side", levels: ["left", "right"] }],
    terms: [[], ["side"]],
    runs,
    groupings: [{ name: "batter", labels }],
  });
  expect(fit).toMatchObject({ kind: "fitted", atZero: ["batter"] });
});

it("says why it cannot fit", () => {
  const runs = [1, 2, 3].map((response) => ({ values: [], response }));
  expect(fitSplitPlot({ factors: [], terms: [[]], runs, groupings: [{ name: "batter", labels: [0, 1, 2] }] })).toEqual({
    kind: "not fitted",
    why: "every run has its own batter; nothing is shared",
  });
});
