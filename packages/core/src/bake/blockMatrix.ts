/**
 * Matrices of a finite-volume mesh: one block a cell on the diagonal, two blocks a face beside it. Solved directly as a band
 * (round shapes) or by GMRES behind an incomplete factorisation (boxes, whose band would be too wide).
 */
export interface BlockMatrix {
  /** Unknowns in each cell: 1 (heat) or 2 (heat and water). */
  readonly size: 1 | 2;
  readonly cellCount: number;
  readonly faceA: Int32Array;
  /** Sorted ascending. */
  readonly faceB: Int32Array;
  /** `size`² values a cell, row by row. */
  readonly diagonal: Float64Array;
  /** Row of `faceA`, column of `faceB`. */
  readonly upper: Float64Array;
  /** Row of `faceB`, column of `faceA`. */
  readonly lower: Float64Array;
}

export function makeBlockMatrix(size: 1 | 2, cellCount: number, faceA: Int32Array, faceB: Int32Array): BlockMatrix {
  const block = size * size;
  return {
    size,
    cellCount,
    faceA,
    faceB,
    diagonal: new Float64Array(block * cellCount),
    upper: new Float64Array(block * faceA.length),
    lower: new Float64Array(block * faceA.length),
  };
}

/** Solves `(shift I - M) x = b` for several b after one preparation. */
export interface ShiftedSolver {
  prepare(shift: number): void;
  /** Overwrites `b` with x. */
  solve(b: Float64Array): void;
}

/**
 * Band LU without pivoting. The matrices here are dominated by their diagonal (conservation makes every column sum up), so
 * pivoting would only cost band width; the balance check of every run would show a failure.
 */
export function bandSolver(matrix: BlockMatrix, cellBand: number): ShiftedSolver {
  return matrix.size === 1 ? scalarBand(matrix, cellBand) : pairBand(matrix, cellBand);
}

function scalarBand(matrix: BlockMatrix, m: number): ShiftedSolver {
  const { cellCount: n, faceA, faceB, diagonal, upper, lower } = matrix;
  const width = 2 * m + 1;
  const band = new Float64Array(n * width); // entry (row, column) at row * width + column - row + m
  const inverse = new Float64Array(n);
  return {
    prepare(shift) {
      band.fill(0);
      for (let c = 0; c < n; c++) band[c * width + m] = shift - diagonal[c];
      for (let f = 0; f < faceA.length; f++) {
        const gap = faceB[f] - faceA[f];
        band[faceA[f] * width + m + gap] = -upper[f];
        band[faceB[f] * width + m - gap] = -lower[f];
      }
      for (let k = 0; k < n; k++) {
        const pivotRow = k * width + m - k;
        const d = 1 / band[pivotRow + k];
        inverse[k] = d;
        const last = Math.min(k + m, n - 1);
        let i = k + 1;
        // Two rows at a time share the loads of the pivot row.
        for (; i < last; i += 2) {
          const row = i * width + m - i;
          const below = row + width - 1;
          const f = band[row + k] * d;
          const g = band[below + k] * d;
          if (f === 0 && g === 0) continue;
          band[row + k] = f;
          band[below + k] = g;
          for (let j = k + 1; j <= last; j++) {
            const u = band[pivotRow + j];
            band[row + j] -= f * u;
            band[below + j] -= g * u;
          }
        }
        if (i === last) {
          const row = i * width + m - i;
          const f = band[row + k] * d;
          band[row + k] = f;
          for (let j = k + 1; j <= last; j++) band[row + j] -= f * band[pivotRow + j];
        }
      }
    },
    solve(b) {
      for (let i = 1; i < n; i++) {
        const row = i * width + m - i;
        let sum = b[i];
        for (let j = Math.max(0, i - m); j < i; j++) sum -= band[row + j] * b[j];
        b[i] = sum;
      }
      for (let i = n - 1; i >= 0; i--) {
        const row = i * width + m - i;
        let sum = b[i];
        const last = Math.min(i + m, n - 1);
        for (let j = i + 1; j <= last; j++) sum -= band[row + j] * b[j];
        b[i] = sum * inverse[i];
      }
    },
  };
}

/**
 * The same for two unknowns a cell, by 2 x 2 blocks: two rows and two pivots at a time, because these loops are bound by loads and
 * stores and not by arithmetic. This is where a bake spends its time.
 */
