import type { Problem } from "../quantities/index.js";
import { brings, contributionPerGram, type Demand, demandWords, type Measure, measureWords } from "./demands.js";
import type { ModelRow } from "./model.js";
import type { RebalanceRequest } from "./rebalance.js";
import type { Unknown } from "./unknowns.js";

/** One thing that has to hold, in words, and the rows that say it. What cannot hold together is told in these. */
export interface Requirement {
  readonly words: string;
  readonly rows: readonly ModelRow[];
}

/**
 * The swap, what is kept and the demands as rows.
 *
 * A weight whose figure is missing is not moved, so that what it brings, unknown as it is, stays the same.
 */
export function requirementsOf(
  request: RebalanceRequest,
  unknowns: readonly Unknown[],
  swapRest: number | undefined,
): { readonly requirements: readonly Requirement[] } | { readonly problems: readonly Problem[] } {
  const requirements: Requirement[] = [];
  const problems: Problem[] = [];
  const place = (id: string) => unknowns.findIndex((one) => one.id === id);
  if (request.swap !== undefined && swapRest !== undefined) {
    const { from, percent } = request.swap;
    const step = request.pieces?.find(({ ingredient }) => ingredient === from)?.gramsEach;
    // Whole pieces cannot be divided: what stays of them may be the next whole number on either side.
    const [lower, upper] =
      step === undefined ? [swapRest, swapRest] : [Math.floor(swapRest / step) * step, Math.ceil(swapRest / step) * step];
    const words = `replace ${percent} % of ${unknowns[place(from)]!.name}`;
    requirements.push({ words, rows: [{ name: words, ...limit(place(from), lower, upper) }] });
  }
  for (const id of request.keep ?? []) {
    const variable = place(id);
    if (variable < 0) {
      problems.push({
        code: "unknown-ingredient",
        path: ["keep"],
        expected: `an ingredient of this component: ${unknowns.map((one) => one.id).join(", ")}`,
        found: id,
        remedy: "Keep something that the component holds.",
      });
      continue;
    }
    const { name, before } = unknowns[variable]!;
    requirements.push({ words: `keep ${name} at ${grams(before)}`, rows: [{ name, ...limit(variable, before, before) }] });
  }
  const demands: readonly Demand[] =
    request.swap === undefined || request.demands.some(({ kind }) => kind !== "absent")
      ? request.demands
      : [...request.demands, { kind: "hold", measure: { kind: "total" } }];
  for (const demand of demands) {
    const rows = rowsOf(demand, unknowns);
    if ("problem" in rows) problems.push(rows.problem);
    else requirements.push({ words: demandWords(demand), rows: rows.rows });
  }
  return problems.length > 0 ? { problems } : { requirements };
}

function rowsOf(
  demand: Demand,
  unknowns: readonly Unknown[],
): { readonly rows: readonly ModelRow[] } | { readonly problem: Problem } {
  const name = demandWords(demand);
  if (demand.kind === "absent") {
    return {
      rows: unknowns.flatMap(({ ingredient }, variable) =>
        ingredient !== undefined && brings(ingredient, demand.allergen) ? [{ name, ...limit(variable, 0, 0) }] : [],
      ),
    };
  }
  const perGram = unknowns.map(({ ingredient }) => perGramOf(demand.measure, ingredient));
  const unknown = unknowns.filter(({ before, isNewcomer }, at) => perGram[at] === undefined && (before > 0 || isNewcomer));
  if (unknown.length > 0 && (demand.kind === "between" || unknown.some(({ isNewcomer }) => isNewcomer)))
    return { problem: noFigure(demand.measure, unknown) };
  const kept = unknown.map((one): ModelRow => ({ name, ...limit(unknowns.indexOf(one), one.before, one.before) }));
  const straight = (least: number, most: number): ModelRow => ({
    name,
    lower: least,
    upper: most,
    terms: perGram.map((coefficient = 0, variable) => ({ variable, coefficient })),
  });
  if (demand.kind === "hold") {
    const before = unknowns.reduce((sum, one, at) => sum + one.before * (perGram[at] ?? 0), 0);
    return { rows: [...kept, straight(before, before)] };
  }
  const { least = Number.NEGATIVE_INFINITY, most = Number.POSITIVE_INFINITY } = demand;
  if (demand.per === "batch") return { rows: [straight(least, most)] };
  // Per 100 g: sum of (c - limit / 100) x stays a straight sum.
  const shifted = (edge: number, lower: number, upper: number): ModelRow => ({
    name,
    lower,
    upper,
    terms: perGram.map((coefficient = 0, variable) => ({ variable, coefficient: coefficient - edge / 100 })),
  });
  if (demand.least !== undefined && demand.least === demand.most) return { rows: [shifted(demand.least, 0, 0)] };
  return {
    rows: [
      ...(demand.least === undefined ? [] : [shifted(demand.least, 0, Number.POSITIVE_INFINITY)]),
      ...(demand.most === undefined ? [] : [shifted(demand.most, Number.NEGATIVE_INFINITY, 0)]),
    ],
  };
}

/** What a gram brings; for an ingredient that the book does not know only its weight and its own name are known. */
export function perGramOf(measure: Measure, ingredient: Unknown["ingredient"]): number | undefined {
  if (ingredient !== undefined) return contributionPerGram(measure, ingredient);
  return measure.kind === "total" ? 1 : measure.kind === "ingredient" ? 0 : undefined;
}

const limit = (variable: number, lower: number, upper: number): Omit<ModelRow, "name"> => ({
  lower,
  upper,
  terms: [{ variable, coefficient: 1 }],
});

const grams = (value: number) => `${Number(value.toFixed(1))} g`;

const noFigure = (measure: Measure, unknown: readonly Unknown[]): Problem => ({
  code: "no-figure",
  path: ["demands"],
  expected: `a figure for ${measureWords(measure)} of every ingredient that may change`,
  found: `none for ${unknown.map(({ name }) => name).join(", ")}`,
  remedy: "Give the figure from the packet, keep that ingredient as it is, or drop the demand.",
});
