import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { standardIngredients } from "./expandLarder.js";
import { pricePerKgMinor } from "./pack.js";
import { ingredientFromPacket } from "./packet.js";
import { readIngredient } from "./readIngredient.js";

const MINIMAL = { id: "own-mill-flour", name: "Mill flour", role: "flour" };

it("reads back every shipped ingredient as it was", () => {
  for (const ingredient of standardIngredients()) {
    const { value, problems } = readIngredient(JSON.parse(JSON.stringify(ingredient)));
    // Published analyses that do not add up are told, and taken all the same.
    expect(
      problems.filter(({ code }) => code !== "conflict"),
      ingredient.id,
    ).toEqual([]);
    expect(value, ingredient.id).toEqual(ingredient);
  }
});

it("reads an ingredient from a packet, with packs and prices", () => {
  const { value: own } = ingredientFromPacket({
    name: "Mill flour",
    role: "flour",
    per100g: { fat: 1.4, carbohydrate: 69, protein: 13.2, salt: 0.01 },
    contains: [{ allergen: "cereals-gluten", kind: "wheat" }],
    packs: [{ grams: 16_000, priceMinor: 1850, currency: "GBP", supplier: "Dunmoor Mill", date: "2026-03-14" }],
  });
  expect(readIngredient(JSON.parse(JSON.stringify(own)))).toEqual({ value: own, problems: [] });
  expect(pricePerKgMinor(own.packs![0]!)).toBe(115.625);
  expect(pricePerKgMinor({ grams: 0, priceMinor: 5 })).toBeUndefined();
});

it("takes plain numbers as figures that the baker states, and fills in what is missing", () => {
  const { value, problems } = readIngredient({
    ...MINIMAL,
    per100g: { fat: 1.5, water: null },
    contains: ["milk"],
    densityGPerMl: 0.5,
  });
  expect(problems).toEqual([]);
  expect(value).toMatchObject({
    basis: "own",
    group: "own",
    otherNames: [],
    contains: [{ allergen: "milk" }],
    densityGPerMl: { known: true, value: 0.5, source: "stated by the baker" },
    per100g: { fat: { known: true, value: 1.5, source: "stated by the baker" }, water: { known: false, why: "not stated" } },
  });
});

it.each([
  [{ id: "Own Flour" }, ["id"], "wrong-type"],
  [{ id: undefined }, ["id"], "missing-field"],
  [{ name: "" }, ["name"], "missing-field"],
  [{ name: 5 }, ["name"], "wrong-type"],
  [{ name: "x".repeat(201) }, ["name"], "too-large"],
  [{ role: "magic" }, ["role"], "wrong-type"],
  [{ colour: "blue" }, ["colour"], "unknown-field"],
  [{ per100g: [] }, ["per100g"], "wrong-type"],
  [{ per100g: { fat: 101 } }, ["per100g", "fat"], "out-of-range"],
  [{ per100g: { fat: "1.5" } }, ["per100g", "fat"], "wrong-type"],
  [{ per100g: { lard: 1 } }, ["per100g", "lard"], "unknown-field"],
  [{ per100g: { fat: 5, saturates: 9 } }, ["per100g", "saturates"], "conflict"],
  [{ per100g: { fat: { known: true, value: -1, source: "x" } } }, ["per100g", "fat", "value"], "out-of-range"],
  [{ densityGPerMl: 0 }, ["densityGPerMl"], "out-of-range"],
  [{ contains: ["gluten"] }, ["contains", 0], "wrong-type"],
  [{ contains: "milk" }, ["contains"], "wrong-type"],
  [{ mayContain: [{ allergen: "milk", kind: 4 }] }, ["mayContain", 0, "kind"], "wrong-type"],
  [{ packs: [{ grams: 1000, priceMinor: 1.5, currency: "GBP" }] }, ["packs", 0, "priceMinor"], "wrong-type"],
  [{ packs: [{ grams: 1000, priceMinor: 150, currency: "pounds" }] }, ["packs", 0, "currency"], "too-large"],
  [{ packs: [{ grams: 1000, priceMinor: 150, currency: "gbp" }] }, ["packs", 0, "currency"], "wrong-type"],
  [{ packs: [{ grams: 1000, priceMinor: 150, currency: "GBP", date: "14/3/2026" }] }, ["packs", 0, "date"], "wrong-type"],
  [{ parts: [{ ingredient: "salt", grams: -4 }] }, ["parts", 0, "grams"], "out-of-range"],
  [{ partsLossPercent: 100 }, ["partsLossPercent"], "out-of-range"],
  [{ householdWeights: [{ measure: "cup", grams: 0 }] }, ["householdWeights", 0, "grams"], "out-of-range"],
  [{ otherNames: Array.from({ length: 201 }, () => "a") }, ["otherNames"], "too-large"],
])("says where %j is wrong", (change, path, code) => {
  const { problems } = readIngredient({ ...MINIMAL, ...change }, ["ingredients", 3]);
  expect(problems).toContainEqual(
    expect.objectContaining({ code, path: ["ingredients", 3, ...path], remedy: expect.stringMatching(/\w+/) }),
  );
});

describe("hostile input", () => {
  it("cannot reach a prototype", () => {
    const { value, problems } = readIngredient(
      JSON.parse(
        '{"id":"a","name":"A","role":"salt","__proto__":{"role":"flour","polluted":true},"per100g":{"__proto__":{"fat":5},"constructor":1}}',
      ),
    );
    expect(problems.map(({ code }) => code)).toEqual(["unknown-field", "unknown-field", "unknown-field"]);
    expect(value).toMatchObject({ role: "salt", per100g: { fat: { known: false } } });
    expect(Object.getPrototypeOf(value)).toBe(Object.prototype);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
  it("does not run a getter", () => {
    let ran = false;
    const sly = Object.defineProperty({ ...MINIMAL }, "notes", { enumerable: true, get: () => (ran = true) });
    const { value, problems } = readIngredient(sly);
    expect(value).toMatchObject({ id: "own-mill-flour" });
    expect(value).not.toHaveProperty("notes");
    expect(problems).toEqual([expect.objectContaining({ code: "wrong-type", path: ["notes"], found: "a getter" })]);
    expect(ran).toBe(false);
  });
  it("is an ingredient or nothing, with problems and never a crash (property)", () => {
    fc.assert(
      fc.property(
        fc.oneof(
          fc.jsonValue(),
          fc.anything(),
          fc.record({ id: fc.string(), name: fc.string(), role: fc.anything(), per100g: fc.anything(), packs: fc.anything() }),
        ),
        (value) => {
          const read = readIngredient(value);
          if (read.value === undefined) expect(read.problems.length).toBeGreaterThan(0);
          expect(read.problems.length).toBeLessThanOrEqual(110);
        },
      ),
      { numRuns: 2000 },
    );
  });
});
