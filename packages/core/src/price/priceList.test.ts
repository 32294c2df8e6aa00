import fc from "fast-check";
import { expect, it } from "vitest";
import { createIngredientBook } from "../ingredients/index.js";
import { readCsv } from "./csv.js";
import { addPrices, readKeptPrices } from "./keptPrices.js";
import { PRICE_LIST_COLUMNS, type PriceEntry, readPriceList, writePriceList } from "./priceList.js";

const book = createIngredientBook();
const HEAD = PRICE_LIST_COLUMNS.join(",");

// Published: RFC 4180, section 2, rules 1, 2, 5, 6 and 7 with its own examples.
it.each([
  [
    "rule 1",
    "aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n",
    [
      ["aaa", "bbb", "ccc"],
      ["zzz", "yyy", "xxx"],
    ],
  ],
  [
    "rule 2",
    "aaa,bbb,ccc\r\nzzz,yyy,xxx",
    [
      ["aaa", "bbb", "ccc"],
      ["zzz", "yyy", "xxx"],
    ],
  ],
  [
    "rule 5",
    '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
    [
      ["aaa", "bbb", "ccc"],
      ["zzz", "yyy", "xxx"],
    ],
  ],
  [
    "rule 6",
    '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
    [
      ["aaa", "b\r\nbb", "ccc"],
      ["zzz", "yyy", "xxx"],
    ],
  ],
  ["rule 7", '"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]],
])("reads comma-separated text by RFC 4180, %s", (_rule, text, expected) => {
  expect(readCsv(text).rows.map((row) => row.map((cell) => cell.text))).toEqual(expected);
});

it("says of each fault the row, the column, what was expected and what to do", () => {
  const text = [
    HEAD,
    "butter-unsalted,5000,38.50,GBP,Dairy,2026-11-02",
    "moon dust,1000,1.00,GBP,,",
    "salt,a bag,1.00,GBP,,",
    'salt,1000,"1,20",GBP,,',
    "salt,1000,1.20,pounds,,2026-02-30",
    "salt,1000,,GBP,,",
  ].join("\r\n");
  const { value, problems } = readPriceList(text, book);
  expect(value).toHaveLength(1);
  expect(problems.map(({ position, path }) => [position?.line, position?.column, path.at(-1)])).toEqual([
    [3, 1, "ingredient"],
    [4, 6, "pack_grams"],
    [5, 11, "price"],
    [6, 16, "currency"],
    [6, 24, "date"],
    [7, 11, "price"],
  ]);
  for (const { expected, found, remedy } of problems) for (const words of [expected, found, remedy]) expect(words).not.toBe("");
  expect(problems[5]).toMatchObject({ expected: "a price such as 7.20", found: "nothing" });
  expect(readPriceList("ingredient;pack_grams;price;currency\nsalt;1000;1,20;GBP", book).problems[0]).toMatchObject({
    remedy: "Save the list with commas between the columns.",
  });
  expect(readPriceList(`${HEAD}\nsalt,1000,1.20,GBP,"open`, book).problems[0]).toMatchObject({
    position: { line: 2, column: 20 },
    expected: "a quotation mark that closes the cell",
  });
});

it("leaves a price that is not filled in missing, and takes an ingredient by its name", () => {
  const { value, problems } = readPriceList(
    `${HEAD}\nsalt,,,GBP,,\nUnsalted butter,250,2.19,GBP,Corner shop,\nPLAIN FLOUR,1500,1.10,GBP,,`,
    book,
  );
  expect(problems).toEqual([]);
  expect(value.map(({ ingredient, pack }) => [ingredient, pack.priceMinor])).toEqual([
    ["butter-unsalted", 219],
    ["plain-flour", 110],
  ]);
});

const anyEntry: fc.Arbitrary<PriceEntry> = fc.record({
  ingredient: fc.constantFrom(...book.all.map(({ id }) => id)),
  pack: fc.record(
    {
      grams: fc.integer({ min: 1, max: 25_000 }),
      priceMinor: fc.integer({ min: 0, max: 100_000 }),
      currency: fc.constantFrom("GBP", "EUR", "JPY", "KWD"),
      supplier: fc.string({ minLength: 1, maxLength: 30, unit: "grapheme" }).map((text) => text.trim() || "Mill"),
      date: fc
        .date({ min: new Date("2020-01-01"), max: new Date("2030-01-01"), noInvalidDate: true })
        .map((day) => day.toISOString().slice(0, 10)),
    },
    { requiredKeys: ["grams", "priceMinor", "currency"] },
  ),
});

it("reads back what it wrote, whatever the supplier is called (property)", () => {
  fc.assert(
    fc.property(fc.array(anyEntry, { maxLength: 12 }), (entries) => {
      expect(readPriceList(writePriceList(entries), book)).toEqual({ value: entries, problems: [] });
    }),
    {
      seed: 5,
      numRuns: 500,
      examples: [
        [[{ ingredient: "salt", pack: { grams: 1, priceMinor: 1, currency: "GBP", supplier: "=1+1" } }]],
        [[{ ingredient: "salt", pack: { grams: 1, priceMinor: 1, currency: "GBP", supplier: "'=1" } }]],
        [[{ ingredient: "salt", pack: { grams: 1, priceMinor: 1, currency: "GBP", supplier: 'a "b", c\nd' } }]],
      ],
    },
  );
});

it("adds prices behind those that are there, and none of them twice (property)", () => {
  fc.assert(
    fc.property(fc.uniqueArray(anyEntry, { maxLength: 8, selector: (one) => JSON.stringify(one) }), fc.nat(8), (entries, cut) => {
      const first = addPrices([], entries.slice(0, cut));
      const second = addPrices(first.entries, entries);
      expect(second.entries.slice(0, first.entries.length)).toEqual(first.entries);
      expect(second.added + second.known).toBe(entries.length);
      expect(addPrices(second.entries, entries)).toMatchObject({ added: 0 });
      expect(readKeptPrices(JSON.parse(JSON.stringify({ name: "Prices", entries: second.entries })))).toEqual({
        value: second.entries,
        problems: [],
      });
    }),
    { seed: 5, numRuns: 200 },
  );
});

it("says what of a kept list it cannot read, and keeps the rest", () => {
  const { value, problems } = readKeptPrices({
    name: "Prices",
    entries: [
      { ingredient: "salt", pack: { grams: 1000, priceMinor: 90, currency: "GBP" } },
      { ingredient: "salt", pack: { grams: -1 } },
      7,
    ],
  });
  expect(value).toHaveLength(1);
  expect(problems.map(({ path }) => path.join("."))).toEqual([
    "entries.1.pack.grams",
    "entries.1.pack.priceMinor",
    "entries.1.pack.currency",
    "entries.2",
    "entries.2.pack",
  ]);
  expect(readKeptPrices({ name: "Prices" }).problems[0]).toMatchObject({ path: ["entries"] });
});
