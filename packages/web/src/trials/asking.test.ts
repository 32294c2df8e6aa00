import { readFileSync } from "node:fs";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { planTrial, type Question, readQuestion } from "@evencrumb/core/trials";
import { expect, it } from "vitest";
import {
  type AskContext,
  allergensOf,
  blendNow,
  type Form,
  factorChoices,
  firstForm,
  firstRange,
  questionOf,
  repeatsSpread,
  typedNumber,
} from "./asking.js";
import { replacements } from "./factorChoices.js";
import { plannedCakes, trialOf } from "./plan.js";
import { QUESTIONS } from "./questions.js";

const text = readFileSync(new URL("../../../../examples/formulas/sandwich.3.yaml", import.meta.url), "utf8");
const formula = parseFormulaFile(text).value!;
const book = createIngredientBook();
const choices = factorChoices(formula, book, "british");
const context: AskContext = {
  names: ["revision 2", "revision 3"],
  formula,
  choices,
  book,
  nameStyle: "british",
  allergens: ["eggs"],
  readTins: () => null,
};
const ask = (kind: Question["kind"], change: Partial<Form> = {}, about: Partial<AskContext> = {}) =>
  questionOf(kind, { ...firstForm(kind, "a", 7), ...change }, { ...context, ...about });

it.each([
  ["12,5", 12.5],
  [" 1 200 ", 1200],
  [".5", 0.5],
  ["−3", -3],
  ["12 mm", undefined],
  ["1e3", undefined],
  ["", undefined],
])("reads “%s” as a baker means it", (typed, value) => expect(typedNumber(typed)).toBe(value));

it("begins every question so that core takes it, or says what is missing", () => {
  for (const { kind } of QUESTIONS) {
    const three = kind === "which of several" || kind === "which is liked best";
    if (kind === "which has more") expect(ask(kind).missing).toEqual([expect.stringContaining("Name the property")]);
    const { document, missing } = ask(kind, { property: "sweetness" }, three ? { names: ["a", "b", "c"] } : {});
    if (kind === "how much" || kind === "which blend") expect(missing).toHaveLength(1);
    else {
      expect(missing).toEqual([]);
      expect(readQuestion(document).problems).toEqual([]);
    }
  }
  expect(ask("better", {}, { names: ["revision 2", "revision 2"] }).missing[0]).toContain("there twice");
  expect(ask("better", { matters: "a lot" }).missing[0]).toContain("no number");
});

it("takes the baker's own repeats for the spread", () => {
  const spread = repeatsSpread("41 43, 42\n38 39.5");
  expect(spread!.df).toBe(3);
  // Exact: pooled squares 2 + 1.125 over 3 degrees of freedom.
  expect(spread!.sd).toBeCloseTo(Math.sqrt(3.125 / 3), 12);
  expect(ask("better", { repeats: "41 43 42\n38 39.5" }).document.spread).toEqual(spread);
  expect(repeatsSpread("41\n42")).toBeUndefined();
});

it("offers what a formula has: amounts, targets, the oven and the tin, each with where it is now", () => {
  const of = (key: string) => choices.find((choice) => choice.key === key);
  expect(of("ingredient|Sponge|caster-sugar")).toMatchObject({ label: "caster sugar in Sponge", unit: "g", now: 198 });
  expect(of("oven|Sponge")).toMatchObject({ unit: "°C", now: 170 });
  expect(of("target|Sponge|Egg|temperature")).toMatchObject({ now: 21, unit: "°C" });
  expect(of("tin|Sponge")!.tins).toEqual({ component: "Sponge", now: "2 round 20x5 cm" });
  expect(firstRange(of("oven|Sponge")!)).toEqual({ low: "160", high: "180" });
  expect(firstRange(of("ingredient|Sponge|caster-sugar")!)).toEqual({ low: "168", high: "228" });
  // The standard stands in the middle, so that a plan with a middle bakes it.
  expect(firstRange({ ...of("oven|Sponge")!, unit: "min", now: 50 })).toEqual({ low: "42", high: "58" });
});

