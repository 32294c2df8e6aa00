import fc from "fast-check";
import { expect, it } from "vitest";
import { readCsv, writeCsv } from "./csv.js";

const plainRows = (text: string) => readCsv(text).value.rows.map((row) => ({ ...row }));

it("reads quotes, doubled quotes, line breaks in fields, either line end and a byte-order mark", () => {
  expect(plainRows('\uFEFFrun,note,mm\r\n1,"flat, ""sad""\ntop",41.5\r\n2,,NA\n')).toEqual([
    { run: 1, note: 'flat, "sad"\ntop', mm: 41.5 },
    { run: 2, note: null, mm: null },
  ]);
});

it("reads semicolons with decimal commas, and tabs", () => {
  expect(plainRows("run;mm\n1;41,5")).toEqual([{ run: 1, mm: 41.5 }]);
  expect(plainRows("run\tmm\n1\t41.5")).toEqual([{ run: 1, mm: 41.5 }]);
});

it("says where a row is broken, and keeps the rest", () => {
  const { value, problems } = readCsv('a,b\n1,2\n3\n4,"open\n');
  expect(value.rows.length).toBe(1);
  expect(problems.map(({ position, expected }) => [position, expected])).toEqual([
    [{ line: 4, column: 3 }, "a closing double quote"],
    [{ line: 3, column: 1 }, "2 fields, as in the first line"],
  ]);
  expect(readCsv("a,a\n1,2").problems[0]).toMatchObject({ code: "duplicate", found: "a" });
  expect(readCsv("").problems[0]?.expected).toBe("a first line with the names of the columns");
});

it("writes nothing that a spreadsheet would run, and reads it back unchanged", () => {
  const rows = [
    { note: '=HYPERLINK("x")', mm: -4 },
    { note: "@cmd", mm: 0.1 + 0.2 },
    { note: "'quoted", mm: null },
  ];
  const text = writeCsv(["note", "mm"], rows);
  expect(text).toContain("'=HYPERLINK");
  expect(text).not.toMatch(/(^|,|\n)"?[=@]/);
  expect(plainRows(text)).toEqual(rows);
});

it("gives back any table (property)", () => {
  const word = fc
    .string({ minLength: 1, maxLength: 12 })
    .filter(
      (text) =>
        /[a-z]/i.test(text) &&
        !/^(na|nan|null|none|missing|n\/a)$/i.test(text.trim()) &&
        text.trim() === text &&
        !/^[+-]?\.?\d/.test(text) &&
        !text.startsWith("\uFEFF"),
    );
  const cell = fc.oneof(
    word,
    fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => (x === 0 ? 0 : x)),
    fc.constant(null),
  );
  fc.assert(
    fc.property(
      fc.uniqueArray(word, { minLength: 2, maxLength: 5 }),
      fc.array(fc.array(cell, { minLength: 5, maxLength: 5 }), { minLength: 1, maxLength: 6 }),
      (columns, cells) => {
        const rows = cells.map((line) => Object.fromEntries(columns.map((name, index) => [name, line[index]!])));
        expect(plainRows(writeCsv(columns, rows))).toEqual(rows.map((row) => ({ ...row })));
      },
    ),
  );
});

it("never throws, whatever it is given, and never touches a prototype (property)", () => {
  fc.assert(
    fc.property(fc.string({ unit: fc.constantFrom('"', ",", ";", "\n", "\r", "a", "1", "=", "\t", "'", " ") }), (text) => {
      readCsv(text);
    }),
    { numRuns: 500 },
  );
  const { value } = readCsv("__proto__,constructor\n1,2");
  expect(Object.keys(value.rows[0]!)).toEqual(["__proto__", "constructor"]);
  expect(({} as Record<string, unknown>).a).toBeUndefined();
});
