import { expect, it } from "vitest";
import { componentGrams, type Formula } from "../formula/index.js";
import { type Binding, formulaOfRun } from "./binding.js";
import type { Factor } from "./factors.js";

const cake: Formula = {
  name: "Oil and butter sponge",
  components: [
    {
      name: "Sponge",
      kind: "cake",
      bake: { ovenC: 170, fan: false, minutes: 30 },
      tins: [{ count: 2, tin: "round 20x5 cm" }],
      stages: [
        {
          name: "Whisk",
          targets: [{ kind: "volume-increase", percent: 200 }],
          uses: [
            { ingredient: "egg", grams: 200 },
            { ingredient: "sugar", grams: 150 },
          ],
        },
        {
          name: "Fold",
          uses: [
            { ingredient: "flour", grams: 200 },
            { ingredient: "sugar", grams: 50 },
            { ingredient: "butter", grams: 120 },
            { ingredient: "oil", grams: 80 },
            { ingredient: "vanilla", grams: null },
          ],
        },
      ],
    },
  ],
};
const at = (formula: Formula) =>
  Object.fromEntries(
    formula.components[0]!.stages.flatMap((stage) => stage.uses.map((use) => [`${stage.name} ${use.ingredient}`, use.grams])),
  );
const amount = (name: string, low: number, high: number): Factor => ({ kind: "amount", name, low, high });
const done = (result: ReturnType<typeof formulaOfRun>) => {
  if (!result.ok) throw new Error(result.error.map(({ expected, found }) => `${expected} / ${found}`).join());
  return result.value;
};

it("sets an amount and holds the total, the rest giving way in proportion", () => {
  const run = done(
    formulaOfRun(
      cake,
      [amount("sugar", 180, 240)],
      [{ factor: "sugar", kind: "ingredient", component: "Sponge", ingredient: "sugar" }],
      { sugar: 240 },
      { hold: "total" },
    ),
  );
  const weights = at(run.exact);
  expect(componentGrams(run.exact.components[0]!)).toBeCloseTo(800, 9);
  expect(componentGrams(run.weighable.components[0]!)).toBeCloseTo(800, 6);
  expect(weights["Whisk sugar"]! + weights["Fold sugar"]!).toBeCloseTo(240, 9);
  expect(weights["Whisk sugar"]! / weights["Fold sugar"]!).toBeCloseTo(3, 9); // its split over the stages stays
  expect(weights["Fold flour"]! / weights["Whisk egg"]!).toBeCloseTo(1, 9);
  expect(weights["Fold vanilla"]).toBeNull();
  expect(run.held).toEqual(["Sponge weighs 800 g"]);
  const others = done(
    formulaOfRun(
      cake,
      [amount("sugar", 180, 240)],
      [{ factor: "sugar", kind: "ingredient", component: "Sponge", ingredient: "sugar" }],
      { sugar: 240 },
      { hold: "others" },
    ),
  );
  expect(componentGrams(others.exact.components[0]!)).toBeCloseTo(840, 9);
});

it("blends shares of a group whose weight stays, and reports what the scale really gives", () => {
  const factors: Factor[] = ["butter", "oil"].map((name) => ({ kind: "share", name, lower: 0, upper: 1 }));
  const bindings: Binding[] = ["butter", "oil"].map((ingredient) => ({
    factor: ingredient,
    kind: "share of blend",
    component: "Sponge",
    ingredient,
  }));
  const run = done(formulaOfRun(cake, factors, bindings, { butter: 1 / 3, oil: 2 / 3 }, { hold: "total" }));
  expect(at(run.exact)["Fold butter"]! + at(run.exact)["Fold oil"]!).toBeCloseTo(200, 9);
  expect(at(run.weighable)["Fold butter"]).toBe(67);
  expect(run.realised.butter).toBeCloseTo(67 / 200, 9);
});

