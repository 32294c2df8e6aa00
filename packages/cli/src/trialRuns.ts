import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem, Result } from "@evencrumb/core/quantities";
import { type HighsLike, solverFromHighs } from "@evencrumb/core/rebalance";
import {
  type Binding,
  type Factor,
  formulaDoubts,
  formulaOfRun,
  judgeBakes,
  type RunFormula,
  type Setting,
  settleByRebalancing,
  settledComponents,
  settledWords,
} from "@evencrumb/core/trials";
import { readDemands } from "./demandWords.js";

/** What the runs of a trial are made from. */
export interface RunWords {
  readonly standard: Formula;
  readonly book: IngredientBook;
  readonly factors: readonly Factor[];
  readonly bindings: readonly Binding[];
  /** "total", "others", or what the rebalancer holds: "fat,water,total". */
  readonly hold: string;
}

/** A maker of runs as complete formulas; the solver is loaded only when something besides the total is held. */
export async function runMaker({
  standard,
  book,
  factors,
  bindings,
  hold,
}: RunWords): Promise<Result<(setting: Setting) => Result<RunFormula, readonly Problem[]>, readonly Problem[]>> {
  const judge = (formula: Formula) => formulaDoubts(formula, standard, book, []);
  if (hold === "total" || hold === "others")
    return { ok: true, value: (setting) => formulaOfRun(standard, factors, bindings, setting, { hold, judge }) };
  const read = readDemands({ hold }, book);
  if (!read.ok) return read;
  const words = { demands: read.value.demands, mayAdd: ["water"] };
  const { default: highs } = await import("highs");
  const solver = solverFromHighs(await (highs as unknown as () => Promise<HighsLike>)());
  const settle = settleByRebalancing(standard, bindings, words, book, solver);
  const settled = settledWords(words, settledComponents(standard, bindings));
  return {
    ok: true,
    value: (setting) => formulaOfRun(standard, factors, bindings, setting, { hold: "others", settle, settled, judge }),
  };
}

/** What the models doubt about each run, before an egg is broken; in the order of the settings. */
export function doubtsOfRuns(
  standard: Formula,
  made: readonly RunFormula[],
  book: IngredientBook,
): readonly (readonly string[])[] {
  const steps = judgeBakes(
    standard,
    made.map(({ weighable }) => weighable),
    book,
    { owned: [] },
  );
  let step = steps.next();
  while (!step.done) step = steps.next();
  const { doubts } = step.value;
  return made.map(({ cautions }, index) => [...cautions, ...doubts[index]!]);
}

export const BINDING_KINDS: readonly Binding["kind"][] = [
  "ingredient",
  "share of blend",
  "stage split",
  "stage target",
  "tin",
  "swap",
  "replace",
  "oven",
  "minutes",
];

/** What each factor means in the formula; undefined when an entry cannot be understood. */
export function bindingsOf(value: unknown): readonly Binding[] | undefined {
  if (!Array.isArray(value)) return undefined;
  const needs: Readonly<Record<Binding["kind"], readonly string[]>> = {
    ingredient: ["ingredient"],
    "share of blend": ["ingredient"],
    "stage split": ["ingredient", "stages"],
    "stage target": ["stage", "target"],
    tin: ["tins"],
    swap: ["ingredient", "by"],
    replace: ["ingredient", "by"],
    oven: [],
    minutes: [],
  };
  const good = value.every(
    (entry: Record<string, unknown> | null) =>
      typeof entry === "object" &&
      entry !== null &&
      typeof entry.factor === "string" &&
      typeof entry.component === "string" &&
      BINDING_KINDS.includes(entry.kind as Binding["kind"]) &&
      needs[entry.kind as Binding["kind"]].every((key) => entry[key] !== undefined) &&
      (entry.kind !== "stage split" || (Array.isArray(entry.stages) && entry.stages.length === 2)),
  );
  return good ? (value as Binding[]) : undefined;
}
