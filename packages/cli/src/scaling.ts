import {
  type Formula,
  findComponent,
  roundFormula,
  type ScaleResult,
  scaleByFactor,
  scaleToEggs,
  scaleToGrams,
  scaleToIngredient,
  scaleToPortions,
} from "@evencrumb/core/formula";
import { type IngredientBook, searchIngredients } from "@evencrumb/core/ingredients";
import { type EggGrade, eggParts } from "@evencrumb/core/quantities";
import { parseTins, refillTins, scaleToTins, type TinCaution, type TinFilling, tinComponent } from "@evencrumb/core/tins";
import { type ExitStatus, type Io, refuse } from "./io.js";
import { problemText } from "./render/problems.js";

export interface ScalingOptions {
  readonly [option: string]: unknown;
  readonly toTins?: string;
  readonly toGrams?: string;
  readonly toPortions?: string;
  readonly toEggs?: string;
  readonly factor?: string;
  readonly left?: string;
  readonly component?: string;
  readonly fill?: string;
  readonly egg?: string;
  readonly exact?: boolean;
}

export const SCALING_OPTIONS = [
  ["--to-tins <tins>", 'fill these tins: "2 round 20x5 cm", "1 loaf 900 g, 12-hole muffin tray"'],
  ["--to-grams <grams>", "to this weight, of the whole or of --component"],
  ["--to-portions <count>", "to this many portions of the same size"],
  ["--to-eggs <count>", "to this many whole eggs"],
  ["--left <weight>", 'use up what is left of one ingredient: "320 g double cream"'],
  ["--factor <factor>", "times this"],
  ["--component <name>", "only this component; for tins, the one that goes into them"],
  ["--fill <share>", "fill each tin to this share, 0 to 1; as deep as in the formula's own tins when left out"],
  ["--egg <grams>", "weight of one egg without its shell (a UK medium egg when left out)"],
  ["--exact", "leave weights unrounded"],
] as const;

export interface ScaledFormula {
  readonly formula: Formula;
  /** Before rounding to what a scale can weigh. */
  readonly exact: Formula;
  readonly factor: number;
  /** "2 round 23x5 cm", "24 portions"; "as written" when nothing was asked. */
  readonly words: string;
  /** How the component sits in its tins, where there are any. */
  readonly filling?: TinFilling;
  readonly cautions: readonly TinCaution[];
}

const WAYS = ["toTins", "toGrams", "toPortions", "toEggs", "left", "factor"] as const;
const MEDIUM_EGG: EggGrade = { scheme: "uk", grade: "M" };

/** Does what the options ask; with none of them the formula stays as it is. Problems are said. */
export function scaled(
  formula: Formula,
  book: IngredientBook,
  options: ScalingOptions,
  io: Io,
  command: "must" | "may",
): ScaledFormula | ExitStatus {
  const asked = WAYS.filter((way) => options[way] !== undefined);
  if (asked.length > 1 || (asked.length === 0 && command === "must")) {
    io.say(
      `Say one of --to-tins, --to-grams, --to-portions, --to-eggs, --left or --factor${asked.length > 1 ? ", not several" : ""}.`,
    );
    return 2;
  }
  if (options.fill !== undefined && asked[0] !== "toTins") {
    io.say("--fill goes with --to-tins.");
    return 2;
  }
  if (options.component !== undefined && !findComponent(formula, options.component)) {
    io.say(
      `There is no component "${options.component}". There ${formula.components.length === 1 ? "is" : "are"}: ${formula.components.map(({ name }) => name).join(", ")}.`,
    );
    return 2;
  }
  if (asked[0] === "toTins") return scaledToTins(formula, book, options, io);
  const result = asked[0] === undefined ? undefined : scaledOtherwise(asked[0], formula, book, options, io);
  if (typeof result === "number") return result;
  if (result && !result.ok) return refuse(io, [result.error]);
  return finished(
    formula,
    result ? result.value.formula : formula,
    result ? result.value.factor : 1,
    wordsOf(asked[0], options),
    book,
    options,
  );
}

function scaledToTins(formula: Formula, book: IngredientBook, options: ScalingOptions, io: Io): ScaledFormula | ExitStatus {
  const { value: tins, problems } = parseTins(options.toTins!);
  if (tins.length === 0) return refuse(io, problems);
  for (const problem of problems) {
    io.say(problemText(problem));
    // A tin that was not understood would be missing from the batch.
    if (problem.code !== "conflict" && tins.length <= Number(problem.path[0] ?? 0)) return 2;
  }
  const share = options.fill === undefined ? undefined : Number(options.fill);
  const result = scaleToTins(formula, tins, {
    book,
    ...(options.component === undefined ? {} : { component: options.component, scale: "component" }),
    ...(share === undefined ? {} : { fill: { rule: "share", share } }),
  });
  if (!result.ok) return refuse(io, [result.error]);
  const { formula: exact, factor, component, density, tins: fills, cautions } = result.value;
  const batterMl = fills.reduce((sum, fill) => sum + fill.count * fill.batterMl, 0);
  const filling: TinFilling = { component, density, tins: fills, batterMl, batterGrams: batterMl * density.specificGravity };
  return {
    formula: options.exact ? exact : roundFormula(exact).formula,
    exact,
    factor,
    words: options.toTins!.trim(),
    filling,
    cautions,
  };
}

