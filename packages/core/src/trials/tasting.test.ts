import { expect, it } from "vitest";
import {
  analyseDiscrimination,
  analysePreference,
  type DiscriminationMethod,
  dPrimeOf,
  maximumCorrectForSimilarity,
  minimumAgreeing,
  minimumCorrect,
  powerOfDiscrimination,
  powerOfSimilarity,
  shareRight,
  shareRightSlope,
  tastersForDiscrimination,
} from "./discrimination.js";
import sensory from "./fixtures/sensory.json" with { type: "json" };
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { pageTest, rankingTest, ranksOfScores } from "./ranking.js";

const METHOD: Record<string, DiscriminationMethod> = {
  triangle: "triangle",
  duotrio: "duo-trio",
  twoAFC: "2-AFC",
  threeAFC: "3-AFC",
  tetrad: "tetrad",
};
const { alphas } = sensory;
type Table = Record<string, (number | null)[]>;

// Exact: the tables of ISO 4120, ISO 10399 and ISO 5495 recomputed in rational arithmetic, n = 3 to 100, five levels each.
it("agrees with the exact tables in full", () => {
  let cells = 0;
  const check = (table: Table, compute: (n: number, alpha: number) => number | undefined) => {
    for (const [n, row] of Object.entries(table)) {
      for (const [index, expected] of row.entries()) {
        expect([n, alphas[index], compute(Number(n), alphas[index]!) ?? null]).toEqual([n, alphas[index], expected]);
        cells++;
      }
    }
  };
  check(sensory.triangle_min_correct, (n, alpha) => minimumCorrect("triangle", n, alpha));
  check(sensory.duotrio_and_one_sided_paired_min_correct, (n, alpha) => minimumCorrect("duo-trio", n, alpha));
  check(sensory.two_sided_paired_min_agreeing, (n, alpha) => minimumAgreeing(n, alpha));
  expect(cells).toBe(3 * 65 * 5);
});

// Published: FAO document V7180E, Appendix A: 44 rows at alpha 0.10, 0.05, 0.01, 0.001.
it("agrees with the printed triangle table of the FAO", () => {
  for (const [n, row] of Object.entries(sensory.triangle_published_fao.table as Table)) {
    expect([0.1, 0.05, 0.01, 0.001].map((alpha) => minimumCorrect("triangle", Number(n), alpha) ?? null)).toEqual(row);
  }
});

it("agrees with the exact similarity table", () => {
  const { pd_columns: shares, table } = sensory.triangle_similarity_max_correct as {
    pd_columns: number[];
    table: Record<string, Record<string, (number | null)[]>>;
  };
  for (const [n, betas] of Object.entries(table)) {
    for (const [beta, row] of Object.entries(betas)) {
      expect(shares.map((share) => maximumCorrectForSimilarity("triangle", Number(n), share, Number(beta)) ?? null)).toEqual(row);
    }
  }
});

// Exact and published: sample sizes and powers; the help pages of R's sensR print the same figures where they overlap.
it("agrees with exact sample sizes and powers", () => {
  for (const row of sensory.sample_sizes.rows as {
    method: string;
    pd: number;
    alpha: number;
    beta: number;
    n_first: number;
    n_stable: number;
  }[]) {
    const found = tastersForDiscrimination({
      method: METHOD[row.method] ?? "duo-trio",
      shareTelling: row.pd,
      alpha: row.alpha,
      power: 1 - row.beta,
    });
    expect([found!.first, found!.stable]).toEqual([row.n_first, row.n_stable]);
  }
  for (const row of sensory.power as { method: string; n: number; pd: number; alpha: number; power: number }[]) {
    expect(powerOfDiscrimination(METHOD[row.method]!, row.n, row.pd, row.alpha)).toBeCloseTo(row.power, 11);
  }
  // Published: sensR help pages discrimPwr and discrimSS.
  const pd = (method: DiscriminationMethod, d: number) =>
    (shareRight(method, d) - (method === "2-AFC" ? 0.5 : 1 / 3)) / (method === "2-AFC" ? 0.5 : 2 / 3);
  expect(powerOfDiscrimination("2-AFC", 30, pd("2-AFC", 1))).toBeCloseTo(0.917255217993622, 9);
  expect(powerOfDiscrimination("tetrad", 50, pd("tetrad", 1))).toBeCloseTo(0.731897, 6);
  expect(tastersForDiscrimination({ method: "duo-trio", shareTelling: 0.5 })).toEqual({ first: 23, stable: 28 });
  expect(tastersForDiscrimination({ method: "2-AFC", shareTelling: pd("2-AFC", 1), power: 0.9 })!.first).toBe(30);
  expect(tastersForDiscrimination({ method: "tetrad", shareTelling: pd("tetrad", 1), power: 0.9 })!.first).toBe(82);
  expect(powerOfSimilarity("triangle", 100, 0.1, 0.2)).toBeCloseTo(0.306809762270984, 11);
});

