import { expect, it } from "vitest";
import { analyse } from "./analyse.js";
import { comparePaired, testEquivalence } from "./compare.js";
import { analyseDiscrimination, analysePreference } from "./discrimination.js";
import { sayEffects } from "./effectWords.js";
import { rankingTest } from "./ranking.js";
import { USUAL_MEASURES } from "./sheet.js";
import { chanceWords, figure, sayComparison, sayDiscrimination, sayPreference, sayRanking } from "./words.js";

const height = USUAL_MEASURES.find(({ name }) => name === "height at the centre")!;
const pairWords = { first: "A", second: "B", measure: height, matters: 3 };

it("says a difference first, then how sure, then what to do", () => {
  const pairs = [
    [40, 45],
    [42, 45],
    [39, 42.5],
    [41, 46.5],
    [40, 43],
    [41, 44],
  ] as const;
  const answer = sayComparison(comparePaired(pairs), pairWords);
  expect(answer).toEqual({
    verdict: "yes",
    sentence: "B is taller by 3.8 mm, between 2.7 and 5.0.",
    certainty: "One such result in 2,000 would come by chance if they were equal.",
    next: ["Make B the standard: it was baked and compared, and not only predicted."],
  });
});

it("never calls an unseen difference none, and says what was not excluded", () => {
  const comparison = comparePaired([
    [40, 42],
    [42, 41],
    [39, 41],
    [41, 39],
  ]);
  const answer = sayComparison(comparison, pairWords);
  expect(answer.verdict).toBe("not shown");
  expect(answer.sentence).toContain("does not show that there is none");
  expect(answer.next[0]).toContain("bake more pairs");
  expect(sayComparison(comparePaired([[1, 2]]), pairWords).verdict).toBe("cannot tell");
});

it("says sameness only when it was shown", () => {
  const comparison = comparePaired(
    Array.from({ length: 10 }, (_, index) => [40 + index, 40.1 + index + (index % 2 ? 0.4 : -0.4)] as const),
  );
  if (comparison.kind !== "compared") throw new Error("too few");
  const answer = sayComparison(comparison, pairWords, testEquivalence(comparison.difference, [-3, 3]));
  expect(answer.verdict).toBe("same");
  expect(answer.sentence).toBe("B and A are within 3 mm of each other.");
});

it("puts chances in words that a baker uses", () => {
  expect(chanceWords(0.025)).toBe("One such result in forty would come by chance if they were equal.");
  expect(chanceWords(0.2)).toContain("in five ");
  expect(chanceWords(0.7)).toContain("about every second time");
  expect(chanceWords(1e-9)).toContain("less than once in ten thousand");
});

it("writes figures to the place their error reaches", () => {
  expect([figure(4.1387, 0.8), figure(4.1387, 0.12), figure(41.387, 3), figure(0.00413, 0.0004), figure(-0.01, 2)]).toEqual([
    "4.1",
    "4.14",
    "41",
    "0.0041",
    "0",
  ]);
});

it("says tasting results with what they leave open", () => {
  expect(sayDiscrimination(analyseDiscrimination("triangle", 12, 20)).sentence).toContain(
    "People can tell them apart: 12 of 20 answered right",
  );
  const unseen = sayDiscrimination(analyseDiscrimination("triangle", 5, 12));
  expect(unseen.verdict).toBe("not shown");
  expect(unseen.sentence).toMatch(/Up to \d+ % of people may still notice/);
  expect(sayPreference(analysePreference(3, 20), "the standard", "the new one").next).toEqual(["Keep the standard."]);
  const ranks = Array.from({ length: 9 }, (_, index) => (index < 7 ? [1, 2, 3] : [1, 3, 2]));
  expect(sayRanking(rankingTest(ranks), ["oil", "butter", "both"]).sentence).toContain("Oil is placed before butter and both");
});

it("says which factors move a response, and that a saturated model says nothing", () => {
  const factors = ["sugar", "egg"].map((name) => ({ kind: "amount" as const, name, low: -1, high: 1 }));
  const settings = [
    [-1, -1],
    [1, -1],
    [-1, 1],
    [1, 1],
    [0, 0],
    [0, 0],
    [0, 0],
  ];
  const noise = [0.1, -0.2, 0.2, -0.1, 0.1, -0.2, 0.1];
  const runs = settings.map((values, index) => ({ values, response: 40 + 3 * values[0]! + noise[index]! }));
  const answer = sayEffects(analyse({ responseName: "height", factors, terms: [[], ["sugar"], ["egg"]], runs }), height);
  expect(answer.sentence).toBe(
    "Height at the centre is moved by sugar (from −1 to 1 it rises by 5.70 mm, between 5.36 and 6.04).",
  );
  const saturated = analyse({
    responseName: "height",
    factors,
    terms: [[], ["sugar"], ["egg"], ["sugar", "egg"]],
    runs: runs.slice(0, 4),
  });
  expect(sayEffects(saturated, height).verdict).toBe("cannot tell");
});
