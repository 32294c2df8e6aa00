import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createIngredientBook } from "../ingredients/index.js";
import type { EggGrade } from "../quantities/index.js";
import { READER_MEASURES, type ReaderMeasures, readerAmount } from "./amounts.js";

const book = createIngredientBook();
const LARGE: EggGrade = { scheme: "uk", grade: "L" };
const US_LARGE: EggGrade = { scheme: "us", grade: "large" };
const amount = (id: string, grams: number, measures: ReaderMeasures, note?: string) =>
  readerAmount(grams, book.get(id), {
    measures,
    egg: measures === "us" ? US_LARGE : LARGE,
    ...(note === undefined ? {} : { note }),
  });

// Hand-worked from the table figure of each food (USDA SR28: cup of flour 125 g, of butter 227 g, caster sugar 200 g, almonds ground 95 g).
it.each([
  ["butter-unsalted", 225, "us", "2 sticks (1 cup, 225 g)"],
  ["butter-unsalted", 200, "us", "1¾ sticks (14 tbsp, 200 g)"],
  ["butter-unsalted", 135, "us", "1 stick + 1½ tbsp (135 g)"],
  ["butter-unsalted", 22, "us", "1½ tbsp (22 g)"],
  ["plain-flour", 250, "us", "2 cups (250 g)"],
  ["plain-flour", 200, "us", "1½ cups + 1½ tbsp (200 g)"],
  ["caster-sugar", 200, "us", "1 cup (200 g)"],
  ["light-brown-sugar", 220, "us", "1 cup packed (220 g)"],
  ["ground-almonds", 95, "us", "1 cup (95 g)"],
  ["baking-powder", 7, "us", "1½ tsp"],
  ["salt", 3, "us", "½ tsp"],
  ["dark-chocolate-60-69", 150, "us", "5¼ oz (150 g)"],
  ["mixed-peel", 50, "us", "1¾ oz (50 g)"],
  ["butter-unsalted", 225, "imperial", "8 oz"],
  ["plain-flour", 454, "imperial", "1 lb"],
  ["plain-flour", 680, "imperial", "1 lb 8 oz"],
  ["milk-whole", 293, "imperial", "10 fl oz"],
  ["baking-powder", 9, "imperial", "2 tsp"],
  ["plain-flour", 227, "metric", "225 g"],
  ["salt", 3, "metric", "½ tsp (3 g)"],
  ["salt", 2, "metric", "2 g (a generous ¼ tsp)"],
  ["milk-whole", 230, "metric", "225 ml"],
  ["mixed-peel", 7.3, "metric", "7.5 g"],
] as const)("%s, %d g, for %s measures: %s", (id, grams, measures, text) => {
  expect(amount(id, grams, measures).text).toBe(text);
});

describe("eggs", () => {
  it("counts whole ones and weighs the rest, and never fills a cup with egg", () => {
    expect(amount("egg-whole-uk", 243, "metric")).toEqual({
      text: "4 large eggs (243 g without shells)",
      grams: expect.closeTo(243.04, 1),
      namesIt: true,
    });
    expect(amount("egg-whole-uk", 204, "us").text).toBe("4 large eggs (200 g without shells)");
    expect(amount("egg-whole-uk", 230, "metric").text).toBe("230 g beaten egg (about 3¾ large eggs)");
    expect(amount("egg-whole-uk", 178, "us").text).toBe("6¼ oz beaten egg (178 g, about 3½ large eggs)");
    expect(amount("egg-white-uk", 198, "us").text).toBe("6 large egg whites (198 g)");
    expect(amount("egg-yolk-uk", 17, "us").text).toBe("1 large egg yolk (17 g)");
    expect(amount("egg-yolk-uk", 30, "metric").text).toBe("30 g egg yolk (about 1½ large egg yolks)");
  });

  it("a counted egg is within a twentieth of the weight (property)", () => {
    fc.assert(
      fc.property(fc.double({ min: 5, max: 3000, noNaN: true }), fc.constantFrom(...READER_MEASURES), (grams, measures) => {
        for (const id of ["egg-whole-uk", "egg-yolk-uk", "egg-white-uk"]) {
          const got = amount(id, grams, measures);
          expect(got.text).not.toMatch(/cup|tbsp|tsp/);
          if (/^\d+ large/.test(got.text)) expect(Math.abs(got.grams / grams - 1)).toBeLessThanOrEqual(0.05 + 1e-9);
        }
      }),
    );
  });
});

it("measures by volume only what a table gives a volume weight for, in the form it is used in", () => {
  const spooned = /cup|tbsp|tsp|\bml\b|fl oz/;
  for (const ingredient of book.all) {
    const printed =
      ingredient.densityGPerMl.known || ingredient.householdWeights.some(({ measure }) => measure.startsWith("cup"));
    for (const measures of READER_MEASURES) {
      for (const grams of [4, 40, 160]) {
        const { text, grams: held } = readerAmount(grams, ingredient, { measures, egg: LARGE });
        // A stick of butter is a weight: a quarter pound.
        if (!printed && !text.includes("stick"))
          expect([ingredient.id, text]).toEqual([ingredient.id, expect.not.stringMatching(spooned)]);
        expect(held).toBeGreaterThan(0);
      }
    }
    if (ingredient.densityGPerMl.known)
      expect([ingredient.id, ingredient.densityGPerMl.source]).toEqual([ingredient.id, expect.stringMatching(/\w{3}/)]);
  }
  expect(amount("courgette", 290, "us").text).toMatch(/cups/);
  expect(amount("courgette", 290, "us", "grated and squeezed").text).toBe("10 oz (290 g)");
  expect(amount("hazelnuts", 210, "us", "toasted and ground").text).toBe("7½ oz (210 g)");
  expect(readerAmount(100, undefined, { measures: "us", egg: US_LARGE }).text).toBe("3½ oz (100 g)");
});

it("asks only for amounts that a kitchen can measure, and says what they weigh (property)", () => {
  const ids = book.all.filter(({ role }) => role !== "egg").map(({ id }) => id);
  const fraction = "(?:\\d+[¼½¾⅓⅔]?|[⅛¼½¾⅓⅔])";
  const measured = new RegExp(
    `^(?:${fraction} (?:cups?|tbsp|tsp|sticks?|oz|fl oz|lb)|\\d+ lb ${fraction} oz|\\d+ ml|[\\d,]+(?:\\.5)? g)(?: \\+ ${fraction} (?:tbsp|tsp))?(?: packed)?(?: \\(.*\\))?$`,
  );
  fc.assert(
    fc.property(
      fc.constantFrom(...ids),
      fc.double({ min: 0.3, max: 4000, noNaN: true }),
      fc.constantFrom(...READER_MEASURES),
      (id, grams, measures) => {
        const got = amount(id, grams, measures);
        expect([id, grams, got.text]).toEqual([id, grams, expect.stringMatching(measured)]);
        // From two ounces up nothing misses by more than a twelfth: a quarter of an ounce, or the coarsest cup and spoon.
        if (grams >= 57)
          expect([id, grams, got.text, Math.abs(got.grams / grams - 1) <= 0.085]).toEqual([id, grams, got.text, true]);
      },
    ),
    { numRuns: 800 },
  );
});
