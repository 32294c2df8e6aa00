import { expect, it } from "vitest";
import { analyse, predictAt } from "./analyse.js";
import { contrast } from "./contrasts.js";
import { tQuantile } from "./distributions.js";
import { predictMixed } from "./mixed.js";
import { fitSplitPlot } from "./splitPlot.js";

// Five batters of three tins each, invented.
const heights = [
  [41.2, 42.0, 41.1],
  [38.4, 39.3, 38.9],
  [40.1, 39.2, 40.4],
  [43.3, 42.1, 42.9],
  [39.0, 40.2, 39.9],
];
const [a, n] = [heights.length, 3];
const runs = heights.flat().map((response) => ({ values: [] as number[], response }));
const labels = heights.flatMap((tins, batter) => tins.map(() => batter));

it("predicts a cake of a new batter as the balanced analysis of variance does", () => {
  const fit = fitSplitPlot({ factors: [], terms: [[]], runs, groupings: [{ name: "batter", labels }] });
  if (fit.kind !== "fitted") throw new Error(fit.why);
  // By hand, from the mean squares; degrees of freedom by Satterthwaite (1946), Biometrics Bulletin 2, 110.
  const means = heights.map((tins) => tins.reduce((sum, value) => sum + value, 0) / n);
  const grand = means.reduce((sum, value) => sum + value, 0) / a;
  const between = (n * means.reduce((sum, value) => sum + (value - grand) ** 2, 0)) / (a - 1);
  const within =
    heights.flat().reduce((sum, value, index) => sum + (value - means[Math.floor(index / n)]!) ** 2, 0) / (a * (n - 1));
  const [onBetween, onWithin] = [1 / (a * n) + 1 / n, 1 - 1 / n];
  const variance = onBetween * between + onWithin * within;
  const df = variance ** 2 / ((onBetween * between) ** 2 / (a - 1) + (onWithin * within) ** 2 / (a * (n - 1)));
  const reach = tQuantile(0.975, df) * Math.sqrt(variance);
  const { estimate, mean, single } = predictMixed(fit, []);
  expect(estimate).toBeCloseTo(grand, 10);
  expect(single.to - estimate).toBeCloseTo(reach, 6);
  // The mean stands on batters alone: a - 1 degrees of freedom, however many tins.
  expect(mean.to - estimate).toBeCloseTo(tQuantile(0.975, a - 1) * Math.sqrt(between / (a * n)), 6);
});

it("lets predictions and contrasts follow the sources of variation where they stand beside a fit", () => {
  const factors = [{ kind: "choice" as const, name: "recipe", levels: ["old", "new"] }];
  const input = runs.map(({ response }, index) => ({ values: [labels[index]! % 2], response }));
  const terms = [[], ["recipe"]];
  const plain = analyse({ responseName: "height", factors, terms, runs: input });
  const fit = fitSplitPlot({ factors, terms, runs: input, groupings: [{ name: "batter", labels }] });
  if (fit.kind !== "fitted") throw new Error(fit.why);
  const mixed = { ...plain, mixed: fit };
  const [narrow, wide] = [plain, mixed].map((one) => contrast(one, [1], [0])!);
  // Two groups of batters compared by their means: Student's t with three degrees of freedom (balanced tins).
  const means = heights.map((tins) => tins.reduce((sum, value) => sum + value, 0) / n);
  const of = (odd: number) => means.filter((_, batter) => batter % 2 === odd);
  const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = (values: readonly number[]) => values.reduce((sum, value) => sum + (value - mean(values)) ** 2, 0);
  const error = Math.sqrt(((squares(of(0)) + squares(of(1))) / 3) * (1 / 3 + 1 / 2));
  expect(wide!.estimate).toBeCloseTo(mean(of(1)) - mean(of(0)), 8);
  expect(wide!.standardError).toBeCloseTo(error, 6);
  expect(wide!.df).toBeCloseTo(3, 5);
  expect(narrow!.standardError).toBeLessThan(wide!.standardError);
  expect(predictAt(mixed, [1]).mean!.to).toBeCloseTo(predictMixed(fit, [1]).mean.to, 12);
});
