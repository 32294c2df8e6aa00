import fc from "fast-check";
import { expect, it } from "vitest";
import { comparePaired } from "./compare.js";
import type { Factor } from "./factors.js";
import { planTrial, type Question, type TrialPlan } from "./question.js";
import { readQuestion } from "./questionWords.js";
import { createRandom } from "./random.js";
import { USUAL_MEASURES } from "./sheet.js";

const height = USUAL_MEASURES.find(({ name }) => name === "height at the centre")!;
const measured = { measure: height, matters: 4, seed: 1, spread: { sd: 2, df: 9, source: "your own repeats" } };

function plan(question: Question): TrialPlan {
  const result = planTrial(question);
  if (!result.ok) throw new Error(result.error.map(({ expected }) => expected).join());
  return result.value;
}

it("plans pairs over days, says what they can see and what is learnt if nothing is seen", () => {
  const better = plan({ ...measured, kind: "better", pairing: "days", names: ["the standard", "the new one"] });
  // Peer: R 4.2.2, power.t.test(delta = 4, sd = 2 * sqrt(2), power = .8, type = "paired") gives n = 6.11.
  expect(better.bakeCount).toBe(14);
  expect(better.dayCount).toBe(7);
  expect(better.summary).toBe("Bake the standard and the new one on each of 7 days, in the order of the sheet.");
  expect(better.certainty).toContain("A difference of 4 mm in height at the centre would then be noticed");
  expect(better.ifNothingIsSeen).toContain("a smaller one may still be there");
  expect(better.cautions).toEqual([]);
  for (let day = 0; day < 7; day++) {
    const today = better.order.filter((run) => run.day === day).map(({ runIndex }) => better.settings[runIndex]!.cake);
    expect([...today].sort()).toEqual(["the new one", "the standard"]);
  }
});

it("swaps the shelves as often one way as the other", () => {
  const shelves = plan({ ...measured, kind: "better", pairing: "shelves" });
  const uppers = shelves.settings.filter(({ shelf }) => shelf === "upper").map(({ cake }) => cake);
  expect(uppers.filter((cake) => cake === "A").length).toBe(uppers.length / 2);
});

it("is honest when the baker cannot bake enough, and when the spread is assumed", () => {
  const few = plan({ ...measured, kind: "better", pairing: "days", matters: 2, most: 4 });
  expect(few.power).toBeLessThan(0.3);
  expect(few.cautions[0]).toMatch(/With at most 4 the chance to notice 2 mm is only \d+ %; \d+ would give 80 %/);
  const assumed = plan({ kind: "better", pairing: "days", measure: height, matters: 4, seed: 1 });
  expect(assumed.cautions[0]).toContain("is an assumption, not yours");
});

it("keeps its promise: the stated chance to notice, by simulation", () => {
  const better = plan({ ...measured, kind: "better", pairing: "days" });
  const random = createRandom(99);
  let noticed = 0;
  const rounds = 4000;
  for (let round = 0; round < rounds; round++) {
    const pairs = Array.from({ length: better.bakeCount / 2 }, () => {
      const day = 5 * random.normal();
      return [40 + day + 2 * random.normal(), 44 + day + 2 * random.normal()] as const;
    });
    const comparison = comparePaired(pairs);
    if (comparison.kind === "compared" && comparison.difference.from > 0) noticed++;
  }
  // Four standard errors of a share at 4000 rounds.
  expect(Math.abs(noticed / rounds - better.power!)).toBeLessThan(4 * Math.sqrt((better.power! * (1 - better.power!)) / rounds));
});

const sugar: Factor = { kind: "amount", name: "sugar", unit: "g", low: 180, high: 240 };
const minutes: Factor = { kind: "amount", name: "minutes", unit: "min", low: 25, high: 35 };

it("plans how much of one, two and three amounts, within the days and with the quality stated", () => {
  const wide = { ...measured, matters: 8 };
  const one = plan({ ...wide, matters: 12, kind: "how much", factors: [sugar] });
  expect(one.settings.map(({ sugar: grams }) => grams)).toEqual([180, 210, 240, 180, 210, 240, 210]);
  const two = plan({ ...wide, kind: "how much", factors: [sugar, minutes], perDay: 6 });
  expect(two.bakeCount).toBe(12);
  expect(two.dayCount).toBe(2);
  expect(two.quality!.aliased).toEqual([]);
  expect(two.model!.terms.length).toBe(6);
  expect(two.power).toBeGreaterThan(0.9);
  // Half the effect asks for the plan twice over, and says so.
  const small = plan({ ...measured, kind: "how much", factors: [sugar, minutes], perDay: 6 });
  expect(small.bakeCount).toBe(24);
  expect(small.power).toBeGreaterThan(0.78);
  expect(small.cautions.join()).toContain("baked 2 times over");
  const three = plan({
    ...wide,
    kind: "how much",
    factors: [sugar, minutes, { kind: "amount", name: "oven", unit: "°C", low: 160, high: 180 }],
    perDay: 5,
  });
  expect(three.bakeCount).toBe(15);
  expect(three.quality!.aliased).toEqual([]);
  const tin = plan({
    ...measured,
    kind: "how much",
    factors: [sugar, { kind: "choice", name: "tin", levels: ["dark", "light"] }],
  });
  expect(new Set(tin.settings.map((setting) => setting.tin))).toEqual(new Set(["dark", "light"]));
});

