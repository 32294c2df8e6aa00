import fc from "fast-check";
import { expect, it } from "vitest";
import type { Formula } from "../formula/index.js";
import { createIngredientBook, type Ingredient, type Pack } from "../ingredients/index.js";
import {
  breakEvenItems,
  compareCosts,
  costBatch,
  formatMoney,
  marginFromMarkUp,
  markUpFromMargin,
  type PriceInputs,
  priceRise,
  priceWaterfall,
  readPriceList,
  roundToMinor,
  sellingPrice,
  writePriceList,
} from "./index.js";

const shipped = createIngredientBook();
const priced = (id: string, packs: readonly Pack[]): Ingredient => ({ ...shipped.get(id)!, packs });
const pack = (grams: number, priceMinor: number, date?: string): Pack => ({
  grams,
  priceMinor,
  currency: "GBP",
  ...(date ? { date } : {}),
});
const book = createIngredientBook([
  priced("butter-unsalted", [pack(1000, 720, "2026-09-01"), pack(1000, 800, "2026-11-01"), pack(1000, 2000, "2027-01-01")]),
  priced("caster-sugar", [pack(5000, 475)]),
  priced("plain-flour", [pack(16_000, 1280)]),
  priced("egg-whole-uk", [pack(1530, 540)]),
]);
const formula: Formula = {
  name: "Sponge",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      stages: [
        {
          name: "All",
          uses: [
            { ingredient: "butter-unsalted", grams: 225 },
            { ingredient: "caster-sugar", grams: 225 },
            { ingredient: "plain-flour", grams: 225 },
            { ingredient: "egg-whole-uk", grams: 225 },
            { ingredient: "vanilla-extract", grams: 4 },
            { ingredient: "salt", grams: null },
          ],
        },
      ],
    },
  ],
};
const inputs: PriceInputs = {
  currency: "GBP",
  date: "2026-11-25",
  cakes: 1,
  portionsPerCake: 10,
  labour: {
    perHourMinor: 1500,
    onCostPercent: 12,
    stages: [
      { name: "Mix", handsOnMinutes: 15 },
      { name: "Bake", handsOnMinutes: 2, waitingMinutes: 25 },
    ],
  },
  energy: { kwh: 0.9, perKwhMinor: 27, basis: "stated" },
  packaging: [
    { name: "Box", minor: 45, per: "cake" },
    { name: "Label", minor: 3, per: "cake" },
  ],
  overhead: [
    { name: "Rent", minorPerBatch: 60 },
    { name: "Cleaning", percent: 5 },
  ],
};

// Worked by hand: butter 225 x 0.8 = 180; sugar 225 x 0.095 = 21.375; flour 225 x 0.08 = 18; egg 225 x 540/1530 = 79.41;
// labour 17 min x 28 = 476 (420 + 56); energy 24.3; packaging 48; overhead 60 and 5 % of 774.787 = 38.739. Sum 945.826.
it("costs a batch as worked out by hand, to the penny", () => {
  const cost = costBatch(formula, book, inputs, 820);
  const exact = Object.fromEntries(cost.lines.map(({ name, exactMinor }) => [name, exactMinor]));
  expect(exact["Unsalted butter"]).toBeCloseTo(180, 9);
  expect(exact["Caster sugar"]).toBeCloseTo(21.375, 9);
  expect(exact["Whole egg"]).toBeCloseTo(79.4118, 4);
  expect(exact["Mix"]).toBeCloseTo(420, 9);
  expect(exact["Cleaning"]).toBeCloseTo(38.7393, 4);
  expect(cost.batch).toEqual({ minor: 946, currency: "GBP" });
  expect(cost.lines.reduce((sum, line) => sum + line.cost.minor, 0)).toBe(946);
  expect(cost.perPortionMinor).toBeCloseTo(94.5826, 3);
  expect(cost.per100gMinor).toBeCloseTo(115.3446, 3);
  expect([cost.handsOnMinutes, cost.waitingMinutes]).toEqual([17, 25]);
});

it("shows a missing price or weight as missing, never as nothing", () => {
  expect(costBatch(formula, book, inputs).missing).toEqual([
    { ingredient: "vanilla-extract", name: "Vanilla extract", why: "no price in GBP by 2026-11-25" },
    { ingredient: "salt", name: "Salt", why: "it has no weight in the formula" },
  ]);
});

it("uses the price that held on the day", () => {
  const butter = (date: string) =>
    costBatch(formula, book, { ...inputs, date }).lines.find(({ id }) => id === "butter-unsalted")?.exactMinor;
  expect(butter("2026-10-15")).toBeCloseTo(162, 9);
  expect(butter("2026-11-25")).toBeCloseTo(180, 9);
  expect(butter("2026-08-01")).toBeUndefined();
});

// Common practice, no source: edible-portion cost = purchase cost / yield; 4.00 a kg at 88 % is 4.545 a kg.
it("charges for what is thrown away", () => {
  const lemons = createIngredientBook([priced("lemon-juice", [pack(1000, 400)])]);
  const juice: Formula = {
    name: "J",
    components: [{ name: "J", kind: "syrup", stages: [{ name: "S", uses: [{ ingredient: "lemon-juice", grams: 1000 }] }] }],
  };
  const cost = costBatch(juice, lemons, {
    currency: "GBP",
    date: "2026-11-25",
    cakes: 1,
    portionsPerCake: 1,
    usablePercent: { "lemon-juice": 88 },
  });
  expect(cost.lines[0]!.exactMinor).toBeCloseTo(454.545, 3);
});

