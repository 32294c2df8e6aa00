import {
  add,
  type DoubleDoubleColumn,
  divide,
  dot,
  multiply,
  newColumn,
  pair,
  squareRoot,
  subtractScaled,
} from "./doubleDouble.js";

/** Orthogonal columns of a model matrix, and what is needed to go back to its coefficients. */
export interface Orthogonal {
  /** Number of rows (runs). */
  readonly rowCount: number;
  /** Columns kept, in their order; a column that earlier ones already hold is left out. */
  readonly kept: readonly number[];
  /** Columns left out. */
  readonly aliased: readonly number[];
  /** Orthonormal columns, one per kept column. */
  readonly q: readonly DoubleDoubleColumn[];
  /** Upper triangle R: `r[j][i]` for i <= j, as leading part and rest. */
  readonly r: readonly DoubleDoubleColumn[];
  /** Upper triangle of the inverse of R, same layout. */
  readonly inverse: readonly DoubleDoubleColumn[];
}

/** A column shorter than this share of itself, once the earlier ones are taken out, says nothing new. */
const ALIAS_SHARE = 1e-11;

/**
 * QR factors of a model matrix by modified Gram-Schmidt, every operation in double-double arithmetic (about 31 digits).
 *
 * Plain doubles lose as many digits as the columns are alike: the powers of the NIST set Filip lose all of them. With 31 digits
 * the answer is as good as the data, for a cost that does not matter at the size of a baker's trial.
 * Sources: Björck (1967), BIT 7, 1, for Gram-Schmidt as a least-squares method; Dekker (1971) for the arithmetic.
 *
 * @param columns  model columns, each `rowCount` long; not changed
 */
export function orthogonalise(columns: readonly DoubleDoubleColumn[], rowCount: number): Orthogonal {
  const out = pair();
  const kept: number[] = [];
  const aliased: number[] = [];
  const q: DoubleDoubleColumn[] = [];
  const r: DoubleDoubleColumn[] = [];
  for (const [index, column] of columns.entries()) {
    const work: DoubleDoubleColumn = { high: column.high.slice(), low: column.low.slice() };
    dot(work, work, out);
    const before = Math.sqrt(out[0]!);
    const triangle = newColumn(q.length + 1);
    for (let earlier = 0; earlier < q.length; earlier++) {
      dot(q[earlier]!, work, out);
      const [high, low] = [out[0]!, out[1]!];
      triangle.high[earlier] = high;
      triangle.low[earlier] = low;
      subtractScaled(work, high, low, q[earlier]!);
    }
    dot(work, work, out);
    squareRoot(out[0]!, out[1]!, out);
    const [lengthHigh, lengthLow] = [out[0]!, out[1]!];
    if (q.length === rowCount || !(lengthHigh > ALIAS_SHARE * before)) {
      aliased.push(index);
      continue;
    }
    triangle.high[q.length] = lengthHigh;
    triangle.low[q.length] = lengthLow;
    for (let row = 0; row < rowCount; row++) {
      divide(work.high[row]!, work.low[row]!, lengthHigh, lengthLow, out);
      work.high[row] = out[0]!;
      work.low[row] = out[1]!;
    }
    q.push(work);
    r.push(triangle);
    kept.push(index);
  }
  return { rowCount, kept, aliased, q, r, inverse: invertUpper(r) };
}

function invertUpper(r: readonly DoubleDoubleColumn[]): DoubleDoubleColumn[] {
  const out = pair();
  const sum = pair();
  const inverse: DoubleDoubleColumn[] = [];
  for (let column = 0; column < r.length; column++) {
    const answer = newColumn(column + 1);
    divide(1, 0, r[column]!.high[column]!, r[column]!.low[column]!, out);
    answer.high[column] = out[0]!;
    answer.low[column] = out[1]!;
    for (let row = column - 1; row >= 0; row--) {
      sum[0] = 0;
      sum[1] = 0;
      for (let k = row + 1; k <= column; k++) {
        multiply(r[k]!.high[row]!, r[k]!.low[row]!, answer.high[k]!, answer.low[k]!, out);
        add(sum[0]!, sum[1]!, out[0]!, out[1]!, sum);
      }
      divide(-sum[0]!, -sum[1]!, r[row]!.high[row]!, r[row]!.low[row]!, out);
      answer.high[row] = out[0]!;
      answer.low[row] = out[1]!;
    }
    inverse.push(answer);
  }
  return inverse;
}

