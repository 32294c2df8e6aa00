import highsLoader from "highs";
import { expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { type Demand, type HighsLike, rebalance, solverFromHighs } from "../rebalance/index.js";
import { bentDemandOf, setTemperatureDemand, solidFatDemand, waterActivityDemand } from "./index.js";

const book = createIngredientBook();
const solver = solverFromHighs((await highsLoader()) as unknown as HighsLike);
const cake: Component = {
  name: "Sponge",
  kind: "cake",
  loss: { percent: 9, basis: "measured" },
  stages: [
    {
      name: "Mix",
      uses: Object.entries({
        "butter-unsalted": 225,
        "caster-sugar": 220,
        "egg-whole-uk": 230,
        "self-raising-flour": 225,
        "milk-whole": 30,
      }).map(([ingredient, grams]) => ({ ingredient, grams })),
    },
  ],
};
const formula: Formula = { name: "Sponge", components: [cake] };
const total: Demand = { kind: "hold", measure: { kind: "total" } };

it.each([
  ["water activity at most 0.85", waterActivityDemand({ most: 0.85 }, book)],
  ["water activity at least 0.88", waterActivityDemand({ least: 0.88 }, book)],
  ["set temperature at least 80 °C", setTemperatureDemand({ least: 80 }, book)],
  ["solid fat at 5 °C at most 10.0 g in 100 g", solidFatDemand(5, { most: 10 }, book)],
])("reaches %s, holds the total, and the weighable answer truly keeps it", (words, bent) => {
  expect(bent.words).toBe(words);
  const before = bent.value(cake)!;
  expect(before < (bent.least ?? Number.NEGATIVE_INFINITY) || before > (bent.most ?? Number.POSITIVE_INFINITY)).toBe(true);
  const answer = rebalance(
    { formula, component: "Sponge", demands: [total], bent: [bent], aim: "nearest", mayAdd: ["sunflower-oil"] },
    book,
    solver,
  );
  if (answer.status !== "optimal") throw new Error(JSON.stringify(answer));
  const after = bent.value(answer.formula.components[0]!)!;
  expect(after).toBeLessThanOrEqual((bent.most ?? Number.POSITIVE_INFINITY) + 1e-6);
  expect(after).toBeGreaterThanOrEqual((bent.least ?? Number.NEGATIVE_INFINITY) - 1e-6);
  // Nearest: it does not overshoot by more than the steps of the scale and the stricter rounds bring.
  expect(Math.abs(after - (bent.most ?? bent.least)!)).toBeLessThan(0.02 * Math.abs(before));
  expect(answer.outcomes.at(-1)).toMatchObject({ words, before, after });
});

it("takes a bent demand as plain data too", () => {
  const plain = structuredClone({ kind: "solid-fat", temperatureC: 5, most: 10 } as const);
  expect(bentDemandOf(plain, book).value(cake)).toBe(solidFatDemand(5, { most: 10 }, book).value(cake));
  expect(bentDemandOf({ kind: "water-activity", most: 0.85 }, book)).toMatchObject({
    words: "water activity at most 0.85",
    most: 0.85,
  });
  expect(bentDemandOf({ kind: "set-temperature", least: 80 }, book).words).toBe("set temperature at least 80 °C");
});

it("names the bent demand in a smallest conflict", () => {
  const answer = rebalance(
    {
      formula,
      component: "Sponge",
      demands: [
        { kind: "hold", measure: { kind: "nutrient", nutrient: "sugars" } },
        { kind: "hold", measure: { kind: "nutrient", nutrient: "water" } },
        { kind: "hold", measure: { kind: "nutrient", nutrient: "starch" } },
        total,
      ],
      bent: [waterActivityDemand({ most: 0.7 }, book)],
      aim: "nearest",
    },
    book,
    solver,
  );
  if (answer.status !== "conflict") throw new Error(JSON.stringify(answer));
  expect(answer.conflicts).toContain("water activity at most 0.70");
  expect(answer.conflicts.length).toBeGreaterThan(1);
});

it("says what figure is missing", () => {
  const odd: Component = { ...cake, stages: [{ name: "Mix", uses: [{ ingredient: "caster-sugar", grams: 100 }] }] };
  const answer = rebalance(
    {
      formula: { name: "Sugar", components: [odd] },
      component: "Sponge",
      demands: [total],
      bent: [waterActivityDemand({ most: 0.8 }, book)],
      aim: "nearest",
    },
    book,
    solver,
  );
  expect(answer).toMatchObject({ status: "problems", problems: [{ code: "no-figure" }] });
});