it("lets the sold cakes carry the unsold", () => {
  const all = costBatch(formula, book, { ...inputs, cakes: 10 });
  const most = costBatch(formula, book, { ...inputs, cakes: 10, unsoldPercent: 20 });
  expect(most.perCakeMinor).toBeCloseTo(all.perCakeMinor / 0.8, 9);
});

it("tells what a dearer ingredient does", () => {
  const rise = priceRise(formula, book, inputs, "butter-unsalted", 10);
  expect(rise.afterMinor - rise.beforeMinor).toBeCloseTo(18 * 1.05, 9); // the cleaning overhead is 5 % of it
  expect(rise.shareOfCost).toBeCloseTo(180 / 945.826, 4);
});

// Trade arithmetic (common practice, no source): mark-up 50 % is a margin of 33.3 %; margin 50 % is a mark-up of 100 %.
it("never confuses margin and mark-up", () => {
  expect(marginFromMarkUp(50)).toBeCloseTo(33.333, 3);
  expect(markUpFromMargin(50)).toBeCloseTo(100, 9);
  // Food cost 30 % of the price is a margin of 70 % on the ingredients: 3.60 costs, 12.00 is charged.
  expect(sellingPrice(360, { rule: { kind: "margin", percent: 70 } })?.minor).toBe(1200);
  expect(sellingPrice(360, { rule: { kind: "mark-up", percent: 70 } })?.minor).toBe(612);
});

it("leaves the margin that was asked for after fees and tax", () => {
  const price = sellingPrice(946, { rule: { kind: "margin", percent: 40 }, feePercent: 2.5, feeMinor: 5, taxPercent: 20 })!;
  expect(price.marginPercent).toBeCloseTo(40, 0);
  expect(price.netMinor + price.taxMinor).toBe(price.minor);
  expect(946 + price.feeMinor + price.profitMinor + price.taxMinor).toBe(price.minor);
  expect(sellingPrice(100, { rule: { kind: "margin", percent: 98 }, feePercent: 3 })).toBeUndefined();
});

it("finds the break-even", () => {
  const price = sellingPrice(500, { rule: { kind: "price", minor: 1500 } })!;
  expect(breakEvenItems(25_000, price, 500)).toBe(25);
  expect(breakEvenItems(25_001, price, 500)).toBe(26);
  expect(breakEvenItems(1, price, 1500)).toBeUndefined();
});

it("sums to the whole under any rounding (property, conserved)", () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: 0, max: 1e6, noNaN: true }), { minLength: 1, maxLength: 40 }), (parts) => {
      const rounded = roundToMinor(parts);
      const sum = rounded.reduce((total, part) => total + part, 0);
      return (
        Math.abs(sum - parts.reduce((total, part) => total + part, 0)) <= 0.5 + 1e-6 &&
        rounded.every((part, index) => Number.isInteger(part) && Math.abs(part - parts[index]!) < 1 + 1e-6)
      );
    }),
    { seed: 7, numRuns: 2000 },
  );
});

it("builds the picture of a price from parts that meet", () => {
  const cost = costBatch(formula, book, inputs);
  const price = sellingPrice(cost.perCakeMinor, { rule: { kind: "margin", percent: 40 }, taxPercent: 20 })!;
  const bars = priceWaterfall(cost, 1, price);
  for (const [index, bar] of bars.slice(1, -1).entries()) expect(bar.fromMinor).toBeCloseTo(bars[index]!.toMinor, 6);
  expect(bars.at(-2)!.toMinor).toBeCloseTo(price.minor, 6);
});

it("compares two revisions line by line", () => {
  const after = costBatch(
    {
      ...formula,
      components: [
        { ...formula.components[0]!, stages: [{ name: "All", uses: [{ ingredient: "butter-unsalted", grams: 200 }] }] },
      ],
    },
    book,
    inputs,
  );
  const changes = compareCosts(costBatch(formula, book, inputs), after);
  expect(changes.find(({ id }) => id === "butter-unsalted")).toMatchObject({ beforeMinor: 180, afterMinor: 160 });
  expect(changes.find(({ id }) => id === "plain-flour")).toMatchObject({ afterMinor: 0 });
});

it("reads and writes a price list, and says which lines it could not read", () => {
  const text =
    'ingredient,pack_grams,price,currency,supplier,date\r\nbutter-unsalted,1000,"7.20",gbp,"Mill, and Sons",2026-11-01\r\nnothing-known,1,1,GBP,,\r\nplain-flour,a bag,£12.80,GBP,,\r\n';
  const { value, problems } = readPriceList(text, shipped);
  expect(value).toEqual([
    {
      ingredient: "butter-unsalted",
      pack: { grams: 1000, priceMinor: 720, currency: "GBP", supplier: "Mill, and Sons", date: "2026-11-01" },
    },
  ]);
  expect(problems.map(({ code, position }) => [code, position?.line])).toEqual([
    ["unknown-ingredient", 3],
    ["not-a-weight", 4],
  ]);
  expect(readPriceList(writePriceList(value), shipped)).toEqual({ value, problems: [] });
  expect(
    writePriceList([{ ingredient: "salt", pack: { grams: 1, priceMinor: 5, currency: "GBP", supplier: "=1+1" } }]),
  ).toContain("'=1+1");
  expect(readPriceList("", shipped).problems[0]).toMatchObject({ code: "missing-field" });
});

it("writes money as people do", () => {
  expect(formatMoney({ minor: 1240, currency: "GBP" })).toBe("£12.40");
  expect(formatMoney({ minor: -5, currency: "USD" })).toBe("−$0.05");
  expect(formatMoney({ minor: 1200, currency: "JPY" })).toBe("1200 JPY");
});
