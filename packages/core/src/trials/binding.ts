import {
  changeComponent,
  changeStage,
  changeUse,
  componentGrams,
  type Edited,
  type Formula,
  findComponent,
  roundFormula,
  setGrams,
  setIngredientTotal,
  splitIngredient,
  type Target,
  type TinUse,
} from "../formula/index.js";
import type { Problem, Result } from "../quantities/index.js";
import type { Factor, Setting } from "./factors.js";

/** What a factor of a trial means in a formula. Components and stages are named as in the formula. */
export type Binding =
  /** Grams of one ingredient, over all its stages, or in one of them. */
  | {
      readonly factor: string;
      readonly kind: "ingredient";
      readonly component: string;
      readonly ingredient: string;
      readonly stage?: string;
    }
  /** Share of a blend: all factors bound this way in one component share what they weigh together in the formula. */
  | { readonly factor: string; readonly kind: "share of blend"; readonly component: string; readonly ingredient: string }
  /** Share (0 to 1) of one ingredient that goes into the first of two stages. */
  | {
      readonly factor: string;
      readonly kind: "stage split";
      readonly component: string;
      readonly ingredient: string;
      readonly stages: readonly [string, string];
    }
  /** What tells that a stage is done: °C, s, % of volume increase, or specific gravity. */
  | {
      readonly factor: string;
      readonly kind: "stage target";
      readonly component: string;
      readonly stage: string;
      readonly target: Exclude<Target["kind"], "look">;
    }
  /** A choice of tins, by level. */
  | {
      readonly factor: string;
      readonly kind: "tin";
      readonly component: string;
      readonly tins: Readonly<Record<string, readonly TinUse[]>>;
    }
  /** A choice of ingredient in place of one, weight for weight, by level. */
  | {
      readonly factor: string;
      readonly kind: "swap";
      readonly component: string;
      readonly ingredient: string;
      readonly by: Readonly<Record<string, string>>;
    }
  /** Share (0 to 100 %) of one ingredient that another takes the place of: weight for weight, or as what is held demands. */
  | {
      readonly factor: string;
      readonly kind: "replace";
      readonly component: string;
      readonly ingredient: string;
      readonly by: string;
    }
  /** Oven temperature [°C]. */
  | { readonly factor: string; readonly kind: "oven"; readonly component: string }
  /** Minutes in the oven. */
  | { readonly factor: string; readonly kind: "minutes"; readonly component: string };

/** What must stay while factors change. "total": the component's weight, the ingredients that are no factor giving way in proportion. */
export type Hold = "total" | "others";

/** Further demands (water, fat, sweetness held) are met by a solver handed in: the rebalancer. */
export type Settle = (formula: Formula, setting: Setting) => Result<Formula, readonly Problem[]>;
/** Words of the models on a formula that would not bake; empty when none has doubts. */
export type Judge = (formula: Formula) => readonly string[];

export interface RunFormulaOptions {
  readonly hold: Hold;
  readonly settle?: Settle;
  /** What `settle` holds, in words: "the fat", "the total weight". */
  readonly settled?: readonly string[];
  readonly judge?: Judge;
}

/** One run as a complete formula. */
export interface RunFormula {
  /** Exact weights. */
  readonly exact: Formula;
  /** Weights a scale can weigh; what the batch sheet shows. */
  readonly weighable: Formula;
  /** Setting that the weighable formula really has, for factors that are weights; the others as asked. */
  readonly realised: Setting;
  /** What was held, in words: "Sponge weighs 800 g". */
  readonly held: readonly string[];
  /** Doubts of the models and of rounding. */
  readonly cautions: readonly string[];
}

/**
 * The formula of one run: the standard with every factor set, and what must stay held.
 *
 * @returns problems when a binding names what the formula has not, a level has no meaning, or the rest cannot make room
 */
