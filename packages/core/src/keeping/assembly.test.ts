import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { type Component, type Formula, parseFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { assembleCake, coverNeeds, moistureInCake, spreadDensity } from "./index.js";

const book = createIngredientBook();
const demo = (name: string) => parseFormulaFile(readFileSync(`examples/formulas/${name}.yaml`, "utf8")).value!;
const sandwich = demo("sandwich.1");
const plain = (kind: Component["kind"], uses: Readonly<Record<string, number>>, over: Partial<Component> = {}): Component => ({
  name: kind,
  kind,
  stages: [{ name: "Mix", uses: Object.entries(uses).map(([ingredient, grams]) => ({ ingredient, grams })) }],
  ...over,
});

describe("assembling", () => {
  it("stacks two layers with the filling between, and keeps every gram (conserved)", () => {
    const cake = assembleCake(sandwich, book).value!;
    expect(cake.pieces).toBe(1);
    expect(cake.layers.map(({ role, name }) => `${role} ${name}`)).toEqual([
      "crumb Sponge",
      "filling Filling: Spread",
      "filling Filling: Whip",
      "crumb Sponge",
      "top Top",
    ]);
    const sum = cake.layers.reduce((grams, layer) => grams + layer.grams, 0);
    expect(sum).toBeCloseTo(cake.grams, 6);
    expect(cake.slice!.grams * cake.slice!.portions).toBeCloseTo(cake.grams, 6);
    expect(cake.amounts!.fatGrams).toBeCloseTo(cake.slice!.amounts.fatGrams * 10, 6);
    // A 20 cm sandwich stands 6 to 10 cm high with its cream (common practice, no source).
    expect(cake.heightMm.likely).toBeGreaterThan(60);
    expect(cake.heightMm.likely).toBeLessThan(100);
  });

  // Exact: the top of a 20 cm round tin is 314.2 cm2, its outline 62.8 cm; a square of 23 cm 529 cm2 and 92 cm.
  it("knows top and outline of the tin", () => {
    const round = assembleCake(sandwich, book).value!;
    expect(round.topAreaCm2).toBeCloseTo(Math.PI * 100, 6);
    expect(round.outlineCm).toBeCloseTo(Math.PI * 20, 6);
    const square = assembleCake(demo("ginger-slab.1"), book).value!;
    expect(square.topAreaCm2).toBeCloseTo(529, 6);
    expect(square.outlineCm).toBeCloseTo(92, 6);
  });

  it("makes as many cakes as there are cups, with the icing shared out", () => {
    const cups = assembleCake(demo("cup-cakes.1"), book).value!;
    expect(cups.pieces).toBe(12);
    expect(cups.layers.map(({ role }) => role)).toEqual(["crumb", "top"]);
    expect(cups.grams * 12).toBeCloseTo(12 * cups.layers.reduce((grams, layer) => grams + layer.grams, 0), 6);
    expect(cups.grams).toBeGreaterThan(60);
    expect(cups.grams).toBeLessThan(110);
  });

  it("takes a measured height, cuts one deep cake in two, and puts icing round where asked", () => {
    const cake: Formula = {
      name: "Deep",
      components: [
        plain(
          "cake",
          { "butter-unsalted": 250, "caster-sugar": 250, "egg-whole-uk": 250, "self-raising-flour": 250 },
          {
            tins: [{ count: 1, tin: "round 20x8 cm" }],
            loss: { percent: 10, basis: "measured" },
          },
        ),
        plain("filling", { "raspberry-jam": 150 }),
        plain("icing", { "butter-unsalted": 200, "icing-sugar-uk": 400 }),
        plain("syrup", { water: 40, "caster-sugar": 40 }),
      ],
    };
    const { value, problems } = assembleCake(cake, book, { crumbHeightMm: 60, cover: "top-and-sides" });
    expect(problems).toEqual([]);
    expect(value!.layers.map(({ role }) => role)).toEqual(["crumb", "filling", "crumb", "coating"]);
    expect(value!.layers[0]!.thicknessMm.likely).toBeCloseTo(30, 9);
    // Exact: half of the finished cake and half of the syrup.
    expect(value!.layers[0]!.grams).toBeCloseTo((1000 * 0.9 + 80) / 2, 6);
    const top = assembleCake(cake, book, { crumbHeightMm: 60 }).value!.layers.at(-1)!;
    expect(value!.layers.at(-1)!.thicknessMm.likely).toBeLessThan(top.thicknessMm.likely / 2);
  });

  it("says why it cannot assemble, instead of guessing", () => {
    expect(assembleCake(demo("lemon-curd.1"), book)).toMatchObject({ value: undefined, problems: [{ code: "unknown-tin" }] });
    const odd = { ...sandwich, components: [{ ...sandwich.components[0]!, tins: [{ count: 2, tin: "a wobbly thing" }] }] };
    expect(assembleCake(odd, book).value).toBeUndefined();
    expect(assembleCake(odd, book).problems.length).toBeGreaterThan(0);
    expect(assembleCake({ name: "Nothing", components: [] }, book).value).toBeUndefined();
  });
});

it("takes a filling apart only where a stage is spread or laid on by itself", () => {
  const filling = sandwich.components[1]!;
  const cake = (component: Component) => ({ ...sandwich, components: [sandwich.components[0]!, component] });
  const count = (component: Component) =>
    assembleCake(cake(component), book).value!.layers.filter(({ role }) => role === "filling").length;
  expect(count(filling)).toBe(2);
  expect(count({ ...filling, stages: filling.stages.map((stage) => ({ ...stage, name: "Mix" })) })).toBe(1);
  expect(count({ ...filling, specificGravity: { value: 0.7, basis: "measured" } })).toBe(1);
  expect(count({ ...filling, stages: filling.stages.slice(0, 1) })).toBe(1);
  // A layer says where its component stands in the formula as it was given.
  expect(assembleCake(sandwich, book).value!.layers.map(({ componentIndex }) => componentIndex)).toEqual([0, 1, 1, 0, 2]);
});

describe("covering", () => {
  // Exact, by hand: 6 mm over 314.16 cm2 is 188.5 ml; 5 mm on top 157.1 ml.
  it("works out volumes from area and thickness, and weights by the density of what the formula makes", () => {
    const needs = coverNeeds(sandwich, book).value;
    const of = (what: string) => needs.find((one) => one.what === what)!;
    expect(of("filling").volumeMl).toBeCloseTo(188.5, 1);
    expect(of("top").volumeMl).toBeCloseTo(157.1, 1);
    const { gPerMl } = spreadDensity(sandwich.components[1]!, book);
    expect(of("filling").grams).toBeCloseTo(188.5 * gPerMl, 0);
    expect(of("filling").hasGrams).toBeCloseTo(428, 6);
    expect(coverNeeds(sandwich, book, { fillingMm: 12 }).value[0]!.volumeMl).toBeCloseTo(377, 0);
  });

  it("weighs whipped, beaten and dense spreads apart", () => {
    const whip = {
      ...plain("filling", { "double-cream": 300 }),
      stages: [{ name: "Whip", uses: [{ ingredient: "double-cream", grams: 300 }] }],
    };
    expect(spreadDensity(whip, book).gPerMl).toBe(0.5);
    expect(spreadDensity(plain("filling", { "raspberry-jam": 100 }), book).gPerMl).toBe(1.3);
    const measured = { ...whip, specificGravity: { value: 0.47, basis: "measured" as const } };
    expect(spreadDensity(measured, book)).toEqual({ gPerMl: 0.47, basis: "measured" });
    // Exact: twice the volume from 1.05 g/mL.
    const grown = { ...whip, stages: [{ ...whip.stages[0]!, targets: [{ kind: "volume-increase" as const, percent: 100 }] }] };
    expect(spreadDensity(grown, book).gPerMl).toBeCloseTo(0.525, 12);
    expect(spreadDensity(plain("filling", {}), book).gPerMl).toBeGreaterThan(0);
  });
});

describe("moisture", () => {
  it("conserves the water of the whole stack and moves it towards the lower activity", () => {
    const moved = moistureInCake(sandwich, book, 96)!;
    expect(moved.layers.map(({ name }) => name)).toEqual(["Sponge", "Filling: Spread", "Filling: Whip", "Sponge"]);
    const [below, jam, cream, above] = moved.layers;
    const change = ({ waterPercent }: { readonly waterPercent: readonly number[] }) => waterPercent.at(-1)! - waterPercent[0]!;
    // Jam is drier in activity than crumb and cream wetter: the base dries, the top is wetted, the cream pays for both.
    expect(jam!.activity[0]).toBeLessThan(below!.activity[0]!);
    expect(cream!.activity[0]).toBeGreaterThan(above!.activity[0]!);
    expect(change(above!)).toBeGreaterThan(0.3);
    expect(change(jam!)).toBeGreaterThan(0);
    expect(change(cream!)).toBeLessThan(-0.3);
    // In the refrigerator it goes slowly: a cream cake of the third day has neither a soaked crumb nor dry cream.
    expect(moved.keptC).toBe(5);
    expect(change(above!)).toBeLessThan(3);
    expect(change(cream!)).toBeGreaterThan(-6);
    const room = moistureInCake(sandwich, book, 96, { keptC: 20 })!;
    expect(change(room.layers[3]!)).toBeGreaterThan(2 * change(above!));
    expect(change(above!)).toBeGreaterThan(change(below!));
    expect(moved.words.filter((words) => words.startsWith("Sponge"))).toHaveLength(2);
    expect(moved.words[0]).toMatch(/^Sponge, layer 1 from the base: water /);
    expect(moved.profiles[0]!.length).toBe(4 * moved.cellsPerLayer);
  });

  it("has nothing to say of a cake alone, of dry sugar on it, or of hours that are none", () => {
    expect(moistureInCake({ ...sandwich, components: [sandwich.components[0]!] }, book)).toBeUndefined();
    expect(moistureInCake({ ...sandwich, components: [sandwich.components[0]!, sandwich.components[2]!] }, book)).toBeUndefined();
    for (const hours of [0, Number.NaN, 5000]) expect(() => moistureInCake(sandwich, book, hours)).toThrow("1 to 1440");
    expect(() => moistureInCake(sandwich, book, 96, { keptC: 60 })).toThrow("0 to 30");
  });
});
