import type { Problem, Result } from "../quantities/index.js";
import { arrangeRuns } from "./arrangeRuns.js";
import { type DesignPoints, designPoints, type FractionWords } from "./designPoints.js";
import { type DesignQuality, designQuality } from "./designQuality.js";
import { checkFactors, type Factor, type Setting } from "./factors.js";
import { type ModelName, modelRow, type ProcessModelName, type Term } from "./model.js";
import type { PlacedRun } from "./runOrder.js";

/** Names of designs, as the field has them. */
export const DESIGN_NAMES = [
  "two-level factorial",
  "two-level fraction",
  "all levels",
  "central composite",
  "Box-Behnken",
  "simplex lattice",
  "simplex centroid",
  "extreme vertices",
  "D-optimal",
  "I-optimal",
] as const;
export type DesignName = (typeof DESIGN_NAMES)[number];

/** A design asked for by name, for those who know which one they want. */
export interface DesignWords {
  readonly design: DesignName;
  readonly factors: readonly Factor[];
  readonly seed: number;
  /** Runs of a fraction (a power of two) or of an optimal design. */
  readonly runCount?: number;
  /** For a fraction: each added factor and the basic factors whose product sets it. Without them the best are taken. */
  readonly generators?: Readonly<Record<string, readonly string[]>>;
  /** Centre points added (factorials) or asked for (composite: with the corners, and with the axial points; Box-Behnken). */
  readonly centreCount?: number;
  readonly axial?: "rotatable" | "face" | number;
  /** Steps of a simplex lattice; default 2. */
  readonly steps?: number;
  /** Also the points half-way from the centre to each corner (blends). */
  readonly checkBlends?: boolean;
  readonly rules?: readonly { readonly weights: readonly number[]; readonly constant: number }[];
  /** The model that the design is for: needed for an optimal design; for the others it is only judged by it. */
  readonly model?: ModelName;
  readonly process?: ProcessModelName;
  readonly crossing?: "full" | "reduced";
  readonly terms?: readonly Term[];
  /** How often the whole design is baked; default 1. */
  readonly repeats?: number;
  /** Factors that are the same for all bakes of one batter; the others change from tin to tin (split plot). */
  readonly perBatter?: readonly string[];
  /** What the bakes that share `perBatter` are taken from: one batter, or one oven load at one setting; default "batter". */
  readonly shared?: "batter" | "load";
  /** Whether an optimal blend may lie off the list of corners, middles and centres; default true. On the list it is easier to weigh. */
  readonly refine?: boolean;
  readonly perDay?: number;
  readonly perLoad?: number;
  /** What is taken out of the comparison: baking days, or each oven load; default "day". */
  readonly blockBy?: "day" | "load";
}

export interface NamedDesign {
  readonly settings: readonly Setting[];
  readonly order: readonly PlacedRun[];
  /** Day (or oven load, when loads are blocks) of each run, when the bakes fill more than one. */
  readonly days?: readonly number[];
  readonly model: { readonly name: ModelName; readonly terms: readonly Term[] };
  readonly quality: DesignQuality;
  /** For fractions: how added factors are set, the resolution, and what cannot be told apart up to two factors. */
  readonly fraction?: FractionWords;
  /** Corners of the region of blends. */
  readonly vertices?: readonly (readonly number[])[];
}

/** Lays out a design by its name. Problems are those of the words: factors that do not fit the design, too few runs. */
export function makeDesign(words: DesignWords): Result<NamedDesign, readonly Problem[]> {
  const wrong = checkFactors(words.factors);
  if (wrong.length > 0) return { ok: false, error: wrong };
  try {
    return { ok: true, value: layOut(words) };
  } catch (error) {
    return { ok: false, error: [cannotBeMade(words.design, error)] };
  }
}

/** The design functions say in words what they cannot do; here the words are the person's, so it is theirs to mend. */
export function cannotBeMade(design: string, error: unknown): Problem {
  if (!(error instanceof RangeError)) throw error;
  const [, what = error.message] = /^\w+: (.*)$/s.exec(error.message) ?? [];
  return {
    code: "conflict",
    path: ["design"],
    expected: `a ${design} design that can be made`,
    found: what,
    remedy: "Change the factors, the number of runs, or the design.",
  };
}

function layOut(words: DesignWords): NamedDesign {
  const points = atOnce(words);
  const { model, name, terms, fraction, vertices } = points;
  const repeats = words.repeats ?? 1;
  const values = Array.from({ length: repeats }, () => points.values).flat();
  const rows = values.map((row) => modelRow(model, row));
  const { order, blocks, wholePlots } = arrangeRuns(model, values, { ...words, repeats, perDay: words.perDay ?? values.length });
  return {
    settings: values.map((row) => settingOf(words.factors, row)),
    order,
    ...(blocks === undefined ? {} : { days: blocks }),
    model: { name, terms },
    quality: designQuality({
      rows,
      region: points.around.map((row) => modelRow(model, row)),
      names: model.columns.map((column) => column.name),
      ...(blocks === undefined ? {} : { blocks }),
      ...(wholePlots === undefined ? {} : { wholePlots }),
    }),
    ...(fraction === undefined ? {} : { fraction }),
    ...(vertices === undefined ? {} : { vertices }),
  };
}

function atOnce(words: DesignWords): DesignPoints {
  const steps = designPoints(words);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

/** Values as a setting: levels by their names, numbers to twelve digits, without the last digit of the arithmetic. */
export const settingOf = (factors: readonly Factor[], row: readonly number[]): Setting =>
  Object.fromEntries(
    factors.map((factor, index) => [
      factor.name,
      factor.kind === "choice" ? factor.levels[row[index]!]! : Number(row[index]!.toPrecision(12)),
    ]),
  );
