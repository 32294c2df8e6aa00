// Numbers carried as an unevaluated sum of two doubles: about 31 significant digits.
// Source: Dekker (1971), Numer. Math. 18, 224; Knuth, The Art of Computer Programming 2, 4.2.2 (the error-free sum).
// Results go into a two-place array handed in by the caller, because making objects in inner loops is slow.

/** Room for one result: [leading part, rest]. */
export type Pair = Float64Array;
export const pair = (): Pair => new Float64Array(2);

const SPLITTER = 134217729; // 2^27 + 1

/** A column of numbers, each as leading part and rest. */
export interface DoubleDoubleColumn {
  readonly high: Float64Array;
  readonly low: Float64Array;
}

export const newColumn = (length: number): DoubleDoubleColumn => ({
  high: new Float64Array(length),
  low: new Float64Array(length),
});

/** out = (ah + al) * (bh + bl) */
export function multiply(ah: number, al: number, bh: number, bl: number, out: Pair): void {
  const product = ah * bh;
  const a1 = SPLITTER * ah - (SPLITTER * ah - ah);
  const a2 = ah - a1;
  const b1 = SPLITTER * bh - (SPLITTER * bh - bh);
  const b2 = bh - b1;
  const rest = a1 * b1 - product + a1 * b2 + a2 * b1 + a2 * b2 + (ah * bl + al * bh);
  out[0] = product + rest;
  out[1] = rest - (out[0] - product);
}

/** out = (ah + al) + (bh + bl) */
export function add(ah: number, al: number, bh: number, bl: number, out: Pair): void {
  const sum = ah + bh;
  const part = sum - ah;
  const error = ah - (sum - part) + (bh - part);
  const rest = error + al + bl;
  out[0] = sum + rest;
  out[1] = rest - (out[0] - sum);
}

/** out = (ah + al) / (bh + bl) */
export function divide(ah: number, al: number, bh: number, bl: number, out: Pair): void {
  const first = ah / bh;
  multiply(first, 0, bh, bl, out);
  add(ah, al, -out[0]!, -out[1]!, out);
  const second = (out[0]! + out[1]!) / bh;
  multiply(second, 0, bh, bl, SCRATCH);
  add(out[0]!, out[1]!, -SCRATCH[0]!, -SCRATCH[1]!, out);
  const third = out[0]! / bh;
  add(first, 0, second, 0, out);
  add(out[0]!, out[1]!, third, 0, out);
}
const SCRATCH = pair();

/** out = sqrt(ah + al), ah >= 0 */
export function squareRoot(ah: number, al: number, out: Pair): void {
  if (ah <= 0) {
    out[0] = 0;
    out[1] = 0;
    return;
  }
  const root = Math.sqrt(ah);
  multiply(root, 0, root, 0, out);
  add(ah, al, -out[0]!, -out[1]!, out);
  add(root, 0, out[0]! / (2 * root), 0, out);
}

/** out = sum of a_i b_i */
export function dot(a: DoubleDoubleColumn, b: DoubleDoubleColumn, out: Pair): void {
  let high = 0;
  let low = 0;
  const { high: ahs, low: als } = a;
  const { high: bhs, low: bls } = b;
  for (let index = 0; index < ahs.length; index++) {
    const ah = ahs[index]!;
    const bh = bhs[index]!;
    const product = ah * bh;
    const a1 = SPLITTER * ah - (SPLITTER * ah - ah);
    const a2 = ah - a1;
    const b1 = SPLITTER * bh - (SPLITTER * bh - bh);
    const b2 = bh - b1;
    const rest = a1 * b1 - product + a1 * b2 + a2 * b1 + a2 * b2 + (ah * bls[index]! + als[index]! * bh);
    const sum = high + product;
    const part = sum - high;
    const error = high - (sum - part) + (product - part) + rest + low;
    high = sum + error;
    low = error - (high - sum);
  }
  out[0] = high;
  out[1] = low;
}

/** y -= c x, in place */
export function subtractScaled(y: DoubleDoubleColumn, ch: number, cl: number, x: DoubleDoubleColumn): void {
  const { high: yhs, low: yls } = y;
  const { high: xhs, low: xls } = x;
  const c1 = SPLITTER * ch - (SPLITTER * ch - ch);
  const c2 = ch - c1;
  for (let index = 0; index < yhs.length; index++) {
    const xh = xhs[index]!;
    const product = ch * xh;
    const x1 = SPLITTER * xh - (SPLITTER * xh - xh);
    const x2 = xh - x1;
    const rest = c1 * x1 - product + c1 * x2 + c2 * x1 + c2 * x2 + (ch * xls[index]! + cl * xh);
    const yh = yhs[index]!;
    const sum = yh - product;
    const part = sum - yh;
    const error = yh - (sum - part) + (-product - part) - rest + yls[index]!;
    const high = sum + error;
    yhs[index] = high;
    yls[index] = error - (high - sum);
  }
}
