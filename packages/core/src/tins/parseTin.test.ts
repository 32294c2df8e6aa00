import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { formatTin } from "./formatTin.js";
import { tinCapacityMl } from "./geometry.js";
import { parseTin, parseTins, resolveTin } from "./parseTin.js";

// What people write, and what it is: count, then the tin in our own words. Common practice, no source.
it.each([
  ["round 20x5 cm", 1, "round 20x5 cm"],
  ["20 cm round", 1, "round 20x5 cm"],
  ["20cm (8in) round sandwich tin", 1, "round 20x5 cm"],
  ["round 20", 1, "round 20x5 cm"],
  ["200x50 mm round", 1, "round 20x5 cm"],
  ["round: 20 x 5 cm", 1, "round 20x5 cm"],
  ["round 20,5x5 cm", 1, "round 20.5x5 cm"],
  ["deep round 18 cm", 1, "round 18x9 cm"],
  ["round 23/20x5 cm", 1, "round 23/20x5 cm"],
  ["springform 23 cm", 1, "round 23x5 cm"],
  ["8 inch round tin", 1, "round 20.32x5.08 cm"],
  ["8x2 in round", 1, "round 20.32x5.08 cm"],
  ["8 x 2 in round", 1, "round 20.32x5.08 cm"],
  ['8" round x 3"', 1, "round 20.32x7.62 cm"],
  ["9-inch round, 2-inch deep", 1, "round 22.86x5.08 cm"],
  ["2 round 20x5 cm", 2, "round 20x5 cm"],
  ["2 × round 20x5 cm", 2, "round 20x5 cm"],
  ["two 20 cm round tins", 2, "round 20x5 cm"],
  ["2 x 8 inch round", 2, "round 20.32x5.08 cm"],
  ["2x20cm round", 2, "round 20x5 cm"],
  ["2 x 8 x 3 in round", 2, "round 20.32x7.62 cm"],
  ["square 23x5 cm", 1, "square 23x5 cm"],
  ["20 x 20 x 5 cm square", 1, "square 20x5 cm"],
  ["20x20x5 cm", 1, "square 20x5 cm"],
  ["square 20x20x20 cm", 1, "square 20x20x20 cm"],
  ["square 20/15x20 cm", 1, "square 20/15x20 cm"], // once found by the property below
  ["rectangle 33x23x5 cm", 1, "rectangle 33x23x5 cm"],
  ["33 x 23 x 5 cm rectangle", 1, "rectangle 33x23x5 cm"],
  ["traybake 30x20x4 cm", 1, "rectangle 30x20x4 cm"],
  ["9x13 in", 1, "rectangle 33.02x22.86x5.08 cm"],
  ["6 x 9x13 in", 6, "rectangle 33.02x22.86x5.08 cm"],
  ["loaf 21x11x6 cm", 1, "loaf 21x11x6 cm"],
  ["loaf 23x13/20x10x7 cm", 1, "loaf 23x13/20x10x7 cm"],
  ["8½ x 4½ x 2½ in loaf", 1, "loaf 21.59x11.43x6.35 cm"],
  ["8 1/2 x 4 1/2 x 2 1/2 in loaf pan", 1, "loaf 21.59x11.43x6.35 cm"],
  ["loaf 900 g", 1, "loaf 22x11.5/20x9.5x6.5 cm"],
  ["2 lb loaf", 1, "loaf 22x11.5/20x9.5x6.5 cm"],
  ["2 2lb loaf tins", 2, "loaf 22x11.5/20x9.5x6.5 cm"],
  ["3 x 450 g loaf", 3, "loaf 16x9/14.5x7.5x6 cm"],
  ["2 loaves 900 g", 2, "loaf 22x11.5/20x9.5x6.5 cm"],
  ["ring 24x8 cm hole 7 cm", 1, "ring 24x8 cm hole 7 cm"],
  ["3 silicone rings 25x8 cm", 3, "ring 25x8 cm hole 7 cm silicone"],
  ["ball 16 cm", 1, "ball 16 cm"],
  ["half ball 16", 1, "half ball 16 cm"],
  ["4 half balls 16 cm", 4, "half ball 16 cm"],
  ["cup 7/5x3.5 cm", 1, "cup 7/5x3.5 cm"],
  ["12 cups 7/5x3.5 cm", 12, "cup 7/5x3.5 cm"],
  ["10 paper cups 6/5x5 cm", 10, "cup 6/5x5 cm paper"],
  ["tray of 12 cups 7/5x3.5 cm", 1, "tray of 12 cups 7/5x3.5 cm"],
  ["12-hole muffin tray", 1, "tray of 12 cups 7/5x3.5 cm"],
  ["2 12-hole muffin trays", 2, "tray of 12 cups 7/5x3.5 cm"],
  ["24-hole mini muffin tray", 1, "tray of 24 cups 4.5/3.2x2 cm"],
  ["loaf 900 g holds 1350 ml dark steel", 1, "loaf 22x11.5/20x9.5x6.5 cm holds 1350 ml dark steel"],
])("reads %j", (text, count, expected) => {
  const reading = parseTins(text);
  expect(reading.problems).toEqual([]);
  expect(reading.value).toHaveLength(1);
  expect([reading.value[0]!.count, formatTin(reading.value[0]!.tin)]).toEqual([count, expected]);
});

