import { expect, it } from "vitest";
import { type Analysis, analyse, predictAt } from "./analyse.js";
import { compareGroups, comparePaired, compareWelch, type Difference, dunnett, tukey } from "./compare.js";
import type { Factor } from "./factors.js";
import peer from "./fixtures/peer.json" with { type: "json" };
import { type ModelName, type Term, termsOf } from "./model.js";
import { rankingTest } from "./ranking.js";
import { fitSplitPlot } from "./splitPlot.js";

// Peer: R 4.2.2 (lm, lme4 1.1-31, lmerTest 3.1-3, multcomp 1.4-22) on 100 generated data sets, made by bench/trials-peer.R.
// Bars: estimates and errors to 1e-8 of their size; REML to 1e-5.

type Row = Record<string, number | string>;
interface LinearSet {
  readonly kind: string;
  readonly model: { model: ModelName };
  readonly factors: string[];
  readonly blocks: string | Record<string, never>;
  readonly data: Row[];
  readonly r: {
    readonly estimate: number[];
    readonly se: number[];
    readonly p: number[];
    readonly names: string[];
    readonly sigma: number;
    readonly sse: number;
    readonly press: number;
    readonly r2: number;
    readonly leverage: number[];
    readonly studentised: number[];
    readonly cook: number[];
    readonly at?: Row[];
    readonly mean?: number[][];
    readonly single?: number[][];
  };
}
const sets = peer.sets as unknown as { kind: string }[];
let worst = 0;
const near = (found: number | undefined, expected: number, tolerance = 1e-8) => {
  const error = Math.abs(found! - expected) / (1 + Math.abs(expected));
  worst = Math.max(worst, tolerance === 1e-8 ? error : 0);
  expect(error).toBeLessThan(tolerance);
};

const ourName = (name: string): string =>
  name === "(Intercept)"
    ? "intercept"
    : name
        .split(":")
        .map((part) =>
          part
            .replace(/^I\((\w+)\^2\)$/, "$1²")
            .replace(/^day(\w+)$/, "block [$1]")
            .replace(/^tin(\w+)$/, "tin [$1]"),
        )
        .join(" × ");

function fitSet(set: LinearSet): Analysis {
  const factors = set.factors.map((name): Factor => {
    if (name.startsWith("x")) return { kind: "share", name, lower: 0, upper: 1 };
    if (typeof set.data[0]![name] === "string")
      return { kind: "choice", name, levels: [...new Set(set.data.map((row) => String(row[name])))].sort() };
    return { kind: "amount", name, low: 0, high: 1 };
  });
  const blockNames =
    typeof set.blocks === "string" ? [...new Set(set.data.map((row) => String(row[set.blocks as string])))].sort() : [];
  const runs = set.data.map((row) => ({
    values: factors.map((factor) =>
      factor.kind === "choice" ? factor.levels.indexOf(String(row[factor.name])) : Number(row[factor.name]),
    ),
    response: Number(row.y),
    ...(blockNames.length > 0 ? { block: blockNames.indexOf(String(row[set.blocks as string])) } : {}),
  }));
  return analyse({ responseName: "y", factors, terms: termsOf(set.model, factors), runs, blockNames, blockCoding: "first" });
}

const linear = sets.filter(({ kind }) => ["amounts", "blend", "choice"].includes(kind)) as unknown as LinearSet[];
it.each(linear.map((set, index) => [index + 1, set.kind, set] as const))(
  "linear set %d (%s) agrees with lm",
  (_index, _kind, set) => {
    const fit = fitSet(set);
    for (const [index, name] of set.r.names.entries()) {
      const found = fit.coefficients.find((coefficient) => coefficient.name === ourName(name));
      expect(found, `${name} as ${ourName(name)}`).toBeDefined();
      near(found!.estimate, set.r.estimate[index]!);
      near(found!.standardError, set.r.se[index]!);
      near(found!.p, set.r.p[index]!);
    }
    near(fit.residualSd, set.r.sigma);
    near(fit.anova.residual.sumOfSquares, set.r.sse);
    near(fit.rSquared.plain, set.r.r2);
    near(fit.press, set.r.press);
    for (const [index, row] of fit.residuals.entries()) {
      near(row.leverage, set.r.leverage[index]!);
      near(row.studentised, set.r.studentised[index]!);
      near(row.cooksDistance, set.r.cook[index]!);
    }
    for (const [index, at] of (set.r.at ?? []).entries()) {
      const found = predictAt(
        fit,
        set.factors.map((name) => Number(at[name])),
      );
      for (const [place, value] of [found.estimate, found.mean!.from, found.mean!.to].entries())
        near(value, set.r.mean![index]![place]!);
      for (const [place, value] of [found.estimate, found.single!.from, found.single!.to].entries())
        near(value, set.r.single![index]![place]!);
    }
  },
);

