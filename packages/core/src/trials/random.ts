/** A stream of pseudo-random numbers that only its seed decides. It has a state, so one stream belongs to one caller. */
export interface Random {
  /** Unsigned 32-bit integer, 0 to 4 294 967 295. */
  nextUint32(): number;
  /** Uniform on [0, 1), 53 bits. */
  uniform(): number;
  /** Uniform whole number from 0 to `count - 1`; no modulo bias. */
  below(count: number): number;
  /** Standard normal deviate (mean 0, standard deviation 1). */
  normal(): number;
  /** A new list in random order (Fisher-Yates); the given list stays as it is. */
  shuffled<T>(list: readonly T[]): T[];
}

/**
 * The xoshiro128++ generator, seeded from one whole number, so that a run order can be drawn again from the seed on its sheet.
 *
 * @param seed  whole number from 0 to 4 294 967 295
 * @throws RangeError for anything else
 *
 * Source: Blackman and Vigna (2021), ACM Trans. Math. Softw. 47, 36, doi:10.1145/3460772. The seed is spread over the
 * state by SplitMix-like mixing (Steele, Lea and Flood 2014, here with the 32-bit finaliser of MurmurHash3).
 */
export function createRandom(seed: number): Random {
  if (!(Number.isInteger(seed) && seed >= 0 && seed <= 0xffffffff)) {
    throw new RangeError(`createRandom: the seed ${seed} is not a whole number from 0 to 4294967295`);
  }
  let counter = seed >>> 0;
  const word = (): number => {
    counter = (counter + 0x9e3779b9) >>> 0;
    let mixed = counter;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  return randomFromState([word(), word(), word(), word()]);
}

/** The generator from its four state words, not all zero; for the reference sequence. */
export function randomFromState(words: readonly [number, number, number, number]): Random {
  let [a, b, c, d] = words;
  if ((a | b | c | d) === 0) d = 1; // the all-zero state would stay zero for ever
  let spare = Number.NaN;
  const nextUint32 = (): number => {
    const sum = (a + d) | 0;
    const result = (((sum << 7) | (sum >>> 25)) + a) | 0;
    const shifted = b << 9;
    c ^= a;
    d ^= b;
    b ^= c;
    a ^= d;
    c ^= shifted;
    d = (d << 11) | (d >>> 21);
    return result >>> 0;
  };
  const uniform = (): number => ((nextUint32() >>> 5) * 67108864 + (nextUint32() >>> 6)) / 9007199254740992;
  const below = (count: number): number => {
    if (!(Number.isInteger(count) && count > 0 && count <= 0xffffffff)) {
      throw new RangeError(`below: ${count} is not a whole number above 0`);
    }
    const limit = Math.floor(0x100000000 / count) * count;
    let drawn = nextUint32();
    while (drawn >= limit) drawn = nextUint32();
    return drawn % count;
  };
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    // Marsaglia's polar method (Marsaglia and Bray 1964, SIAM Review 6, 260).
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const square = x * x + y * y;
      if (square > 0 && square < 1) {
        const scale = Math.sqrt((-2 * Math.log(square)) / square);
        spare = y * scale;
        return x * scale;
      }
    }
  };
  const shuffled = <T>(list: readonly T[]): T[] => {
    const copy = [...list];
    for (let index = copy.length - 1; index > 0; index--) {
      const other = below(index + 1);
      const held = copy[index] as T;
      copy[index] = copy[other] as T;
      copy[other] = held;
    }
    return copy;
  };
  return { nextUint32, uniform, below, normal, shuffled };
}
