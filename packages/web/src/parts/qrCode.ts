// QR codes for the addresses of a tasting, by ISO/IEC 18004: bytes only, error correction M, up to version 10 (213 bytes).

/** For versions 1 to 10 at level M: correction bytes in each block, and blocks as [how many, data bytes in each]. Table 9 of the standard. */
const LEVEL_M: readonly (readonly [number, readonly (readonly [number, number])[]])[] = [
  [10, [[1, 16]]],
  [16, [[1, 28]]],
  [26, [[1, 44]]],
  [18, [[2, 32]]],
  [24, [[2, 43]]],
  [16, [[4, 27]]],
  [18, [[4, 31]]],
  [
    22,
    [
      [2, 38],
      [2, 39],
    ],
  ],
  [
    22,
    [
      [3, 36],
      [2, 37],
    ],
  ],
  [
    26,
    [
      [4, 43],
      [1, 44],
    ],
  ],
];

/** Centres of the alignment patterns, both ways. Annex E of the standard. */
const ALIGNED: readonly (readonly number[])[] = [
  [],
  [6, 18],
  [6, 22],
  [6, 26],
  [6, 30],
  [6, 34],
  [6, 22, 38],
  [6, 24, 42],
  [6, 26, 46],
  [6, 28, 50],
];

const MASKS: readonly ((row: number, column: number) => boolean)[] = [
  (r, c) => (r + c) % 2 === 0,
  (r) => r % 2 === 0,
  (_, c) => c % 3 === 0,
  (r, c) => (r + c) % 3 === 0,
  (r, c) => (Math.floor(r / 2) + Math.floor(c / 3)) % 2 === 0,
  (r, c) => ((r * c) % 2) + ((r * c) % 3) === 0,
  (r, c) => (((r * c) % 2) + ((r * c) % 3)) % 2 === 0,
  (r, c) => (((r + c) % 2) + ((r * c) % 3)) % 2 === 0,
];

/** Dark (true) and light modules, row by row, without the quiet zone of four modules that belongs around them. */
export type QrCode = readonly (readonly boolean[])[];

/** @throws RangeError when the text is longer than 213 bytes */
export function qrCode(text: string): QrCode {
  const bytes = new TextEncoder().encode(text);
  const version = LEVEL_M.findIndex((_, index) => bytes.length <= capacity(index + 1)) + 1;
  if (version === 0) throw new RangeError(`qrCode: ${bytes.length} bytes; at most ${capacity(LEVEL_M.length)}`);
  const codewords = interleaved(dataWords(bytes, version), version);
  let best: QrCode | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const mask of MASKS.keys()) {
    const drawn = draw(codewords, version, mask);
    const penalty = penaltyOf(drawn);
    if (penalty < least) [best, least] = [drawn, penalty];
  }
  return best!;
}

/** The dark modules as the path of a drawing, with the quiet zone of four around them. */
export const qrPath = (modules: QrCode): string =>
  modules.flatMap((row, y) => row.flatMap((dark, x) => (dark ? [`M${x + 4} ${y + 4}h1v1h-1z`] : []))).join("");

const dataCount = (version: number): number => LEVEL_M[version - 1]![1].reduce((sum, [count, each]) => sum + count * each, 0);
/** Bytes of text that fit: mode (4 bits) and length (8, from version 10 on 16 bits) come first. */
const capacity = (version: number): number => dataCount(version) - (version < 10 ? 2 : 3);

function dataWords(bytes: Uint8Array, version: number): Uint8Array {
  const bits: number[] = [];
  const push = (value: number, length: number) => {
    for (let at = length - 1; at >= 0; at--) bits.push((value >> at) & 1);
  };
  push(0b0100, 4); // bytes
  push(bytes.length, version < 10 ? 8 : 16);
  for (const byte of bytes) push(byte, 8);
  const count = dataCount(version);
  push(0, Math.min(4, 8 * count - bits.length));
  while (bits.length % 8 !== 0) bits.push(0);
  const words = new Uint8Array(count);
  for (let at = 0; at < bits.length; at++) words[at >> 3]! |= bits[at]! << (7 - (at & 7));
  for (let at = bits.length / 8, pad = 0xec; at < count; at++, pad ^= 0xec ^ 0x11) words[at] = pad;
  return words;
}

/** Data in blocks with their correction bytes, taken in turns. */
function interleaved(data: Uint8Array, version: number): number[] {
  const [correction, groups] = LEVEL_M[version - 1]!;
  const blocks: Uint8Array[] = [];
  let from = 0;
  for (const [count, each] of groups)
    for (let block = 0; block < count; block++) {
      blocks.push(data.subarray(from, from + each));
      from += each;
    }
  const generator = generatorOf(correction);
  const checks = blocks.map((block) => remainder(block, generator));
  const longest = Math.max(...blocks.map((block) => block.length));
  const out: number[] = [];
  for (let at = 0; at < longest; at++) for (const block of blocks) if (at < block.length) out.push(block[at]!);
  for (let at = 0; at < correction; at++) for (const check of checks) out.push(check[at]!);
  return out;
}

/** Product in the field of 256 elements, with x^8 + x^4 + x^3 + x^2 + 1. */
function times(a: number, b: number): number {
  let product = 0;
  for (let at = 7; at >= 0; at--) {
    product = (product << 1) ^ ((product >> 7) * 0x11d);
    product ^= ((b >> at) & 1) * a;
  }
  return product;
}

/** Coefficients of (x - 1)(x - 2)(x - 4)... of that degree, the leading one left out. */
function generatorOf(degree: number): Uint8Array {
  const out = new Uint8Array(degree);
  out[degree - 1] = 1;
  let root = 1;
  for (let turn = 0; turn < degree; turn++) {
    for (let at = 0; at < degree; at++) {
      out[at] = times(out[at]!, root);
      if (at + 1 < degree) out[at]! ^= out[at + 1]!;
    }
    root = times(root, 2);
  }
  return out;
}

