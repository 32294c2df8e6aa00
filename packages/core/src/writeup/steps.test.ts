import { expect, it } from "vitest";
import type { Component, Stage, Target } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import type { ReaderMeasures } from "./amounts.js";
import { stageSteps } from "./steps.js";

const book = createIngredientBook();
const steps = (
  stage: { name: string; method?: string; targets?: readonly Target[]; uses?: readonly string[] },
  options: { index?: number; kind?: Component["kind"]; measures?: ReaderMeasures } = {},
) => {
  const whole: Stage = { ...stage, uses: (stage.uses ?? []).map((ingredient) => ({ ingredient, grams: 10 })) };
  const component: Component = { name: "Part", kind: options.kind ?? "cake", stages: [whole] };
  return stageSteps(whole, { component, index: options.index ?? 1 }, book, {
    names: options.measures === "us" ? "us" : "british",
    measures: options.measures ?? "metric",
  });
};

it.each([
  [{ name: "Cream", uses: ["butter-unsalted", "caster-sugar"] }, "Cream the unsalted butter and caster sugar together."],
  [{ name: "Egg", uses: ["egg-whole-uk"] }, "Beat in the egg."],
  [{ name: "Fold", uses: ["self-raising-flour", "milk-whole"] }, "Fold in the self-raising flour and whole milk."],
  [{ name: "Spread", uses: ["raspberry-jam"] }, "Spread with the raspberry jam."],
  [{ name: "Dust", uses: ["icing-sugar-uk"] }, "Dust with the icing sugar."],
  [{ name: "Stir", uses: ["icing-sugar-uk", "lemon-juice"] }, "Stir the icing sugar and lemon juice together."],
  [{ name: "Beat", uses: ["yoghurt-greek"] }, "Beat in the Greek-style yoghurt."],
  [{ name: "Sift", uses: ["plain-flour", "ginger-ground"] }, "Sift the plain flour and ground ginger together."],
  [{ name: "Melt", uses: ["dark-chocolate-60-69"] }, "Melt the dark chocolate, 60-69 % cocoa."],
  [{ name: "Second bowl", uses: ["salt"] }, "Second bowl: add the salt."],
  [
    { name: "Whisk", uses: ["egg-whole-uk", "caster-sugar"], targets: [{ kind: "look", words: "to the ribbon" }] },
    "Whisk the egg and caster sugar together, to the ribbon.",
  ],
  [{ name: "Rest", targets: [{ kind: "time", seconds: 1800 }] }, "Rest, about 30 min."],
] as readonly (readonly [Parameters<typeof steps>[0], string])[])(
  "a stage without a method becomes a sentence: %o",
  (stage, sentence) => {
    expect(steps(stage)).toEqual([sentence]);
  },
);

it("says nothing of a stage that holds nothing", () => {
  expect(steps({ name: "Later" })).toEqual([]);
  expect(steps({ name: "Fold", targets: [{ kind: "specific-gravity", value: 0.8 }] })).toEqual([]);
});

it("keeps the baker's words and adds the targets that they do not hold", () => {
  const targets: readonly Target[] = [
    { kind: "look", words: "pale and fluffy" },
    { kind: "time", seconds: 360 },
  ];
  expect(steps({ name: "Cream", method: "beat butter and sugar until pale", targets })).toEqual([
    "Beat butter and sugar until pale. Look for: pale and fluffy, after about 6 min.",
  ]);
  expect(steps({ name: "Cream", method: "Beat for six minutes, until pale and fluffy.", targets })).toEqual([
    "Beat for six minutes, until pale and fluffy.",
  ]);
  expect(steps({ name: "Soak", method: "Leave overnight.", targets: [{ kind: "time", seconds: 43_200 }] })).toEqual([
    "Leave overnight.",
  ]);
  expect(steps({ name: "Beat", method: "Whip to soft peaks.", targets: [{ kind: "volume-increase", percent: 100 }] })).toEqual([
    "Whip to soft peaks.",
  ]);
  expect(steps({ name: "Beat", method: "Whip.", targets: [{ kind: "volume-increase", percent: 250 }] })).toEqual([
    "Whip. Look for: grown to 3½ times its volume.",
  ]);
  expect(steps({ name: "Yolks", method: "Whisk.", targets: [{ kind: "look", words: "to the ribbon" }] })).toEqual([
    "Whisk. Take it to the ribbon.",
  ]);
});

it("gives readers of Fahrenheit both temperatures, and says one that the words hold only once", () => {
  const targets: readonly Target[] = [{ kind: "temperature", celsius: 40 }];
  expect(steps({ name: "Whisk", method: "Whisk over warm water.", targets }, { measures: "us" })).toEqual([
    "Whisk over warm water. Aim for 40 °C (104 °F).",
  ]);
  expect(steps({ name: "Whisk", method: "Whisk to 40 °C.", targets }, { measures: "us" })).toEqual(["Whisk to 40 °C (104 °F)."]);
  expect(steps({ name: "Melt", uses: ["butter-unsalted"], targets }, { measures: "us" })).toEqual([
    "Melt the unsalted butter, to 40 °C (104 °F).",
  ]);
});

it("makes each line of a method a step, without the numbers that it came with", () => {
  expect(steps({ name: "Mix", method: "1. Sift the flour\n\n2) Fold it in.\nStep 3: Bake" })).toEqual([
    "Sift the flour.",
    "Fold it in.",
    "Bake.",
  ]);
});
