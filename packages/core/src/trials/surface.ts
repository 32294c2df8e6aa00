import { EigenvalueDecomposition, LuDecomposition, Matrix } from "ml-matrix";
import type { Analysis } from "./analyse.js";

/** Where a quadratic surface is flat, and what kind of place that is. */
export interface StationaryPoint {
  /** Value of each amount there, in its unit; it may lie outside the range explored. */
  readonly values: Readonly<Record<string, number>>;
  readonly inside: boolean;
  /** Curvatures along the main axes, on amounts coded -1 to 1 over their range. */
  readonly eigenvalues: readonly number[];
  readonly kind: "highest" | "lowest" | "saddle" | "ridge";
}

/**
 * The stationary point of a full quadratic model in amounts: x = -inverse(B) b / 2.
 *
 * @returns undefined when the model has other factors, or lacks squares, or the surface is flat along some axis
 *
 * Source: Box and Wilson (1951); worked example Lenth (2009), J. Stat. Software 32(7).
 */
export function stationaryPoint(analysis: Analysis): StationaryPoint | undefined {
  const amounts = analysis.model.factors.filter((factor) => factor.kind === "amount");
  if (amounts.length === 0 || analysis.model.factors.some((factor) => factor.kind === "share")) return undefined;
  const half = amounts.map(({ low, high }) => (high - low) / 2);
  const middle = amounts.map(({ low, high }) => (high + low) / 2);
  const b = Array<number>(amounts.length).fill(0);
  const matrix = Matrix.zeros(amounts.length, amounts.length);
  for (const [index, column] of analysis.orthogonal.kept.entries()) {
    const { parts, termIndex } = analysis.model.columns[column]!;
    const term = analysis.model.terms[termIndex]!;
    if (parts.length === 0) continue;
    const places = term.map((name) => amounts.findIndex((amount) => amount.name === name));
    if (places.some((place) => place < 0)) {
      if (term.length > 1) return undefined; // a choice that bends the surface: there is one per level
      continue;
    }
    const estimate = analysis.coefficients[index]!.estimate;
    if (term.length === 1) b[places[0]!]! += estimate;
    else if (term.length === 2) {
      const [i, j] = places as [number, number];
      if (i === j) matrix.set(i, i, matrix.get(i, i) + estimate);
      else {
        matrix.set(i, j, matrix.get(i, j) + estimate / 2);
        matrix.set(j, i, matrix.get(j, i) + estimate / 2);
      }
    } else return undefined;
  }
  const lu = new LuDecomposition(matrix);
  if (lu.isSingular()) return undefined;
  const point = lu.solve(Matrix.columnVector(b.map((value) => -value / 2))).to1DArray();
  const natural = point.map((value, index) => (analysis.model.coded ? middle[index]! + half[index]! * value : value));
  const scaled = matrix.clone();
  if (!analysis.model.coded)
    for (let i = 0; i < half.length; i++)
      for (let j = 0; j < half.length; j++) scaled.set(i, j, scaled.get(i, j) * half[i]! * half[j]!);
  const eigenvalues = [...new EigenvalueDecomposition(scaled, { assumeSymmetric: true }).realEigenvalues].sort((x, y) => y - x);
  const largest = Math.max(...eigenvalues.map(Math.abs));
  if (!(largest > 0) || natural.some((value) => !Number.isFinite(value))) return undefined;
  const flat = eigenvalues.some((value) => Math.abs(value) < 0.02 * largest);
  const kind = flat
    ? "ridge"
    : eigenvalues.every((value) => value < 0)
      ? "highest"
      : eigenvalues.every((value) => value > 0)
        ? "lowest"
        : "saddle";
  return {
    values: Object.fromEntries(amounts.map(({ name }, index) => [name, natural[index]!])),
    inside: natural.every((value, index) => value >= amounts[index]!.low && value <= amounts[index]!.high),
    eigenvalues,
    kind,
  };
}
