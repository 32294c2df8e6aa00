import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { DEFAULT_WEIGHING, roundParts, roundWeighable } from "./rounding.js";

it.each([
  [0, 0],
  [0.02, 0.1], // never nothing
  [0.3 + 0.6, 0.9], // 0.8999999999999999 in binary
  [2.34, 2.3],
  [9.96, 10],
  [10.4, 10],
  [10.5, 11],
  [249.5, 250],
  [1234.567, 1235],
])("weighs %d g as %d g", (exact, weighed) => {
  expect(roundWeighable(exact)).toBe(weighed);
});

it("follows the baker's own scale", () => {
  expect(roundWeighable(247, { fineBelow: 50, fineStep: 1, step: 5 })).toBe(245);
  expect(roundWeighable(47.4, { fineBelow: 50, fineStep: 1, step: 5 })).toBe(47);
  expect(() => roundWeighable(5, { fineBelow: 10, fineStep: 0, step: 1 })).toThrow("is not above 0");
});

it("refuses what is no weight", () => {
  for (const grams of [-1, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => roundWeighable(grams)).toThrow("is not a weight");
    expect(() => roundParts([1, grams])).toThrow("is not a weight");
  }
});

// Published example of the largest remainder method (Hare quota), from memory of textbooks on apportionment:
// 100,000 votes 47,000 16,000 15,800 12,000 6,100 3,100 for 10 seats give 5 2 1 1 1 0. Here seats are steps and no part may
// vanish, so each share is raised by one step first: 5.7 2.6 2.58 2.2 1.61 1.31 of 16 give 6 3 2 2 2 1.
it("shares out by the largest remainder", () => {
  const shares = [4.7, 1.6, 1.58, 1.2, 0.61, 0.31].map((share) => 10 * (share + 1));
  const { parts, total } = roundParts(shares, { fineBelow: 0, fineStep: 10, step: 10 });
  expect(total).toBe(160);
  expect(parts.map((part) => part / 10)).toEqual([6, 3, 2, 2, 2, 1]);
});

describe("rounded parts (property)", () => {
  const weights = fc.array(
    fc.oneof(fc.double({ min: 0, max: 12, noNaN: true }), fc.double({ min: 0, max: 20_000, noNaN: true })),
    {
      minLength: 1,
      maxLength: 60,
    },
  );
  it("sum to the rounded total exactly, move by less than one step, and never vanish", () => {
    fc.assert(
      fc.property(weights, (exact) => {
        const { parts, total } = roundParts(exact);
        const tenths = parts.reduce((sum, part) => sum + Math.round(part * 10), 0);
        expect(tenths).toBe(Math.round(total * 10));
        parts.forEach((part, index) => {
          const before = exact[index]!;
          const step = before >= DEFAULT_WEIGHING.fineBelow ? 1 : 0.1;
          expect(Math.abs(part - before)).toBeLessThan(step + 1e-9);
          expect(part > 0).toBe(before > 0);
          expect(part).toBe(Number(part.toFixed(1))); // no 0.30000000000000004
        });
      }),
      { numRuns: 1000 },
    );
  });
  it("sum to the weighable total of the whole when all are on one scale", () => {
    const coarse = fc.array(fc.double({ min: 10, max: 5000, noNaN: true }), { minLength: 1, maxLength: 40 });
    fc.assert(
      fc.property(coarse, (exact) => {
        const sum = exact.reduce((a, b) => a + b, 0);
        expect(Math.abs(roundParts(exact).total - sum)).toBeLessThanOrEqual(0.5 + 1e-6);
      }),
    );
  });
  it("are the same when rounded twice", () => {
    fc.assert(
      fc.property(weights, (exact) => {
        const once = roundParts(exact).parts;
        expect(roundParts(once).parts).toEqual(once);
      }),
    );
  });
});