it("makes every run of a plan a formula that can be weighed, with the total held where it is asked", () => {
  const picked = ["ingredient|Sponge|caster-sugar", "oven|Sponge"].map((key) => ({
    key,
    ...firstRange(choices.find((choice) => choice.key === key)!),
  }));
  const { document, bindings, missing } = ask("how much", { factors: picked, hold: "total", also: ["volume"] });
  expect(missing).toEqual([]);
  const question = readQuestion(document).value!;
  const plan = planTrial(question);
  if (!plan.ok) throw new Error("no plan");
  const made = plannedCakes(plan.value, formula, bindings, { hold: "total", book, owned: [] });
  expect(made).toHaveLength(plan.value.bakeCount);
  for (const { formula: cake, problems, setting } of made) {
    expect(problems).toEqual([]);
    const uses = cake!.components[0]!.stages.flatMap((stage) => stage.uses);
    // Conserved: the sponge weighs what the standard's does, up to what the scale rounds.
    expect(Math.abs(uses.reduce((sum, use) => sum + use.grams!, 0) - 912)).toBeLessThanOrEqual(1);
    expect(uses.find(({ ingredient }) => ingredient === "caster-sugar")!.grams).toBe(setting["caster sugar in Sponge"]);
    expect(cake!.components[0]!.bake!.ovenC).toBe(setting["oven in Sponge"]);
  }
  const trial = trialOf({
    question,
    plan: plan.value,
    name: "Sugar and oven",
    cakes: [],
    bindings,
    hold: "total",
    allergens: [],
    mayContain: [],
    made,
    settled: false,
  });
  expect("sheet" in trial && trial.sheet.measures.map(({ name }) => name)).toEqual(["height at the centre", "volume"]);
});

it("says how a blend is shared now, and what its tasters have to be told", () => {
  const now = blendNow(formula, "Sponge", ["butter-unsalted", "sunflower-oil"]);
  expect(now.grams).toBe(209);
  expect(now.shares[0]).toBeCloseTo(135 / 209, 12);
  expect(allergensOf([formula], book).contains).toEqual(expect.arrayContaining(["eggs", "milk"]));
});

it("asks for a swap of part of an ingredient and of the whole of it, and for wishes and a split plot", () => {
  const part = { key: "swap-part|Sponge|butter-unsalted", low: "0", high: "100", by: "rapeseed-oil" };
  const whole = { key: "swap-whole|Sponge|caster-sugar", low: "", high: "", levels: ["light-brown-sugar"] };
  const oven = { key: "oven|Sponge", low: "160", high: "180" };
  const { document, bindings, missing } = ask("how much", {
    factors: [part, whole, oven],
    hard: ["oven in Sponge"],
    shared: "load",
    design: "D-optimal",
    runCount: "12",
    also: ["firmness"],
    wishes: { firmness: { direction: "smaller", limit: "6", target: "" } },
  });
  expect(missing).toEqual([]);
  expect(document.factors).toEqual([
    { kind: "amount", name: "rapeseed oil for unsalted butter", unit: "%", low: 0, high: 100 },
    { kind: "choice", name: "for caster sugar", levels: ["caster sugar", "soft light brown sugar"] },
    { kind: "amount", name: "oven in Sponge", unit: "°C", low: 160, high: 180 },
  ]);
  expect(bindings[0]).toMatchObject({ kind: "replace", ingredient: "butter-unsalted", by: "rapeseed-oil" });
  expect(bindings[1]).toMatchObject({ kind: "swap", by: { "soft light brown sugar": "light-brown-sugar" } });
  const { value, problems } = readQuestion(document);
  expect(problems).toEqual([]);
  expect(value).toMatchObject({
    design: "D-optimal",
    runCount: 12,
    perBatter: ["oven in Sponge"],
    shared: "load",
    goals: [{ response: "firmness", direction: "smaller", high: 6 }],
  });
  // What is still open is asked for.
  expect(ask("how much", { factors: [{ ...part, by: "" }] }).missing[0]).toContain("takes the place of unsalted butter");
  expect(ask("how much", { factors: [{ ...whole, levels: [""] }] }).missing[0]).toContain("in place of caster sugar");
  expect(ask("how much", { factors: [oven], overAgain: "two" }).missing[0]).toContain("no whole number");
  expect(ask("better", { aim: "no worse", measure: "core temperature", matters: "2" }).missing[0]).toContain("more or less");
  expect(
    replacements("butter-unsalted", book)
      .slice(0, 3)
      .map(({ id }) => id),
  ).toContain("rapeseed-oil");
});

it("names the designs that fit what is changed, and forgets one that fits no more", () => {
  const oven = { key: "oven|Sponge", low: "160", high: "180" };
  const minutes = { key: "minutes|Sponge", low: "20", high: "28" };
  expect(ask("how much", { factors: [oven, minutes], design: "Box-Behnken" }).document.design).toBeUndefined();
  expect(ask("how much", { factors: [oven, minutes], design: "two-level factorial" }).document.design).toBe(
    "two-level factorial",
  );
});
