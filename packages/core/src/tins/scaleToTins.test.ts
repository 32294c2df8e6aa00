import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Component, Formula } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { batterDensity, batterFamily, batterVolumeMl } from "./batter.js";
import { compareTins } from "./compareTins.js";
import { fillingCautions, readTinsFor, tinFilling } from "./filling.js";
import { fillDepth, tinCapacityMl } from "./geometry.js";
import { parseTin, parseTins } from "./parseTin.js";
import { scaleToTins } from "./scaleToTins.js";

const book = createIngredientBook();
const stage = (...uses: [string, number | null][]) => ({
  name: "Mix",
  uses: uses.map(([ingredient, grams]) => ({ ingredient, grams })),
});
const sponge: Component = {
  name: "Sponge",
  kind: "cake",
  tins: [{ count: 2, tin: "round 20x5 cm" }],
  specificGravity: { value: 0.8, basis: "measured" },
  bake: { ovenC: 170, fan: false, minutes: 24 },
  stages: [stage(["butter-unsalted", 225], ["caster-sugar", 225], ["egg-whole-uk", 225], ["self-raising-flour", 225])],
};
const cake: Formula = {
  name: "Sandwich",
  portions: 10,
  components: [sponge, { name: "Jam", kind: "filling", stages: [stage(["raspberry-jam", 170])] }],
};
const scaled = (formula: Formula, tins: string, options: Partial<Parameters<typeof scaleToTins>[2]> = {}) => {
  const result = scaleToTins(formula, parseTins(tins).value, { book, ...options });
  if (!result.ok) throw new Error(result.error.remedy);
  return result.value;
};
const codes = (cautions: readonly { code: string }[]) => cautions.map(({ code }) => code);

describe("exact: from tins to tins", () => {
  it("the same tins give the same formula", () => {
    const { factor, cautions, formula } = scaled(cake, "2 round 20x5 cm");
    expect(factor).toBeCloseTo(1, 12);
    expect(codes(cautions)).not.toContain("bake-time");
    expect(formula.components[0]!.bake?.minutes).toBe(24);
  });
  it("at equal depth straight tins scale by the area of the base, filling and portions with them", () => {
    const { factor, formula, tins, cautions } = scaled(cake, "2 round 23x5 cm");
    expect(factor).toBeCloseTo((23 / 20) ** 2, 9);
    expect(formula.components[1]!.stages[0]!.uses[0]!.grams).toBeCloseTo(170 * factor, 9);
    expect(formula.portions).toBe(13);
    expect(formula.components[0]!.tins).toEqual([{ count: 2, tin: "round 23x5 cm" }]);
    // 900 g at 0.8 in two tins is 562.5 mL each: 17.9 mm deep on a 20 cm base.
    expect(tins[0]!.depthMm).toBeCloseTo(562_500 / (Math.PI * 100 ** 2), 9);
    expect(codes(cautions)).not.toContain("bake-time");
  });
  it("leaves the other components alone where only one is to be scaled", () => {
    const { factor, formula } = scaled(cake, "2 round 23x5 cm", { component: "Sponge", scale: "component" });
    expect(formula.components[0]!.stages[0]!.uses[0]!.grams).toBeCloseTo(225 * factor, 9);
    expect(formula.components[1]!.stages[0]!.uses[0]!.grams).toBe(170);
    expect(formula.portions).toBe(10);
  });
  it("conserved: the tins hold all the batter", () => {
    const { formula, tins } = scaled(cake, "2 round 18x4 cm, 1 loaf 900 g, 12-hole muffin tray");
    const batter = formula.components[0]!.stages[0]!.uses.reduce((sum, use) => sum + use.grams!, 0);
    expect(tins.reduce((sum, fill) => sum + fill.count * fill.batterGrams, 0)).toBeCloseTo(batter, 9);
  });
  it("by a share of the capacity", () => {
    const { factor, tins } = scaled(cake, "square 20x5 cm", { fill: { rule: "share", share: 0.5 } });
    expect(factor).toBeCloseTo((0.5 * 2000 * 0.8) / 900, 9);
    expect(tins[0]).toMatchObject({ capacityMl: 2000, batterMl: 1000, fillShare: 0.5 });
    expect(tins[0]!.depthMm).toBeCloseTo(25, 9);
  });
});

