import { combinations } from "./model.js";

/** A design as rows of coded settings, -1 to +1, one column per factor. */
export type CodedDesign = readonly (readonly number[])[];

/** Every combination of low (-1) and high (+1), the first factor changing fastest. `factorCount` 1 to 16. */
export function twoLevelFactorial(factorCount: number): number[][] {
  if (!(Number.isInteger(factorCount) && factorCount >= 1 && factorCount <= 16)) {
    throw new RangeError(`twoLevelFactorial: ${factorCount} factors; 1 to 16 are possible`);
  }
  return Array.from({ length: 2 ** factorCount }, (_, run) =>
    Array.from({ length: factorCount }, (_, factor) => ((run >> factor) & 1 ? 1 : -1)),
  );
}

/** Every combination of the given levels, the first factor changing fastest. */
export function crossed<T>(lists: readonly (readonly T[])[]): T[][] {
  let rows: T[][] = [[]];
  for (const list of [...lists].reverse()) rows = rows.flatMap((row) => list.map((value) => [value, ...row]));
  // The loop above varies the last list fastest; turn round so that the first does.
  const counts = lists.map((list) => list.length);
  return rows
    .map((row, index) => ({ row, rank: firstFastest(index, counts) }))
    .sort((a, b) => a.rank - b.rank)
    .map(({ row }) => row);
}

function firstFastest(index: number, counts: readonly number[]): number {
  let rest = index;
  const digits: number[] = [];
  for (const count of [...counts].reverse()) {
    digits.unshift(rest % count);
    rest = Math.floor(rest / count);
  }
  let rank = 0;
  for (let place = counts.length - 1; place >= 0; place--) rank = rank * counts[place]! + digits[place]!;
  return rank;
}

/** A set of factors as a bit mask: factor 0 is bit 0. A word of the defining relation, or an effect. */
export type Word = number;

/** A two-level fraction and what it cannot tell apart. */
export interface Fraction {
  readonly runs: number[][];
  /** For each added factor, the product of basic factors that sets it: `{ factor: 4, product: 0b0111 }`. */
  readonly generators: readonly { readonly factor: number; readonly product: Word }[];
  /** Products of factors that are constant over the runs, without the empty one. */
  readonly definingWords: readonly Word[];
  /** Length of the shortest defining word; Infinity for a full factorial. */
  readonly resolution: number;
}

/**
 * A fraction of a two-level factorial.
 *
 * @param factorCount  2 to 16
 * @param generators   one bit mask per added factor, over the basic factors, which come first; a mask of at least two factors.
 *                     The number of runs is 2 to the power of the basic factors.
 * @throws RangeError for a generator that is not a product of basic factors
 */
export function fractionalFactorial(factorCount: number, generators: readonly Word[]): Fraction {
  const basicCount = factorCount - generators.length;
  if (!(basicCount >= 1 && factorCount <= 16))
    throw new RangeError(`fractionalFactorial: ${factorCount} factors with ${generators.length} generators`);
  for (const product of generators) {
    if (!(product > 0 && product < 2 ** basicCount && bitCount(product) >= 2)) {
      throw new RangeError(
        `fractionalFactorial: generator ${product} is not a product of at least two of the ${basicCount} basic factors`,
      );
    }
  }
  const runs = twoLevelFactorial(basicCount).map((row) => [...row, ...generators.map((product) => signOf(row, product))]);
  const words = generators.map((product, index) => product | (1 << (basicCount + index)));
  const definingWords = Array.from({ length: 2 ** words.length - 1 }, (_, index) => {
    let word = 0;
    for (const [place, generator] of words.entries()) if (((index + 1) >> place) & 1) word ^= generator;
    return word;
  });
  return {
    runs,
    generators: generators.map((product, index) => ({ factor: basicCount + index, product })),
    definingWords,
    resolution: definingWords.length === 0 ? Number.POSITIVE_INFINITY : Math.min(...definingWords.map(bitCount)),
  };
}

/**
 * The fraction with the fewest short defining words among all that fit (minimum aberration: Fries and Hunter 1980,
 * Technometrics 22, 601), found by trying every set of generators.
 *
 * @param runCount  a power of two, at least `factorCount + 1`
 */
export function bestFraction(factorCount: number, runCount: number): Fraction {
  const basicCount = Math.log2(runCount);
  if (!Number.isInteger(basicCount) || runCount <= factorCount) {
    throw new RangeError(
      `bestFraction: ${runCount} runs for ${factorCount} factors; a power of two above the number of factors is needed`,
    );
  }
  if (factorCount <= basicCount) {
    return { runs: twoLevelFactorial(factorCount), generators: [], definingWords: [], resolution: Number.POSITIVE_INFINITY };
  }
  const added = factorCount - basicCount;
  const products = Array.from({ length: runCount }, (_, word) => word).filter((word) => bitCount(word) >= 2);
  // Longer products first, so that a good fraction is met early and the rest is compared with it.
  products.sort((a, b) => bitCount(b) - bitCount(a) || a - b);
  let best: { pattern: number[]; generators: Word[] } | undefined;
  let tried = 0;
  const visit = (start: number, chosen: Word[], words: readonly Word[]): void => {
    if (tried > 300_000) return; // beyond a hundred factors-and-runs the best seen is taken; within the tables below all are tried
    if (chosen.length === added) {
      tried++;
      const pattern = new Array<number>(factorCount + 1).fill(0);
      for (const word of words) if (word !== 0) pattern[bitCount(word)]!++;
      if (best === undefined || comparePatterns(pattern, best.pattern) < 0) best = { pattern, generators: [...chosen] };
      return;
    }
    for (let index = start; index < products.length; index++) {
      const word = products[index]! | (1 << (basicCount + chosen.length));
      visit(index + 1, [...chosen, products[index]!], [...words, ...words.map((other) => other ^ word)]);
    }
  };
  visit(0, [], [0]);
  return fractionalFactorial(factorCount, best!.generators);
}

function comparePatterns(a: readonly number[], b: readonly number[]): number {
  for (let length = 1; length < a.length; length++) if (a[length] !== b[length]) return a[length]! - b[length]!;
  return 0;
}

/** Groups of effects, up to `order` factors each, that the runs cannot tell apart. Effects that stand alone are left out. */
export function aliasGroups(fraction: Fraction, factorCount: number, order = 2): Word[][] {
  const effects: Word[] = [];
  for (let size = 1; size <= order; size++) {
    for (const chosen of combinations([...Array(factorCount).keys()], size))
      effects.push(chosen.reduce((word, factor) => word | (1 << factor), 0));
  }
  const seen = new Set<Word>();
  const groups: Word[][] = [];
  for (const effect of effects) {
    if (seen.has(effect)) continue;
    const mates = fraction.definingWords.map((word) => word ^ effect).filter((word) => effects.includes(word));
    const group = [effect, ...mates].sort((a, b) => bitCount(a) - bitCount(b) || a - b);
    for (const word of group) seen.add(word);
    if (group.length > 1) groups.push(group);
  }
  return groups;
}

/** A word as factor names: `["egg", "oven"]` of 0b101. */
export const wordNames = (word: Word, names: readonly string[]): string[] => names.filter((_, factor) => (word >> factor) & 1);

const signOf = (row: readonly number[], product: Word): number =>
  row.reduce((sign, value, factor) => ((product >> factor) & 1 ? sign * value : sign), 1);

export function bitCount(word: number): number {
  let count = 0;
  for (let rest = word; rest !== 0; rest &= rest - 1) count++;
  return count;
}
