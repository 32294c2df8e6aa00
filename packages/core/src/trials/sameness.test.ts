import { expect, it } from "vitest";
import { comparePaired, testEquivalence } from "./compare.js";
import { createRandom } from "./random.js";
import { bakesForSameness, powerOfSameness } from "./sameness.js";

// Peer: R 4.2.2. Both sides: integrate() over dchisq of the found variance; one side: power.t.test(alternative = "one.sided").
it.each([
  ["the same", 7, 4, 2 * Math.SQRT2, true, 0.8983825717],
  ["the same", 12, 4, 2 * Math.SQRT2, true, 0.9965830355],
  ["the same", 3, 5, 2, true, 0.751498569],
  ["no worse", 8, 4, 2 * Math.SQRT2, true, 0.9734024048],
  ["no worse", 8, 4, 2 * Math.SQRT2, false, 0.8515084076],
] as const)("gives the chance to show “%s” with %i as R does", (aim, count, difference, sd, paired, power) => {
  // Both print ten digits; the integral is good to fewer where the density is steep.
  expect(powerOfSameness({ aim, count, difference, sd, paired })).toBeCloseTo(power, 7);
});

it("needs more bakes for both sides than for one, and says when no number is enough", () => {
  const question = { difference: 4, sd: 2 * Math.SQRT2, paired: true };
  const one = bakesForSameness({ ...question, aim: "no worse" })!;
  const both = bakesForSameness({ ...question, aim: "the same" })!;
  expect(one.count).toBeLessThan(both.count);
  expect(powerOfSameness({ ...question, aim: "the same", count: both.count - 1 })).toBeLessThan(0.8);
  expect(bakesForSameness({ ...question, difference: 0.01, aim: "the same" }, 50)).toBeUndefined();
  expect(() => powerOfSameness({ ...question, aim: "the same", count: 1 })).toThrow("count 1");
});

it("keeps its promise: the stated chance to show it, by simulation", () => {
  const [count, sd, margin] = [7, 2 * Math.SQRT2, 4];
  const random = createRandom(41);
  let shown = 0;
  const rounds = 4000;
  for (let round = 0; round < rounds; round++) {
    const comparison = comparePaired(Array.from({ length: count }, () => [0, sd * random.normal()] as const));
    if (comparison.kind === "compared" && testEquivalence(comparison.difference, [-margin, margin]).equivalent) shown++;
  }
  const power = powerOfSameness({ aim: "the same", count, difference: margin, sd, paired: true });
  // Four standard errors of a share at 4000 rounds.
  expect(Math.abs(shown / rounds - power)).toBeLessThan(4 * Math.sqrt((power * (1 - power)) / rounds));
});