/** What least squares says about one response. */
export interface Projection {
  /** One per kept column. */
  readonly coefficients: Float64Array;
  /** Q'y: the square of each is the sum of squares that its column adds to the earlier ones. */
  readonly effects: Float64Array;
  readonly fitted: Float64Array;
  readonly residuals: Float64Array;
  readonly residualSquares: number;
}

/** Least-squares fit of `response` (one per row) on the columns. */
export function project(model: Orthogonal, response: ArrayLike<number>): Projection {
  const { q, inverse, rowCount } = model;
  const out = pair();
  const work = newColumn(rowCount);
  for (let row = 0; row < rowCount; row++) work.high[row] = response[row]!;
  const effects = newColumn(q.length);
  for (let index = 0; index < q.length; index++) {
    dot(q[index]!, work, out);
    const [high, low] = [out[0]!, out[1]!];
    effects.high[index] = high;
    effects.low[index] = low;
    subtractScaled(work, high, low, q[index]!);
  }
  const coefficients = new Float64Array(q.length);
  const sum = pair();
  for (let row = 0; row < q.length; row++) {
    sum[0] = 0;
    sum[1] = 0;
    for (let column = row; column < q.length; column++) {
      multiply(inverse[column]!.high[row]!, inverse[column]!.low[row]!, effects.high[column]!, effects.low[column]!, out);
      add(sum[0]!, sum[1]!, out[0]!, out[1]!, sum);
    }
    coefficients[row] = sum[0]!;
  }
  dot(work, work, out);
  const fitted = new Float64Array(rowCount);
  for (let row = 0; row < rowCount; row++) fitted[row] = response[row]! - work.high[row]!;
  return { coefficients, effects: effects.high, fitted, residuals: work.high, residualSquares: out[0]! };
}

/** Unscaled covariance of the coefficients, inverse(X'X), as rows. */
export function unscaledCovariance({ inverse }: Orthogonal): Float64Array[] {
  const size = inverse.length;
  const out = pair();
  const sum = pair();
  const rows = Array.from({ length: size }, () => new Float64Array(size));
  for (let i = 0; i < size; i++) {
    for (let j = i; j < size; j++) {
      sum[0] = 0;
      sum[1] = 0;
      for (let k = j; k < size; k++) {
        multiply(inverse[k]!.high[i]!, inverse[k]!.low[i]!, inverse[k]!.high[j]!, inverse[k]!.low[j]!, out);
        add(sum[0]!, sum[1]!, out[0]!, out[1]!, sum);
      }
      rows[i]![j] = sum[0]!;
      rows[j]![i] = sum[0]!;
    }
  }
  return rows;
}

/** Leverage of each run: the diagonal of X inverse(X'X) X', 0 to 1. */
export function leverages({ q, rowCount }: Orthogonal): Float64Array {
  const answer = new Float64Array(rowCount);
  for (const column of q) for (let row = 0; row < rowCount; row++) answer[row]! += column.high[row]! ** 2;
  return answer.map((h) => Math.min(1, h));
}

/** ln det(X'X) of the kept columns. */
export const logDeterminant = ({ r }: Orthogonal): number =>
  r.reduce((sum, column, index) => sum + 2 * Math.log(column.high[index]!), 0);

/**
 * Coordinates of a model row (kept columns only) in the orthonormal columns: their products with the effects add to the
 * prediction, and their squares to its unscaled variance. Small and large terms of high powers cancel here with 31 digits.
 */
export function orthogonalRow({ inverse }: Orthogonal, row: DoubleDoubleColumn): Float64Array {
  const answer = new Float64Array(inverse.length);
  const out = pair();
  const sum = pair();
  for (let column = 0; column < inverse.length; column++) {
    sum[0] = 0;
    sum[1] = 0;
    for (let k = 0; k <= column; k++) {
      multiply(row.high[k]!, row.low[k]!, inverse[column]!.high[k]!, inverse[column]!.low[k]!, out);
      add(sum[0]!, sum[1]!, out[0]!, out[1]!, sum);
    }
    answer[column] = sum[0]!;
  }
  return answer;
}
