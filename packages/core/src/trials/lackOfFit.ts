import type { AnovaRow, LackOfFit } from "./analyse.js";
import { fUpper } from "./distributions.js";
import { orthogonalise, project } from "./leastSquares.js";

/** Splits the residual into disagreement of repeats (pure error) and what the model misses. Undefined without repeats. */
export function lackOfFitOf(
  rows: readonly (readonly number[])[],
  hasBlocks: boolean,
  response: Float64Array,
  residualSquares: number,
  residualDf: number,
): LackOfFit | undefined {
  const factorCount = rows[0]!.length - (hasBlocks ? 1 : 0);
  const groups = new Map<string, number[]>();
  for (const [index, row] of rows.entries()) {
    // Settings typed as 0.333 and 0.3333 are different; 12 digits only absorb arithmetic.
    const key = row
      .slice(0, factorCount)
      .map((value) => value.toPrecision(12))
      .join("|");
    const list = groups.get(key);
    if (list === undefined) groups.set(key, [index]);
    else list.push(index);
  }
  let errorSquares: number;
  let errorDf: number;
  if (hasBlocks) {
    // With blocks, pure error is what is left after "setting + block". Settings are swept out by their means, and a setting that was
    // baked once says nothing, so that only the blocks remain as columns (Frisch and Waugh 1933, Econometrica 1, 387).
    const repeated = [...groups.values()].filter((list) => list.length > 1);
    const places = repeated.flat();
    const sweep = (value: (index: number) => number): Float64Array =>
      Float64Array.from(
        repeated.flatMap((list) => {
          const mean = list.reduce((sum, index) => sum + value(index), 0) / list.length;
          return list.map((index) => value(index) - mean);
        }),
      );
    const blocks = [...new Set(places.map((index) => rows[index]![factorCount]!))].slice(1);
    const columns = blocks
      .map((block) => sweep((index) => (rows[index]![factorCount] === block ? 1 : 0)))
      .filter((column) => column.some((value) => Math.abs(value) > 1e-9))
      .map((high) => ({ high, low: new Float64Array(places.length) }));
    const basis = orthogonalise(columns, places.length);
    errorDf = places.length - repeated.length - basis.kept.length;
    errorSquares = project(
      basis,
      sweep((index) => response[index]!),
    ).residualSquares;
  } else {
    errorDf = rows.length - groups.size;
    errorSquares = 0;
    for (const list of groups.values()) {
      const mean = list.reduce((sum, index) => sum + response[index]!, 0) / list.length;
      for (const index of list) errorSquares += (response[index]! - mean) ** 2;
    }
  }
  if (errorDf <= 0) return undefined;
  const missDf = residualDf - errorDf;
  const pureMean = errorSquares / errorDf;
  const pureError: AnovaRow = { source: "pure error", df: errorDf, sumOfSquares: errorSquares, meanSquare: pureMean };
  if (missDf <= 0) return { lackOfFit: { source: "lack of fit", df: 0, sumOfSquares: 0 }, pureError };
  const missSquares = Math.max(0, residualSquares - errorSquares);
  const lackOfFit: AnovaRow = { source: "lack of fit", df: missDf, sumOfSquares: missSquares, meanSquare: missSquares / missDf };
  if (!(pureMean > 0)) return { lackOfFit, pureError };
  const f = missSquares / missDf / pureMean;
  return { lackOfFit: { ...lackOfFit, f, p: fUpper(f, missDf, errorDf) }, pureError };
}