export function formulaOfRun(
  standard: Formula,
  factors: readonly Factor[],
  bindings: readonly Binding[],
  setting: Setting,
  options: RunFormulaOptions,
): Result<RunFormula, readonly Problem[]> {
  const problems: Problem[] = [];
  let formula = standard;
  const apply = (edited: Edited | undefined, path: Problem["path"], expected: string, found: string, remedy: string): void => {
    if (edited === undefined) problems.push({ code: "missing-field", path, expected, found, remedy });
    else if (edited.ok) formula = edited.value;
    else problems.push({ ...edited.error, path: [...path, ...edited.error.path] });
  };
  const varied = new Map<number, Set<string>>();
  const blendTotals = new Map<string, number>();
  for (const binding of bindings) {
    if (binding.kind !== "share of blend") continue;
    const component = componentIndex(standard, binding.component);
    if (component === undefined) continue;
    const key = String(component);
    const grams = ingredientGrams(standard, component, binding.ingredient);
    blendTotals.set(key, (blendTotals.get(key) ?? 0) + grams);
  }
  for (const [index, binding] of bindings.entries()) {
    const path = ["bindings", index];
    const value = setting[binding.factor];
    if (!factors.some((factor) => factor.name === binding.factor) || value === undefined) {
      problems.push({
        code: "missing-field",
        path,
        expected: `a factor with a setting: ${factors.map((factor) => factor.name).join(", ")}`,
        found: binding.factor,
        remedy: "Bind each factor to one place of the formula.",
      });
      continue;
    }
    const component = componentIndex(standard, binding.component);
    if (component === undefined) {
      problems.push({
        code: "unknown-component",
        path,
        expected: standard.components.map(({ name }) => name).join(", "),
        found: binding.component,
        remedy: "Use the name of a component of the formula.",
      });
      continue;
    }
    const part = standard.components[component]!;
    const stageOf = (name: string) => part.stages.findIndex((stage) => stage.name === name);
    const noStage = (name: string) =>
      apply(
        undefined,
        path,
        part.stages.map((stage) => stage.name).join(", "),
        name,
        "Use the name of a stage of this component.",
      );
    const number = Number(value);
    if (!["tin", "swap"].includes(binding.kind) && !Number.isFinite(number)) {
      apply(undefined, path, "a number", String(value), "Give the factor a number.");
      continue;
    }
    const vary = (ingredient: string) => varied.set(component, (varied.get(component) ?? new Set()).add(ingredient));
    switch (binding.kind) {
      case "ingredient": {
        vary(binding.ingredient);
        if (binding.stage === undefined) {
          apply(setIngredientTotal(formula, { component, ingredient: binding.ingredient }, number), path, "", "", "");
          break;
        }
        const stage = stageOf(binding.stage);
        const use = stage < 0 ? -1 : part.stages[stage]!.uses.findIndex(({ ingredient }) => ingredient === binding.ingredient);
        if (stage < 0) noStage(binding.stage);
        else if (use < 0)
          apply(undefined, path, `${binding.ingredient} in ${binding.stage}`, "no such use", "Name a stage that uses it.");
        else apply(setGrams(formula, { component, stage, use }, number), path, "", "", "");
        break;
      }
      case "share of blend":
        vary(binding.ingredient);
        apply(
          setIngredientTotal(
            formula,
            { component, ingredient: binding.ingredient },
            number * blendTotals.get(String(component))!,
          ),
          path,
          "",
          "",
          "",
        );
        break;
      case "stage split": {
        const [first, second] = binding.stages.map(stageOf) as [number, number];
        if (first < 0 || second < 0) noStage(binding.stages[first < 0 ? 0 : 1]);
        else
          apply(
            splitIngredient(formula, { component, ingredient: binding.ingredient }, [
              { stage: first, share: number },
              { stage: second, share: 1 - number },
            ]),
            path,
            "",
            "",
            "",
          );
        break;
      }
      case "stage target": {
        const stage = stageOf(binding.stage);
        if (stage < 0) noStage(binding.stage);
        else {
          const target = targetOf(binding.target, number);
          const kept = (formula.components[component]!.stages[stage]!.targets ?? []).filter(
            ({ kind }) => kind !== binding.target,
          );
          apply(changeStage(formula, { component, stage }, { targets: [...kept, target] }), path, "", "", "");
        }
        break;
      }
      case "tin": {
        const tins = binding.tins[String(value)];
        if (tins === undefined)
          apply(
            undefined,
            path,
            `tins for ${Object.keys(binding.tins).join(", ")}`,
            String(value),
            "Say which tins this level means.",
          );
        else apply(changeComponent(formula, component, { tins }), path, "", "", "");
        break;
      }
      case "swap": {
        const other = binding.by[String(value)];
        if (other === undefined) {
          apply(
            undefined,
            path,
            `an ingredient for ${Object.keys(binding.by).join(", ")}`,
            String(value),
            "Say which ingredient this level means.",
          );
          break;
        }
        vary(binding.ingredient);
        vary(other);
        for (const [stage, { uses }] of part.stages.entries()) {
          for (const [use, { ingredient }] of uses.entries()) {
            if (ingredient === binding.ingredient)
              apply(changeUse(formula, { component, stage, use }, { ingredient: other }), path, "", "", "");
          }
        }
        break;
      }
      case "replace": {
        vary(binding.ingredient);
        vary(binding.by);
        if (!(number >= 0 && number <= 100)) {
          apply(undefined, path, "a share from 0 to 100 %", String(value), "Write how much of it is replaced.");
          break;
        }
        if (ingredientGrams(formula, component, binding.ingredient) === 0) {
          apply(undefined, path, `${binding.ingredient} in ${part.name}`, "none", "Replace something that the component weighs.");
          break;
        }
        formula = replaced(formula, component, binding.ingredient, binding.by, number / 100);
        break;
      }
      case "oven":
      case "minutes": {
        const bake = formula.components[component]!.bake;
        if (bake === undefined)
          apply(undefined, path, `a bake of ${part.name}`, "none", "Give the component its oven temperature first.");
        else
          apply(
            changeComponent(formula, component, {
              bake: binding.kind === "oven" ? { ...bake, ovenC: number } : { ...bake, minutes: number },
            }),
            path,
            "",
            "",
            "",
          );
      }
    }
  }
  if (problems.length > 0) return { ok: false, error: problems };

  const held: string[] = [];
  if (options.hold === "total") {
    for (const [component, ingredients] of varied) {
      const wanted = componentGrams(standard.components[component]!);
      const part = formula.components[component]!;
      const moving = part.stages.reduce(
        (sum, stage) =>
          sum + stage.uses.reduce((total, use) => total + (ingredients.has(use.ingredient) ? (use.grams ?? 0) : 0), 0),
        0,
      );
      const rest = componentGrams(part) - moving;
      const factor = (wanted - moving) / rest;
      if (!(rest > 0 && factor > 0) && Math.abs(wanted - moving) > 1e-9) {
        const expected = `room for ${Math.round(moving)} g of factors in ${part.name}, which weighs ${Math.round(wanted)} g`;
        return {
          ok: false,
          error: [
            {
              code: "conflict",
              path: ["components", component],
              expected,
              found: "no other ingredient that could give way",
              remedy: 'Let the total move (hold "others"), or narrow the ranges.',
            },
          ],
        };
      }
      if (rest > 0) {
        const stages = part.stages.map((stage) => ({
          ...stage,
          uses: stage.uses.map((use) =>
            ingredients.has(use.ingredient) || use.grams === null ? use : { ...use, grams: use.grams * factor },
          ),
        }));
        formula = {
          ...formula,
          components: formula.components.map((other, index) => (index === component ? { ...part, stages } : other)),
        };
      }
      held.push(`${part.name} weighs ${Math.round(wanted * 10) / 10} g`);
    }
  } else if (options.settle === undefined)
    for (const component of varied.keys()) held.push(`every other weight of ${standard.components[component]!.name}`);
  if (options.settle !== undefined) {
    held.push(...(options.settled ?? []), "all else as near to the standard as that allows");
    const settled = options.settle(formula, setting);
    if (!settled.ok) return settled;
    formula = settled.value;
  }
  const rounded = roundFormula(formula);
  const cautions = [...(options.judge?.(rounded.formula) ?? [])];
  const distortion = rounded.largestDistortion;
  if (distortion !== null && Math.abs(distortion.percent) > 3) {
    cautions.push(
      `Rounding to the scale changes ${distortion.ingredient} from ${distortion.exactGrams.toFixed(2)} to ${distortion.roundedGrams} g: bake a larger batch, or weigh it on a finer scale.`,
    );
  }
  return {
    ok: true,
    value: {
      exact: formula,
      weighable: rounded.formula,
      realised: realisedSetting(rounded.formula, standard, bindings, setting),
      held,
      cautions,
    },
  };
}