describe("bake time", () => {
  it("says when twice the depth makes the old time unfit, and takes it out of the formula", () => {
    const { cautions, formula } = scaled(cake, "2 round 20x5 cm", { fill: { rule: "share", share: 0.64 } });
    const words = cautions.find(({ code }) => code === "bake-time")!.words;
    expect(words).toMatch(/32 mm of batter instead of 18 mm\. The old 24 min does not hold\. Rough guide: \d+ to \d+ min/);
    expect(formula.components[0]!.bake).toEqual({ ovenC: 170, fan: false });
    // A baker's eye: 32 mm of creamed sponge at 170 °C wants 35 to 50 min (common practice, no source).
    const [low, high] = words
      .match(/(\d+) to (\d+) min/)!
      .slice(1)
      .map(Number) as [number, number];
    expect(low).toBeGreaterThan(30);
    expect(low).toBeLessThanOrEqual(40);
    expect(high).toBeGreaterThanOrEqual(45);
    expect(high).toBeLessThan(75);
  });
  it("says so for cups too, although the depth is the same", () => {
    const { cautions } = scaled(cake, "12-hole muffin tray");
    expect(cautions.find(({ code }) => code === "bake-time")!.words).toContain("another shape");
  });
  it("keeps quiet within a tenth", () => expect(codes(scaled(cake, "rectangle 33x23x5 cm").cautions)).not.toContain("bake-time"));
});

it("never fills beyond two thirds by the same-depth rule, and says what it did", () => {
  const deep: Formula = { ...cake, components: [{ ...sponge, tins: [{ count: 1, tin: "round 18x9 cm" }] }] };
  const { tins, cautions } = scaled(deep, "12-hole muffin tray");
  expect(tins[0]!.fillShare).toBeCloseTo(2 / 3, 9);
  expect(codes(cautions)).toContain("capped");
});

it("says when equal depth leaves another kind of tin half empty", () => {
  expect(scaled(cake, "loaf 900 g").cautions[0]).toMatchObject({ code: "shallow", words: expect.stringContaining("25 % full") });
  expect(codes(scaled(cake, "round 23x5 cm").cautions)).not.toContain("shallow");
});

it("fills by the usual share where the formula has no tins, and says so", () => {
  const { tins: _none, ...without } = sponge;
  const { factor, cautions, before } = scaled({ ...cake, components: [without] }, "2 round 20x5 cm");
  expect(before).toBeUndefined();
  expect(factor).toBeCloseTo((2 * 0.55 * Math.PI * 100 ** 2 * 50 * 0.8) / 1000 / 900, 9);
  expect(cautions[0]!.words).toContain("55 %");
});

it("fills from the named component and keeps unweighed cells unweighed", () => {
  const jam = scaled(cake, "round 20x5 cm", { component: "jam", fill: { rule: "share", share: 0.5 } });
  expect(jam.component).toBe("Jam");
  const open: Formula = {
    ...cake,
    components: [{ ...sponge, stages: [stage(["plain-flour", 100], ["vanilla-extract", null])] }],
  };
  expect(scaled(open, "round 20x5 cm").formula.components[0]!.stages[0]!.uses[1]!.grams).toBeNull();
});

it.each([
  ["no such component", cake, "round 20x5 cm", { component: "Custard" }, "unknown-component", "Sponge, Jam"],
  ["no tins", cake, "", {}, "unknown-tin", "at least one tin"],
  [
    "nothing weighed",
    { ...cake, components: [{ ...sponge, stages: [stage(["plain-flour", null])] }] },
    "round 20x5 cm",
    {},
    "not-a-weight",
    "weights",
  ],
  ["a share of nothing", cake, "round 20x5 cm", { fill: { rule: "share", share: 0 } as const }, "out-of-range", "above 0"],
  [
    "a share that is not a number",
    cake,
    "round 20x5 cm",
    { fill: { rule: "share", share: Number.NaN } as const },
    "out-of-range",
    "above 0",
  ],
])("refuses %s", (_name, formula, tins, options, code, expected) => {
  const result = scaleToTins(formula, parseTins(tins).value, { book, ...options });
  expect(result.ok).toBe(false);
  if (result.ok) return;
  expect(result.error.code).toBe(code);
  expect(result.error.expected).toContain(expected);
});

