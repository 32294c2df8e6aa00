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
  ovenEnergy,
  type PriceInputs,
  packOn,
  priceHistory,
  priceListFor,
  priceReport,
  priceRise,
  priceWaterfall,
  readPriceDocument,
  readPriceList,
  roundToMinor,
  sellingPrice,
  withPrices,
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
  expect(exact.Mix).toBeCloseTo(420, 9);
  expect(exact.Cleaning).toBeCloseTo(38.7393, 4);
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

// Worked by hand: labour 31 min at 14.50 an hour and 11 % on top; energy 3.2 kW x (15/3 + 25 x 0.45) min / 60 x 0.285; box and label; rent.
const DOCUMENT = {
  name: "Sandwich",
  currency: "GBP",
  date: "2026-11-25",
  cakes: 2,
  portionsPerCake: 12,
  unsoldPercent: 5,
  labour: { perHour: 14.5, onCostPercent: 11, stages: [{ name: "Mix", handsOnMinutes: 31, waitingMinutes: 25 }] },
  energy: { ratedKw: 3.2, warmUpMinutes: 15, bakeMinutes: 25, batches: 3, perKwh: 0.285 },
  packaging: [{ name: "Box", costMinor: 62.5, per: "cake" }],
  overhead: [
    { name: "Rent", perBatch: 1.1 },
    { name: "Small things", percent: 4 },
  ],
  selling: { marginPercent: 40, feePercent: 1.7, taxPercent: 0 },
  fixed: { name: "Pitch", cost: 38 },
};

it("reads a price document in pounds, and costs it by hand to the penny", () => {
  const { value, problems } = readPriceDocument(DOCUMENT);
  expect(problems).toEqual([]);
  const report = priceReport(formula, book, value!, [{ ingredient: "butter-unsalted", percent: 10 }]);
  const exact = (name: string) => report.cost.lines.find((line) => line.name === name)!.exactMinor;
  expect(exact("Mix")).toBeCloseTo((31 / 60) * 1450 * 1.11, 9);
  expect(exact("Energy")).toBeCloseTo((3.2 / 60) * (5 + 11.25) * 28.5, 9);
  expect(exact("Box")).toBe(125);
  const ingredients = report.cost.lines
    .filter(({ kind }) => kind === "ingredient")
    .reduce((sum, line) => sum + line.exactMinor, 0);
  expect(exact("Small things")).toBeCloseTo(0.04 * (ingredients + exact("Mix")), 9);
  const batch = ingredients + exact("Mix") + exact("Energy") + 125 + 110 + exact("Small things");
  expect(report.cost.batch.minor).toBe(Math.round(batch));
  expect(report.cost.lines.reduce((sum, line) => sum + line.cost.minor, 0)).toBe(report.cost.batch.minor);
  // Two made, a twentieth not sold: the other 1.9 carry the batch.
  expect(report.cost.perCakeMinor).toBeCloseTo(batch / 1.9, 9);
  // Margin 40 % with a fee of 1.7 % of the price: cost is 58.3 % of it.
  expect(report.price!.minor).toBe(Math.round(batch / 1.9 / 0.583));
  expect(report.price!.marginPercent).toBeCloseTo(40, 1);
  expect(report.waterfall.at(-2)!.toMinor).toBeCloseTo(report.price!.minor, 6);
  const left = report.price!.netMinor - report.price!.feeMinor - report.cost.perCakeMinor;
  expect(report.breakEven).toEqual({ name: "Pitch", fixedMinor: 3800, cakes: Math.ceil(3800 / left) });
  expect(report.rises[0]!.marginPercentAfter).toBeLessThan(40);
  expect(report.cautions.join(" ")).toContain("VAT");
});

it("says what of a price document cannot be read, with the field", () => {
  const { problems } = readPriceDocument({
    ...DOCUMENT,
    currency: "pounds",
    date: "2026-02-30",
    labour: { perHour: -1, stages: [{ name: "Mix", handsOnMinutes: "ten" }] },
    selling: { marginPercent: 40, markUpPercent: 60 },
    energy: { kwh: 1, basis: "guessed" },
    colour: 1,
  });
  expect(problems.map(({ path }) => path.join(".")).toSorted()).toEqual(
    [
      "colour",
      "currency",
      "date",
      "energy.basis",
      "energy.perKwh",
      "labour.perHour",
      "labour.stages.0.handsOnMinutes",
      "selling",
    ].toSorted(),
  );
  expect(problems.find(({ path }) => path[0] === "selling")).toMatchObject({
    code: "conflict",
    found: "marginPercent and markUpPercent",
  });
  expect(readPriceDocument([]).problems[0]).toMatchObject({ code: "wrong-type" });
});

