import { expect, it } from "vitest";
import { planTasting, type TasterAnswer, type TastingPlan, type TastingWords } from "./serving.js";
import { answerTasting } from "./tastingAnswer.js";

const words: Omit<TastingWords, "method"> = { products: ["butter", "oil"], tasterCount: 18, seed: 5, allergens: ["eggs"] };

/** Answers in which the first `count` tasters give the right code. */
const rightFor = (plan: TastingPlan, count: number): TasterAnswer[] =>
  plan.sheets.map(({ taster, samples, right }) => ({
    taster,
    codes: [taster <= count ? right![0]! : samples.find(({ code, role }) => role === "sample" && !right!.includes(code))!.code],
  }));
const answerOf = (plan: TastingPlan, answers: readonly TasterAnswer[]) => {
  const { result } = answerTasting(plan, answers);
  if (result.kind === "too few") throw new Error(result.why);
  return result;
};

// Exact: ISO 5495 by the binomial: 13 of 18 is significant one-sided (p 0.048), not two-sided (p 0.096; R binom.test).
it("looks one way or both ways for which has more, as it was said beforehand", () => {
  const one = planTasting({ ...words, method: "2-AFC", property: "sweetness" });
  expect(one.sheets[0]!.instruction).toContain("Which has more sweetness?");
  const more = answerOf(one, rightFor(one, 13));
  expect(more.answer.verdict).toBe("yes");
  expect(more.answer.sentence).toMatch(/^Oil has more sweetness: 13 of 18 picked it, about 44 % really notice/);
  const either = planTasting({ ...words, method: "2-AFC", property: "sweetness", reading: { side: "either" } });
  const both = answerOf(either, rightFor(either, 13));
  expect(both.answer.sentence).toMatch(/^It was not shown that either has more sweetness: 13 of 18 picked oil/);
  // The other way round: looked for only where it was said.
  expect(answerOf(one, rightFor(one, 2)).answer).toMatchObject({
    verdict: "not shown",
    next: [expect.stringContaining("if butter may have more")],
  });
  expect(answerOf(either, rightFor(either, 2)).answer.sentence).toMatch(/^Butter has more sweetness: 16 of 18 picked it/);
});

// Published: the sensory table of the reference (ISO 4120 by the binomial): 3-AFC, n 18, 10 right at alpha 0.05.
it("needs ten of eighteen in a 3-AFC", () => {
  const plan = planTasting({ ...words, method: "3-AFC", property: "lemon flavour" });
  expect(answerOf(plan, rightFor(plan, 10)).answer.verdict).toBe("yes");
  expect(answerOf(plan, rightFor(plan, 9)).answer.verdict).toBe("not shown");
  for (const { samples } of plan.sheets) expect(samples.filter(({ product }) => product === 1).length).toBe(1);
});

// Exact: similarity, n 60, at most 30 % notice, beta 0.05: the table of sensory.json.
it("shows likeness by few right answers, and never by a difference that was not seen", () => {
  const plan = planTasting({ ...words, tasterCount: 60, method: "triangle", reading: { aim: "likeness", share: 0.3 } });
  const alike = answerOf(plan, rightFor(plan, 20)).answer;
  expect(alike).toMatchObject({ verdict: "same", sentence: expect.stringMatching(/^At most 30 % of people notice: 20 of 60/) });
  const few = planTasting({ ...words, tasterCount: 12, method: "triangle", reading: { aim: "likeness", share: 0.3 } });
  expect(answerOf(few, rightFor(few, 4)).answer).toMatchObject({ verdict: "not shown" });
});

const rankedBy = (plan: TastingPlan, orders: readonly (readonly number[])[]): TasterAnswer[] =>
  plan.sheets.map(({ taster, samples }) => ({
    taster,
    codes: orders[(taster - 1) % orders.length]!.map((product) => samples.find((sample) => sample.product === product)!.code),
  }));

// Exact: perfect agreement of 5 over 4 gives L 150 (discrimination.test.ts); here through the answers of tasters.
it("follows an expected order by Page's test, whatever the order of the products", () => {
  const products = ["plain", "lemon", "almond", "rye"];
  const expected = ["lemon", "almond", "plain", "rye"];
  const plan = planTasting({ ...words, products, tasterCount: 5, method: "ranking", reading: { expected } });
  const found = answerOf(plan, rankedBy(plan, [[1, 2, 0, 3]]));
  expect(found.kind === "ranking" && found.page?.l).toBe(150);
  expect(found.answer.sentence).toBe("The tasters follow the order you expected: lemon, then almond, then plain, then rye.");
  const against = answerOf(plan, rankedBy(plan, [[3, 0, 2, 1]]));
  expect(against.answer.verdict).toBe("no");
  expect(against.answer.sentence).toContain("The order you expected was not shown");
  expect(against.answer.sentence).toContain("Rye is placed before");
});

it("says why nothing can be said yet", () => {
  const plan = planTasting({ ...words, method: "liking" });
  const why = (answers: readonly TasterAnswer[]) => {
    const { result } = answerTasting(plan, answers);
    return result.kind === "too few" ? result.why : "";
  };
  const marked = (marks: (product: number, taster: number) => number) =>
    plan.sheets.map(({ taster, samples }) => ({
      taster,
      marks: Object.fromEntries(samples.map(({ code, product }) => [code, marks(product, taster)])),
    }));
  expect(why([])).toBe("no answers yet");
  expect(why(marked(() => 6))).toBe("all marks are the same");
  expect(why(marked((product, taster) => (taster % 3) + product + 3))).toContain("no spread can be judged");
  expect(why(marked((product, taster) => (taster % 3) + product + 3 + (taster % 2) * product))).toBe("");
});

it("takes a taster who left one cake out, and refuses a code that is not on the sheet", () => {
  const plan = planTasting({ ...words, products: ["A", "B", "C"], tasterCount: 6, method: "liking" });
  const [first] = plan.sheets;
  const [one, two] = first!.samples;
  const { count } = answerTasting(plan, [
    { taster: 1, marks: { [one!.code]: 7, [two!.code]: 4 } },
    { taster: 2, marks: { "000": 5 } },
    { taster: 3, marks: {} },
  ]);
  expect(count.rows).toEqual([[0, 1, 2].map((product) => (product === one!.product ? 7 : product === two!.product ? 4 : null))]);
  expect(count.unusable.map(({ taster }) => taster)).toEqual([2, 3]);
});
