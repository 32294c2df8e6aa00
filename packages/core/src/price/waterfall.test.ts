import fc from "fast-check";
import { expect, it } from "vitest";
import type { CostLine } from "./cost.js";
import { roundToMinor } from "./money.js";
import { sellingPrice } from "./sellingPrice.js";
import { priceWaterfall } from "./waterfall.js";
import { waterfallPicture, waterfallSvg, waterfallWords } from "./waterfallPicture.js";

const line = (kind: CostLine["kind"], exactMinor: number, minor: number): CostLine => ({
  kind,
  id: kind,
  name: kind,
  exactMinor,
  cost: { minor, currency: "GBP" },
  from: "",
});
const bars = (costs: readonly [CostLine["kind"], number][], priceMinor: number) => {
  const cost = costs.reduce((sum, [, minor]) => sum + minor, 0);
  const rounded = roundToMinor(costs.map(([, minor]) => minor));
  return priceWaterfall(
    { lines: costs.map(([kind, minor], index) => line(kind, minor, rounded[index]!)) },
    1,
    sellingPrice(cost, { rule: { kind: "price", minor: priceMinor }, feePercent: 2, taxPercent: 20 })!,
  );
};

it("draws each bar where the one before ended, to one scale", () => {
  const { rows, zeroX } = waterfallPicture(
    bars(
      [
        ["ingredient", 352.4],
        ["labour", 483.4],
      ],
      1539,
    ),
    "GBP",
    600,
  );
  expect(rows.map(({ name, money }) => [name, money])).toEqual([
    ["Ingredients", "£3.53"], // 835.8 is 8.36: the two .4 are a penny together, and of equals the earlier takes it
    ["Labour", "£4.83"],
    ["Fees", "£0.31"],
    ["Left over", "£4.15"],
    ["Tax", "£2.57"],
    ["Price", "£15.39"],
  ]);
  const pixels = rows.at(-1)!.width / 1539;
  expect(rows[0]!.x).toBeCloseTo(zeroX, 9);
  for (const [index, row] of rows.slice(0, -1).entries()) {
    expect(row.width).toBeCloseTo((row.toMinor - row.fromMinor) * pixels, 6);
    if (index > 0) expect(row.x).toBeCloseTo(rows[index - 1]!.x + rows[index - 1]!.width, 6);
  }
});

it("shows the pence of the bill where a batch is one cake", () => {
  // Alone, 50.4 and 50.4 of ingredients and 99.2 of labour are 101 and 99; on a bill of lines they are 51 + 50 and 99.
  const lines = [line("ingredient", 50.4, 51), line("ingredient", 50.4, 50), line("labour", 99.2, 99)];
  const price = sellingPrice(200, { rule: { kind: "price", minor: 300 } })!;
  expect(priceWaterfall({ lines }, 1, price).map(({ fromMinor, toMinor }) => toMinor - fromMinor)).toEqual([101, 99, 100, 300]);
});

it("shows a loss as a step back, inside the drawing", () => {
  const picture = waterfallPicture(
    bars(
      [
        ["ingredient", 800],
        ["labour", 900],
      ],
      900,
    ),
    "GBP",
  );
  const left = picture.rows.find(({ kind }) => kind === "profit")!;
  expect(left.toMinor).toBeLessThan(left.fromMinor);
  expect(left.money).toMatch(/^−£/);
  for (const { x, width } of picture.rows) expect([x >= 0, x + width <= picture.width]).toEqual([true, true]);
  expect(waterfallWords(picture)).toContain("Left over −£");
});

it("is one well-formed drawing whatever the cake is called (property)", () => {
  fc.assert(
    fc.property(fc.string({ unit: "binary", maxLength: 40 }), (title) => {
      const svg = waterfallSvg(bars([["ingredient", 100]], 200), "GBP", title);
      const words = /<title id="title">([^<]*)<\/title>/.exec(svg)?.[1];
      expect(words).toBeDefined();
      expect(words).not.toMatch(/&(?!(amp|lt|gt|quot);)|[<>"]/);
      expect(svg.match(/<svg /g)).toHaveLength(1);
      expect([...svg].every((one) => one >= " " || "\t\n\r".includes(one))).toBe(true);
    }),
    { seed: 3, numRuns: 300, examples: [["</title><script>alert(1)</script>"], ["a & b"]] },
  );
});
