import { expect, it } from "vitest";
import { analyse } from "./analyse.js";
import {
  bakesForDifference,
  compareGroups,
  comparePaired,
  compareSwapped,
  noticeableDifference,
  powerOfComparison,
  testEquivalence,
  tukey,
} from "./compare.js";
import { compareLevels, contrast } from "./contrasts.js";

// Peer: R 4.2.2, power.t.test.
it("agrees with R on numbers and power", () => {
  expect(bakesForDifference({ difference: 1, sd: 1, paired: true })!.count).toBe(10); // n = 9.94
  expect(bakesForDifference({ difference: 1, sd: 1, paired: false })!.count).toBe(17); // n = 16.71
  expect(bakesForDifference({ difference: 0.5, sd: 1, paired: false, power: 0.9 })!.count).toBe(86); // n = 85.03
  expect(powerOfComparison({ difference: 1, sd: 1.2, paired: false, count: 12 })).toBeCloseTo(0.4967625693, 9);
  const least = noticeableDifference({ sd: 1, paired: true, count: 10 });
  expect(powerOfComparison({ difference: least, sd: 1, paired: true, count: 10 })).toBeCloseTo(0.8, 9);
});

it("takes the better shelf out of a comparison", () => {
  // Exact: B is 3 taller, the first shelf gives 2 more, and nothing else varies but 0, 1, 0, -1.
  const noise = [0, 1, 0, -1, 0.5, -0.5];
  const swapped = [false, true, false, true, false, true];
  const pairs = noise.map((value, index) => (swapped[index] ? ([40, 45 + value] as const) : ([42, 43 + value] as const)));
  const found = compareSwapped(pairs, swapped);
  if (found.kind !== "compared") throw new Error(found.why);
  const [one, other] = [
    [0, 0, 0.5],
    [1, -1, -0.5],
  ].map((list) => list.reduce((a, b) => a + b) / 3) as [number, number];
  expect(found.difference.estimate).toBeCloseTo(3 + (one + other) / 2, 12);
  expect(found.difference.df).toBe(4);
  const naive = comparePaired(pairs);
  if (naive.kind !== "compared") throw new Error(naive.why);
  expect(found.difference.standardError).toBeLessThan(naive.difference.standardError);
});

// Published form: two one-sided tests at alpha agree with the 1 - 2 alpha interval lying inside the limits.
it("shows sameness exactly when the 90 % interval lies within the limits", () => {
  const found = comparePaired([
    [40, 40.6],
    [41, 40.8],
    [39, 39.5],
    [42, 42.2],
    [40, 39.8],
    [41, 41.4],
  ]);
  if (found.kind !== "compared") throw new Error(found.why);
  for (const limit of [0.2, 0.4, 0.6, 1]) {
    const { equivalent, from, to } = testEquivalence(found.difference, [-limit, limit]);
    expect(equivalent).toBe(from > -limit && to < limit);
  }
  expect(testEquivalence(found.difference, [-0.2, Number.POSITIVE_INFINITY]).equivalent).toBe(true); // "no worse than"
  expect(() => testEquivalence(found.difference, [1, -1])).toThrow("limits 1 to -1");
});

it("compares levels out of a fit as it does means on their own, and sharper when days are taken out", () => {
  const groups = [
    { name: "A", values: [40, 42, 41, 43] },
    { name: "B", values: [43, 45, 44, 46.5] },
    { name: "C", values: [41, 42, 42, 44] },
  ];
  const runs = groups.flatMap(({ values }, level) => values.map((response, block) => ({ values: [level], response, block })));
  const factors = [{ kind: "choice" as const, name: "cake", levels: ["A", "B", "C"] }];
  const plain = compareLevels(analyse({ responseName: "y", factors, terms: [[], ["cake"]], runs }), "cake");
  for (const [index, pair] of tukey(compareGroups(groups)).entries()) {
    expect(plain[index]!.estimate).toBeCloseTo(pair.estimate, 10);
    expect(plain[index]!.from).toBeCloseTo(pair.from, 9);
    expect(plain[index]!.p).toBeCloseTo(pair.p, 9);
  }
  const blocked = analyse({ responseName: "y", factors, terms: [[], ["cake"]], runs, blockNames: ["1", "2", "3", "4"] });
  expect(compareLevels(blocked, "cake")[0]!.standardError).toBeLessThan(plain[0]!.standardError);
  expect(compareLevels(blocked, "cake", "A").length).toBe(2);
  expect(contrast(blocked, [1], [0])!.estimate).toBeCloseTo(3.125, 10);
});