/** What the rounded formula really has: the analysis should use this and not the wish. */
function realisedSetting(formula: Formula, standard: Formula, bindings: readonly Binding[], setting: Setting): Setting {
  const realised: Record<string, number | string> = { ...setting };
  const blends = bindings.filter((binding) => binding.kind === "share of blend");
  for (const binding of bindings) {
    const component = componentIndex(formula, binding.component);
    if (component === undefined) continue;
    if (binding.kind === "ingredient") {
      const stages = formula.components[component]!.stages.filter(
        (stage) => binding.stage === undefined || stage.name === binding.stage,
      );
      realised[binding.factor] = tidy(
        stages
          .flatMap(({ uses }) => uses)
          .reduce((sum, use) => sum + (use.ingredient === binding.ingredient ? (use.grams ?? 0) : 0), 0),
      );
    }
    if (binding.kind === "share of blend") {
      const mates = blends.filter((other) => componentIndex(formula, other.component) === component);
      const total = mates.reduce((sum, other) => sum + ingredientGrams(formula, component, other.ingredient), 0);
      if (total > 0) realised[binding.factor] = ingredientGrams(formula, component, binding.ingredient) / total;
    }
    if (binding.kind === "replace") {
      const before = ingredientGrams(standard, component, binding.ingredient);
      const left = ingredientGrams(formula, component, binding.ingredient);
      // What the scale rounds: half of 225 g is weighed as 113 g, which is 49.8 %.
      if (before > 0) realised[binding.factor] = Math.round(1000 * (1 - left / before)) / 10;
    }
  }
  return realised;
}

