import type { Component, Formula } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { parseTin } from "@evencrumb/core/tins";
import { expect, it } from "vitest";
import type { Kept } from "../app/house.js";
import { apart, tickStep } from "./curvePictures.js";
import type { OwnOven } from "./documents.js";
import { bakedComponents, decimal, firstChoices, quickRequest, requestOf, resizableTin, usualGrams } from "./setting.js";
import { betweenMinutes, clockOf, valueAt } from "./words.js";

const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  bake: { ovenC: 170, fan: true },
  stages: [
    {
      name: "Mix",
      uses: [
        { ingredient: "butter-unsalted", grams: 200 },
        { ingredient: "caster-sugar", grams: 200 },
        { ingredient: "egg-whole-uk", grams: 200 },
        { ingredient: "plain-flour", grams: 200 },
      ],
    },
  ],
};
const formula: Formula = { name: "Sandwich", components: [sponge] };
const book = createIngredientBook();
const fit = { offsetK: -8, aboveFactor: 0.9, belowFactor: 0.9, offsetSpreadK: 4, aboveSpread: 0.1, belowSpread: 0.1 };
const ovens: readonly Kept<OwnOven>[] = [
  { id: "a", revisionId: "a1", body: { name: "Deck", convection: "natural", positions: [{ name: "upper" }] } },
  {
    id: "b",
    revisionId: "b1",
    body: {
      name: "Range",
      convection: "fan",
      positions: [{ name: "top" }, { name: "bottom" }],
      calibration: [{ position: "bottom", fit, records: 4, madeOn: "2026-11-20" }],
    },
  },
];

it("begins as the formula says, in an oven of its kind", () => {
  const first = firstChoices(sponge, ovens);
  expect(first).toMatchObject({ component: "Sponge", oven: "b", position: "top", setC: 170, fan: true });
  expect(usualGrams(sponge, [])).toBe(400);
  const { request, problems } = requestOf(first, formula, book, [], ovens);
  expect(problems).toEqual([]);
  expect(request).toMatchObject({ massGrams: 400, oven: { setC: 170, fan: true }, accuracy: "full" });
  expect(request?.oven.fitted).toBeUndefined();
  expect(quickRequest(request!)).not.toHaveProperty("after");
});

it("takes the calibration of the place, the tin that was typed and a decimal comma", () => {
  const made = requestOf(
    { ...firstChoices(sponge, ovens), position: "bottom", tin: "round 18x9 cm", grams: "612,5", batterC: "19,5" },
    formula,
    book,
    [],
    ovens,
  );
  expect(made.request).toMatchObject({ massGrams: 612.5, initialC: 19.5, oven: { fitted: fit } });
  expect(decimal("")).toBeNaN();
});

it("says what stands in the way", () => {
  const first = firstChoices(sponge, ovens);
  const found = (change: object) => requestOf({ ...first, ...change }, formula, book, [], ovens);
  expect(found({ tin: "a hat" }).problems.length).toBeGreaterThan(0);
  expect(found({ grams: "40O" }).problems[0]).toMatchObject({ path: ["batter in one tin"], found: "40O" });
  expect(found({ grams: "4000" }).problems[0]?.code).toBe("conflict");
  expect(found({ room: "60" }).request).toBeNull();
});

it("bakes what goes into an oven, or else the first component", () => {
  const jam: Component = { name: "Jam", kind: "filling", stages: [] };
  expect(bakedComponents({ ...formula, components: [jam, sponge] }).map(({ name }) => name)).toEqual(["Sponge"]);
  expect(bakedComponents({ ...formula, components: [jam] }).map(({ name }) => name)).toEqual(["Jam"]);
});

it("drags the width of a straight tin and keeps its depth", () => {
  const round = resizableTin(parseTin("round 20x7.5 cm").value!)!;
  expect(round.acrossCm).toBe(20);
  expect(round.textFor(23.5)).toBe("round 23.5x7.5 cm");
  expect(resizableTin(parseTin("loaf 900 g").value!)).toBeUndefined();
});

it("writes times as a baker reads them", () => {
  expect(betweenMinutes({ from: 18 * 60, to: 31 * 60 })).toBe("between 18 and 31 min");
  expect(betweenMinutes({ from: 50 * 60, to: 70 * 60 })).toBe("between 50 min and 1 h 10 min");
  expect(betweenMinutes({ from: 50 * 60, to: Number.POSITIVE_INFINITY })).toBe("from 50 min to more than four hours");
  expect(clockOf(750)).toBe("12:30");
  expect(valueAt(Float64Array.of(0, 10), Float64Array.of(20, 40), 5)).toBe(30);
});

it("keeps labels apart and axes readable", () => {
  const moved = apart([100, 101, 200], 17);
  expect(moved[1]! - moved[0]!).toBeGreaterThanOrEqual(16.9);
  expect(moved[2]).toBe(200);
  expect(tickStep(30)).toBe(5);
  expect(tickStep(1000)).toBe(120);
});
