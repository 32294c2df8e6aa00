/**
 * Do the intervals hold what they say? Simulated coverage of every interval that a trial or a tasting shows, with the counts.
 * Run from the root: node --conditions=evencrumb-source --import tsx bench/trials-coverage.ts [rounds]
 * Writes the table of docs/models/trials.md between its marks.
 */
import { readFileSync, writeFileSync } from "node:fs";
import {
  type AmountFactor,
  analyse,
  analyseDiscrimination,
  analyseLiking,
  analysePreference,
  bakesForDifference,
  boxBehnken,
  boxCox,
  compareGroups,
  comparePaired,
  compareSwapped,
  compareWelch,
  contrast,
  createRandom,
  dunnett,
  expectBakes,
  fitSplitPlot,
  maximumCorrectForSimilarity,
  pageTest,
  predictAt,
  predictMixed,
  type Random,
  rankingTest,
  shareRight,
  simplify,
  termsOf,
  testEquivalence,
  tukey,
  whyNoLiking,
} from "@evencrumb/core/trials";

export interface CoverageRow {
  readonly what: string;
  readonly how: string;
  /** Share that the method promises. */
  readonly promised: number;
  /** "at least": exact methods for counts may only be wider; "about": neither more nor less; "no promise": shown for honesty. */
  readonly kind: "about" | "at least" | "at most" | "no promise";
  readonly hits: number;
  readonly rounds: number;
}

const amounts: AmountFactor[] = ["a", "b", "c"].map((name) => ({ kind: "amount", name, low: -1, high: 1 }));
const quadratic = termsOf({ model: "quadratic" }, amounts);
const truth = ([a, b, c]: readonly number[]) => 40 + 2 * a! - 1.5 * b! + 0.8 * a! * b! - 2 * a! ** 2 + 0.5 * c!;
const design = boxBehnken(3, 3).map(({ coded }) => coded);