const fats = [
  { kind: "share" as const, name: "butter", lower: 0.2, upper: 0.7 },
  { kind: "share" as const, name: "oil", lower: 0.1, upper: 0.5 },
  { kind: "share" as const, name: "yoghurt", lower: 0, upper: 0.55 },
];

it("plans blends that add to one within their limits", () => {
  const blends = plan({ ...measured, matters: 8, kind: "which blend", shares: fats, perDay: 4 });
  expect(blends.bakeCount).toBe(11);
  expect(blends.dayCount).toBe(3);
  // What matters is half as large: twice as many bakes.
  expect(plan({ ...measured, kind: "which blend", shares: fats, perDay: 4 }).bakeCount).toBe(22);
  for (const { butter, oil, yoghurt } of blends.settings as Record<string, number>[]) {
    expect(butter! + oil! + yoghurt!).toBeCloseTo(1, 9);
    expect(butter).toBeGreaterThanOrEqual(0.2);
    expect(oil).toBeLessThanOrEqual(0.5);
  }
  expect(blends.quality!.aliased).toEqual([]);
  const crossed = plan({
    ...measured,
    kind: "which blend",
    shares: fats,
    process: [minutes as Extract<Factor, { kind: "amount" }>],
  });
  expect(new Set(crossed.settings.map((setting) => setting.minutes))).toEqual(new Set([25, 35]));
});

it("plans tastings with the numbers of the exact tables", () => {
  // Exact: triangle, half of the people notice, alpha 0.05, power 0.8 needs 16 tasters, stable from 16; 9 right answers show it.
  const tell = plan({ kind: "can people tell", seed: 2, allergens: ["eggs"] });
  expect(tell.tasterCount).toBe(16);
  expect(tell.summary).toContain("9 right answers or more");
  const few = plan({ kind: "can people tell", seed: 2, tasterCount: 12, allergens: ["eggs"] });
  expect(few.power).toBeCloseTo(0.63, 2); // reference: a home panel of 12 finds pd 0.5 with power 0.63 only
  expect(few.cautions.join(" ")).toContain("only 63 %");
  expect(few.tasting!.words.allergens).toEqual(["eggs"]);
  const prefer = plan({ kind: "which do they prefer", seed: 2, allergens: [] });
  expect(prefer.tasting!.sheets.length).toBe(prefer.tasterCount);
  const liked = plan({ kind: "which is liked best", names: ["oil", "butter", "both"], tasterCount: 6, seed: 1, allergens: [] });
  expect(liked.cautions.join()).toContain("fewer than 8 tasters");
});

