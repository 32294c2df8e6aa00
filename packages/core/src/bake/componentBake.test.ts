import { describe, expect, it } from "vitest";
import type { Component } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { makeTin } from "../tins/index.js";
import { bakeOfComponent, checkBakeRequest, parseOven } from "./componentBake.js";
import { predictBake } from "./predictBake.js";

const book = createIngredientBook([]);
const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  specificGravity: { value: 0.85, basis: "measured" },
  stages: [
    {
      name: "Mix",
      uses: [
        { ingredient: "butter-unsalted", grams: 250 },
        { ingredient: "caster-sugar", grams: 250 },
        { ingredient: "egg-whole-uk", grams: 250 },
        { ingredient: "self-raising-flour", grams: 250 },
      ],
    },
  ],
};
const tin = makeTin({ kind: "round", topDiameterMm: 200, baseDiameterMm: 200, depthMm: 50 });
const oven = { setC: 170, fan: false };

describe("a component becomes a bake", () => {
  it("equal weights in two tins: composition near the handbook sum, and a baker's time", () => {
    const request = bakeOfComponent(sponge, book, { tin, oven, tinCount: 2, accuracy: "coarse" });
    expect(request.ok).toBe(true);
    if (!request.ok) return;
    const { batter, massGrams } = request.value;
    expect(massGrams).toBe(500);
    // Computed by hand from food tables for equal weights: water 26.5 %, fat 23 %; tables differ by a point or two.
    expect(Math.abs(batter.fractions.water - 0.265)).toBeLessThan(0.02);
    expect(Math.abs(batter.fractions.fat - 0.2325)).toBeLessThan(0.02);
    expect(batter.carbonDioxideGPerKg).toBeCloseTo(1, 6);
    const done = predictBake(request.value).doneSeconds.likely / 60;
    expect(done).toBeGreaterThan(20);
    expect(done).toBeLessThan(28);
  });
  it("nothing weighed is a problem, not a crash", () => {
    const request = bakeOfComponent({ ...sponge, stages: [] }, book, { tin, oven });
    expect(request.ok).toBe(false);
    if (!request.ok) expect(request.error[0].remedy).toContain("Weigh");
  });
  it("too much batter, and a setting no oven has, are named", () => {
    const request = bakeOfComponent(sponge, book, { tin, oven: { setC: 900, fan: false }, grams: 3000 });
    expect(request.ok).toBe(false);
    if (!request.ok) expect(request.error.map((p) => p.path.join("."))).toEqual(["oven.setC", "massGrams"]);
    expect(checkBakeRequest).toBeTypeOf("function");
  });
});

it.each([
  ["170C", { setC: 170, fan: false }],
  ["160C,fan", { setC: 160, fan: true }],
  ["350F", { setC: (318 * 5) / 9, fan: false }],
  ["gas 4, stone", { setC: 180, fan: false, shelf: "stone" }],
])("reads the oven %s", (text, expected) => {
  expect(parseOven(text)).toEqual({ ok: true, value: expected });
});
it("an unreadable oven is said", () => {
  const reading = parseOven("hot");
  expect(reading.ok).toBe(false);
  if (!reading.ok) expect(reading.error.remedy).toBe('Leave out "hot".');
});
