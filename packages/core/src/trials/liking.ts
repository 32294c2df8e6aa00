import { type Analysis, analyse, predictAt } from "./analyse.js";
import {
  type Comparison,
  comparePaired,
  compareWelch,
  type Equivalence,
  type GroupDifference,
  testEquivalence,
} from "./compare.js";
import { compareLevels } from "./contrasts.js";
import { sayLiking } from "./tastingWords.js";
import type { Answer } from "./words.js";

/** What marks of liking say: each taster is a block, because some mark high and some low. */
export interface Liking {
  /** Whether the same tasters tasted what is compared; without it tasters who mark high or low count as spread. */
  readonly paired: boolean;
  /** Tasters whose marks are used. */
  readonly tasterCount: number;
  /** Tasters with a single mark, who say nothing about differences where others tasted several. */
  readonly leftOut: number;
  readonly means: readonly { readonly product: string; readonly mean: number; readonly from: number; readonly to: number }[];
  /** Each product with each other (Tukey), in points. */
  readonly differences: readonly GroupDifference[];
  /** Of two products: second minus first, paired, or Welch's where no taster tasted both. */
  readonly comparison?: Comparison;
  /** Of two products, where a difference that matters was named: whether a larger one is ruled out. */
  readonly equivalence?: Equivalence;
  /** Products against what tasters disagree about. */
  readonly f: number;
  readonly df: readonly [number, number];
  readonly p: number;
  readonly analysis: Analysis;
  readonly answer: Answer;
}

/** Marks of one panel: one row per taster, one mark per product; null where a taster did not taste it. */
export type MarkRows = readonly (readonly (number | null)[])[];

const markCount = (row: MarkRows[number]) => row.filter((mark) => mark !== null).length;

/** Why marks cannot be judged yet, in words; undefined when they can. */
export function whyNoLiking(rows: MarkRows, products: readonly string[]): string | undefined {
  const { used, paired } = usable(rows);
  if (used.length < 2 || products.length < 2)
    return `marks of ${used.length} tasters and ${products.length} products; at least 2 of each`;
  const unseen = products.findIndex((_, product) => used.filter((row) => row[product] !== null).length < 2);
  if (unseen >= 0) return `fewer than two marks of ${products[unseen]}`;
  const marks = used.flatMap((row) => row.filter((mark) => mark !== null));
  if (marks.every((mark) => mark === marks[0])) return "all marks are the same";
  if (paired && !hangTogether(used, products.length)) return "no taster links all of them by tasting more than one";
  const groups = paired
    ? products
        .slice(1)
        .map((_, at) => used.flatMap((row) => (row[0] === null || row[at + 1] === null ? [] : [row[at + 1]! - row[0]!])))
    : products.map((_, at) => used.flatMap((row) => row[at] ?? []));
  return groups.every((group) => group.every((value) => value === group[0]))
    ? "all tasters say exactly the same, so no spread can be judged"
    : undefined;
}

/** Products can be compared only where tasters, one over the other, lead from each to each. */
function hangTogether(used: MarkRows, productCount: number): boolean {
  const reached = new Set([0]);
  for (let grown = true; grown; ) {
    grown = false;
    for (const row of used) {
      const tasted = row.flatMap((mark, product) => (mark === null ? [] : [product]));
      if (!tasted.some((product) => reached.has(product))) continue;
      for (const product of tasted) {
        if (reached.has(product)) continue;
        reached.add(product);
        grown = true;
      }
    }
  }
  return reached.size === productCount;
}

function usable(rows: MarkRows): { readonly used: MarkRows; readonly paired: boolean } {
  const several = rows.filter((row) => markCount(row) > 1);
  return several.length > 0
    ? { used: several, paired: true }
    : { used: rows.filter((row) => markCount(row) === 1), paired: false };
}

/**
 * Marks (1 to 9) of several products, by analysis of variance: with tasters as blocks where they tasted several, without where each
 * tasted one.
 *
 * @param rows  one row per taster, one mark per product, null for what was not tasted
 * @throws RangeError when nothing can be judged; ask {@link whyNoLiking} first
 */
export function analyseLiking(
  rows: MarkRows,
  products: readonly string[],
  confidence = 0.95,
  options: { readonly matters?: number } = {},
): Liking {
  const why = whyNoLiking(rows, products);
  if (why !== undefined) throw new RangeError(`analyseLiking: ${why}; nothing can be judged`);
  const { used, paired } = usable(rows);
  const analysis = analyse({
    responseName: "liking",
    factors: [{ kind: "choice", name: "product", levels: products }],
    terms: [[], ["product"]],
    runs: used.flatMap((row, block) =>
      row.flatMap((response, level) => (response === null ? [] : [{ values: [level], response, ...(paired ? { block } : {}) }])),
    ),
    ...(paired ? { blockNames: used.map((_, taster) => `taster ${taster + 1}`) } : {}),
    coding: { product: "average" },
    confidence,
  });
  const test = analysis.partial.find(({ term }) => term[0] === "product");
  if (test?.f === undefined) throw new RangeError("analyseLiking: nothing is left to judge the spread by; nothing can be judged");
  const differences = compareLevels(analysis, "product");
  const comparison = products.length === 2 ? compareTwo(used, paired, confidence) : undefined;
  const { matters } = options;
  const equivalence =
    comparison?.kind === "compared" && matters !== undefined
      ? testEquivalence(comparison.difference, [-matters, matters], 1 - confidence)
      : undefined;
  return {
    paired,
    tasterCount: used.length,
    leftOut: rows.length - used.length,
    means: products.map((product, level) => {
      const { estimate, mean } = predictAt(analysis, [level]);
      return { product, mean: estimate, from: mean!.from, to: mean!.to };
    }),
    differences,
    ...(comparison === undefined ? {} : { comparison }),
    ...(equivalence === undefined ? {} : { equivalence }),
    f: test.f,
    df: [test.df, analysis.residualDf],
    p: test.p!,
    analysis,
    answer: sayLiking({ products, differences, comparison, equivalence, p: test.p!, paired, ...options }),
  };
}

function compareTwo(used: MarkRows, paired: boolean, confidence: number): Comparison {
  if (paired) return comparePaired(used as readonly (readonly [number, number])[], confidence);
  const of = (product: number) => used.flatMap((row) => row[product] ?? []);
  return compareWelch(of(0), of(1), confidence);
}
