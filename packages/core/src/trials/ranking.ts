import { chiSquareUpper, fUpper, normalQuantile, normalUpper, tQuantile } from "./distributions.js";

/** What a panel's rankings say. */
export interface Ranking {
  readonly tasterCount: number;
  readonly productCount: number;
  /** Sum of ranks per product; the smaller, the better placed (rank 1 is first). */
  readonly rankSums: readonly number[];
  /** Friedman's statistic, corrected for ties, and its chi-square p-value. */
  readonly friedman: number;
  readonly df: number;
  readonly p: number;
  /** Friedman's statistic without the correction. */
  readonly friedmanUncorrected: number;
  /** Better for small panels: the F form (Conover 1999). */
  readonly f: number;
  readonly fDf: readonly [number, number];
  readonly fP: number;
  /** Rank sums of two products that differ by more than this differ, ties left aside (ISO 8587); only after a significant Friedman. */
  readonly leastDifference: number;
  /** The same by Conover's t form, with ties. */
  readonly leastDifferenceConover: number;
  /** Pairs of products, by index, whose rank sums differ by at least `leastDifference` after a significant F form. */
  readonly different: readonly (readonly [number, number])[];
}

/**
 * Friedman's test for rankings of several products by one panel.
 *
 * @param ranks  one row per taster, one rank per product, 1 for the best; tied products share the mean of their ranks
 * @throws RangeError when a row is not a ranking (its ranks do not add to P(P+1)/2)
 *
 * Sources: Friedman (1937), J. Am. Stat. Assoc. 32, 675; ISO 8587 for the least difference; Conover (1999), Practical
 * Nonparametric Statistics, 3rd ed., p 372 for the F form.
 */
export function rankingTest(ranks: readonly (readonly number[])[], alpha = 0.05): Ranking {
  const tasterCount = ranks.length;
  const productCount = ranks[0]?.length ?? 0;
  if (tasterCount < 2 || productCount < 2)
    throw new RangeError(`rankingTest: ${tasterCount} tasters and ${productCount} products; at least 2 of each`);
  const expected = (productCount * (productCount + 1)) / 2;
  for (const [taster, row] of ranks.entries()) {
    const sum = row.reduce((total, rank) => total + rank, 0);
    if (row.length !== productCount || Math.abs(sum - expected) > 1e-9) {
      throw new RangeError(
        `rankingTest: the ranks of taster ${taster + 1} add to ${sum}; ${productCount} ranks add to ${expected}`,
      );
    }
  }
  const rankSums = Array.from({ length: productCount }, (_, product) => ranks.reduce((sum, row) => sum + row[product]!, 0));
  const squares = rankSums.reduce((sum, value) => sum + value * value, 0);
  const friedmanUncorrected =
    (12 / (tasterCount * productCount * (productCount + 1))) * squares - 3 * tasterCount * (productCount + 1);
  const ties = ranks.reduce((sum, row) => sum + tieTerm(row), 0);
  const correction = 1 - ties / (tasterCount * productCount * (productCount ** 2 - 1));
  const friedman = correction > 0 ? friedmanUncorrected / correction : 0;
  const df = productCount - 1;
  const fDf = [df, (tasterCount - 1) * df] as const;
  const rest = tasterCount * df - friedman;
  const f = rest > 0 ? ((tasterCount - 1) * friedman) / rest : Number.POSITIVE_INFINITY;
  const fP = fUpper(f, fDf[0], fDf[1]);
  const leastDifference = normalQuantile(1 - alpha / 2) * Math.sqrt((tasterCount * productCount * (productCount + 1)) / 6);
  const a = ranks.reduce((sum, row) => sum + row.reduce((total, rank) => total + rank * rank, 0), 0);
  const spread = Math.max(0, (2 * (tasterCount * a - squares)) / fDf[1]);
  const leastDifferenceConover = tQuantile(1 - alpha / 2, fDf[1]) * Math.sqrt(spread);
  const pairs = rankSums.flatMap((first, i) =>
    rankSums.slice(i + 1).map((second, offset) => [i, i + 1 + offset, Math.abs(first - second)] as const),
  );
  return {
    tasterCount,
    productCount,
    rankSums,
    friedman,
    df,
    p: chiSquareUpper(friedman, df),
    friedmanUncorrected,
    f,
    fDf,
    fP,
    leastDifference,
    leastDifferenceConover,
    different: fP <= alpha ? pairs.filter(([, , gap]) => gap >= leastDifference).map(([i, j]) => [i, j] as const) : [],
  };
}

/** Sum of t^3 - t over tied groups of one ranking. */
function tieTerm(row: readonly number[]): number {
  const counts = new Map<number, number>();
  for (const rank of row) counts.set(rank, (counts.get(rank) ?? 0) + 1);
  return [...counts.values()].reduce((sum, count) => sum + count ** 3 - count, 0);
}

/**
 * Page's test: do the rankings follow a stated order, first product first? One-sided.
 * Source: Page (1963), J. Am. Stat. Assoc. 58, 216; the normal form of ISO 8587.
 */
export function pageTest(ranks: readonly (readonly number[])[]): { readonly l: number; readonly z: number; readonly p: number } {
  const j = ranks.length;
  const n = ranks[0]?.length ?? 0;
  if (j < 2 || n < 3) throw new RangeError(`pageTest: ${j} tasters and ${n} products; at least 2 and 3`);
  const l = Array.from({ length: n }, (_, product) => (product + 1) * ranks.reduce((sum, row) => sum + row[product]!, 0)).reduce(
    (a, b) => a + b,
    0,
  );
  const z = (12 * l - 3 * j * n * (n + 1) ** 2) / (n * (n + 1) * Math.sqrt(j * (n - 1)));
  return { l, z, p: normalUpper(z) };
}

/** Ranks from scores, the highest score first; equal scores share the mean rank. */
export function ranksOfScores(scores: readonly number[]): number[] {
  return scores.map((score) => {
    const above = scores.filter((other) => other > score).length;
    const equal = scores.filter((other) => other === score).length;
    return above + (equal + 1) / 2;
  });
}