function pairBand(matrix: BlockMatrix, cellBand: number): ShiftedSolver {
  const { cellCount: n, faceA, faceB, diagonal, upper, lower } = matrix;
  const width = 2 * (2 * cellBand + 1);
  // Row r of cell c begins with the columns of cell c - cellBand.
  const band = new Float64Array(2 * n * width);
  const pivot = new Float64Array(4 * n); // inverses of the factored diagonal blocks
  const put = (c: number, d: number, block: Float64Array, at: number): void => {
    const p = 2 * c * width + 2 * (d - c + cellBand);
    band[p] = -block[at];
    band[p + 1] = -block[at + 1];
    band[p + width] = -block[at + 2];
    band[p + width + 1] = -block[at + 3];
  };
  return {
    prepare(shift) {
      band.fill(0);
      for (let c = 0; c < n; c++) {
        put(c, c, diagonal, 4 * c);
        const p = 2 * c * width + 2 * cellBand;
        band[p] += shift;
        band[p + width + 1] += shift;
      }
      for (let f = 0; f < faceA.length; f++) {
        put(faceA[f], faceB[f], upper, 4 * f);
        put(faceB[f], faceA[f], lower, 4 * f);
      }
      factorPairs(band, pivot, n, cellBand);
    },
    solve(b) {
      solvePairs(band, pivot, n, cellBand, b);
    },
  };
}

function factorPairs(band: Float64Array, pivot: Float64Array, n: number, cellBand: number): void {
  const width = 2 * (2 * cellBand + 1);
  for (let c = 0; c < n; c++) {
    const p0 = 2 * c * width + 2 * cellBand;
    const p1 = p0 + width;
    const a00 = band[p0];
    const a01 = band[p0 + 1];
    const a10 = band[p1];
    const a11 = band[p1 + 1];
    const determinant = 1 / (a00 * a11 - a01 * a10);
    const i00 = a11 * determinant;
    const i01 = -a01 * determinant;
    const i10 = -a10 * determinant;
    const i11 = a00 * determinant;
    pivot[4 * c] = i00;
    pivot[4 * c + 1] = i01;
    pivot[4 * c + 2] = i10;
    pivot[4 * c + 3] = i11;
    const reach = Math.min(cellBand, n - 1 - c);
    const columns = 2 * reach + 2;
    for (let d = 1; d <= reach; d++) {
      // Column c within the rows of cell c + d.
      const q0 = 2 * (c + d) * width + 2 * (cellBand - d);
      const q1 = q0 + width;
      const b00 = band[q0];
      const b01 = band[q0 + 1];
      const b10 = band[q1];
      const b11 = band[q1 + 1];
      if (b00 === 0 && b01 === 0 && b10 === 0 && b11 === 0) continue;
      const f00 = b00 * i00 + b01 * i10;
      const f01 = b00 * i01 + b01 * i11;
      const f10 = b10 * i00 + b11 * i10;
      const f11 = b10 * i01 + b11 * i11;
      band[q0] = f00;
      band[q0 + 1] = f01;
      band[q1] = f10;
      band[q1 + 1] = f11;
      for (let j = 2; j < columns; j += 2) {
        const u0 = band[p0 + j];
        const u1 = band[p1 + j];
        const v0 = band[p0 + j + 1];
        const v1 = band[p1 + j + 1];
        band[q0 + j] -= f00 * u0 + f01 * u1;
        band[q0 + j + 1] -= f00 * v0 + f01 * v1;
        band[q1 + j] -= f10 * u0 + f11 * u1;
        band[q1 + j + 1] -= f10 * v0 + f11 * v1;
      }
    }
  }
}

function solvePairs(band: Float64Array, pivot: Float64Array, n: number, cellBand: number, b: Float64Array): void {
  const width = 2 * (2 * cellBand + 1);
  for (let c = 1; c < n; c++) {
    const reach = Math.min(cellBand, c);
    const q0 = 2 * c * width + 2 * (cellBand - reach);
    const q1 = q0 + width;
    const x = 2 * (c - reach);
    let s0 = 0;
    let s1 = 0;
    let t0 = 0;
    let t1 = 0;
    for (let j = 0; j < 2 * reach; j += 2) {
      const x0 = b[x + j];
      const x1 = b[x + j + 1];
      s0 += band[q0 + j] * x0;
      t0 += band[q0 + j + 1] * x1;
      s1 += band[q1 + j] * x0;
      t1 += band[q1 + j + 1] * x1;
    }
    b[2 * c] -= s0 + t0;
    b[2 * c + 1] -= s1 + t1;
  }
  for (let c = n - 1; c >= 0; c--) {
    const reach = Math.min(cellBand, n - 1 - c);
    const p0 = 2 * c * width + 2 * cellBand + 2;
    const p1 = p0 + width;
    const x = 2 * c + 2;
    let s0 = 0;
    let s1 = 0;
    let t0 = 0;
    let t1 = 0;
    for (let j = 0; j < 2 * reach; j += 2) {
      const x0 = b[x + j];
      const x1 = b[x + j + 1];
      s0 += band[p0 + j] * x0;
      t0 += band[p0 + j + 1] * x1;
      s1 += band[p1 + j] * x0;
      t1 += band[p1 + j + 1] * x1;
    }
    const r0 = b[2 * c] - s0 - t0;
    const r1 = b[2 * c + 1] - s1 - t1;
    b[2 * c] = pivot[4 * c] * r0 + pivot[4 * c + 1] * r1;
    b[2 * c + 1] = pivot[4 * c + 2] * r0 + pivot[4 * c + 3] * r1;
  }
}

