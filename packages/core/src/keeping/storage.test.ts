import { expect, it } from "vitest";
import { coolingVerdict, mouldFreeLife, storageClass, whippingVerdict } from "./index.js";

// Published: worked values of the line for 21 °C, as quoted publicly and attributed to Cauvain and Seiler (1992).
it.each([
  [74, 82],
  [75, 68],
  [76, 57],
  [77, 47],
  [78, 39],
  [79, 32],
  [80, 27],
  [81, 22],
])("gives the published mould-free days at %s %%", (humidity, days) => {
  const life = mouldFreeLife(humidity);
  // The quoted table cuts or rounds to whole days.
  expect(life.known && Math.abs(life.days - days)).toBeLessThan(1);
});

it("gives no days outside the published range, and says why", () => {
  expect(mouldFreeLife(92)).toMatchObject({ known: false, why: "above-range" });
  expect(mouldFreeLife(70)).toMatchObject({ known: false, why: "below-range" });
  expect(mouldFreeLife(80, 5)).toMatchObject({ known: false, why: "temperature" });
  expect(mouldFreeLife(Number.NaN).known).toBe(false);
});

// Published: FDA Food Code 1-201.10(B), tables A and B, cell by cell: one point inside and the limits of every cell.
const [K, P] = ["no-time-temperature-control", "assess"] as const;
it.each([
  ["A", [0.9, 0.92], [4.0, 4.6], K],
  ["A", [0.9, 0.92], [4.61, 5.6], K],
  ["A", [0.9, 0.92], [5.61, 7], K],
  ["A", [0.921, 0.95], [4.0, 4.6], K],
  ["A", [0.921, 0.95], [4.61, 5.6], K],
  ["A", [0.921, 0.95], [5.61, 7], P],
  ["A", [0.951, 1], [4.0, 4.6], K],
  ["A", [0.951, 1], [4.61, 5.6], P],
  ["A", [0.951, 1], [5.61, 7], P],
  ["B", [0.5, 0.8799], [3, 4.19], K],
  ["B", [0.5, 0.8799], [4.2, 4.6], K],
  ["B", [0.5, 0.8799], [4.61, 5.0], K],
  ["B", [0.5, 0.8799], [5.01, 8], K],
  ["B", [0.88, 0.9], [3, 4.19], K],
  ["B", [0.88, 0.9], [4.2, 4.6], K],
  ["B", [0.88, 0.9], [4.61, 5.0], K],
  ["B", [0.88, 0.9], [5.01, 8], P],
  ["B", [0.901, 0.92], [3, 4.19], K],
  ["B", [0.901, 0.92], [4.2, 4.6], K],
  ["B", [0.901, 0.92], [4.61, 5.0], P],
  ["B", [0.901, 0.92], [5.01, 8], P],
  ["B", [0.921, 1], [3, 4.19], K],
  ["B", [0.921, 1], [4.2, 4.6], P],
  ["B", [0.921, 1], [4.61, 5.0], P],
  ["B", [0.921, 1], [5.01, 8], P],
] as const)("table %s, aw %j, pH %j", (table, activities, phs, expected) => {
  for (const activity of activities) for (const ph of phs) expect(storageClass(table, activity, ph)).toBe(expected);
});

it("refuses what is no water activity and no pH", () => {
  expect(() => storageClass("B", 1.2, 5)).toThrow("0 to 1");
  expect(() => storageClass("B", 0.9, Number.NaN)).toThrow("0 to 14");
});

// Published: FDA Food Code 3-501.14(A); the two logs are of our own.
it("reads a cooling log", () => {
  const log = (hoursTo21: number) => [
    { hours: 0, temperatureC: 57 },
    { hours: hoursTo21, temperatureC: 21 },
    { hours: 5.9, temperatureC: 5 },
  ];
  expect(coolingVerdict(log(1.9))).toMatchObject({ meets: true, hoursTo21: 1.9, hoursTo5: 5.9 });
  expect(coolingVerdict(log(2.1)).meets).toBe(false);
  expect(
    coolingVerdict([
      { hours: 0, temperatureC: 90 },
      { hours: 1, temperatureC: 60 },
    ]).meets,
  ).toBe(false);
});

// Exact: fat of a blend by weights; 300 g of 48 % cream and 250 g of 44 % mascarpone.
it("knows the fat of a whipped blend", () => {
  expect(
    whippingVerdict([
      { grams: 300, fatPercent: 48 },
      { grams: 250, fatPercent: 44 },
    ]),
  ).toMatchObject({ place: "too-rich" });
  expect(
    whippingVerdict([
      { grams: 300, fatPercent: 35 },
      { grams: 250, fatPercent: 44 },
    ])?.fatPercent,
  ).toBeCloseTo(39.09, 2);
  expect(whippingVerdict([])).toBeUndefined();
});
