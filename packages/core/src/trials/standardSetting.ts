import { type Formula, findComponent, type TinUse } from "../formula/index.js";
import type { Binding } from "./binding.js";
import type { Setting } from "./factors.js";

/**
 * The setting that a formula itself has: what each factor of a trial stands at in it.
 *
 * @returns undefined when some factor has no value in the formula: no such target, no minutes, other tins than any level's
 */
export function settingOfFormula(formula: Formula, bindings: readonly Binding[]): Setting | undefined {
  const setting: Record<string, number | string> = {};
  for (const binding of bindings) {
    const value = placeOf(formula, binding, bindings);
    if (value === undefined) return undefined;
    setting[binding.factor] = value;
  }
  return setting;
}

function placeOf(formula: Formula, binding: Binding, all: readonly Binding[]): number | string | undefined {
  const component = findComponent(formula, binding.component);
  if (component === undefined) return undefined;
  const grams = (ingredient: string, stage?: string): number =>
    component.stages
      .filter(({ name }) => stage === undefined || name === stage)
      .flatMap(({ uses }) => uses)
      .reduce((sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0), 0);
  switch (binding.kind) {
    case "ingredient":
      return grams(binding.ingredient, binding.stage);
    case "share of blend": {
      const mates = all.filter(
        (other) => other.kind === "share of blend" && findComponent(formula, other.component) === component,
      );
      const total = mates.reduce((sum, mate) => sum + (mate.kind === "share of blend" ? grams(mate.ingredient) : 0), 0);
      return total > 0 ? grams(binding.ingredient) / total : undefined;
    }
    case "stage split": {
      const [first, second] = binding.stages.map((stage) => grams(binding.ingredient, stage)) as [number, number];
      return first + second > 0 ? first / (first + second) : undefined;
    }
    case "stage target": {
      const target = component.stages
        .find(({ name }) => name === binding.stage)
        ?.targets?.find(({ kind }) => kind === binding.target);
      switch (target?.kind) {
        case "temperature":
          return target.celsius;
        case "time":
          return target.seconds;
        case "volume-increase":
          return target.percent;
        case "specific-gravity":
          return target.value;
        default:
          return undefined;
      }
    }
    case "tin":
      return Object.keys(binding.tins).find((level) => sameTins(binding.tins[level]!, component.tins ?? []));
    case "swap":
      return Object.keys(binding.by).find((level) => binding.by[level] === binding.ingredient);
    case "replace":
      return 0; // a standard has nothing replaced
    case "oven":
      return component.bake?.ovenC;
    case "minutes":
      return component.bake?.minutes;
  }
}

const sameTins = (a: readonly TinUse[], b: readonly TinUse[]): boolean =>
  a.length === b.length && a.every(({ count, tin }, index) => count === b[index]!.count && tin === b[index]!.tin);

/** A setting that an oven and a clock can be set to; weights are rounded to the scale by the formula itself. */
export function settableAs(setting: Setting, bindings: readonly Binding[]): Setting {
  return Object.fromEntries(
    Object.entries(setting).map(([name, value]) => {
      const kind = bindings.find(({ factor }) => factor === name)?.kind;
      const step = kind === "oven" ? 5 : kind === "minutes" || kind === "stage target" ? 1 : undefined;
      // A target such as a specific gravity is finer than its step and stays as it is.
      if (step === undefined || typeof value !== "number" || value < 10 * step) return [name, value];
      return [name, Math.round(value / step) * step];
    }),
  );
}
