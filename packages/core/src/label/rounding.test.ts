import { expect, it } from "vitest";
import { type EuClass, roundEu, roundUs, roundUsVitaminPercent, type UsClass } from "./rounding.js";

// Published: European Commission guidance on tolerances, December 2012, table 4 (from memory), at and around every threshold.
it.each<[EuClass, number, string]>([
  ["energy", 1704.4, "1704"],
  ["energy", 1704.5, "1705"],
  ["macro", 0, "0 g"],
  ["macro", 0.5, "<0.5 g"],
  ["macro", 0.51, "0.5 g"],
  ["macro", 9.94, "9.9 g"],
  ["macro", 9.95, "10 g"],
  ["macro", 9.96, "10 g"],
  ["macro", 10, "10 g"],
  ["macro", 12.4, "12 g"],
  ["macro", 12.5, "13 g"],
  ["fattyAcid", 0.1, "<0.1 g"],
  ["fattyAcid", 0.11, "0.1 g"],
  ["fattyAcid", 0.14, "0.1 g"],
  ["fattyAcid", 9.94, "9.9 g"],
  ["fattyAcid", 10.6, "11 g"],
  ["salt", 0.0125, "<0.01 g"],
  ["salt", 0.013, "0.01 g"],
  ["salt", 0.456, "0.46 g"],
  ["salt", 0.994, "0.99 g"],
  ["salt", 0.996, "1.0 g"],
  ["salt", 1.25, "1.3 g"],
  ["salt", 1.26, "1.3 g"],
  ["sodium", 0.005, "<0.005 g"],
  ["sodium", 0.32, "0.32 g"],
])("rounds %s %s as the guidance does", (kind, amount, text) => {
  expect(roundEu(kind, amount).text).toBe(text);
});

// Published: 21 CFR 101.9(c) as tabled in the agency's food-labelling guide, at and around every threshold.
it.each<[UsClass, number, string]>([
  ["calories", 4.9, "0"],
  ["calories", 5, "5"],
  ["calories", 47, "45"],
  ["calories", 47.5, "50"],
  ["calories", 50, "50"],
  ["calories", 52.4, "50"],
  ["calories", 55, "60"],
  ["fat", 0.49, "0g"],
  ["fat", 0.5, "0.5g"],
  ["fat", 2.3, "2.5g"],
  ["fat", 4.8, "5g"],
  ["fat", 4.7, "4.5g"],
  ["fat", 5.2, "5g"],
  ["fat", 5.5, "6g"],
  ["cholesterol", 1.9, "0mg"],
  ["cholesterol", 2, "less than 5mg"],
  ["cholesterol", 5, "less than 5mg"],
  ["cholesterol", 7.6, "10mg"],
  ["sodium", 4, "0mg"],
  ["sodium", 5, "5mg"],
  ["sodium", 12, "10mg"],
  ["sodium", 138, "140mg"],
  ["sodium", 140, "140mg"],
  ["sodium", 146, "150mg"],
  ["carbohydrate", 0.4, "0g"],
  ["carbohydrate", 0.5, "less than 1g"],
  ["carbohydrate", 0.99, "less than 1g"],
  ["carbohydrate", 1, "1g"],
  ["carbohydrate", 1.4, "1g"],
  ["protein", 0.7, "less than 1g"],
])("rounds US %s %s as the rule does", (kind, amount, text) => {
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
