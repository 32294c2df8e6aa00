import type { Formula } from "@evencrumb/core/formula";
import { type IngredientBook, searchIngredients } from "@evencrumb/core/ingredients";
import { type EggGrade, eggParts } from "@evencrumb/core/quantities";
import {
  type BatchRequest,
  parseTins,
  type ScaledBatch,
  scaleBatch,
  type TinFilling,
  tinsOf,
  unscaledBatch,
} from "@evencrumb/core/tins";
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

export interface AskedBatch extends ScaledBatch {
  /** "2 round 23x5 cm", "24 portions"; "as written" when nothing was asked. */
  readonly words: string;
}

const WAYS = ["toTins", "toGrams", "toPortions", "toEggs", "left", "factor"] as const;
const MEDIUM_EGG: EggGrade = { scheme: "uk", grade: "M" };

/** Does what the options ask; with none of them the formula stays as it is, where it may. Problems are said. */
export function scaled(
  formula: Formula,
  book: IngredientBook,
  options: ScalingOptions,
  io: Io,
  asking: "must" | "may",
): AskedBatch | ExitStatus {
  const ways = WAYS.filter((way) => options[way] !== undefined);
  if (ways.length > 1 || (ways.length === 0 && asking === "must")) {
    io.say(
      `Say one of --to-tins, --to-grams, --to-portions, --to-eggs, --left or --factor${ways.length > 1 ? ", not several" : ""}.`,
    );
    return 2;
  }
  const [way] = ways;
  if (options.fill !== undefined && way !== "toTins") {
    io.say("--fill goes with --to-tins.");
    return 2;
  }
  const settings = {
    book,
    ...(options.component === undefined ? {} : { component: options.component }),
    ...(options.exact ? { weighing: false as const } : {}),
  };
  for (const component of formula.components) {
    for (const problem of tinsOf(component).problems) io.say(problemText({ ...problem, path: [] }, `${component.name}, tins`));
  }
  if (way === undefined) return { ...unscaledBatch(formula, settings), words: "as written" };
  const request = requestOf(way, formula, book, options, io);
  if (typeof request === "number") return request;
  const result = scaleBatch(formula, request, settings);
  return result.ok ? { ...result.value, words: wordsOf(way, options) } : refuse(io, [result.error]);
}

function requestOf(
  way: (typeof WAYS)[number],
  formula: Formula,
  book: IngredientBook,
  options: ScalingOptions,
  io: Io,
): BatchRequest | ExitStatus {
  switch (way) {
    case "toTins": {
      const { value: tins, problems } = parseTins(options.toTins!);
      for (const problem of problems) io.say(problemText({ ...problem, path: [] }));
      // A tin that was not understood would be missing from the batch; one that only has a doubtful capacity is not.
      const read = new Set(problems.filter(({ code }) => code !== "conflict").map(({ path }) => path[0]));
      if (tins.length === 0 || (read.size > 0 && tins.length < partsOf(options.toTins!))) return 2;
      return {
        by: "tins",
        tins,
        ...(options.fill === undefined ? {} : { fill: { rule: "share", share: numberOf(options.fill) } }),
      };
    }
    case "factor":
      return { by: "factor", factor: numberOf(options.factor) };
    case "toGrams":
      return { by: "grams", grams: gramsOf(options.toGrams) };
    case "toPortions":
      return { by: "portions", portions: numberOf(options.toPortions) };
    case "toEggs": {
      const medium = eggParts(MEDIUM_EGG);
      const edible = options.egg === undefined ? medium.edibleGrams : gramsOf(options.egg);
      if (!(edible >= 20 && edible <= 120)) {
        io.say(`--egg is the weight of one egg without its shell in grams, such as 51, not "${options.egg}".`);
        return 2;
      }
      const size = edible / medium.edibleGrams;
      io.say(
        `One egg taken as ${edible.toFixed(1)} g without its shell${options.egg === undefined ? " (UK medium; --egg says another)" : ""}.`,
      );
      return {
        by: "eggs",
        count: numberOf(options.toEggs),
        egg: { wholeGrams: edible, whiteGrams: medium.whiteGrams * size, yolkGrams: medium.yolkGrams * size },
      };
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
      const found = ids.has(named)
        ? named
        : searchIngredients(book, named, { limit: 40 }).find(({ ingredient }) => ids.has(ingredient.id))?.ingredient.id;
      return { by: "ingredient", ingredient: found ?? named, grams };
    }
  }
}

const partsOf = (tins: string) => tins.split(/[,;+&\n]|\band\b/i).filter((part) => part.trim() !== "").length;

/** Digits alone: "1.5", "24". Everything else is not a number, and the function that is asked says what it wants. */
function numberOf(text: string | undefined): number {
  return text !== undefined && /^\s*\d+(?:[.,]\d+)?\s*$/.test(text) ? Number(text.replace(",", ".")) : Number.NaN;
}

const gramsOf = (text: string | undefined) => numberOf(text?.replace(/\s*g\s*$/i, ""));

function wordsOf(way: (typeof WAYS)[number], options: ScalingOptions): string {
  const only = options.component === undefined ? "" : ` (${options.component} only)`;
  switch (way) {
    case "toTins":
      return `${options.toTins!.trim()}${only}`;
    case "factor":
      return `${options.factor} times the formula${only}`;
    case "toGrams":
      return `to ${gramsOf(options.toGrams)} g${only}`;
    case "toPortions":
      return `${options.toPortions} portions`;
    case "toEggs":
      return `${options.toEggs} eggs${only}`;
    case "left":
      return `${options.left!.trim()} used up${only}`;
  }
}

/** One entry for each single tin, as the JSON of `scale` has it. */
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
    const shape = fill.tin.shape;
    const cups = shape.kind === "tray-of-cups" ? `, ${(fill.batterGrams / shape.cupCount).toFixed(0)} g a cup` : "";
    return `${fill.count} × ${fill.text}: ${fill.batterGrams.toFixed(0)} g${fill.count > 1 ? " each" : ""}${cups}, ${Math.round(fill.fillShare * 100)} % full, ${Math.round(fill.depthMm)} mm deep of ${Math.round(fill.capacityMl)} ml`;
  });
}
