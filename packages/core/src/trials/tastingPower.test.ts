import { expect, it } from "vitest";
import { createRandom } from "./random.js";
import { pageTest, rankingTest, ranksOfScores } from "./ranking.js";
import {
  likingNoticed,
  powerOfLiking,
  powerOfPreference,
  powerOfRanking,
  type RankingQuestion,
  rankingNoticed,
  tastersForLiking,
  tastersForRanking,
  tastersForSimilarity,
} from "./tastingPower.js";

// Peer: R 4.2.2, power.t.test(n, delta, sd = s * sqrt(2), type = "paired").
it("has the power of the paired t test for two cakes", () => {
  const question = { productCount: 2, matters: 1, sd: 1.6 };
  expect(powerOfLiking(question, 20)).toBeCloseTo(0.46666024, 5); // R counts the wrong side out, as we do
  expect(powerOfLiking({ productCount: 2, matters: 1.5, sd: 1.2 }, 12)).toBeCloseTo(0.795795064, 6);
  expect(tastersForLiking(question)).toBe(43); // R: 42.147
  expect(powerOfLiking({ ...question, matters: likingNoticed(question, 20) }, 20)).toBeCloseTo(0.8, 6);
});

// Peer: R 4.2.2, 1 - pt(qtukey(.95, P, df) / sqrt(2), df, delta / (s sqrt(2 / J))), df = (J - 1)(P - 1).
it("has the power of Tukey's comparison for several", () => {
  expect(powerOfLiking({ productCount: 4, matters: 1.2, sd: 1.5 }, 30)).toBeCloseTo(0.683423916, 5);
  expect(powerOfLiking({ productCount: 3, matters: 2, sd: 1.6 }, 12)).toBeCloseTo(0.706053187, 5);
});

// Peer: R 4.2.2, binom.test and pbinom.
it("has the exact power of a preference and of a similarity test", () => {
  expect(powerOfPreference(30, 0.7)).toBeCloseTo(0.588808685241, 10);
  expect(powerOfPreference(44, 0.7)).toBeCloseTo(0.778082485402, 10);
  expect(tastersForSimilarity("triangle", 0.3)).toEqual({ first: 39, stable: 46 });
});

/** Share of simulated panels (Thurstone's case V) in which the test that will be used sees something. */
function simulated({ productCount, share, ordered, alpha = 0.05 }: RankingQuestion, tasterCount: number, rounds: number): number {
  const random = createRandom(7);
  // Two impressions of unit spread differ by step in the mean: P(first before second) = Phi(step / sqrt 2) = share.
  const step = { 0.6: 0.253347, 0.7: 0.524401, 0.8: 0.841621 }[share]! * Math.SQRT2;
  let seen = 0;
  for (let round = 0; round < rounds; round++) {
    const ranks = Array.from({ length: tasterCount }, () =>
      ranksOfScores(
        Array.from({ length: productCount }, (_, product) => random.normal() - step * (ordered ? product : product > 0 ? 1 : 0)),
      ),
    );
    if (ordered ? pageTest(ranks).p <= alpha : rankingTest(ranks, alpha).fP <= alpha) seen++;
  }
  return seen / rounds;
}

it.each([
  [3, 0.7, false, 20],
  [4, 0.7, false, 12],
  [4, 0.8, false, 9],
  [6, 0.7, false, 15],
  [3, 0.7, true, 12],
  [4, 0.6, true, 12],
  [5, 0.6, true, 8],
] as const)(
  "is near the simulated power of a ranking of %i, share %f, ordered %s, %i tasters",
  (productCount, share, ordered, tasters) => {
    const question = { productCount, share, ordered };
    // 0.05 is what the docstring claims; 4000 rounds have a standard error of at most 0.008.
    expect(Math.abs(powerOfRanking(question, tasters) - simulated(question, tasters, 4000))).toBeLessThan(0.05);
  },
);

it("asks for more tasters where less matters, and fewer where an order was named", () => {
  const question = { productCount: 4, share: 0.7 };
  const [friedman, page] = [tastersForRanking(question)!, tastersForRanking({ ...question, ordered: true })!];
  expect(page).toBeLessThan(friedman);
  expect(tastersForRanking({ ...question, share: 0.6 })!).toBeGreaterThan(3 * friedman);
  expect(powerOfRanking(question, friedman)).toBeGreaterThanOrEqual(0.8);
  expect(powerOfRanking(question, friedman - 1)).toBeLessThan(0.8);
  expect(rankingNoticed({ productCount: 4 }, friedman)).toBeLessThanOrEqual(0.7);
  expect(() => powerOfRanking({ productCount: 4, share: 0.5 }, 10)).toThrow("share 0.5");
});