/** A share of one ingredient replaced by another in every stage that has it, weight for weight. */
function replaced(formula: Formula, component: number, from: string, by: string, share: number): Formula {
  if (share === 0) return formula;
  const part = formula.components[component]!;
  const stages = part.stages.map((stage) => {
    const moved = stage.uses.reduce((sum, use) => sum + (use.ingredient === from ? share * (use.grams ?? 0) : 0), 0);
    if (moved === 0) return stage;
    const has = stage.uses.some(({ ingredient }) => ingredient === by);
    const uses = stage.uses.flatMap((use) => {
      const after = { ...use, grams: use.grams === null ? null : use.grams * (1 - share) };
      if (use.ingredient === from) {
        const kept = share === 1 ? [] : [after];
        return has ? kept : [...kept, { ingredient: by, grams: share * (use.grams ?? 0) }];
      }
      return use.ingredient === by ? [{ ...use, grams: (use.grams ?? 0) + moved }] : [use];
    });
    return { ...stage, uses };
  });
  return {
    ...formula,
    components: formula.components.map((other, index) => (index === component ? { ...part, stages } : other)),
  };
}

/** Place of a component by its name; undefined when there is none. */
function componentIndex(formula: Formula, name: string): number | undefined {
  const found = findComponent(formula, name);
  return found === undefined ? undefined : formula.components.indexOf(found);
}

function ingredientGrams(formula: Formula, component: number, ingredient: string): number {
  return formula.components[component]!.stages.flatMap(({ uses }) => uses).reduce(
    (sum, use) => sum + (use.ingredient === ingredient ? (use.grams ?? 0) : 0),
    0,
  );
}

function targetOf(kind: Exclude<Target["kind"], "look">, value: number): Target {
  switch (kind) {
    case "temperature":
      return { kind, celsius: value };
    case "time":
      return { kind, seconds: value };
    case "volume-increase":
      return { kind, percent: value };
    case "specific-gravity":
      return { kind, value };
  }
}

const tidy = (value: number): number => Number(value.toPrecision(12));