describe("how a component sits in its own tins", () => {
  it("stands equally deep in tins of different size", () => {
    const mixed: Component = {
      ...sponge,
      tins: [
        { count: 1, tin: "round 20x5 cm" },
        { count: 1, tin: "square 15x5 cm" },
      ],
    };
    const { value } = tinFilling(mixed, book);
    expect(value!.tins[0]!.depthMm).toBeCloseTo(value!.tins[1]!.depthMm, 6);
    expect(value!.tins.reduce((sum, fill) => sum + fill.batterGrams, 0)).toBeCloseTo(900, 6);
  });
  it("says that it does not fit, may run over, or is thin", () => {
    const of = (tin: string) => codes(fillingCautions(tinFilling({ ...sponge, tins: [{ count: 1, tin }] }, book).value!));
    expect(of("round 15x5 cm")).toEqual(["does-not-fit"]);
    expect(of("round 20x5 cm")).toEqual(["may-overflow"]);
    expect(of("rectangle 40x30x5 cm")).toEqual(["shallow"]);
    expect(of("round 23x5 cm")).toEqual([]);
  });
  it("finds tins by the names of the baker", () => {
    const owned = [{ name: "Sandwich tins", tin: parseTin("round 20x5 cm").value! }];
    expect(
      tinFilling({ ...sponge, tins: [{ count: 2, tin: "Sandwich tins" }] }, book, owned).value!.tins[0]!.capacityMl,
    ).toBeCloseTo(1570.8, 1);
    expect(readTinsFor("3 sandwich tins", owned).value).toMatchObject([{ count: 3 }]);
    expect(readTinsFor("2 loaf 450 g", owned).value).toMatchObject([{ count: 2 }]);
    expect(tinFilling({ ...sponge, tins: [{ count: 2, tin: "nosuch" }] }, book, owned).problems[0]).toMatchObject({
      code: "unknown-tin",
      path: ["tins", 0, "tin"],
    });
  });
  it("property: all of the batter is in the tins, up to the brim and beyond", () => {
    fc.assert(
      fc.property(fc.double({ min: 1, max: 20_000, noNaN: true }), (grams) => {
        const { value } = tinFilling(
          {
            ...sponge,
            tins: [
              { count: 2, tin: "loaf 900 g" },
              { count: 3, tin: "half ball 16 cm" },
            ],
            stages: [stage(["plain-flour", grams])],
          },
          book,
        );
        expect(value!.tins.reduce((sum, fill) => sum + fill.count * fill.batterGrams, 0) / grams).toBeCloseTo(1, 9);
      }),
    );
  });
});

// Families by made-up proportions of the trade (common practice, no source); the figures are those of the reference table.
it.each([
  [
    "whisked",
    0.48,
    [
      ["egg-whole-uk", 200],
      ["caster-sugar", 110],
      ["plain-flour", 110],
      ["butter-unsalted", 20],
    ],
  ],
  [
    "angel",
    0.3,
    [
      ["egg-white-uk", 300],
      ["caster-sugar", 250],
      ["plain-flour", 100],
    ],
  ],
  [
    "creamed",
    0.85,
    [
      ["butter-unsalted", 200],
      ["caster-sugar", 200],
      ["egg-whole-uk", 200],
      ["plain-flour", 200],
    ],
  ],
  [
    "layer",
    0.8,
    [
      ["butter-unsalted", 80],
      ["caster-sugar", 200],
      ["egg-whole-uk", 100],
      ["milk-whole", 120],
      ["plain-flour", 200],
    ],
  ],
  [
    "oil",
    0.93,
    [
      ["sunflower-oil", 180],
      ["caster-sugar", 200],
      ["egg-whole-uk", 150],
      ["plain-flour", 220],
    ],
  ],
  [
    "chocolate",
    0.8,
    [
      ["butter-unsalted", 150],
      ["caster-sugar", 200],
      ["egg-whole-uk", 150],
      ["plain-flour", 150],
      ["cocoa-powder", 40],
    ],
  ],
] as const)("takes %s batter at %f", (family, specificGravity, uses) => {
  const { specificGravity: _none, ...unsaid } = sponge;
  const component: Component = { ...unsaid, stages: [stage(...uses.map(([id, grams]) => [id, grams] as [string, number]))] };
  for (const [id] of uses) expect(book.get(id), id).toBeDefined();
  expect(batterFamily(component, book)).toBe(family);
  const density = batterDensity(component, book);
  expect(density).toMatchObject({ specificGravity, basis: "family", family });
  const filling = tinFilling(component, book).value!;
  expect(codes(fillingCautions(filling))).toContain("typical-density");
});

it("compares every tin the baker owns", () => {
  const owned = ["round 20x5 cm", "square 23x5 cm", "loaf 900 g", "12-hole muffin tray"].map((text) => ({
    name: text,
    tin: parseTin(text).value!,
  }));
  const rows = compareTins(cake, owned, { book });
  expect(rows.map(({ name }) => name)).toEqual(owned.map(({ name }) => name));
  expect(rows[0]!.tinsPerBatch).toBeCloseTo(2, 9);
  expect(rows[1]!.factorForOne).toBeCloseTo((230 * 230) / (2 * Math.PI * 100 ** 2), 9);
  expect(compareTins({ ...cake, components: [] }, owned, { book })).toEqual([]);
});

it("refuses to measure nonsense", () => {
  expect(() => batterVolumeMl(100, 0)).toThrow("not a batter");
  expect(batterVolumeMl(936, 0.82)).toBeCloseTo(1141.46, 2);
  expect(fillDepth(parseTin("round 20x5 cm").value!, tinCapacityMl(parseTin("round 20x5 cm").value!) / 2)).toBeCloseTo(25, 9);
});
