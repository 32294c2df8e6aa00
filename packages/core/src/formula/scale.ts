import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, ProblemCode, Result, WeighingSettings } from "../quantities/index.js";
import { roundParts } from "../quantities/index.js";
import type { Component, Formula, Use } from "./formula.js";
import { componentGrams, formulaGrams, type UsePlace } from "./percent.js";

export interface ScaleOptions {
  /** Only the component of this name; the whole formula when left out. */
  readonly component?: string;
}

/**
 * Multiplies every weight.
 *
 * Portions grow with the whole formula, to a whole number of at least 1. Tins, bake and method stay as they are: whether the
 * tins still fit is for the tins to say.
 *
 * @param factor  above 0 and finite
 * @throws RangeError for another factor, or for a component that is not there: check with `findComponent` first
 */
export function scaleFormula(formula: Formula, factor: number, options: ScaleOptions = {}): Formula {
  if (!(factor > 0 && factor < Number.POSITIVE_INFINITY))
    throw new RangeError(`scaleFormula: a factor is above 0, not ${factor}`);
  const name = options.component === undefined ? undefined : findComponent(formula, options.component)?.name;
  if (options.component !== undefined && name === undefined)
    throw new RangeError(`scaleFormula: no component "${options.component}"`);
  const components = formula.components.map((component) =>
    name === undefined || component.name === name
      ? withGrams(component, (use) => (use.grams === null ? null : use.grams * factor))
      : component,
  );
  if (name !== undefined || formula.portions === undefined) return { ...formula, components };
  return { ...formula, components, portions: Math.max(1, Math.round(formula.portions * factor)) };
}

export interface Distortion extends UsePlace {
  readonly ingredient: string;
  readonly exactGrams: number;
  readonly roundedGrams: number;
  /** Change by rounding, percent of the exact weight; signed. */
  readonly percent: number;
}

export interface Rounded {
  readonly formula: Formula;
  /** The use that rounding changed the most in proportion; null where nothing changed. */
  readonly largestDistortion: Distortion | null;
}

/**
 * Rounds every weight to what a scale can weigh, so that each component's rounded weights add to its rounded total (see
 * `roundParts`). What weighs something never becomes nothing.
 */
export function roundFormula(formula: Formula, weighing?: WeighingSettings): Rounded {
  let largestDistortion: Distortion | null = null;
  const components = formula.components.map((component, componentIndex) => {
    const exact = component.stages.flatMap((stage) => stage.uses.flatMap((use) => (use.grams === null ? [] : [use.grams])));
    const { parts } = roundParts(exact, weighing);
    let next = 0;
    return withGrams(component, (use, stage, index) => {
      if (use.grams === null) return null;
      const roundedGrams = parts[next++]!;
      const percent = use.grams > 0 ? (roundedGrams / use.grams - 1) * 100 : 0;
      if (Math.abs(percent) > Math.abs(largestDistortion?.percent ?? 0)) {
        largestDistortion = {
          component: componentIndex,
          stage,
          use: index,
          ingredient: use.ingredient,
          exactGrams: use.grams,
          roundedGrams,
          percent,
        };
      }
      return roundedGrams;
    });
  });
  return { formula: { ...formula, components }, largestDistortion };
}

export interface Scaled extends Rounded {
  /** Exact; the formula is this times the old one, then rounded. */
  readonly factor: number;
}

export interface ScaleToOptions extends ScaleOptions {
  /** What a scale can weigh; `false` leaves the exact weights. */
  readonly weighing?: WeighingSettings | false;
}

export type ScaleResult = Result<Scaled, Problem>;

/** Scales by a factor the baker typed. */
export function scaleByFactor(formula: Formula, factor: number, options: ScaleToOptions = {}): ScaleResult {
  if (!(factor > 0 && factor <= 1e6))
    return refuse("out-of-range", "a factor above 0, such as 1.5", `${factor}`, "Type a factor such as 1.5.");
  if (options.component !== undefined && findComponent(formula, options.component) === undefined)
    return unknownComponent(formula, options.component);
  const exact = scaleFormula(formula, factor, options);
  if (exact.components.some((component) => component.stages.some((stage) => stage.uses.some((use) => (use.grams ?? 0) > 1e6)))) {
    return refuse("out-of-range", "weights of at most 1000000 g", `a factor of ${factor}`, "Scale it by less.");
  }
  const rounded =
    options.weighing === false ? { formula: exact, largestDistortion: null } : roundFormula(exact, options.weighing);
  return { ok: true, value: { factor, ...rounded } };
}

/** Scales the formula, or one component, to a raw weight [g]. */
export function scaleToGrams(formula: Formula, grams: number, options: ScaleToOptions = {}): ScaleResult {
  if (!(grams > 0)) return refuse("not-a-weight", "a weight above 0 g, such as 1500", `${grams}`, "Type a weight in grams.");
  const component = options.component === undefined ? undefined : findComponent(formula, options.component);
  if (options.component !== undefined && component === undefined) return unknownComponent(formula, options.component);
  const now = component === undefined ? formulaGrams(formula) : componentGrams(component);
  if (!(now > 0)) return refuse("conflict", "something weighed to scale", "nothing weighed yet", "Weigh the ingredients first.");
  return scaleByFactor(formula, grams / now, options);
}