it("never breaks on what is no price document (property)", () => {
  fc.assert(
    fc.property(fc.dictionary(fc.constantFrom(...Object.keys(DOCUMENT)), fc.jsonValue()), (body) => {
      const { value, problems } = readPriceDocument(body);
      for (const { expected, remedy } of problems) expect([expected, remedy].every((words) => words.length > 3)).toBe(true);
      if (value !== undefined && problems.length === 0)
        expect(costBatch(formula, book, value.inputs).batch.minor).toBeGreaterThanOrEqual(0);
    }),
    { seed: 11, numRuns: 300 },
  );
});

it("costs what is made from others by its parts, and says which part has no price", () => {
  const parts = [
    { ingredient: "raspberries", grams: 40 },
    { ingredient: "granulated-sugar", grams: 60 },
  ];
  const jam = {
    ...shipped.get("raspberry-jam")!,
    id: "own-jam",
    name: "Our jam",
    parts,
    partsLossPercent: 20,
    basis: "compound" as const,
  };
  const priced = (ids: Readonly<Record<string, number>>) =>
    withPrices(
      createIngredientBook([jam]),
      Object.entries(ids).map(([ingredient, priceMinor]) => ({ ingredient, pack: { grams: 1000, priceMinor, currency: "GBP" } })),
    );
  const cake: Formula = {
    name: "Jam",
    components: [
      {
        name: "Jam",
        kind: "filling",
        stages: [
          {
            name: "All",
            uses: [
              { ingredient: "own-jam", grams: 80 },
              { ingredient: "water", grams: 50 },
            ],
          },
        ],
      },
    ],
  };
  const plain = { currency: "GBP", date: "2026-11-25", cakes: 1, portionsPerCake: 1 };
  // By hand: 80 g of jam are 40 g of fruit at 9.00 and 60 g of sugar at 1.00: 36 + 6 pence.
  expect(costBatch(cake, priced({ raspberries: 900, "granulated-sugar": 100 }), plain)).toMatchObject({
    batch: { minor: 42 },
    missing: [],
  });
  expect(costBatch(cake, priced({ raspberries: 900 }), plain).missing).toEqual([
    { ingredient: "own-jam", name: "Our jam", why: "Granulated sugar in it: no price in GBP by 2026-11-25" },
  ]);
});

it("keeps a history, uses no price of the future, and makes a list to fill in", () => {
  const entries = [
    { ingredient: "salt", pack: { grams: 1000, priceMinor: 100, currency: "GBP", date: "2026-01-01" } },
    { ingredient: "salt", pack: { grams: 500, priceMinor: 60, currency: "GBP", date: "2026-06-01", supplier: "Lockside" } },
    { ingredient: "salt", pack: { grams: 1000, priceMinor: 900, currency: "GBP", date: "2027-01-01" } },
  ];
  const priced = withPrices(shipped, entries);
  expect(packOn(priced.get("salt")!.packs, "2026-11-25", "GBP")!.priceMinor).toBe(60);
  expect(priceHistory(priced.get("salt")!.packs, "GBP").slice(0, 2)).toEqual([
    { date: "2026-01-01", perKgMinor: 100, heldUntil: "2026-06-01", pack: entries[0]!.pack },
    {
      date: "2026-06-01",
      supplier: "Lockside",
      perKgMinor: 120,
      changePercent: expect.closeTo(20, 9),
      heldUntil: "2027-01-01",
      pack: entries[1]!.pack,
    },
  ]);
  const list = priceListFor(formula, priced, "2026-11-25", "GBP");
  expect(list.split("\r\n")[1]).toBe("butter-unsalted,,,GBP,,2026-11-25");
  // What is not filled in is passed over, what stands there is read.
  expect(readPriceList(list, shipped)).toEqual({ value: [entries[1]], problems: [] });
});

it("estimates an oven's energy, and says the range", () => {
  // By hand: 3 kW x 20 min is 1 kWh warming up; 60 min at 30, 45 and 60 % are 0.9, 1.35 and 1.8 kWh.
  const energy = ovenEnergy({ ratedKw: 3, warmUpMinutes: 20, bakeMinutes: 60 });
  expect([energy.fromKwh, energy.kwh, energy.toKwh]).toEqual([
    expect.closeTo(1.9, 9),
    expect.closeTo(2.35, 9),
    expect.closeTo(2.8, 9),
  ]);
  expect(() => ovenEnergy({ ratedKw: 0, warmUpMinutes: 1, bakeMinutes: 1 })).toThrow("not above 0");
});
