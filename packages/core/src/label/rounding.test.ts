import { expect, it } from "vitest";
import { EU_ROUNDING, US_ROUNDING } from "./rounding.cases.js";
import { roundEu, roundUs, roundUsVitaminPercent } from "./rounding.js";

it.each(EU_ROUNDING)("rounds %s %s as the guidance does", (kind, amount, text) => {
  expect(roundEu(kind, amount).text).toBe(text);
});

it.each(US_ROUNDING)("rounds US %s %s as the rule does", (kind, amount, text) => {
  expect(roundUs(kind, amount).text).toBe(text);
});

// Published: 21 CFR 101.9(c)(8)(iii).
it.each([
  [1.9, 0],
  [4.47, 4],
  [10, 10],
  [12.8, 15],
  [50, 50],
  [60, 60],
  [56, 60],
])("rounds %s %% of a mineral to %s", (percent, shown) => {
  expect(roundUsVitaminPercent(percent)).toBe(shown);
});

it("refuses what no amount can be", () => {
  expect(() => roundEu("macro", -1)).toThrow("0 or more");
  expect(() => roundUs("fat", Number.NaN)).toThrow("0 or more");
});