it("reads several tins", () => {
  const { value, problems } = parseTins("2 x 8 inch round, 1 loaf 900 g and 12-hole muffin tray");
  expect(problems).toEqual([]);
  expect(value.map(({ count, tin }) => `${count} ${tin.shape.kind}`)).toEqual(["2 round", "1 loaf", "1 tray-of-cups"]);
});

describe("capacities", () => {
  it.each([
    ["fluted ring 2.4 l", 2400],
    ["12-cup fluted ring", 12 * 236.5882365],
    ["round 20x5 cm holds 1.5 l", 1500],
    ["round 20x5 cm holds 2.5 pints", 2.5 * 568.26125],
  ])("%s", (text, ml) => expect(tinCapacityMl(parseTin(text).value!)).toBeCloseTo(ml, 6));
  it("says when the sizes and the measured water cannot belong together", () => {
    const { problems } = parseTin("round 20x5 cm holds 15 l");
    expect(problems.map(({ code, expected, found }) => [code, expected, found])).toEqual([
      ["conflict", "about 1571 ml, which is what the sizes give", "15000 ml"],
    ]);
  });
});

it("lists what it filled in", () => {
  const words = (text: string) => parseTin(text).value!.assumed.map((assumption) => assumption.words);
  expect(words("8 inch round")).toEqual([
    "2 in deep, as is usual (common practice, no source)",
    "aluminium, as nothing else is said",
  ]);
  expect(words("round 20x5 cm glass")).toEqual([]);
  expect(words("round 20 glass")).toEqual(["sizes taken as cm", "5 cm deep, as is usual (common practice, no source)"]);
});

it.each([
  ["9x13", "unknown-unit", "9x13", 'Write "9x13 cm" or "9x13 in".'],
  ["heart 20 cm", "unknown-tin", "heart 20 cm", "Add the shape: round"],
  ["banana", "unknown-tin", "banana", "Add the shape"],
  ["20 cm", "unknown-tin", "20 cm", "Add the shape"],
  ["round", "unknown-tin", "round", "Write the inner diameter, then the depth."],
  ["", "unknown-tin", "", "Write at least one tin."],
  ["muffin tray", "unknown-tin", "muffin tray", "Write the number of holes."],
  ["round 2000x5 cm", "out-of-range", "2000 cm", "Check the numbers and the unit."],
  ["round 20x0 cm", "out-of-range", "0 cm", "Check the numbers and the unit."],
  ["0 round 20x5 cm", "out-of-range", "0 round 20x5 cm", "Write how many tins there are."],
  ["loaf 5 kg", "unknown-tin", "loaf 5 kg", "Write the inner size"],
  ["ring 20x8 cm hole 25 cm", "conflict", "ring 20x8 cm hole 25 cm", "Check the two diameters."],
])("refuses %j with what to do", (text, code, found, remedy) => {
  const reading = parseTins(text);
  expect(reading.value).toEqual([]);
  expect(reading.problems).toHaveLength(1);
  expect([reading.problems[0]!.code, reading.problems[0]!.found]).toEqual([code, found]);
  expect(reading.problems[0]!.remedy).toContain(remedy);
});

