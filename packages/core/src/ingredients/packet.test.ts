import { describe, expect, it } from "vitest";
import { NUTRIENTS } from "./ingredient.js";
import { ingredientFromPacket, type Packet } from "./packet.js";

// An invented packet of strong flour, with the figures such packets carry.
const FLOUR: Packet = {
  name: "Strong flour from Dunmoor Mill",
  role: "flour",
  per100g: {
    energyKj: 1480,
    energyKcal: 349,
    fat: 1.4,
    saturates: 0.2,
    carbohydrate: 69,
    sugars: 0.7,
    fibre: 3.4,
    protein: 13.2,
    salt: 0.01,
  },
  contains: [{ allergen: "cereals-gluten", kind: "wheat" }],
};

it("takes a declaration over, and converts salt and carbohydrate", () => {
  const { value, problems } = ingredientFromPacket(FLOUR);
  expect(problems).toEqual([]);
  expect(value).toMatchObject({ id: "strong-flour-from-dunmoor-mill", basis: "own", group: "own", role: "flour" });
  expect(value.per100g.fat).toMatchObject({ known: true, value: 1.4 });
  expect(value.per100g.sodium).toMatchObject({ known: true, value: 0.004, source: expect.stringContaining("salt / 2.5") });
  expect(value.per100g.carbohydrate).toMatchObject({
    known: true,
    value: 72.4,
    source: expect.stringContaining("carbohydrate + fibre"),
  });
});

it("leaves missing what the packet does not say: water, starch, single sugars, ash", () => {
  const { per100g, densityGPerMl } = ingredientFromPacket(FLOUR).value;
  for (const nutrient of ["water", "starch", "sucrose", "lactose", "ash", "alcohol", "polyols"] as const) {
    expect(per100g[nutrient]).toEqual({ known: false, why: "the packet does not say" });
  }
  expect(densityGPerMl.known).toBe(false);
  for (const nutrient of NUTRIENTS) expect(per100g[nutrient]).toBeDefined();
});

it("computes water only when asked, and says so", () => {
  const { per100g } = ingredientFromPacket({ ...FLOUR, waterGrams: "by-difference" }).value;
  expect(per100g.water).toMatchObject({
    known: true,
    value: expect.closeTo(100 - 1.4 - 69 - 3.4 - 13.2 - 0.01, 6),
    source: expect.stringMatching(/^derived: 100 less/),
  });
  const stated = ingredientFromPacket({ ...FLOUR, waterGrams: 13 }).value.per100g.water;
  expect(stated).toEqual({ known: true, value: 13, source: "stated by the baker" });
});

it("takes fibre out of the carbohydrate of a US packet", () => {
  const us = { ...FLOUR, carbohydrateIncludesFibre: true, per100g: { ...FLOUR.per100g, carbohydrate: 72.4 } };
  expect(ingredientFromPacket(us)).toMatchObject({ problems: [], value: { per100g: { carbohydrate: { value: 72.4 } } } });
});

it("keeps a carbohydrate without declared fibre as it stands, and says so", () => {
  const { fibre: _, ...rest } = FLOUR.per100g;
  const { value, problems } = ingredientFromPacket({ ...FLOUR, per100g: rest });
  expect(problems).toEqual([]);
  expect(value.per100g.fibre.known).toBe(false);
  expect(value.per100g.carbohydrate).toMatchObject({ value: 69, source: expect.stringContaining("without the fibre") });
});

// Exact: factors of Annex XIV of Regulation (EU) 1169/2011 (from memory): 17 x (69 + 13.2) + 37 x 1.4 + 8 x 3.4 = 1476.4 kJ.
it("computes the energy that a packet leaves out", () => {
  const { energyKj: _kj, energyKcal: _kcal, ...rest } = FLOUR.per100g;
  const { value } = ingredientFromPacket({ ...FLOUR, per100g: rest });
  expect(value.per100g.energyKj).toMatchObject({
    known: true,
    value: expect.closeTo(1476.4, 6),
    source: expect.stringContaining("Annex XIV"),
  });
});

// Published: butter, granulated sugar and whole milk of USDA SR28 (01145, 19335, 01211) written as EU declarations pass the checks.
it.each([
  [
    "butter",
    {
      energyKj: 2999,
      energyKcal: 717,
      fat: 81.11,
      saturates: 51.37,
      carbohydrate: 0.06,
      sugars: 0.06,
      protein: 0.85,
      salt: 0.03,
    },
  ],
  ["sugar", { energyKj: 1700, energyKcal: 400, fat: 0, saturates: 0, carbohydrate: 100, sugars: 100, protein: 0, salt: 0 }],
  [
    "milk",
    { energyKj: 254, energyKcal: 61, fat: 3.25, saturates: 1.87, carbohydrate: 4.8, sugars: 4.8, protein: 3.15, salt: 0.11 },
  ],
])("has nothing to say against a true declaration of %s", (name, per100g) => {
  expect(ingredientFromPacket({ name, role: "other", per100g, contains: [] }).problems).toEqual([]);
});

describe("a declaration that cannot be", () => {
  const problemsOf = (change: Packet["per100g"], more: Partial<Packet> = {}) =>
    ingredientFromPacket({ ...FLOUR, ...more, per100g: { ...FLOUR.per100g, ...change } }).problems;
  it.each([
    [{ saturates: 2 }, "saturates", "conflict", "saturates are a part of the fat"],
    [{ sugars: 80 }, "sugars", "conflict", "sugars are a part of the carbohydrate"],
    [{ carbohydrate: 89 }, "fat", "conflict", "per 100 g and not per portion"],
    [{ energyKj: 349, energyKcal: undefined }, "energyKj", "conflict", "kcal typed as kJ"],
    [{ energyKj: 190, energyKcal: 795 }, "energyKcal", "conflict", "The two energies look swapped"],
    [{ energyKcal: 420 }, "energyKcal", "conflict", "1 kcal is 4.184 kJ"],
    [{ energyKj: 1900, energyKcal: 454 }, "energyKj", "conflict", "Read energy, fat, carbohydrate and protein again"],
    [{ fat: 140 }, "fat", "out-of-range", "per 100 g and not per portion"],
    [{ protein: -1 }, "protein", "out-of-range", "per 100 g and not per portion"],
    [{ salt: Number.NaN }, "salt", "out-of-range", "per 100 g and not per portion"],
  ] as const)("%j is told at %s", (change, field, code, remedy) => {
    expect(problemsOf(change)).toContainEqual(
      expect.objectContaining({ code, path: ["per100g", field], remedy: expect.stringContaining(remedy) }),
    );
  });
  it("has a name and a density that can be", () => {
    expect(problemsOf({}, { name: "  " })).toContainEqual(expect.objectContaining({ code: "missing-field", path: ["name"] }));
    expect(problemsOf({}, { densityGPerMl: 60 })).toContainEqual(
      expect.objectContaining({ code: "out-of-range", path: ["densityGPerMl"] }),
    );
  });
  it("loses the figure that cannot be, and keeps the others", () => {
    const { value } = ingredientFromPacket({ ...FLOUR, per100g: { ...FLOUR.per100g, fat: 140 } });
    expect(value.per100g.fat.known).toBe(false);
    expect(value.per100g.protein).toMatchObject({ value: 13.2 });
  });
});