/** Every simulation, `rounds` times; the same seed gives the same counts. */
export function coverageRows(rounds: number, seed = 2024): CoverageRow[] {
  const rows: CoverageRow[] = [];
  const simulate = (
    what: string,
    how: string,
    promised: number,
    kind: CoverageRow["kind"],
    once: (random: Random) => boolean | undefined,
  ) => {
    const random = createRandom(seed + rows.length);
    let hits = 0;
    let counted = 0;
    for (let round = 0; round < rounds; round++) {
      const hit = once(random);
      if (hit === undefined) continue;
      counted++;
      if (hit) hits++;
    }
    rows.push({ what, how, promised, kind, hits, rounds: counted });
  };
  const inside = (value: number, range: { readonly from: number; readonly to: number } | undefined) =>
    range !== undefined && range.from <= value && value <= range.to;

  const bake = (random: Random, sd = 1) =>
    analyse({
      responseName: "height",
      factors: amounts,
      terms: quadratic,
      blockNames: ["1", "2", "3"],
      runs: design.map((values, index) => ({
        values,
        block: index % 3,
        response: truth(values) + [1.5, -0.5, -1][index % 3]! + sd * random.normal(),
      })),
    });
  const at = [0.5, -0.25, 0.1];
  simulate("coefficient", "quadratic in 3 amounts, 15 bakes on 3 days", 0.95, "about", (random) =>
    inside(0.8, range(bake(random).coefficients.find(({ name }) => name === "a × b"))),
  );
  simulate("mean at a setting", "the same", 0.95, "about", (random) => inside(truth(at), predictAt(bake(random), at).mean));
  simulate("one bake at a setting", "the same, a bake on an average day", 0.95, "about", (random) =>
    inside(truth(at) + random.normal(), predictAt(bake(random), at).single),
  );
  simulate("mean of three confirmation bakes", "the same", 0.95, "about", (random) => {
    const fit = bake(random);
    const { estimate, standardError } = predictAt(fit, at);
    const reach = (fit.coefficients[0]!.to! - fit.coefficients[0]!.estimate) / fit.coefficients[0]!.standardError!;
    const wide = reach * Math.sqrt(standardError! ** 2 + fit.residualSd! ** 2 / 3);
    const mean = truth(at) + random.normal() / Math.sqrt(3);
    return Math.abs(mean - estimate) <= wide;
  });
  simulate("one bake, response read by its logarithm", "15 bakes, spread of 15 %", 0.95, "about", (random) => {
    const value = ([a, b]: readonly number[]) => Math.exp(1 + 0.4 * a! - 0.2 * b!);
    const fit = analyse({
      responseName: "firmness",
      factors: amounts.slice(0, 2),
      terms: [[], ["a"], ["b"]],
      transform: "log",
      runs: design.map((values) => ({ values: values.slice(0, 2), response: value(values) * Math.exp(0.15 * random.normal()) })),
    });
    return inside(value(at) * Math.exp(0.15 * random.normal()), predictAt(fit, at.slice(0, 2)).original?.single);
  });
  // The errors of the full model are kept; the predictions that are shown come from the full model, see "mean at a setting".
  const smaller = (random: Random) =>
    simplify({
      responseName: "height",
      factors: amounts,
      terms: quadratic,
      runs: design.map((values) => ({ values, response: truth(values) + random.normal() })),
    }).analysis;
  simulate(
    "coefficient that stayed after leaving out terms",
    "15 bakes, terms with p above 0.1 left out, error of the full model; only counted when it stayed",
    0.95,
    "no promise",
    (random) => {
      const found = smaller(random).coefficients.find(({ name }) => name === "a × b");
      return found === undefined ? undefined : inside(0.8, range(found));
    },
  );
  simulate("mean at a setting by the smaller model", "the same; not shown, because it holds less", 0.95, "no promise", (random) =>
    inside(truth(at), predictAt(smaller(random), at).mean),
  );
  const beside = [-0.5, 0.5, 0];
  const settingOf = (values: readonly number[]) => Object.fromEntries(amounts.map(({ name }, index) => [name, values[index]!]));
  simulate(
    "difference of two settings in a confirmation on a new day",
    "the quadratic on 3 days, then two of each on a fourth; days differ by 3 spreads",
    0.95,
    "about",
    (random) => {
      const expected = expectBakes([{ analysis: bake(random), unit: "mm" }], [settingOf(at), settingOf(beside)]);
      if (!expected.ok) return false;
      const day = 3 * random.normal();
      const mean = (values: readonly number[]) => truth(values) + day + random.normal() / Math.SQRT2;
      return inside(mean(at) - mean(beside), expected.value[0]!.ranges[1]);
    },
  );
  simulate("power for Box and Cox", "15 bakes, true power 0 (logarithm)", 0.95, "no promise", (random) => {
    const fit = analyse({
      responseName: "firmness",
      factors: amounts.slice(0, 2),
      terms: [[], ["a"], ["b"]],
      runs: design.map((values) => ({
        values: values.slice(0, 2),
        response: Math.exp(1 + 0.6 * values[0]! + 0.3 * random.normal()),
      })),
    });
    const found =
      fit.boxCox ??
      boxCox(
        fit.orthogonal,
        fit.residuals.map(({ observed }) => observed),
      );
    return found === undefined ? undefined : found.from <= 0 && 0 <= found.to;
  });
  simulate("difference, in pairs", "6 days, days differ by 3 spreads", 0.95, "about", (random) => {
    const pairs = Array.from({ length: 6 }, () => {
      const day = 3 * random.normal();
      return [40 + day + random.normal(), 41 + day + random.normal()] as const;
    });
    const found = comparePaired(pairs);
    return found.kind === "compared" && inside(1, found.difference);
  });
  simulate("difference, shelves swapped", "6 loads, the upper shelf gives 2 spreads more", 0.95, "about", (random) => {
    const swapped = [true, false, true, false, true, false];
    const pairs = swapped.map((swap) => [40 + (swap ? 0 : 2) + random.normal(), 41 + (swap ? 2 : 0) + random.normal()] as const);
    const found = compareSwapped(pairs, swapped);
    return found.kind === "compared" && inside(1, found.difference);
  });
  simulate("difference, on their own", "5 and 8 bakes, spreads 1 and 3 (Welch)", 0.95, "about", (random) => {
    const found = compareWelch(normals(random, 5, 40, 1), normals(random, 8, 41, 3));
    return found.kind === "compared" && inside(1, found.difference);
  });
  simulate("sameness said wrongly", "two one-sided tests, 8 pairs, true difference at the limit", 0.05, "at most", (random) => {
    const found = comparePaired(Array.from({ length: 8 }, () => [40 + random.normal(), 41.5 + random.normal()] as const));
    return found.kind === "compared" && testEquivalence(found.difference, [-1.5, 1.5]).equivalent;
  });
  const four = (random: Random) =>
    compareGroups(["A", "B", "C", "D"].map((name, index) => ({ name, values: normals(random, 4 + (index % 2), 40 + index, 1) })));
  simulate("all differences of four at once (Tukey)", "4 or 5 bakes of each", 0.95, "at least", (random) =>
    tukey(four(random)).every((pair) => inside(letter(pair.second) - letter(pair.first), pair)),
  );
  simulate("all differences from the standard at once (Dunnett)", "the same", 0.95, "about", (random) =>
    dunnett(four(random), "A").every((pair) => inside(letter(pair.second) - letter(pair.first), pair)),
  );
  const split = (random: Random) => {
    const batters = Array.from({ length: 8 }, () => 2 * random.normal());
    const runs = batters.flatMap((batter, index) =>
      [-1, 0, 1].map((oven) => ({
        values: [index % 2, oven],
        response: 40 + (index % 2) + 0.5 * oven + batter + random.normal(),
      })),
    );
    return fitSplitPlot({
      factors: [
        { kind: "choice", name: "recipe", levels: ["old", "new"] },
        { kind: "amount", name: "oven", low: -1, high: 1 },
      ],
      terms: [[], ["recipe"], ["oven"]],
      runs,
      groupings: [{ name: "batter", labels: runs.map((_, index) => Math.floor(index / 3)) }],
    });
  };
  simulate(
    "effect of what was done to the batter (split plot)",
    "8 batters, 3 tins each, batters differ by 2 spreads",
    0.95,
    "about",
    (random) => {
      const found = split(random);
      return found.kind === "fitted" && inside(1, found.coefficients[1]);
    },
  );
  simulate("effect of what was done to the tin (split plot)", "the same", 0.95, "about", (random) => {
    const found = split(random);
    return found.kind === "fitted" && inside(0.5, found.coefficients[2]);
  });
  const newCakes = (random: Random) => {
    const found = split(random);
    return found.kind === "fitted" ? found : undefined;
  };
  simulate("mean of a setting (split plot)", "the same, the new recipe in the middle of the oven", 0.95, "about", (random) => {
    const found = newCakes(random);
    return found === undefined ? undefined : inside(41, predictMixed(found, [1, 0]).mean);
  });
  simulate("one cake of a new batter (split plot)", "the same", 0.95, "about", (random) => {
    const found = newCakes(random);
    const cake = 41 + 2 * random.normal() + random.normal();
    return found === undefined ? undefined : inside(cake, predictMixed(found, [1, 0]).single);
  });
  simulate(
    "the same effect of the batter, tins taken for independent cakes",
    "what would be wrong",
    0.95,
    "no promise",
    (random) => {
      const batters = Array.from({ length: 8 }, () => 2 * random.normal());
      const runs = batters.flatMap((batter, index) =>
        [-1, 0, 1].map((oven) => ({
          values: [index % 2, oven],
          response: 40 + (index % 2) + 0.5 * oven + batter + random.normal(),
        })),
      );
      const fit = analyse({
        responseName: "height",
        factors: [
          { kind: "choice", name: "recipe", levels: ["old", "new"] },
          { kind: "amount", name: "oven", low: -1, high: 1 },
        ],
        terms: [[], ["recipe"], ["oven"]],
        runs,
      });
      return inside(1, range(fit.coefficients[1]));
    },
  );
  const answers = (random: Random, n: number, share: number) =>
    Array.from({ length: n }, () => random.uniform() < share).filter(Boolean).length;
  for (const [dPrime, n] of [
    [1, 24],
    [2, 12],
  ] as const) {
    const share = shareRight("triangle", dPrime);
    simulate("share who notice", `triangle, ${n} tasters, d' ${dPrime}`, 0.95, "at least", (random) =>
      inside((share - 1 / 3) / (2 / 3), analyseDiscrimination("triangle", answers(random, n, share), n).shareTelling),
    );
    simulate("d'", `triangle, ${n} tasters, d' ${dPrime}`, 0.95, "at least", (random) =>
      inside(dPrime, analyseDiscrimination("triangle", answers(random, n, share), n).dPrime),
    );
  }
  simulate("share who prefer B", "20 tasters, truly 70 %", 0.95, "at least", (random) =>
    inside(0.7, analysePreference(answers(random, 20, 0.7), 20).share),
  );
  simulate(
    "a preference seen where there is none",
    "20 tasters",
    0.05,
    "at most",
    (random) => analysePreference(answers(random, 20, 0.5), 20).p <= 0.05,
  );
  simulate(
    "an order seen where there is none (Friedman, F form)",
    "9 tasters, 4 cakes",
    0.05,
    "at most",
    (random) => rankingTest(Array.from({ length: 9 }, () => random.shuffled([1, 2, 3, 4]))).fP <= 0.05,
  );
  simulate("all differences in liking at once", "10 tasters, 3 cakes, marks rounded to 1 to 9", 0.95, "no promise", (random) => {
    const marks = Array.from({ length: 10 }, () => {
      const taster = random.normal();
      return [5, 6, 6.5].map((mean) => Math.min(9, Math.max(1, Math.round(mean + taster + 1.2 * random.normal()))));
    });
    if (marks.flat().every((mark) => mark === marks[0]![0])) return undefined;
    const expected = [1, 1.5, 0.5];
    return analyseLiking(marks, ["A", "B", "C"]).differences.every((pair, index) => inside(expected[index]!, pair));
  });
  const { count, power } = bakesForDifference({ difference: 1.5, sd: Math.SQRT2, paired: true })!;
  simulate(
    "a difference that matters is noticed",
    `planned: ${count} pairs for 1.5 spreads of one bake`,
    power,
    "about",
    (random) => {
      const found = comparePaired(Array.from({ length: count }, () => [random.normal(), 1.5 + random.normal()] as const));
      return found.kind === "compared" && found.difference.from > 0;
    },
  );
  const tasters = (random: Random) => Array.from({ length: 10 }, () => 1.5 * random.normal());
  simulate("mean mark of these tasters", "10 tasters, 2 cakes, marks as they are felt", 0.95, "about", (random) => {
    const own = tasters(random);
    const marks = own.map((taster) => [5, 6].map((mean) => mean + taster + 1.2 * random.normal()));
    const expected = 5 + own.reduce((sum, taster) => sum + taster, 0) / own.length;
    return inside(expected, analyseLiking(marks, ["A", "B"]).means[0]!);
  });
  simulate(
    "difference in liking of two, one mark in five missing",
    "12 tasters, marks as they are felt",
    0.95,
    "about",
    (random) => {
      const marks = [...tasters(random), 1, -1].map((taster) =>
        [5, 6, 7].map((mean) => (random.uniform() < 0.2 ? null : mean + taster + 1.2 * random.normal())),
      );
      if (whyNoLiking(marks, ["A", "B", "C"]) !== undefined) return undefined;
      const { analysis } = analyseLiking(marks, ["A", "B", "C"]);
      const found = contrast(analysis, [1], [0]);
      return found === undefined ? undefined : inside(1, found);
    },
  );
  simulate(
    "an expected order seen where there is none (Page)",
    "9 tasters, 4 cakes",
    0.05,
    "about",
    (random) => pageTest(Array.from({ length: 9 }, () => random.shuffled([1, 2, 3, 4]))).p <= 0.05,
  );
  const allowed = maximumCorrectForSimilarity("triangle", 46, 0.3)!;
  simulate(
    "likeness said wrongly",
    "triangle, 46 tasters, truly 30 % notice",
    0.05,
    "at most",
    (random) => answers(random, 46, 1 / 3 + 0.3 * (2 / 3)) <= allowed,
  );
  return rows;
}

