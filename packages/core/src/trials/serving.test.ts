import fc from "fast-check";
import { expect, it } from "vitest";
import sensory from "./fixtures/sensory.json" with { type: "json" };
import { countAnswers, planTasting, type TastingMethod, williamsOrders } from "./serving.js";

// Published construction (Williams 1949), rows of the reference, and the property itself for all sizes.
it("balances places and neighbours", () => {
  for (const [n, { rows }] of Object.entries(sensory.williams_orders)) expect(williamsOrders(Number(n))).toEqual(rows);
  for (let n = 2; n <= 26; n++) {
    const rows = williamsOrders(n);
    const times = n % 2 === 0 ? 1 : 2;
    const places = new Map<string, number>();
    const neighbours = new Map<string, number>();
    for (const row of rows) {
      for (const [place, product] of row.entries()) {
        places.set(`${product} ${place}`, (places.get(`${product} ${place}`) ?? 0) + 1);
        if (place > 0) neighbours.set(`${row[place - 1]} ${product}`, (neighbours.get(`${row[place - 1]} ${product}`) ?? 0) + 1);
      }
    }
    expect(places.size).toBe(n * n);
    expect(new Set(places.values())).toEqual(new Set([times]));
    expect(neighbours.size).toBe(n * (n - 1));
    expect(new Set(neighbours.values())).toEqual(new Set([times]));
  }
});

const words = { products: ["standard", "with oil"], tasterCount: 12, seed: 3, allergens: ["milk", "eggs", "wheat (gluten)"] };

it("serves the six orders of the triangle equally often, under codes that do not repeat", () => {
  const plan = planTasting({ ...words, method: "triangle" });
  const orders = plan.sheets.map(({ samples }) => samples.map(({ product }) => product).join(""));
  expect([...new Set(orders)].sort()).toEqual(["001", "010", "011", "100", "101", "110"]);
  for (const order of new Set(orders)) expect(orders.filter((other) => other === order).length).toBe(2);
  expect(plan.portions).toEqual([18, 18]);
  for (const { samples, right } of plan.sheets) {
    expect(new Set(samples.map(({ code }) => code)).size).toBe(3);
    for (const { code } of samples) expect(code).toMatch(/^[1-9]\d\d$/);
    expect(right!.length).toBe(1);
  }
  expect(planTasting({ ...words, tasterCount: 10, method: "triangle" }).advice[0]).toContain("12 tasters");
});

it("counts right answers, those who declined, and answers that do not fit", () => {
  const plan = planTasting({ ...words, method: "triangle" });
  const answers = plan.sheets.map((sheet) => ({
    taster: sheet.taster,
    codes: [sheet.taster <= 7 ? sheet.right![0]! : sheet.samples.find(({ code }) => code !== sheet.right![0])!.code],
  }));
  expect(countAnswers(plan, answers)).toMatchObject({ answered: 12, correct: 7, declined: 0, unusable: [] });
  const mixed = [{ taster: 1, declined: true }, { taster: 2, codes: ["000"] }, ...answers.slice(2), { taster: 99, codes: [] }];
  const count = countAnswers(plan, mixed);
  expect(count).toMatchObject({ answered: 10, declined: 1, correct: 5 });
  expect(count.unusable.map(({ taster }) => taster)).toEqual([2, 99]);
});

it("turns orders of liking into ranks, marks into rows, and a tetrad into right groups", () => {
  const three = { ...words, products: ["A", "B", "C"], tasterCount: 6 };
  const ranking = planTasting({ ...three, method: "ranking" });
  const byProduct = (samples: (typeof ranking.sheets)[number]["samples"], product: number) =>
    samples.find((sample) => sample.product === product)!.code;
  const ranks = countAnswers(
    ranking,
    ranking.sheets.map(({ taster, samples }) => ({ taster, codes: [2, 0, 1].map((product) => byProduct(samples, product)) })),
  );
  expect(ranks.rows).toEqual(Array.from({ length: 6 }, () => [2, 3, 1]));
  const liking = planTasting({ ...three, method: "liking" });
  const marks = countAnswers(
    liking,
    liking.sheets.map(({ taster, samples }) => ({
      taster,
      marks: Object.fromEntries(samples.map(({ code, product }) => [code, 5 + product])),
    })),
  );
  expect(marks.rows![3]).toEqual([5, 6, 7]);
  const tetrad = planTasting({ ...words, method: "tetrad" });
  const groups = countAnswers(
    tetrad,
    tetrad.sheets.map(({ taster, samples }) => ({
      taster,
      codes: samples.filter(({ product }) => product === 1).map(({ code }) => code),
    })),
  );
  expect(groups.correct).toBe(12);
});

it("plans every method for any number of tasters (property)", () => {
  const method = fc.constantFrom<TastingMethod>(
    "triangle",
    "duo-trio",
    "2-AFC",
    "3-AFC",
    "tetrad",
    "paired preference",
    "ranking",
    "liking",
  );
  fc.assert(
    fc.property(method, fc.integer({ min: 1, max: 40 }), fc.nat(), (name, tasterCount, seed) => {
      const plan = planTasting({ ...words, method: name, tasterCount, seed });
      expect(plan.sheets.length).toBe(tasterCount);
      expect(planTasting({ ...words, method: name, tasterCount, seed })).toEqual(plan);
    }),
  );
  expect(() => planTasting({ ...words, products: ["A"], method: "triangle" })).toThrow("two products, not 1");
});
