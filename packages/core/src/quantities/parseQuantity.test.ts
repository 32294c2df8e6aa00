import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parseQuantity, readGrams } from "./parseQuantity.js";

it.each([
  ["250", 250],
  ["250 g", 250],
  ["250G", 250],
  ["250 grams", 250],
  ["1.5 kg", 1500],
  ["1,5 kg", 1500],
  ["0,250 kg", 250],
  ["1,500 g", 1500],
  ["12,500", 12_500],
  [".5 kg", 500],
  ["1½", 1.5],
  ["½", 0.5],
  ["1 1/2 kg", 1500],
  ["3/4 kg", 750],
  ["8 oz", 226.796185],
  ["1 lb", 453.59237],
  ["1 lb 4 oz", 566.9904625],
  ["2lb 3oz", 992.2332625], // 35 x 28.34952..., see the arithmetic below
  ["1kg250g", 1250],
  ["2 x 125 g", 250],
  ["3 × 2", 6],
  ["250 g + 30 g", 280],
  ["250 + 30 g", 280],
  ["0", 0],
])("reads %s as grams", (text, grams) => {
  const read = readGrams(text);
  expect(read.ok && read.value).toBeCloseTo(text === "2lb 3oz" ? 35 * 28.349523125 : grams, 9);
});

it.each([
  ["300 ml", { kind: "volume", millilitres: 300 }],
  ["2 tbsp", { kind: "volume", millilitres: 30 }],
  ["1.5 l", { kind: "volume", millilitres: 1500 }],
  ["12.5 %", { kind: "percent", percent: 12.5 }],
  ["12,5%", { kind: "percent", percent: 12.5 }],
])("reads %s as what it is", (text, value) => {
  expect(parseQuantity(text)).toEqual({ value, problems: [] });
});

it("takes cups and spoons of the reader's country", () => {
  const cup = (system: "us" | "metric") => parseQuantity("1 cup", { system }).value;
  expect(cup("metric")).toEqual({ kind: "volume", millilitres: 250 });
  expect(cup("us")).toMatchObject({ millilitres: expect.closeTo(236.5882365, 9) });
  expect(parseQuantity("1 pint").value).toMatchObject({ millilitres: expect.closeTo(568.26125, 9) });
});

it.each([
  ["25O g", "not-a-weight", "Replace the letter O with a zero."],
  ["O.5", "not-a-weight", "Replace the letter O with a zero."],
  ["l5 g", "not-a-weight", "Replace the letter l with a one."],
  ["-3", "out-of-range", "Give 0 or more; to take an ingredient out, type 0 or delete the line."],
  ["−3 g", "out-of-range", "Give 0 or more; to take an ingredient out, type 0 or delete the line."],
  ["200-250 g", "not-a-weight", "Give one weight, not a range."],
  ["200 to 250 g", "not-a-weight", "Give one weight, not a range."],
  ["1,500 kg", "not-a-weight", "Write 1500 or 1.500, whichever you mean."],
  ["1e3", "not-a-weight", "Write the number out, without an exponent."],
  ["", "missing-field", "Type a weight such as 250 g, or 0 for none."],
  ["1/0", "not-a-weight", "A fraction cannot be divided by 0."],
  ["5 blobs", "unknown-unit", '"blobs" is no unit known here; use g, kg, oz, lb, ml, l, tsp, tbsp or cup.'],
  ["1.2.3", "not-a-weight", "Write the number with one decimal point at most, such as 1.5."],
  ["flour", "not-a-weight", "Start with a number, such as 250 g."],
  ["300 ml", "not-a-weight", "Weigh it and give grams, or choose the ingredient first, so that its density is known."],
  ["12 %", "not-a-weight", "This cell holds a weight; type percent in a column of percent."],
  ["20000 kg", "out-of-range", "Give a weight of at most 10,000 kg; check the unit."],
  ["2 4", "not-a-weight", "Give one number and one unit, such as 250 g, or 1 lb 4 oz."],
])("refuses %s and says what to do", (text, code, remedy) => {
  const read = readGrams(text, { path: ["uses", 0, "grams"] });
  expect(read).toMatchObject({
    ok: false,
    error: { code, remedy, path: ["uses", 0, "grams"], expected: "a weight such as 250 g", found: `"${text}"` },
  });
});

describe("any text (property)", () => {
  it("is a quantity of 0 or more, or one problem with a remedy; never a crash or a hang", () => {
    const bits = fc.constantFrom(
      "1",
      "250",
      "½",
      "/",
      ",",
      ".",
      " ",
      "g",
      "kg",
      "lb",
      "oz",
      "x",
      "+",
      "-",
      "%",
      "O",
      "l",
      "cup",
      "__proto__",
      "constructor",
      "e9",
      "٣",
      "ﬁ",
    );
    const text = fc.oneof(
      fc.string({ maxLength: 90 }),
      fc.string({ unit: "grapheme", maxLength: 40 }),
      fc.array(bits, { maxLength: 14 }).map((b) => b.join("")),
    );
    fc.assert(
      fc.property(text, (t) => {
        const read = parseQuantity(t);
        if (read.value === undefined) {
          expect(read.problems).toHaveLength(1);
          expect(read.problems[0]!.remedy).not.toBe("");
        } else {
          expect(read.problems).toEqual([]);
          const size = Object.values(read.value).find((v) => typeof v === "number")!;
          expect(size).toBeGreaterThanOrEqual(0);
          expect(Number.isFinite(size)).toBe(true);
        }
      }),
      { numRuns: 5000 },
    );
  });
  it("is refused when it is no text at all", () => {
    for (const value of [undefined, null, 5, {}, []])
      expect(readGrams(value as unknown as string)).toMatchObject({ ok: false, error: { code: "not-text" } });
  });
  it("reads back what it would print (property)", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 9_999_999 }), (tenths) => {
        const grams = tenths / 10;
        expect(readGrams(`${grams} g`)).toEqual({ ok: true, value: grams });
      }),
    );
  });
});
