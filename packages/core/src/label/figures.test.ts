import { expect, it } from "vitest";
import { ean13Modules, gtinCheckDigit, isGtin } from "./barcode.js";
import { frontOfPackBand } from "./frontOfPack.js";
import { leastXHeightMm, packersRules, tolerableError } from "./netQuantity.js";

// Published: check digits printed by GS1 (Sweden, India, the standard's own table, the United Kingdom's body) and one book number (from memory).
it.each([
  ["730001100001", 7],
  ["890400021003", 7],
  ["629104150021", 3],
  ["501234567890", 0],
  ["978030640615", 7],
])("ends %s in %s", (body, digit) => {
  expect(gtinCheckDigit(body)).toBe(digit);
  expect(isGtin(`${body}${digit}`)).toBe(true);
  expect(isGtin(`${body}${(digit + 1) % 10}`)).toBe(false);
});

it("draws 95 modules with the guards where the standard has them, and nothing for a wrong number", () => {
  const modules = ean13Modules("5012345678900")!;
  expect(modules).toHaveLength(95);
  expect([modules.slice(0, 3), modules.slice(45, 50), modules.slice(92)]).toEqual(["101", "01010", "101"]);
  // Every digit is two bars and two spaces, seven modules wide.
  for (let digit = 0; digit < 12; digit += 1) {
    const start = 3 + digit * 7 + (digit >= 6 ? 5 : 0);
    expect(modules.slice(start, start + 7).match(/(0+|1+)/g)).toHaveLength(4);
  }
  expect(ean13Modules("5012345678901")).toBeUndefined();
  expect(ean13Modules("abc")).toBeUndefined();
});

// Published: Directive 76/211/EEC, Annex I (250 g printed in a trading-standards text; the others from memory).
it.each([
  [30, 2.7],
  [50, 4.5],
  [85, 4.5],
  [150, 6.8],
  [250, 9],
  [400, 12],
  [750, 15],
  [1200, 18],
])("lets a pack of %s g fall short by %s g", (nominal, error) => {
  expect(tolerableError(nominal)).toBeCloseTo(error, 9);
});

// Published: the three packers' rules; one pack in forty beyond the error is allowed, two are not.
it("judges a batch of packs by the three rules", () => {
  const pack = (light: number) => [
    ...Array.from({ length: 40 - light }, () => 250.5),
    ...Array.from({ length: light }, () => 240.5),
  ];
  expect(packersRules(250, pack(1))).toMatchObject({ meets: true, shortCount: 1, tooShortCount: 0 });
  expect(packersRules(250, pack(2))).toMatchObject({ meets: false, shortCount: 2 });
  expect(packersRules(250, [...pack(0), 231])).toMatchObject({ meets: false, tooShortCount: 1 });
});

// Published: UK front-of-pack guide, table 2 (per 100 g seen in the health service's page, per portion from memory), at every limit.
it.each([
  ["fat", 3, undefined, "low"],
  ["fat", 3.1, undefined, "medium"],
  ["fat", 17.5, undefined, "medium"],
  ["fat", 17.6, undefined, "high"],
  ["saturates", 1.5, undefined, "low"],
  ["saturates", 5, undefined, "medium"],
  ["saturates", 5.1, undefined, "high"],
  ["sugars", 5, undefined, "low"],
  ["sugars", 22.6, undefined, "high"],
  ["salt", 0.3, undefined, "low"],
  ["salt", 1.5, undefined, "medium"],
  ["salt", 1.51, undefined, "high"],
  ["fat", 18.3, 120, "high"],
  ["fat", 15, 120, "medium"],
  ["fat", 16.5, 130, "high"],
  ["fat", 16.5, 90, "medium"],
] as const)("bands %s %s (portion %s) as %s", (nutrient, per100g, portion, band) => {
  expect(frontOfPackBand(nutrient, per100g, portion)).toBe(band);
});

it("asks for letters of 1.2 mm, or 0.9 on a small pack", () => {
  expect([leastXHeightMm(79.9), leastXHeightMm(80)]).toEqual([0.9, 1.2]);
});
