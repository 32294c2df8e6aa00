import { describe, expect, it } from "vitest";
import { type EuEggGrade, eggParts, type UsEggGrade } from "./eggs.js";

// Published: Commission Regulation (EC) 589/2008, article 4: XL 73 g and more, L 63 to under 73, M 53 to under 63, S under 53.
it.each([
  ["M", 53, 63],
  ["L", 63, 73],
] as const)("keeps a grade %s egg within its legal weights", (grade, from, to) => {
  const { bands, inShellGrams } = eggParts({ scheme: "uk", grade });
  expect([bands.inShellGrams.from, bands.inShellGrams.to]).toEqual([from, to]);
  expect(inShellGrams).toBe((from + to) / 2);
});

// Published: USDA SR28 portion weights, 01123 (whole), 01124 (white 33 g), 01125 (yolk 17 g), large egg.
it("agrees with the USDA weights of a large US egg and its parts", () => {
  const large = eggParts({ scheme: "us", grade: "large" });
  expect(large.edibleGrams).toBe(50);
  expect(large.whiteGrams).toBeCloseTo(33, 10);
  expect(large.yolkGrams).toBeCloseTo(17, 10);
  expect(large.inShellGrams).toBeCloseTo(56.7, 1); // 24 oz a dozen, the least of the class
});

// Common practice, no source: British bakers count 50 g for a medium and 60 g for a large egg without shell.
it("gives what British bakers count for a medium and a large egg", () => {
  expect(Math.abs(eggParts({ scheme: "uk", grade: "M" }).edibleGrams - 50)).toBeLessThan(2.5);
  expect(Math.abs(eggParts({ scheme: "uk", grade: "L" }).edibleGrams - 60)).toBeLessThan(2.5);
});

describe("every grade", () => {
  const all = [
    ...(["S", "M", "L", "XL"] as EuEggGrade[]).map((grade) => eggParts({ scheme: "eu", grade })),
    ...(["peewee", "small", "medium", "large", "extra-large", "jumbo"] as UsEggGrade[]).map((grade) =>
      eggParts({ scheme: "us", grade }),
    ),
  ];
  it("has white and yolk that make up the edible egg, inside the shell, within its bands", () => {
    for (const egg of all) {
      expect(egg.whiteGrams + egg.yolkGrams).toBeCloseTo(egg.edibleGrams, 10);
      expect(egg.edibleGrams).toBeLessThan(egg.inShellGrams);
      for (const band of Object.values(egg.bands)) {
        expect(band.from).toBeLessThanOrEqual(band.likely);
        expect(band.likely).toBeLessThanOrEqual(band.to);
      }
      expect(egg.source).toMatch(/USDA SR28/);
    }
  });
});