it("sets splits, targets, tins, swaps, oven and minutes", () => {
  const factors: Factor[] = [
    amount("split", 0, 1),
    amount("whisk", 100, 300),
    amount("oven", 160, 180),
    amount("minutes", 25, 35),
    { kind: "choice", name: "tin", levels: ["two", "one"] },
    { kind: "choice", name: "flour", levels: ["plain", "spelt"] },
  ];
  const bindings: Binding[] = [
    { factor: "split", kind: "stage split", component: "Sponge", ingredient: "sugar", stages: ["Whisk", "Fold"] },
    { factor: "whisk", kind: "stage target", component: "Sponge", stage: "Whisk", target: "volume-increase" },
    { factor: "oven", kind: "oven", component: "Sponge" },
    { factor: "minutes", kind: "minutes", component: "Sponge" },
    {
      factor: "tin",
      kind: "tin",
      component: "Sponge",
      tins: { two: [{ count: 2, tin: "round 20x5 cm" }], one: [{ count: 1, tin: "round 26x5 cm" }] },
    },
    { factor: "flour", kind: "swap", component: "Sponge", ingredient: "flour", by: { plain: "flour", spelt: "spelt-flour" } },
  ];
  const setting = { split: 0.5, whisk: 250, oven: 165, minutes: 33, tin: "one", flour: "spelt" };
  const sponge = done(formulaOfRun(cake, factors, bindings, setting, { hold: "total" })).exact.components[0]!;
  expect(at({ ...cake, components: [sponge] })).toMatchObject({ "Whisk sugar": 100, "Fold sugar": 100, "Fold spelt-flour": 200 });
  expect(sponge.stages[0]!.targets).toEqual([{ kind: "volume-increase", percent: 250 }]);
  expect(sponge.bake).toEqual({ ovenC: 165, fan: false, minutes: 33 });
  expect(sponge.tins).toEqual([{ count: 1, tin: "round 26x5 cm" }]);
});

it("hands the rest to a solver and carries the doubts of the models", () => {
  const bindings: Binding[] = [{ factor: "sugar", kind: "ingredient", component: "Sponge", ingredient: "sugar" }];
  const run = done(
    formulaOfRun(
      cake,
      [amount("sugar", 180, 240)],
      bindings,
      { sugar: 240 },
      {
        hold: "others",
        settle: (formula) => ({ ok: true, value: { ...formula, notes: "settled" } }),
        judge: (formula) => (formula.notes === "settled" ? ["Too sweet to set."] : []),
      },
    ),
  );
  expect(run.cautions).toEqual(["Too sweet to set."]);
});

it("says which binding does not fit the formula", () => {
  const refused = (
    bindings: Binding[],
    setting: Record<string, number | string>,
    factors = Object.keys(setting).map((name) => amount(name, 0, 1)),
  ) => {
    const result = formulaOfRun(cake, factors, bindings, setting, { hold: "total" });
    return result.ok ? [] : result.error.map(({ code, found }) => [code, found]);
  };
  expect(refused([{ factor: "x", kind: "oven", component: "Filling" }], { x: 1 })).toEqual([["unknown-component", "Filling"]]);
  expect(refused([{ factor: "x", kind: "stage target", component: "Sponge", stage: "Boil", target: "time" }], { x: 1 })).toEqual([
    ["missing-field", "Boil"],
  ]);
  expect(refused([{ factor: "y", kind: "oven", component: "Sponge" }], { x: 1 })).toEqual([["missing-field", "y"]]);
  expect(refused([{ factor: "x", kind: "ingredient", component: "Sponge", ingredient: "sugar" }], { x: 900 })[0]![0]).toBe(
    "conflict",
  );
});

it("replaces a share of one ingredient by another in each stage, weight for weight", () => {
  const share: Factor[] = [amount("oil for butter", 0, 100)];
  const binding: Binding = { factor: "oil for butter", kind: "replace", component: "Sponge", ingredient: "butter", by: "oil" };
  const run = (percent: number) => formulaOfRun(cake, share, [binding], { "oil for butter": percent }, { hold: "others" });
  expect(at(done(run(0)).exact)).toEqual(at(cake));
  expect(at(done(run(50)).exact)).toMatchObject({ "Fold butter": 60, "Fold oil": 140 });
  const whole = done(run(100));
  expect(at(whole.exact)).toEqual({ ...at(cake), "Fold oil": 200, "Fold butter": undefined });
  expect(componentGrams(whole.weighable.components[0]!)).toBe(800);
  // A new ingredient takes the place of the old one; half of the sugar is in the other stage.
  const honey = formulaOfRun(
    cake,
    share,
    [{ ...binding, ingredient: "sugar", by: "honey" }],
    { "oil for butter": 20 },
    { hold: "total" },
  );
  expect(at(done(honey).exact)).toMatchObject({ "Whisk sugar": 120, "Whisk honey": 30, "Fold sugar": 40, "Fold honey": 10 });
  expect(done(honey).realised["oil for butter"]).toBe(20);
  const none = formulaOfRun(cake, share, [{ ...binding, ingredient: "lard" }], { "oil for butter": 20 }, { hold: "total" });
  expect(!none.ok && none.error[0]!.expected).toBe("lard in Sponge");
  const over = run(120);
  expect(!over.ok && over.error[0]!.expected).toContain("0 to 100 %");
});