it("plans every other tasting by how many tasters it takes", () => {
  const names = ["plain", "lemon", "almond", "rye"];
  const bench = { seed: 2, allergens: ["eggs"] };
  // Exact: 2-AFC one-sided with half of the people noticing is binomial(n, 0.75) against 0.5, as the duo-trio: first 23, stable 28.
  const more = plan({ ...bench, kind: "which has more", property: "sweetness" });
  expect(more.tasterCount).toBe(28);
  expect(more.summary).toContain("19 or more who pick B show that it has more sweetness");
  expect(more.tasting!.words).toMatchObject({ method: "2-AFC", property: "sweetness" });
  const either = plan({ ...bench, kind: "which has more", property: "sweetness", side: "either" });
  expect(either.tasterCount).toBeGreaterThan(more.tasterCount);
  expect(either.tasting!.words.reading).toEqual({ side: "either" });
  // Peer: R 4.2.2, power.t.test(delta = 1, sd = 1.6 * sqrt(2), power = .8, type = "paired") gives n = 42.15.
  const liking = plan({ ...bench, kind: "how well is it liked", names: names.slice(0, 2) });
  expect(liking.tasterCount).toBe(43);
  expect(liking.cautions.join(" ")).toContain("is an assumption");
  const few = plan({ ...bench, kind: "how well is it liked", names, tasterCount: 12, matters: 2 });
  expect(few.certainty).toContain("If two cakes differ by 2 points on average");
  expect(few.ifNothingIsSeen).toMatch(/a true one of \d\.\d points or more is unlikely/);
  const ranked = plan({ ...bench, kind: "which is liked best", names });
  const ordered = plan({ ...bench, kind: "which is liked best", names, expected: ["rye", "lemon", "plain", "almond"] });
  expect(ordered.tasterCount).toBeLessThan(ranked.tasterCount);
  expect(ordered.tasting!.words.reading!.expected).toEqual(["rye", "lemon", "plain", "almond"]);
  // Peer: R 4.2.2, pbinom: 39 is the first number with power 0.8, 46 the first that keeps it.
  const alike = plan({ ...bench, kind: "can people tell", aim: "likeness" });
  expect(alike.tasterCount).toBe(46);
  const lone = planTrial({ ...bench, kind: "which has more", property: "salt", method: "3-AFC", side: "either" });
  expect(lone.ok ? [] : lone.error.map(({ path }) => path[0])).toEqual(["side"]);
  const unknown = planTrial({ ...bench, kind: "which is liked best", names, expected: ["rye", "lemon", "plain", "oat"] });
  expect(unknown.ok ? [] : unknown.error.map(({ path }) => path[0])).toEqual(["expected"]);
});

it("reads tasting questions, and a measure with its own spread", () => {
  const read = (document: unknown) => readQuestion(document);
  const own = { name: "spring", unit: "mm", better: "larger" };
  const better = { kind: "better", pairing: "days", matters: 2 };
  const spread = read({ ...better, measure: { ...own, typicalSd: { value: 1.2, source: "last winter" } } }).value;
  expect(spread).toMatchObject({ measure: { typicalSd: { value: 1.2, source: "last winter" } } });
  expect(planTrial(spread!).ok).toBe(true);
  expect(read({ ...better, measure: { ...own, typicalSd: 0.8 } }).value).toMatchObject({
    measure: { typicalSd: { value: 0.8 } },
  });
  expect(read({ ...better, measure: { ...own, typicalSd: -1 } }).problems[0]!.path).toEqual(["measure", "typicalSd"]);
  const allergens = ["eggs"];
  expect(read({ kind: "which has more", property: " sweetness ", side: "either", allergens }).value).toMatchObject({
    property: "sweetness",
    side: "either",
  });
  expect(read({ kind: "which has more", allergens }).problems[0]!.path).toEqual(["property"]);
  expect(read({ kind: "how well is it liked", names: ["a", "b"], spread: 1.3, allergens }).value).toMatchObject({
    spread: { sd: 1.3 },
  });
  expect(read({ kind: "which is liked best", names: ["a", "b", "c"], expected: ["b", "a", "c"], allergens }).problems).toEqual(
    [],
  );
});

it("says what is wrong with a question", () => {
  const wrong = (question: Question) => {
    const result = planTrial(question);
    return result.ok ? [] : result.error.map(({ path }) => path.join("."));
  };
  expect(wrong({ ...measured, kind: "better", pairing: "days", matters: 0 })).toEqual(["matters"]);
  expect(wrong({ ...measured, kind: "which blend", shares: fats.map((fat) => ({ ...fat, lower: 0.5, upper: 0.7 })) })).toEqual([
    "factors",
  ]);
  expect(wrong({ ...measured, kind: "how much", factors: [] })).toEqual(["factors"]);
  expect(wrong({ ...measured, kind: "which of several", names: ["a", "a"] })).toEqual(["names"]);
});

it("places every run of any plan exactly once (property)", () => {
  const question = fc.record({
    matters: fc.double({ min: 0.5, max: 8, noNaN: true }),
    seed: fc.nat(),
    perDay: fc.integer({ min: 2, max: 9 }),
    perLoad: fc.integer({ min: 1, max: 3 }),
  });
  fc.assert(
    fc.property(question, fc.constantFrom("better" as const, "how much" as const, "which of several" as const), (words, kind) => {
      const base = { ...measured, ...words };
      const made =
        kind === "better"
          ? plan({ ...base, kind, pairing: "apart" })
          : kind === "how much"
            ? plan({ ...base, kind, factors: [sugar, minutes] })
            : plan({ ...base, kind, names: ["A", "B", "C"] });
      expect(made.order.map(({ runIndex }) => runIndex).sort((a, b) => a - b)).toEqual([...made.settings.keys()]);
      expect(made.bakeCount).toBe(made.settings.length);
    }),
    { numRuns: 10 },
  );
});