function scaledOtherwise(
  way: Exclude<(typeof WAYS)[number], "toTins">,
  formula: Formula,
  book: IngredientBook,
  options: ScalingOptions,
  io: Io,
): ScaleResult | ExitStatus {
  const only = { weighing: false as const, ...(options.component === undefined ? {} : { component: options.component }) };
  switch (way) {
    case "factor":
      return scaleByFactor(formula, numberOf(options.factor), only);
    case "toGrams":
      return scaleToGrams(formula, numberOf(options.toGrams?.replace(/\s*g$/i, "")), only);
    case "toPortions":
      if (options.component !== undefined) {
        io.say("--component does not go with --to-portions: portions belong to the whole formula.");
        return 2;
      }
      return scaleToPortions(formula, numberOf(options.toPortions), { weighing: false });
    case "toEggs": {
      const medium = eggParts(MEDIUM_EGG);
      const edible = options.egg === undefined ? medium.edibleGrams : numberOf(options.egg.replace(/\s*g$/i, ""));
      if (!(edible >= 20 && edible <= 120)) {
        io.say(`--egg is the weight of one egg without its shell in grams, such as 51, not "${options.egg}".`);
        return 2;
      }
      const size = edible / medium.edibleGrams;
      io.say(
        `One egg taken as ${edible.toFixed(1)} g without its shell${options.egg === undefined ? " (UK medium; --egg says another)" : ""}.`,
      );
      return scaleToEggs(
        formula,
        book,
        numberOf(options.toEggs),
        { wholeGrams: edible, whiteGrams: medium.whiteGrams * size, yolkGrams: medium.yolkGrams * size },
        only,
      );
    }
    case "left": {
      const left = /^\s*(\d+(?:[.,]\d+)?)\s*(kg|g)?\s+(.+?)\s*$/i.exec(options.left!);
      if (!left) {
        io.say(`--left takes a weight and an ingredient, such as "320 g double cream", not "${options.left}".`);
        return 2;
      }
      const named = left[3]!;
      const grams = numberOf(left[1]) * (left[2]?.toLowerCase() === "kg" ? 1000 : 1);
      const ids = new Set(
        formula.components.flatMap((component) => component.stages.flatMap((stage) => stage.uses.map((use) => use.ingredient))),
      );
      const id = ids.has(named)
        ? named
        : searchIngredients(book, named, { limit: 40 }).find(({ ingredient }) => ids.has(ingredient.id))?.ingredient.id;
      return scaleToIngredient(formula, id ?? named, grams, only);
    }
  }
}

/** Digits alone: "1.5", "24". Everything else is not a number, and the function that is asked says what it wants. */
function numberOf(text: string | undefined): number {
  return text !== undefined && /^\s*\d+(?:[.,]\d+)?\s*$/.test(text) ? Number(text.replace(",", ".")) : Number.NaN;
}

function wordsOf(way: (typeof WAYS)[number] | undefined, options: ScalingOptions): string {
  const only = options.component === undefined ? "" : ` (${options.component} only)`;
  switch (way) {
    case "factor":
      return `${options.factor} times the formula${only}`;
    case "toGrams":
      return `to ${options.toGrams} g${only}`;
    case "toPortions":
      return `${options.toPortions} portions`;
    case "toEggs":
      return `${options.toEggs} eggs${only}`;
    case "left":
      return `${options.left!.trim()} used up${only}`;
    default:
      return "as written";
  }
}

/** Looks after the tins of a formula that was scaled by weight: as many more tins as keep the depth, or what follows if none do. */
function finished(
  before: Formula,
  scaledFormula: Formula,
  factor: number,
  words: string,
  book: IngredientBook,
  options: ScalingOptions,
): ScaledFormula {
  let filling: TinFilling | undefined;
  const cautions: TinCaution[] = [];
  const shown = tinComponent(scaledFormula, options.component);
  const components = scaledFormula.components.map((component, index) => {
    const refilled = refillTins(before.components[index]!, component, book);
    if (component === shown) filling = refilled.filling;
    cautions.push(...refilled.cautions);
    return refilled.component;
  });
  const exact = { ...scaledFormula, components };
  return {
    formula: options.exact || factor === 1 ? exact : roundFormula(exact).formula,
    exact,
    factor,
    words,
    ...(filling ? { filling } : {}),
    cautions,
  };
}

/** One entry for each single tin, as the JSON of `scale` and `tins` has it. */
export function tinsAsJson(filling: TinFilling | undefined): readonly Readonly<Record<string, unknown>>[] {
  return (filling?.tins ?? []).flatMap((fill) =>
    Array.from({ length: fill.count }, () => ({
      tin: fill.text,
      capacityMl: fill.capacityMl,
      batterMl: fill.batterMl,
      batterGrams: fill.batterGrams,
      fillShare: fill.fillShare,
      depthMm: fill.depthMm,
      ...(fill.tin.shape.kind === "tray-of-cups"
        ? { cups: fill.tin.shape.cupCount, batterGramsPerCup: fill.batterGrams / fill.tin.shape.cupCount }
        : {}),
    })),
  );
}

/** "2 × round 23x5 cm: 619 g each, 36 % full, 18 mm deep" */
export function tinLines(filling: TinFilling): readonly string[] {
  return filling.tins.map((fill) => {
    const cups =
      fill.tin.shape.kind === "tray-of-cups" ? `, ${(fill.batterGrams / fill.tin.shape.cupCount).toFixed(0)} g a cup` : "";
    return `${fill.count} × ${fill.text}: ${fill.batterGrams.toFixed(0)} g${fill.count > 1 ? " each" : ""}${cups}, ${Math.round(fill.fillShare * 100)} % full, ${Math.round(fill.depthMm)} mm deep of ${Math.round(fill.capacityMl)} ml`;
  });
}