interface RemlSet {
  readonly data: Row[];
  readonly r: {
    readonly estimate: number[];
    readonly se: number[];
    readonly df: number[];
    readonly variances: number[];
    readonly criterion: number;
  };
}
const reml = sets.filter(({ kind }) => kind === "reml") as unknown as RemlSet[];
it.each(reml.map((set, index) => [index + 1, set] as const))("split plot %d agrees with lme4", (_index, set) => {
  const factors: Factor[] = [
    { kind: "choice", name: "recipe", levels: ["new", "old"] },
    { kind: "amount", name: "temp", low: 160, high: 180 },
  ];
  const terms: Term[] = [[], ["recipe"], ["temp"], ["recipe", "temp"]];
  const batters = [...new Set(set.data.map((row) => row.batter))];
  const fit = fitSplitPlot({
    factors,
    terms,
    runs: set.data.map((row) => ({ values: [row.recipe === "new" ? 0 : 1, Number(row.temp)], response: Number(row.y) })),
    groupings: [{ name: "batter", labels: set.data.map((row) => batters.indexOf(row.batter)) }],
  });
  if (fit.kind !== "fitted") throw new Error(fit.why);
  // lme4 searches to about 1e-6 of a standard deviation ratio; the criterion is flat there, so it agrees to more.
  near(fit.criterion, set.r.criterion, 1e-9);
  near(fit.components[0]!.variance, set.r.variances[0]!, 1e-5);
  near(fit.residualVariance, set.r.variances[1]!, 1e-5);
  for (const [index, coefficient] of fit.coefficients.entries()) {
    near(coefficient.estimate, set.r.estimate[index]!, 1e-5);
    near(coefficient.standardError, set.r.se[index]!, 1e-5);
    near(coefficient.df, set.r.df[index]!, 1e-3); // lmerTest takes its derivatives by differences
  }
});

const groups = sets.filter(({ kind }) => kind === "groups") as unknown as {
  data: Row[];
  r: { f: number; p: number; tukey: number[][]; dunnett_p: number[] | number };
}[];
it.each(groups.map((set, index) => [index + 1, set] as const))(
  "comparisons of several, set %d, agree with TukeyHSD and multcomp",
  (_index, set) => {
    const names = [...new Set(set.data.map((row) => String(row.group)))].sort();
    const means = compareGroups(
      names.map((name) => ({ name, values: set.data.filter((row) => row.group === name).map((row) => Number(row.y)) })),
    );
    near(means.f, set.r.f);
    near(means.p, set.r.p);
    for (const [index, pair] of tukey(means).entries()) {
      const [difference, from, to, p] = set.r.tukey[index]!;
      near(pair.estimate, difference!);
      near(pair.from, from!, 1e-6); // R's qtukey is good to about 1e-5 of q
      near(pair.to, to!, 1e-6);
      near(pair.p, p!, 1e-6);
    }
    for (const [index, pair] of dunnett(means, names[0]!).entries()) near(pair.p, [set.r.dunnett_p].flat()[index]!, 2e-3); // R integrates by random points
  },
);

const pairs = sets.filter(({ kind }) => kind === "pairs") as unknown as {
  a: number[];
  b: number[];
  c: number[];
  ranks: number[][];
  r: { welch: number[]; paired: number[]; friedman: number[] };
}[];
it.each(pairs.map((set, index) => [index + 1, set] as const))(
  "paired, Welch and Friedman, set %d, agree with R",
  (_index, set) => {
    const check = (outcome: ReturnType<typeof comparePaired>, r: number[]) => {
      if (outcome.kind !== "compared") throw new Error(outcome.why);
      const { estimate, df, p, from, to }: Difference = outcome.difference;
      for (const [place, value] of [estimate, df, p, from, to].entries()) near(value, r[place]!);
    };
    check(compareWelch(set.a, set.c), set.r.welch);
    check(comparePaired(set.a.map((value, index) => [value, set.b[index]!] as const)), set.r.paired);
    const found = rankingTest(set.ranks);
    near(found.friedman, set.r.friedman[0]!);
    near(found.p, set.r.friedman[1]!);
  },
);

it("covers a hundred sets", () => {
  expect(sets.length).toBe(100);
  expect(worst).toBeLessThan(1e-8);
});