/**
 * GMRES with an incomplete block factorisation that keeps the pattern (only the diagonal blocks change on these meshes).
 *
 * @param tolerance  residual over right-hand side; small enough that the balances still close to 1e-8
 * @throws Error when it does not converge, which would be ours to mend
 */
export function iterativeSolver(matrix: BlockMatrix, tolerance = 1e-10, iterationsMax = 150): ShiftedSolver {
  const { size, cellCount, faceA, faceB, diagonal, upper, lower } = matrix;
  const n = size * cellCount;
  const block = size * size;
  const faceCount = faceA.length;
  const pivot = new Float64Array(block * cellCount); // inverses of the factorised diagonal blocks
  const work = new Float64Array(n);
  const basis: Float64Array[] = [];
  const hessenberg: Float64Array[] = [];
  const cosine = new Float64Array(iterationsMax + 1);
  const sine = new Float64Array(iterationsMax + 1);
  const residual = new Float64Array(iterationsMax + 2);
  // Backward sweep meets faces by their lower cell, descending.
  const descending = Int32Array.from({ length: faceCount }, (_, f) => f).sort((p, q) => faceA[q] - faceA[p]);
  let shift = 1;

  const apply = (x: Float64Array, y: Float64Array): void => {
    if (size === 1) {
      for (let c = 0; c < cellCount; c++) y[c] = (shift - diagonal[c]) * x[c];
      for (let f = 0; f < faceCount; f++) {
        y[faceA[f]] -= upper[f] * x[faceB[f]];
        y[faceB[f]] -= lower[f] * x[faceA[f]];
      }
      return;
    }
    for (let c = 0; c < cellCount; c++) {
      const x0 = x[2 * c];
      const x1 = x[2 * c + 1];
      y[2 * c] = shift * x0 - diagonal[4 * c] * x0 - diagonal[4 * c + 1] * x1;
      y[2 * c + 1] = shift * x1 - diagonal[4 * c + 2] * x0 - diagonal[4 * c + 3] * x1;
    }
    for (let f = 0; f < faceCount; f++) {
      const a = 2 * faceA[f];
      const b = 2 * faceB[f];
      const g = 4 * f;
      y[a] -= upper[g] * x[b] + upper[g + 1] * x[b + 1];
      y[a + 1] -= upper[g + 2] * x[b] + upper[g + 3] * x[b + 1];
      y[b] -= lower[g] * x[a] + lower[g + 1] * x[a + 1];
      y[b + 1] -= lower[g + 2] * x[a] + lower[g + 3] * x[a + 1];
    }
  };

  // x <- ((D + L) D⁻¹ (D + U))⁻¹ x, with L and U the (negated) face blocks.
  const precondition = (x: Float64Array): void => {
    if (size === 1) {
      let f = 0;
      for (let c = 0; c < cellCount; c++) {
        for (; f < faceCount && faceB[f] === c; f++) x[c] += lower[f] * x[faceA[f]];
        x[c] *= pivot[c];
      }
      for (let s = 0; s < faceCount; s++) {
        const g = descending[s];
        x[faceA[g]] += pivot[faceA[g]] * upper[g] * x[faceB[g]];
      }
      return;
    }
    let f = 0;
    for (let c = 0; c < cellCount; c++) {
      let x0 = x[2 * c];
      let x1 = x[2 * c + 1];
      for (; f < faceCount && faceB[f] === c; f++) {
        const a = 2 * faceA[f];
        x0 += lower[4 * f] * x[a] + lower[4 * f + 1] * x[a + 1];
        x1 += lower[4 * f + 2] * x[a] + lower[4 * f + 3] * x[a + 1];
      }
      x[2 * c] = pivot[4 * c] * x0 + pivot[4 * c + 1] * x1;
      x[2 * c + 1] = pivot[4 * c + 2] * x0 + pivot[4 * c + 3] * x1;
    }
    for (let s = 0; s < faceCount; s++) {
      const g = 4 * descending[s];
      const c = faceA[descending[s]];
      const b = 2 * faceB[descending[s]];
      const y0 = upper[g] * x[b] + upper[g + 1] * x[b + 1];
      const y1 = upper[g + 2] * x[b] + upper[g + 3] * x[b + 1];
      x[2 * c] += pivot[4 * c] * y0 + pivot[4 * c + 1] * y1;
      x[2 * c + 1] += pivot[4 * c + 2] * y0 + pivot[4 * c + 3] * y1;
    }
  };

  return {
    prepare(newShift) {
      shift = newShift;
      let f = 0;
      for (let c = 0; c < cellCount; c++) {
        if (size === 1) {
          let d = shift - diagonal[c];
          for (; f < faceCount && faceB[f] === c; f++) d -= lower[f] * pivot[faceA[f]] * upper[f];
          pivot[c] = 1 / d;
          continue;
        }
        let d0 = shift - diagonal[4 * c];
        let d1 = -diagonal[4 * c + 1];
        let d2 = -diagonal[4 * c + 2];
        let d3 = shift - diagonal[4 * c + 3];
        for (; f < faceCount && faceB[f] === c; f++) {
          const g = 4 * f;
          const p = 4 * faceA[f];
          const t0 = lower[g] * pivot[p] + lower[g + 1] * pivot[p + 2];
          const t1 = lower[g] * pivot[p + 1] + lower[g + 1] * pivot[p + 3];
          const t2 = lower[g + 2] * pivot[p] + lower[g + 3] * pivot[p + 2];
          const t3 = lower[g + 2] * pivot[p + 1] + lower[g + 3] * pivot[p + 3];
          d0 -= t0 * upper[g] + t1 * upper[g + 2];
          d1 -= t0 * upper[g + 1] + t1 * upper[g + 3];
          d2 -= t2 * upper[g] + t3 * upper[g + 2];
          d3 -= t2 * upper[g + 1] + t3 * upper[g + 3];
        }
        const determinant = 1 / (d0 * d3 - d1 * d2);
        pivot[4 * c] = d3 * determinant;
        pivot[4 * c + 1] = -d1 * determinant;
        pivot[4 * c + 2] = -d2 * determinant;
        pivot[4 * c + 3] = d0 * determinant;
      }
    },
    solve(b) {
      // Right preconditioning: the residual that GMRES watches is the true one.
      let norm = 0;
      for (let i = 0; i < n; i++) norm += b[i] * b[i];
      norm = Math.sqrt(norm);
      if (norm === 0) return;
      const first = vectorOf(basis, 0, n);
      for (let i = 0; i < n; i++) first[i] = b[i] / norm;
      residual.fill(0);
      residual[0] = norm;
      let used = 0;
      for (let it = 0; it < iterationsMax; it++) {
        work.set(basis[it]);
        precondition(work);
        const next = vectorOf(basis, it + 1, n);
        apply(work, next);
        const h = vectorOf(hessenberg, it, iterationsMax + 2);
        for (let j = 0; j <= it; j++) {
          const v = basis[j];
          let dot = 0;
          for (let i = 0; i < n; i++) dot += v[i] * next[i];
          h[j] = dot;
          for (let i = 0; i < n; i++) next[i] -= dot * v[i];
        }
        let length = 0;
        for (let i = 0; i < n; i++) length += next[i] * next[i];
        length = Math.sqrt(length);
        if (length > 0) for (let i = 0; i < n; i++) next[i] /= length;
        for (let j = 0; j < it; j++) {
          const upperPart = cosine[j] * h[j] + sine[j] * h[j + 1];
          h[j + 1] = -sine[j] * h[j] + cosine[j] * h[j + 1];
          h[j] = upperPart;
        }
        const size2 = Math.hypot(h[it], length);
        cosine[it] = h[it] / size2;
        sine[it] = length / size2;
        h[it] = size2;
        residual[it + 1] = -sine[it] * residual[it];
        residual[it] *= cosine[it];
        used = it + 1;
        if (Math.abs(residual[it + 1]) <= tolerance * norm || length === 0) break;
        if (it + 1 === iterationsMax) throw new Error(`iterativeSolver: no convergence in ${iterationsMax} iterations`);
      }
      for (let i = used - 1; i >= 0; i--) {
        let sum = residual[i];
        for (let j = i + 1; j < used; j++) sum -= hessenberg[j][i] * residual[j];
        residual[i] = sum / hessenberg[i][i];
      }
      b.fill(0);
      for (let j = 0; j < used; j++) {
        const v = basis[j];
        const weight = residual[j];
        for (let i = 0; i < n; i++) b[i] += weight * v[i];
      }
      precondition(b);
    },
  };
}

function vectorOf(list: Float64Array[], index: number, length: number): Float64Array {
  list[index] ??= new Float64Array(length);
  return list[index];
}
