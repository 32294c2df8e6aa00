import {
  type EggWeights,
  type Formula,
  findComponent,
  roundFormula,
  type ScaleResult,
  scaleByFactor,
  scaleToEggs,
  scaleToGrams,
  scaleToIngredient,
  scaleToPortions,
} from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Problem, Result, WeighingSettings } from "../quantities/index.js";
import { type TinCaution, type TinFilling, tinComponent } from "./filling.js";
import type { CountedTin, NamedTin } from "./parseTin.js";
import { refillTins } from "./refillTins.js";
import { type FillRule, scaleToTins } from "./scaleToTins.js";

/** What a batch shall be. */
export type BatchRequest =
  | { readonly by: "tins"; readonly tins: readonly CountedTin[]; readonly fill?: FillRule }
  | { readonly by: "grams"; readonly grams: number }
  | { readonly by: "portions"; readonly portions: number }
  | { readonly by: "eggs"; readonly count: number; readonly egg: EggWeights }
  | { readonly by: "ingredient"; readonly ingredient: string; readonly grams: number }
  | { readonly by: "factor"; readonly factor: number };

export interface ScaleBatchOptions {
  readonly book: IngredientBook;
  /** Only this component is scaled; for tins it is the one that goes into them. The whole formula when left out. */
  readonly component?: string;
  readonly owned?: readonly NamedTin[];
  /** What a scale can weigh; `false` leaves the exact weights in `formula` too. */
  readonly weighing?: WeighingSettings | false;
}

export interface ScaledBatch {
  /** Weights as a scale can weigh them; tins and bake looked after. */
  readonly formula: Formula;
  /** The same before rounding. */
  readonly exact: Formula;
  readonly factor: number;
  /** How the component stands in its tins, and how it stood; absent where there are none. */
  readonly filling?: TinFilling;
  readonly before?: TinFilling["tins"];
  readonly cautions: readonly TinCaution[];
}

/**
 * Scales a formula to what is asked for: tins, a weight, portions, eggs, what is left of an ingredient, a factor. Whichever it
 * is, the tins are looked after: new ones, as many more as keep the depth, or a word on depth and bake time.
 */
export function scaleBatch(formula: Formula, request: BatchRequest, options: ScaleBatchOptions): Result<ScaledBatch, Problem> {
  if (options.component !== undefined && !findComponent(formula, options.component)) {
    const names = formula.components.map(({ name }) => `"${name}"`).join(", ");
    return {
      ok: false,
      error: {
        code: "unknown-component",
        path: ["components"],
        expected: `one of: ${names}`,
        found: `"${options.component}"`,
        remedy: "Use the name of one of the formula's components.",
      },
    };
  }
  if (request.by === "tins") return toTins(formula, request, options);
  const scaled = otherwise(formula, request, options);
  return scaled.ok
    ? { ok: true, value: withTinsLookedAfter(formula, scaled.value.formula, scaled.value.factor, options) }
    : scaled;
}

/** A formula as it is, with how it stands in its tins: the batch that was not scaled. */
export function unscaledBatch(formula: Formula, options: ScaleBatchOptions): ScaledBatch {
  return withTinsLookedAfter(formula, formula, 1, options);
}

function toTins(
  formula: Formula,
  request: Extract<BatchRequest, { by: "tins" }>,
  options: ScaleBatchOptions,
): Result<ScaledBatch, Problem> {
  const { book, component, owned } = options;
  const result = scaleToTins(formula, request.tins, {
    book,
    ...(component === undefined ? {} : { component, scale: "component" }),
    ...(request.fill ? { fill: request.fill } : {}),
    ...(owned ? { owned } : {}),
  });
  if (!result.ok) return result;
  const { formula: exact, factor, density, tins, before, cautions } = result.value;
  const batterMl = tins.reduce((sum, fill) => sum + fill.count * fill.batterMl, 0);
  return {
    ok: true,
    value: {
      formula: rounded(exact, options),
      exact,
      factor,
      filling: { component: result.value.component, density, tins, batterMl, batterGrams: batterMl * density.specificGravity },
      ...(before ? { before } : {}),
      cautions,
    },
  };
}

function otherwise(formula: Formula, request: Exclude<BatchRequest, { by: "tins" }>, options: ScaleBatchOptions): ScaleResult {
  const only = { weighing: false as const, ...(options.component === undefined ? {} : { component: options.component }) };
  switch (request.by) {
    case "factor":
      return scaleByFactor(formula, request.factor, only);
    case "grams":
      return scaleToGrams(formula, request.grams, only);
    case "portions":
      if (options.component === undefined) return scaleToPortions(formula, request.portions, { weighing: false });
      return {
        ok: false,
        error: {
          code: "conflict",
          path: [],
          expected: "portions of the whole formula",
          found: `portions of "${options.component}"`,
          remedy: "Portions belong to the whole formula: leave the component out, or scale it to a weight.",
        },
      };
    case "eggs":
      return scaleToEggs(formula, options.book, request.count, request.egg, only);
    case "ingredient":
      return scaleToIngredient(formula, request.ingredient, request.grams, only);
  }
}

function withTinsLookedAfter(before: Formula, scaled: Formula, factor: number, options: ScaleBatchOptions): ScaledBatch {
  const { book, owned } = options;
  const shown = tinComponent(scaled, options.component);
  let filling: TinFilling | undefined;
  let previous: TinFilling | undefined;
  const cautions: TinCaution[] = [];
  const components = scaled.components.map((component, index) => {
    const refilled = refillTins(before.components[index]!, component, book, owned);
    if (component === shown) {
      filling = refilled.filling;
      previous = refilled.before;
    }
    cautions.push(...refilled.cautions);
    return refilled.component;
  });
  const exact: Formula = { ...scaled, components };
  return {
    formula: factor === 1 ? exact : rounded(exact, options),
    exact,
    factor,
    ...(filling ? { filling } : {}),
    ...(previous ? { before: previous.tins } : {}),
    cautions,
  };
}

function rounded(exact: Formula, { weighing }: ScaleBatchOptions): Formula {
  return weighing === false ? exact : roundFormula(exact, weighing).formula;
}