function remainder(data: Uint8Array, generator: Uint8Array): Uint8Array {
  const out = new Uint8Array(generator.length);
  for (const byte of data) {
    const factor = byte ^ out[0]!;
    out.copyWithin(0, 1);
    out[out.length - 1] = 0;
    for (const [at, coefficient] of generator.entries()) out[at]! ^= times(coefficient, factor);
  }
  return out;
}

function draw(codewords: readonly number[], version: number, mask: number): boolean[][] {
  const size = 4 * version + 17;
  const dark = Array.from({ length: size }, () => new Array<boolean>(size).fill(false));
  const fixed = Array.from({ length: size }, () => new Array<boolean>(size).fill(false));
  const set = (row: number, column: number, value: boolean) => {
    if (row < 0 || column < 0 || row >= size || column >= size) return;
    dark[row]![column] = value;
    fixed[row]![column] = true;
  };
  for (let at = 0; at < size; at++) {
    set(6, at, at % 2 === 0);
    set(at, 6, at % 2 === 0);
  }
  for (const [row, column] of [
    [3, 3],
    [3, size - 4],
    [size - 4, 3],
  ] as const)
    for (let dr = -4; dr <= 4; dr++)
      for (let dc = -4; dc <= 4; dc++) {
        const ring = Math.max(Math.abs(dr), Math.abs(dc));
        set(row + dr, column + dc, ring !== 2 && ring !== 4);
      }
  const centres = ALIGNED[version - 1]!;
  const last = centres.length - 1;
  for (const [i, row] of centres.entries())
    for (const [j, column] of centres.entries()) {
      if ((i === 0 && j === 0) || (i === 0 && j === last) || (i === last && j === 0)) continue; // a finder is there
      for (let dr = -2; dr <= 2; dr++)
        for (let dc = -2; dc <= 2; dc++) set(row + dr, column + dc, Math.max(Math.abs(dr), Math.abs(dc)) !== 1);
    }
  drawFormat(set, size, mask);
  if (version >= 7) drawVersion(set, size, version);
  let at = 0;
  for (let right = size - 1; right >= 1; right -= 2) {
    if (right === 6) right = 5; // the timing column is stepped over
    for (let turn = 0; turn < size; turn++) {
      const row = ((right + 1) & 2) === 0 ? size - 1 - turn : turn;
      for (const column of [right, right - 1]) {
        if (fixed[row]![column]) continue;
        const bit = at < codewords.length * 8 ? (codewords[at >> 3]! >> (7 - (at & 7))) & 1 : 0;
        at++;
        dark[row]![column] = (bit === 1) !== MASKS[mask]!(row, column);
      }
    }
  }
  return dark;
}

/** Level and mask, with their BCH code, twice. */
function drawFormat(set: (row: number, column: number, value: boolean) => void, size: number, mask: number): void {
  const data = mask; // level M is 00
  let rest = data;
  for (let turn = 0; turn < 10; turn++) rest = (rest << 1) ^ ((rest >> 9) * 0x537);
  const bits = ((data << 10) | rest) ^ 0x5412;
  const bit = (at: number) => ((bits >> at) & 1) === 1;
  for (let at = 0; at <= 5; at++) set(at, 8, bit(at));
  set(7, 8, bit(6));
  set(8, 8, bit(7));
  set(8, 7, bit(8));
  for (let at = 9; at < 15; at++) set(8, 14 - at, bit(at));
  for (let at = 0; at < 8; at++) set(8, size - 1 - at, bit(at));
  for (let at = 8; at < 15; at++) set(size - 15 + at, 8, bit(at));
  set(size - 8, 8, true);
}

function drawVersion(set: (row: number, column: number, value: boolean) => void, size: number, version: number): void {
  let rest = version;
  for (let turn = 0; turn < 12; turn++) rest = (rest << 1) ^ ((rest >> 11) * 0x1f25);
  const bits = (version << 12) | rest;
  for (let at = 0; at < 18; at++) {
    const value = ((bits >> at) & 1) === 1;
    const [far, near] = [size - 11 + (at % 3), Math.floor(at / 3)];
    set(near, far, value);
    set(far, near, value);
  }
}

/** How hard a pattern is to read, by the four rules of the standard: runs, blocks, what looks like a finder, and imbalance. */
function penaltyOf(dark: QrCode): number {
  const size = dark.length;
  const lines = [...dark, ...Array.from({ length: size }, (_, column) => dark.map((row) => row[column]!))];
  let penalty = 0;
  let total = 0;
  for (const line of lines) {
    let run = 1;
    for (let at = 1; at <= size; at++) {
      if (at < size && line[at] === line[at - 1]) run++;
      else {
        if (run >= 5) penalty += run - 2;
        run = 1;
      }
    }
    const text = line.map((value) => (value ? "1" : "0")).join("");
    for (const pattern of ["10111010000", "00001011101"])
      for (let at = text.indexOf(pattern); at >= 0; at = text.indexOf(pattern, at + 1)) penalty += 40;
  }
  for (let row = 0; row < size; row++)
    for (let column = 0; column < size; column++) {
      if (dark[row]![column]) total++;
      if (row + 1 === size || column + 1 === size) continue;
      const value = dark[row]![column];
      if (value === dark[row]![column + 1] && value === dark[row + 1]![column] && value === dark[row + 1]![column + 1])
        penalty += 3;
    }
  return penalty + 10 * Math.floor(Math.abs((100 * total) / (size * size) - 50) / 5);
}