const range = (found: { readonly from?: number; readonly to?: number } | undefined) =>
  found?.from === undefined || found.to === undefined ? undefined : { from: found.from, to: found.to };
const normals = (random: Random, count: number, mean: number, sd: number) =>
  Array.from({ length: count }, () => mean + sd * random.normal());
const letter = (name: string) => name.charCodeAt(0);

/** Whether the counts agree with the promise, to `sigmas` standard errors of a simulated share. */
export function holds({ promised, kind, hits, rounds }: CoverageRow, sigmas = 4): boolean {
  const error = sigmas * Math.sqrt((promised * (1 - promised)) / rounds);
  const share = hits / rounds;
  switch (kind) {
    case "about":
      return Math.abs(share - promised) <= error;
    case "at least":
      return share >= promised - error;
    case "at most":
      return share <= promised + error;
    case "no promise":
      return true;
  }
}

if (process.argv[1]?.endsWith("trials-coverage.ts")) {
  const rounds = Number(process.argv[2] ?? 4000);
  const lines = [
    "| what is shown | simulated with | promised | held | of rounds |",
    "| --- | --- | --- | --- | --- |",
    ...coverageRows(rounds).map((row) => {
      const promise =
        row.kind === "about"
          ? percent(row.promised)
          : row.kind === "no promise"
            ? `(${percent(row.promised)})`
            : `${row.kind} ${percent(row.promised)}`;
      return `| ${row.what} | ${row.how} | ${promise} | ${percent(row.hits / row.rounds)} (${row.hits}) | ${row.rounds} |${holds(row) ? "" : " **missed**"}`;
    }),
  ];
  const path = "docs/models/trials.md";
  const text = readFileSync(path, "utf8");
  const [before, rest] = text.split("<!-- coverage -->\n");
  const after = rest?.split("<!-- end of coverage -->")[1];
  if (before === undefined || after === undefined) throw new Error(`${path} has no marks for the coverage`);
  writeFileSync(path, `${before}<!-- coverage -->\n${lines.join("\n")}\n<!-- end of coverage -->${after}`);
  console.log(lines.join("\n"));
}

function percent(share: number): string {
  return `${(100 * share).toFixed(1)} %`;
}