// Computed by quadrature to 1e-12 and published (sensR unit tests) forward values.
it("agrees with the table of psychometric functions both ways", () => {
  for (const [name, table] of Object.entries(sensory.psychometric_d_to_pc)) {
    for (const [d, share] of Object.entries(table)) expect(shareRight(METHOD[name]!, Number(d))).toBeCloseTo(share, 10);
  }
  for (const [name, table] of Object.entries(sensory.psychometric_pc_to_d)) {
    for (const [share, d] of Object.entries(table)) expect(dPrimeOf(METHOD[name]!, Number(share))).toBeCloseTo(d, 8);
  }
  const published = {
    "0.1": 0.334251449601924,
    "1": 0.418046674796045,
    "2": 0.604806932920651,
    "3": 0.781427598857822,
    "4": 0.897660380694802,
    "5": 0.958777656024149,
  };
  for (const [d, share] of Object.entries(published))
    expect(Math.abs(shareRight("triangle", Number(d)) - share)).toBeLessThan(1.1e-8); // their tolerance is 1e-8
  for (const [d, slope] of [
    [1, 0.155988959563108],
    [2, 0.196685802264629],
    [3, 0.148651046331582],
  ] as const)
    expect(shareRightSlope("triangle", d)).toBeCloseTo(slope, 7);
  expect(shareRight("tetrad", 2)).toBeCloseTo(0.7776671, 7);
  expect(shareRightSlope("tetrad", 2)).toBeCloseTo(0.2431633, 7);
});

it("has the slope that its own curve has", () => {
  for (const method of Object.values(METHOD)) {
    for (const d of [0.4, 1, 2.2]) {
      const step = 1e-4;
      const slope = (shareRight(method, d + step) - shareRight(method, d - step)) / (2 * step);
      expect(shareRightSlope(method, d)).toBeCloseTo(slope, 7); // second-order difference
    }
  }
});

it("agrees with the worked cases of discrimination tests", () => {
  for (const row of sensory.worked_cases) {
    const found = analyseDiscrimination(METHOD[row.method]!, row.correct, row.n);
    expect(found.p).toBeCloseTo(row.p_value_one_sided, 12);
    expect(found.shareTelling.estimate).toBeCloseTo(row.pd, 12);
    expect(found.shareTelling.standardError).toBeCloseTo(row.se_pd, 12);
    expect(found.dPrime.estimate).toBeCloseTo(row.d_prime, 9);
    expect(found.dPrime.standardError).toBeCloseTo(row.se_d_prime, 6);
    expect([found.shareRight.from, found.shareRight.to].map((x) => x.toFixed(10))).toEqual(
      row.ci95_pc_clopper_pearson.map((x) => x.toFixed(10)),
    );
    expect([found.dPrime.from, found.dPrime.to].map((x) => x.toFixed(7))).toEqual(row.ci95_d_prime.map((x) => x.toFixed(7)));
  }
});

it("says nothing finite where everyone is right, and zero where nobody tells", () => {
  expect(analyseDiscrimination("triangle", 8, 8).dPrime).toMatchObject({
    estimate: Number.POSITIVE_INFINITY,
    to: Number.POSITIVE_INFINITY,
  });
  expect(analyseDiscrimination("triangle", 8, 8).dPrime.from).toBeGreaterThan(1);
  expect(analyseDiscrimination("triangle", 2, 12).dPrime).toMatchObject({ estimate: 0, from: 0 });
  expect(() => analyseDiscrimination("triangle", 9, 8)).toThrow("9 of 8 tasters");
});

// Published: Conover (1999), p 372; ISO 8587:1988 Annex A as quoted (J 8, P 5); a student report (J 7, P 6).
it("agrees with the ranking examples", () => {
  const grass = fixtures.cases.friedman_grass;
  const found = rankingTest(grass.ranks);
  expect(found.rankSums).toEqual(grass.rank_sums);
  expect(found.friedman).toBeCloseTo(grass.friedman_chi2_tie_corrected, 10);
  expect(found.p).toBeCloseTo(grass.p_chi2, 10);
  expect(found.f).toBeCloseTo(grass.F_conover_T2, 10);
  expect(found.fP).toBeCloseTo(grass.p_F, 10);
  expect(found.leastDifferenceConover).toBeCloseTo(grass.conover_lsd_rank_sums_95, 8);
  expect(found.friedmanUncorrected).toBeCloseTo(grass.uncorrected_chi2, 10);
  expect(found.leastDifference).toBeCloseTo(grass.isolsd_rank_sums_95, 8);
});

it("tests a stated order, shares ranks between equal scores, and refuses what is no ranking", () => {
  // Exact: five tasters in perfect agreement over four products give L = 5 * 30 and z = (12*150 - 3*5*4*25)/(4*5*sqrt(15)).
  const perfect = Array.from({ length: 5 }, () => [1, 2, 3, 4]);
  expect(pageTest(perfect)).toMatchObject({ l: 150 });
  expect(pageTest(perfect).z).toBeCloseTo(300 / (20 * Math.sqrt(15)), 12);
  expect(ranksOfScores([7, 9, 7, 3])).toEqual([2.5, 1, 2.5, 4]);
  expect(() =>
    rankingTest([
      [1, 2, 3],
      [1, 1, 3],
    ]),
  ).toThrow("taster 2 add to 5");
});

it("judges a preference from both sides", () => {
  expect(analysePreference(13, 18).p).toBeCloseTo(0.0962524, 6); // Peer: R 4.2.2 binom.test(13, 18)
  expect(analysePreference(5, 18).p).toBeCloseTo(0.0962524, 6);
  expect(analysePreference(9, 18).p).toBe(1);
});
