import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { expectTableOn, markdownTable } from "../../testing/docsTable.js";
import type { Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { costByKind } from "./cost.js";
import { priceInMinor } from "./priceInMinor.js";
import { type PriceEntry, withPrices } from "./priceList.js";
import { priceReport } from "./priceReport.js";
import { priceRise, riseAcross } from "./priceRise.js";
import { type PriceDocument, readPriceDocument } from "./readPriceDocument.js";
import { sellingPrice } from "./sellingPrice.js";

/** One costing worked out on paper: every line in pence, before rounding, and what becomes of the price. */
interface Worked {
  readonly name: string;
  readonly uses: Readonly<Record<string, number>>;
  readonly document: Readonly<Record<string, unknown>>;
  /** Exact pence by name of the line; a fraction is written as it is worked out. */
  readonly lines: Readonly<Record<string, number>>;
  /** The lines in whole pence that stand on the bill, in order. */
  readonly bill: readonly number[];
  readonly batch: number;
  readonly price: {
    readonly minor: number;
    readonly cost: number;
    readonly fee: number;
    readonly tax: number;
    readonly left: number;
  };
  readonly breakEven?: number;
}

const shipped = createIngredientBook([
  {
    ...createIngredientBook().get("raspberry-jam")!,
    id: "own-jam",
    name: "Our jam",
    basis: "compound",
    parts: [
      { ingredient: "raspberries", grams: 500 },
      { ingredient: "granulated-sugar", grams: 500 },
    ],
    partsLossPercent: 20,
  },
]);
const entry = (ingredient: string, grams: number, priceMinor: number): PriceEntry => ({
  ingredient,
  pack: { grams, priceMinor, currency: "GBP", date: "2026-11-01" },
});
/** Invented pack prices of a small British bakery; each is used by hand below. */
const book = withPrices(shipped, [
  entry("butter-unsalted", 5000, 3850), // 0.77 pence a gram
  entry("caster-sugar", 15_000, 1980), // 0.132
  entry("self-raising-flour", 16_000, 1330), // 0.083125
  entry("plain-flour", 16_000, 1310), // 0.081875
  entry("egg-whole-uk", 1530, 660), // 660 / 1530
  entry("raspberry-jam", 3000, 1140), // 0.38
  entry("icing-sugar-uk", 3000, 510), // 0.17
  entry("milk-whole", 2060, 155), // 155 / 2060
  entry("raspberries", 1000, 900), // 0.9
  entry("granulated-sugar", 15_000, 1620), // 0.108
]);

const WORKED: readonly Worked[] = [
  {
    name: "a 20 cm sandwich, margin 40 %, card fee 1.7 %",
    uses: { "butter-unsalted": 200, "caster-sugar": 200, "self-raising-flour": 200, "egg-whole-uk": 200, "raspberry-jam": 150 },
    document: {
      currency: "GBP",
      date: "2026-11-25",
      cakes: 1,
      portionsPerCake: 12,
      usablePercent: { "raspberry-jam": 97 },
      labour: {
        perHour: 12.6, // 21 pence a minute
        stages: [
          { name: "Weigh and mix", handsOnMinutes: 12 },
          { name: "Bake and cool", handsOnMinutes: 0, waitingMinutes: 115 },
          { name: "Fill and box", handsOnMinutes: 8 },
          { name: "Wash up", handsOnMinutes: 6 },
        ],
      },
      // 3.2 kW x (15/2 + 25 x 0.45) min / 60 = 1 kWh.
      energy: { ratedKw: 3.2, warmUpMinutes: 15, bakeMinutes: 25, batches: 2, perKwh: 0.27 },
      packaging: [{ name: "Box", cost: 0.65, per: "cake" }],
      overhead: [
        { name: "Rent", perBatch: 1.1 },
        { name: "Small things", percent: 5 },
      ],
      selling: { marginPercent: 40, feePercent: 1.7 },
    },
    lines: {
      "Unsalted butter": 154,
      "Caster sugar": 26.4,
      "Self-raising flour": 16.625,
      "Whole egg": (200 * 660) / 1530,
      "Raspberry jam": 57 / 0.97,
      "Weigh and mix": 252,
      "Bake and cool": 0,
      "Fill and box": 168,
      "Wash up": 126,
      Energy: 27,
      Box: 65,
      Rent: 110,
      "Small things": 0.05 * (154 + 26.4 + 16.625 + (200 * 660) / 1530 + 57 / 0.97 + 546),
    },
    // 1132 whole pence and two to give: to the jam (.76) and the flour (.63).
    bill: [154, 26, 17, 86, 59, 252, 0, 168, 126, 27, 65, 110, 44],
    batch: 1134,
    // 1134.4655 / 0.583 = 1945.91; fee 33.08; 1946 - 33 - 1134 = 779.
    price: { minor: 1946, cost: 1134, fee: 33, tax: 0, left: 779 },
  },
  {
    name: "twelve cup cakes, a tenth unsold, mark-up 80 %, VAT 20 %, waiting paid at 10 %",
    uses: {
      "butter-unsalted": 210,
      "caster-sugar": 110,
      "self-raising-flour": 110,
      "egg-whole-uk": 110,
      "milk-whole": 30,
      "icing-sugar-uk": 200,
    },
    document: {
      currency: "GBP",
      date: "2026-11-25",
      cakes: 12,
      unsoldPercent: 10,
      labour: {
        perHour: 12.6, // 21 pence a minute, with a tenth on top 23.1
        onCostPercent: 10,
        waitingPercent: 10,
        stages: [
          { name: "Mix", handsOnMinutes: 10 },
          { name: "Cool", handsOnMinutes: 0, waitingMinutes: 60 },
          { name: "Ice", handsOnMinutes: 12 },
        ],
      },
      energy: { kwh: 0.8, perKwh: 0.3, basis: "measured" },
      packaging: [
        { name: "Case", costMinor: 2.5, per: "cake" },
        { name: "Tray box", cost: 0.9, per: "batch" },
      ],
      overhead: [{ name: "Rent", perBatch: 0.6 }],
      selling: { markUpPercent: 80, fee: 0.05, taxPercent: 20 },
    },
    lines: {
      "Unsalted butter": 161.7,
      "Caster sugar": 14.52,
      "Self-raising flour": 9.14375,
      "Whole egg": (110 * 660) / 1530,
      "Whole milk": (30 * 155) / 2060,
      "Icing sugar": 34,
      Mix: 231,
      Cool: 138.6, // 6 minutes' worth
      Ice: 277.2,
      Energy: 24,
      Case: 30,
      "Tray box": 90,
      Rent: 60,
    },
    // 1117 whole pence and three to give: the butter (.70), the cooling (.60) and the sugar (.52).
    bill: [162, 15, 9, 47, 2, 34, 231, 139, 277, 24, 30, 90, 60],
    batch: 1120,
    // 1119.8720 / 10.8 = 103.6919 a cake; x 1.8 + 5 = 191.6453; with VAT 229.97. Tax 38.33; 230 - 38 - 5 - 104 = 83.
    price: { minor: 230, cost: 104, fee: 5, tax: 38, left: 83 },
  },
  {
    name: "a jam loaf at a price of 9.00, the jam made here, break-even of a 40.00 pitch",
    uses: { "plain-flour": 200, "own-jam": 100, water: 50 },
    document: {
      currency: "GBP",
      date: "2026-11-25",
      cakes: 1,
      labour: { perHour: 15, stages: [{ name: "All", handsOnMinutes: 20, waitingMinutes: 50 }] },
      energy: { kwh: 0.5, perKwh: 0.3, basis: "predicted" },
      selling: { price: 9, feePercent: 2 },
      fixed: { name: "Pitch", cost: 40 },
    },
    // 500 g of fruit at 0.9 and 500 g of sugar at 0.108 are 504 pence; a fifth boils away: 0.63 a gram.
    lines: { "Plain flour": 16.375, "Our jam": 63, All: 500, Energy: 15 },
    bill: [16, 63, 500, 15],
    batch: 594,
    // 900 - 18 - 594 = 288. 4000 / 287.625 = 13.9.
    price: { minor: 900, cost: 594, fee: 18, tax: 0, left: 288 },
    breakEven: 14,
  },
];

const formulaOf = (name: string, uses: Readonly<Record<string, number>>): Formula => ({
  name,
  components: [
    {
      name,
      kind: "cake",
      stages: [{ name: "All", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
    },
  ],
});

function worked({ name, uses, document }: Worked) {
  const { value, problems } = readPriceDocument({ name, ...document });
  expect(problems).toEqual([]);
  return priceReport(formulaOf(name, uses), book, value!);
}
const largestMiss = (one: Worked) =>
  Math.max(...worked(one).cost.lines.map(({ name, exactMinor }) => Math.abs(exactMinor - (one.lines[name] ?? Number.NaN))));

describe("costings worked out on paper (exact)", () => {
  it.each(WORKED)("$name: every line, the bill, the price and what is left", (one) => {
    const { cost, price, waterfall, breakEven } = worked(one);
    expect(cost.missing).toEqual([]);
    expect(cost.lines.map(({ name }) => name).toSorted()).toEqual(Object.keys(one.lines).toSorted());
    expect(largestMiss(one)).toBeLessThan(1e-9); // both are the same sums of binary fractions in another order
    expect(cost.lines.map((line) => line.cost.minor)).toEqual(one.bill);
    expect(cost.batch.minor).toBe(one.batch);
    expect(one.bill.reduce((sum, pence) => sum + pence, 0)).toBe(one.batch);
    const { minor, costMinor, feeMinor, taxMinor, profitMinor } = price!;
    expect({ minor, cost: costMinor, fee: feeMinor, tax: taxMinor, left: profitMinor }).toEqual(one.price);
    expect(costMinor + feeMinor + taxMinor + profitMinor).toBe(minor);
    expect(waterfall.slice(0, -1).reduce((sum, { fromMinor, toMinor }) => sum + toMinor - fromMinor, 0)).toBe(minor);
    expect(breakEven?.cakes).toBe(one.breakEven);
  });
});

const PARTS = { seed: 2026, numRuns: 1000 } as const;
const amount = (most: number) => fc.double({ min: 0, max: most, noNaN: true });
const percent = (most: number) => fc.integer({ min: 0, max: most });
/** Any costing: any weights, wages, tariffs, boxes and rules. */
const anyDocument = fc
  .record({
    cakes: fc.integer({ min: 1, max: 60 }),
    unsoldPercent: percent(60),
    perHourMinor: amount(5000),
    waitingPercent: percent(100),
    minutes: fc.array(fc.record({ handsOnMinutes: amount(200), waitingMinutes: amount(400) }), { maxLength: 6 }),
    kwh: amount(20),
    minor: amount(500),
    overhead: percent(80),
    rule: fc.oneof(
      fc.record({ kind: fc.constant("margin" as const), percent: percent(70) }),
      fc.record({ kind: fc.constant("mark-up" as const), percent: percent(400) }),
      fc.record({ kind: fc.constant("price" as const), minor: fc.integer({ min: 1, max: 20_000 }) }),
    ),
    feePercent: percent(15),
    feeMinor: fc.integer({ min: 0, max: 60 }),
    taxPercent: percent(25),
    roundUpMinor: fc.constantFrom(1, 5, 50, 100),
  })
  .map(
    (any): PriceDocument => ({
      name: "Any",
      inputs: {
        currency: "GBP",
        date: "2026-11-25",
        cakes: any.cakes,
        portionsPerCake: 8,
        unsoldPercent: any.unsoldPercent,
        labour: {
          perHourMinor: any.perHourMinor,
          waitingPercent: any.waitingPercent,
          stages: any.minutes.map((stage, index) => ({ name: `Stage ${index}`, ...stage })),
        },
        energy: { kwh: any.kwh, perKwhMinor: 28.5, basis: "stated" },
        packaging: [{ name: "Box", minor: any.minor, per: "cake" }],
        overhead: [{ name: "Rent", percent: any.overhead }],
      },
      settings: {
        rule: any.rule,
        feePercent: any.feePercent,
        feeMinor: any.feeMinor,
        taxPercent: any.taxPercent,
        roundUpMinor: any.roundUpMinor,
      },
    }),
  );
const anyFormula = fc
  .dictionary(fc.constantFrom(...WORKED.flatMap(({ uses }) => Object.keys(uses))), amount(3000), { minKeys: 1 })
  .map((uses) => formulaOf("Any", uses));

describe("balanced to the penny (property, conserved)", () => {
  it("lines, kinds, waterfall and price sum to the whole under any rounding", () => {
    fc.assert(
      fc.property(anyFormula, anyDocument, (formula, document) => {
        const { cost, price, waterfall } = priceReport(formula, book, document);
        const whole = [cost.batch.minor, ...cost.lines.map((line) => line.cost.minor)].every(Number.isInteger);
        const lines = cost.lines.reduce((sum, line) => sum + line.cost.minor, 0) === cost.batch.minor;
        const kinds = costByKind(cost).reduce((sum, { minor }) => sum + minor, 0) === cost.batch.minor;
        if (price === undefined) return whole && lines && kinds;
        const { minor, costMinor, feeMinor, taxMinor, profitMinor } = price;
        const steps = waterfall.slice(0, -1).map(({ fromMinor, toMinor }) => toMinor - fromMinor);
        const meets = waterfall.slice(1, -1).every(({ fromMinor }, index) => fromMinor === waterfall[index]!.toMinor);
        const left = waterfall.find(({ kind }) => kind === "profit");
        return (
          whole &&
          lines &&
          kinds &&
          meets &&
          [minor, costMinor, feeMinor, taxMinor, profitMinor, ...steps].every(Number.isInteger) &&
          costMinor + feeMinor + taxMinor + profitMinor === minor &&
          steps.reduce((sum, step) => sum + step, 0) === minor &&
          // The picture and the sentence name the same sum.
          (left === undefined ? 0 : left.toMinor - left.fromMinor) === profitMinor
        );
      }),
      PARTS,
    );
  });

  it("a rise does what buying at the dearer price does", () => {
    fc.assert(
      fc.property(anyFormula, anyDocument, fc.integer({ min: -50, max: 200 }), (formula, document, risePercent) => {
        const dearer = withPrices(shipped, [
          ...book.all.flatMap(({ id, packs = [] }) => packs.map((pack) => ({ ingredient: id, pack }))),
          {
            ingredient: "butter-unsalted",
            pack: { grams: 5000, priceMinor: 3850 * (1 + risePercent / 100), currency: "GBP", date: "2026-11-02" },
          },
        ]);
        const rise = priceRise(formula, book, document.inputs, "butter-unsalted", risePercent);
        const bought = priceReport(formula, dearer, document).cost.lines.reduce((sum, { exactMinor }) => sum + exactMinor, 0);
        return Math.abs(rise.afterMinor - bought) <= 1e-6 * Math.max(1, bought);
      }),
      PARTS,
    );
  });
});

it("tells which products fall below their margin, and the price that would hold it", () => {
  const product = (id: string, { name, uses, document }: Worked, selling: Record<string, unknown>) => ({
    id,
    formula: formulaOf(name, uses),
    document: readPriceDocument({ name, ...document, selling }).value!,
  });
  const [sandwich, , loaf] = WORKED;
  const effects = riseAcross(
    [
      product("loaf", loaf!, { price: 9, feePercent: 2 }),
      product("slack", sandwich!, { price: 25, leastMarginPercent: 45 }),
      product("tight", sandwich!, { marginPercent: 40, feePercent: 1.7 }),
      product("floor", sandwich!, { price: 20.6, leastMarginPercent: 45 }),
    ],
    book,
    "butter-unsalted",
    20,
  );
  // 154 pence of butter, a fifth dearer, and 5 % of it in small things: 32.34 pence more.
  expect(effects.map(({ id }) => id).toSorted()).toEqual(["floor", "slack", "tight"]); // there is no butter in the loaf
  for (const { costBeforeMinor, costAfterMinor } of effects) expect(costAfterMinor - costBeforeMinor).toBeCloseTo(32.34, 9);
  const by = Object.fromEntries(effects.map((effect) => [effect.id, effect]));
  // 1166.8055 of 2500 leaves 53.3 %; of 2060 it leaves 43.4 %, and was 44.9 %; 1166.8055 / 0.55 = 2121.46.
  expect(by.slack).toMatchObject({ fallsBelow: false, marginAfterPercent: expect.closeTo(53.3278, 3), aimPercent: 45 });
  expect(by.floor).toMatchObject({ fallsBelow: true, marginAfterPercent: expect.closeTo(43.3589, 3), priceToHoldMinor: 2121 });
  // 1166.8055 / 0.583 = 2001.38.
  expect(by.tight).toMatchObject({ fallsBelow: true, priceMinor: 1946, priceToHoldMinor: 2001 });
  expect(by.tight!.aimPercent).toBeCloseTo(40, 1);
  // In the jam that is made here, sugar is found by its part: 100 g of jam hold 62.5 g of sugar, 6.75 pence.
  const sugar = riseAcross([product("loaf", loaf!, { price: 9 })], book, "granulated-sugar", 100);
  expect(sugar[0]!.costAfterMinor - sugar[0]!.costBeforeMinor).toBeCloseTo(6.75, 9);
  expect(() => riseAcross([product("a", sandwich!, { price: 9 })], book, "butter-unsalted", -100)).toThrow("-100");
});

it("rounds a price up to what is written on a ticket, and says when it is below the least", () => {
  // 1945.91 to the next half pound.
  expect(sellingPrice(1134.4655, { rule: { kind: "margin", percent: 40 }, feePercent: 1.7, roundUpMinor: 50 })!.minor).toBe(1950);
  expect(sellingPrice(500, { rule: { kind: "margin", percent: 50 }, roundUpMinor: 50 })!.minor).toBe(1000);
  expect(sellingPrice(500, { rule: { kind: "price", minor: 999 }, roundUpMinor: 50 })!.minor).toBe(999);
  const { document, uses, name } = WORKED[0]!;
  const value = readPriceDocument({ name, ...document, selling: { price: 15, leastMarginPercent: 30 } }).value!;
  expect(priceReport(formulaOf(name, uses), book, value).cautions.join()).toContain("margin is 24.4 %, below your least of 30 %");
});

it("takes the house's wage, tariff, fee and day where a document names none", () => {
  const bare = {
    name: "Bare",
    currency: "GBP",
    cakes: 1,
    labour: { stages: [{ name: "Mix", handsOnMinutes: 10 }] },
    energy: { kwh: 1 },
  };
  const { problems } = readPriceDocument(bare);
  expect(problems.map(({ path }) => path.join(".")).toSorted()).toEqual(["date", "energy.perKwh", "labour.perHour"]);
  const house = { date: "2026-11-25", perHourMinor: 1200, onCostPercent: 10, perKwhMinor: 27, feePercent: 2, taxPercent: 20 };
  const { value } = readPriceDocument({ ...bare, selling: { marginPercent: 30, taxPercent: 0 } }, house);
  expect(value).toMatchObject({
    inputs: { date: "2026-11-25", labour: { perHourMinor: 1200, onCostPercent: 10 }, energy: { perKwhMinor: 27 } },
    settings: { feePercent: 2, taxPercent: 0 },
  });
});

it("reads the same from pounds and from pence", () => {
  for (const { name, document } of [
    ...WORKED,
    {
      name: "Every amount",
      document: {
        ...WORKED[1]!.document,
        packaging: [
          { name: "Box", costMinor: 7.5 },
          { name: "Bag", cost: 0.01, per: "batch" },
        ],
        overhead: [
          { name: "Rent", perBatchMinor: 12 },
          { name: "Rest", percent: 3 },
        ],
        selling: { price: 14.35, fee: 0.2, roundUp: 0.5 },
        fixed: { name: "Pitch", cost: 38.1 },
      },
    },
  ]) {
    const pence = priceInMinor({ name, ...document });
    expect(readPriceDocument(pence)).toEqual(readPriceDocument({ name, ...document }));
    expect(priceInMinor(pence)).toEqual(pence);
    expect(JSON.stringify(pence)).not.toMatch(/"(perHour|perKwh|cost|perBatch|price|fee|roundUp)":/);
  }
});

it("shows on the page what was found", () => {
  const pounds = (pence: number) => (pence / 100).toFixed(2);
  const table = markdownTable(
    [
      "costing worked out on paper",
      "lines",
      "a line differs by, pence",
      "batch by hand",
      "here",
      "price by hand",
      "here",
      "left over by hand",
      "here",
    ],
    WORKED.map((one) => {
      const { cost, price } = worked(one);
      const miss = largestMiss(one);
      return [
        one.name,
        String(Object.keys(one.lines).length),
        miss < 1e-9 ? "less than 1e-9" : miss.toExponential(1),
        ...[one.batch, cost.batch.minor, one.price.minor, price!.minor, one.price.left, price!.profitMinor].map(pounds),
      ];
    }),
  );
  const words = `${PARTS.numRuns} random costings (seed ${PARTS.seed}): lines, kinds, waterfall and price all sum to the whole to the penny, under any rounding. ${PARTS.numRuns} random rises cost what buying at the dearer price costs.`;
  expectTableOn("docs/models/price.md", "worked", `${table}\n\n${words}`);
});