it("refuses a page pasted by mistake at once", () => {
  const start = performance.now();
  for (const text of ["1".repeat(100_000), "round".padEnd(50_000, " x 2"), "(".repeat(3999), `round ${"1 ".repeat(1990)}`]) {
    const { value, problems } = parseTins(text);
    expect(value).toEqual([]);
    expect(problems[0]!.code).toBe("too-large");
  }
  expect(parseTin("round 20x5 cm".padEnd(201)).problems[0]!.expected).toBe("at most 200 characters");
  // A hang is what this is about, not a race: a hundredth of this is what it takes.
  expect(performance.now() - start).toBeLessThan(20_000); // none hangs
});

it("passes over a word it does not know, and says so", () => {
  const reading = parseTin("wobbly round 20x5 cm");
  expect(formatTin(reading.value!)).toBe("round 20x5 cm");
  expect(reading.problems[0]!.found).toBe("wobbly");
});

it("knows the baker's own tins by name", () => {
  const owned = [{ name: "Sandwich tins", tin: parseTin("round 18x4 cm").value! }];
  expect(formatTin(resolveTin(" sandwich TINS ", owned).value!)).toBe("round 18x4 cm");
  expect(formatTin(resolveTin("round 20x5 cm", owned).value!)).toBe("round 20x5 cm");
  expect(resolveTin("market slab", owned).value).toBeUndefined();
});

it("property: what formatTin writes, parseTin reads back the same, in cm and to a hundredth of an inch", () => {
  const mm = fc.integer({ min: 120, max: 400 });
  const texts = fc
    .tuple(
      mm,
      mm,
      mm,
      mm,
      fc.constantFrom("round", "square", "rectangle", "loaf", "ring", "fluted ring", "ball", "half ball", "tray of 6 cups"),
    )
    .map(([a, b, c, d, kind]) => {
      const cm = (value: number) => value / 10;
      switch (kind) {
        case "round":
        case "square":
        case "tray of 6 cups":
          return `${kind} ${cm(a)}/${cm(b)}x${cm(c)} cm`;
        case "ring":
        case "fluted ring":
          return `${kind} ${cm(a + b)}x${cm(c)} cm hole ${cm(a)} cm`;
        case "ball":
        case "half ball":
          return `${kind} ${cm(a)} cm`;
        default:
          return `${kind} ${cm(a)}x${cm(b)}/${cm(c)}x${cm(d)}x${cm(b)} cm`;
      }
    });
  fc.assert(
    fc.property(texts, (text) => {
      const tin = parseTin(text).value!;
      expect(parseTin(formatTin(tin)).value).toEqual(tin);
      const inches = parseTin(formatTin(tin, { units: "in" })).value!;
      expect(tinCapacityMl(inches) / tinCapacityMl(tin)).toBeCloseTo(1, 1.5);
    }),
  );
});

it("property: never throws, whatever is typed", () => {
  const words = fc.array(
    fc.constantFrom(
      "round",
      "x",
      "2",
      "20",
      "/",
      "cm",
      "in",
      "loaf",
      "g",
      "900",
      "hole",
      "ring",
      "holds",
      "½",
      ",",
      "cups",
      "tray of",
      "-",
      "l",
    ),
    { maxLength: 12 },
  );
  fc.assert(
    fc.property(words, (parts) => Array.isArray(parseTins(parts.join(" ")).problems)),
    { numRuns: 500 },
  );
  fc.assert(
    fc.property(fc.string({ maxLength: 60 }), (text) => Array.isArray(parseTins(text).problems)),
    { numRuns: 500 },
  );
});