/** Scales the whole formula to a number of portions of the same size. */
export function scaleToPortions(
  formula: Formula,
  portions: number,
  options: Omit<ScaleToOptions, "component"> = {},
): ScaleResult {
  if (!(Number.isInteger(portions) && portions > 0 && portions <= 100_000)) {
    return refuse("out-of-range", "a whole number of portions from 1", `${portions}`, "Type how many portions are wanted.");
  }
  if (formula.portions === undefined) {
    return refuse(
      "missing-field",
      "how many portions the formula makes",
      "no number of portions",
      "Set the portions of the formula first.",
      ["portions"],
    );
  }
  return scaleByFactor(formula, portions / formula.portions, options);
}

/** What one egg gives [g]: `eggParts` of the quantities tells it for a grade. */
export interface EggWeights {
  readonly wholeGrams: number;
  readonly whiteGrams: number;
  readonly yolkGrams: number;
}

export interface EggCount {
  /** Whole eggs to open: those used whole, and those that are separated. */
  readonly eggs: number;
  /** White or yolk left over from the separated ones [g]. */
  readonly spareWhiteGrams: number;
  readonly spareYolkGrams: number;
}

/**
 * How many eggs a formula, or one component, takes. Dried egg is not counted: nobody opens an egg for it.
 *
 * @returns  not rounded; 0 where there is no egg
 */
export function countEggs(formula: Formula, book: IngredientBook, egg: EggWeights, options: ScaleOptions = {}): EggCount {
  const chosen = options.component === undefined ? undefined : findComponent(formula, options.component);
  const grams = { whole: 0, white: 0, yolk: 0 };
  for (const component of formula.components) {
    if (chosen !== undefined && component !== chosen) continue;
    for (const use of component.stages.flatMap((stage) => stage.uses)) {
      const part = eggPartOf(use, book);
      if (part !== undefined) grams[part] += use.grams ?? 0;
    }
  }
  const separated = Math.max(grams.white / egg.whiteGrams, grams.yolk / egg.yolkGrams);
  return {
    eggs: grams.whole / egg.wholeGrams + separated,
    spareWhiteGrams: separated * egg.whiteGrams - grams.white,
    spareYolkGrams: separated * egg.yolkGrams - grams.yolk,
  };
}

function eggPartOf(use: Use, book: IngredientBook): "whole" | "white" | "yolk" | undefined {
  const ingredient = book.get(use.ingredient);
  if (ingredient?.role !== "egg") return undefined;
  const words = `${ingredient.id} ${ingredient.name}`.toLowerCase();
  if (/dried|powder/.test(words)) return undefined;
  if (/yolk/.test(words)) return "yolk";
  return /white/.test(words) ? "white" : "whole";
}

/** Scales so that a whole number of eggs is opened, so that no part of an egg is left. */
export function scaleToEggs(
  formula: Formula,
  book: IngredientBook,
  count: number,
  egg: EggWeights,
  options: ScaleToOptions = {},
): ScaleResult {
  if (!(Number.isInteger(count) && count > 0))
    return refuse("out-of-range", "a whole number of eggs from 1", `${count}`, "Type how many eggs to use.");
  if (options.component !== undefined && findComponent(formula, options.component) === undefined)
    return unknownComponent(formula, options.component);
  const { eggs } = countEggs(formula, book, egg, options);
  if (!(eggs > 0))
    return refuse("conflict", "fresh egg in the formula", "no weighed fresh egg", "Scale it to a weight or to portions.");
  return scaleByFactor(formula, count / eggs, options);
}

/** Scales so that what is left of one ingredient is used up. */
export function scaleToIngredient(
  formula: Formula,
  ingredient: string,
  availableGrams: number,
  options: ScaleToOptions = {},
): ScaleResult {
  if (!(availableGrams > 0))
    return refuse("not-a-weight", "a weight above 0 g, such as 320", `${availableGrams}`, "Type how much is left, in grams.");
  if (options.component !== undefined && findComponent(formula, options.component) === undefined)
    return unknownComponent(formula, options.component);
  const chosen = options.component === undefined ? undefined : findComponent(formula, options.component);
  let used = 0;
  for (const component of formula.components) {
    if (chosen !== undefined && component !== chosen) continue;
    for (const use of component.stages.flatMap((stage) => stage.uses)) if (use.ingredient === ingredient) used += use.grams ?? 0;
  }
  if (!(used > 0)) {
    return refuse(
      "unknown-ingredient",
      "an ingredient that is weighed in the formula",
      `"${ingredient}"`,
      "Choose one of the formula's ingredients.",
    );
  }
  return scaleByFactor(formula, availableGrams / used, options);
}

/** A component by its name: exactly, or else without regard to capitals and spaces around it. */
export function findComponent(formula: Formula, name: string): Component | undefined {
  const plain = (text: string) => text.trim().toLowerCase();
  return (
    formula.components.find((component) => component.name === name) ??
    formula.components.find((component) => plain(component.name) === plain(name))
  );
}

function withGrams(component: Component, gramsOf: (use: Use, stage: number, index: number) => number | null): Component {
  const stages = component.stages.map((stage, stageIndex) => ({
    ...stage,
    uses: stage.uses.map((use, index) => ({ ...use, grams: gramsOf(use, stageIndex, index) })),
  }));
  return { ...component, stages };
}

function refuse(code: ProblemCode, expected: string, found: string, remedy: string, path: Problem["path"] = []): ScaleResult {
  return { ok: false, error: { code, path, expected, found, remedy } };
}

function unknownComponent(formula: Formula, name: string): ScaleResult {
  const names = formula.components.map((component) => `"${component.name}"`).join(", ");
  return refuse("unknown-component", `one of: ${names}`, `"${name}"`, "Use the name of one of the formula's components.", [
    "components",
  ]);
}
