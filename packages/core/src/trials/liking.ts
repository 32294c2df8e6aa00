import { type Analysis, analyse, predictAt } from "./analyse.js";
import type { GroupDifference } from "./compare.js";
import { compareLevels } from "./contrasts.js";
import { USUAL_MEASURES } from "./sheet.js";
import { type Answer, sayGroups } from "./words.js";

/** What marks of liking say: each taster is a block, because some mark high and some low. */
export interface Liking {
  readonly means: readonly { readonly product: string; readonly mean: number; readonly from: number; readonly to: number }[];
  /** Each product with each other (Tukey), in points. */
  readonly differences: readonly GroupDifference[];
  /** Products against what tasters disagree about. */
  readonly f: number;
  readonly df: readonly [number, number];
  readonly p: number;
  readonly analysis: Analysis;
  readonly answer: Answer;
}

/**
 * Marks (1 to 9) of several products by one panel, by two-way analysis of variance.
 *
 * @param rows  one row per taster, one mark per product
 * @throws RangeError with fewer than two tasters or products, or when all marks are the same
 */
export function analyseLiking(rows: readonly (readonly number[])[], products: readonly string[], confidence = 0.95): Liking {
  if (rows.length < 2 || products.length < 2)
    throw new RangeError(`analyseLiking: ${rows.length} tasters and ${products.length} products; at least 2 of each`);
  const analysis = analyse({
    responseName: "liking",
    factors: [{ kind: "choice", name: "product", levels: products }],
    terms: [[], ["product"]],
    runs: rows.flatMap((row, block) => row.map((response, level) => ({ values: [level], response, block }))),
    blockNames: rows.map((_, taster) => `taster ${taster + 1}`),
    coding: { product: "average" },
    confidence,
  });
  const test = analysis.partial.find(({ term }) => term[0] === "product");
  if (test?.f === undefined) throw new RangeError("analyseLiking: all marks are the same; nothing can be judged");
  const differences = compareLevels(analysis, "product");
  const measure = USUAL_MEASURES.find(({ name }) => name === "liking")!;
  return {
    means: products.map((product, level) => {
      const { estimate, mean } = predictAt(analysis, [level]);
      return { product, mean: estimate, from: mean!.from, to: mean!.to };
    }),
    differences,
    f: test.f,
    df: [test.df, analysis.residualDf],
    p: test.p!,
    analysis,
    answer: sayGroups(differences, measure),
  };
}
