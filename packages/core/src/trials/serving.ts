import type { DiscriminationMethod } from "./discrimination.js";
import { createRandom, type Random } from "./random.js";

/**
 * Orders of serving in which each product comes equally often in each place and after each other product.
 *
 * @param productCount  2 to 26
 * @returns  rows of product indices: as many rows as products when their number is even, twice as many when it is odd
 *
 * Source: Williams (1949), Aust. J. Sci. Res. A 2, 149; for tasting, MacFie and others (1989), J. Sensory Studies 4, 129.
 */
export function williamsOrders(productCount: number): number[][] {
  if (!(Number.isInteger(productCount) && productCount >= 2 && productCount <= 26))
    throw new RangeError(`williamsOrders: ${productCount} products; 2 to 26 are possible`);
  const first: number[] = [0];
  for (let low = 1, high = productCount - 1; first.length < productCount; ) {
    first.push(low++);
    if (first.length < productCount) first.push(high--);
  }
  const rows = Array.from({ length: productCount }, (_, shift) => first.map((product) => (product + shift) % productCount));
  return productCount % 2 === 0 ? rows : [...rows, ...rows.map((row) => [...row].reverse())];
}

/** How a tasting is served. The names of the tests are the trade's own (ISO 4120, 5495, 10399, 8587). */
export type TastingMethod = DiscriminationMethod | "paired preference" | "ranking" | "liking";

/** How the answers are to be read: said before anything is tasted, and kept with the plan. */
export interface TastingReadingWords {
  /** Chance of a false alarm; default 0.05. */
  readonly alpha?: number;
  /** 2-AFC: it may be either that has more; without it only the second is looked for. */
  readonly side?: "either";
  /** Ranking: the order that was expected, the best first. */
  readonly expected?: readonly string[];
  /** Liking: difference in mean marks that matters [points]. */
  readonly matters?: number;
  /** Tests with a right answer: to show that at most `share` of people notice, instead of that they can. */
  readonly aim?: "likeness";
  readonly share?: number;
}

export interface TastingWords {
  readonly method: TastingMethod;
  /** Two products, or two and more for ranking and liking. */
  readonly products: readonly string[];
  readonly tasterCount: number;
  readonly seed: number;
  /** Allergens of all products together, and what may be contained; shown to every taster before anything else. */
  readonly allergens: readonly string[];
  readonly mayContain?: readonly string[];
  /** What is told with the allergens, because it is not for everybody: raw egg, alcohol. */
  readonly warnings?: readonly string[];
  /** For 3-AFC and 2-AFC: the property asked for, and the product that is expected to have more of it (the second). */
  readonly property?: string;
  readonly reading?: TastingReadingWords;
}

export interface Sample {
  /** Three digits, different for every portion of one taster. */
  readonly code: string;
  /** Index into the products. */
  readonly product: number;
  /** "reference" is served first, marked R, in the duo-trio. */
  readonly role: "sample" | "reference";
}

export interface TasterSheet {
  /** Counted from 1. */
  readonly taster: number;
  readonly samples: readonly Sample[];
  /** What the taster is asked, in words. */
  readonly instruction: string;
  /** Code of the right answer, or of both products in a tetrad pair; only for tests with a right answer. Not for the taster. */
  readonly right?: readonly string[];
}

export interface TastingPlan {
  readonly words: TastingWords;
  readonly sheets: readonly TasterSheet[];
  /** Portions of each product to cut, by index. */
  readonly portions: readonly number[];
  /** Number of tasters at which every order is served equally often. */
  readonly fullRound: number;
  readonly advice: readonly string[];
}

/** Usual caution, shown before the first question. Local law and the product's own label decide. */
export const ALLERGEN_CAUTION =
  "Read what these cakes contain before you taste. If you avoid any of it, or are not sure, do not taste; say so and nothing else is asked of you.";

/**
 * Who is served what, in which order, under which code.
 *
 * @throws RangeError when the number of products does not fit the method
 */
export function planTasting(words: TastingWords): TastingPlan {
  const { method, products, tasterCount } = words;
  const many = method === "ranking" || method === "liking";
  if (many ? products.length < 2 : products.length !== 2)
    throw new RangeError(
      `planTasting: ${method} takes ${many ? "two products or more" : "two products"}, not ${products.length}`,
    );
  if (!(Number.isInteger(tasterCount) && tasterCount >= 1 && tasterCount <= 2000))
    throw new RangeError(`planTasting: ${tasterCount} tasters`);
  const random = createRandom(words.seed);
  const orders = ordersOf(method, products.length);
  const sheets: TasterSheet[] = [];
  let round: (readonly number[])[] = [];
  for (let taster = 1; taster <= tasterCount; taster++) {
    // Whole rounds of all orders, each round shuffled: as balanced as the number of tasters allows.
    if (round.length === 0) round = random.shuffled(orders);
    sheets.push(sheetOf(words, taster, round.pop()!, random));
  }
  const portions = products.map((_, product) =>
    sheets.reduce((sum, { samples }) => sum + samples.filter((sample) => sample.product === product).length, 0),
  );
  const advice: string[] = [];
  if (tasterCount % orders.length !== 0) {
    const next = Math.ceil(tasterCount / orders.length) * orders.length;
    advice.push(
      `Each order is served equally often with ${next} tasters (${orders.length} orders); with ${tasterCount} some come once more than others.`,
    );
  }
  return { words, sheets, portions, fullRound: orders.length, advice };
}

function ordersOf(method: TastingMethod, productCount: number): number[][] {
  switch (method) {
    case "triangle":
      return [
        [0, 0, 1],
        [0, 1, 0],
        [1, 0, 0],
        [1, 1, 0],
        [1, 0, 1],
        [0, 1, 1],
      ];
    case "duo-trio": // reference first
      return [
        [0, 0, 1],
        [0, 1, 0],
        [1, 0, 1],
        [1, 1, 0],
      ];
    case "2-AFC":
    case "paired preference":
      return [
        [0, 1],
        [1, 0],
      ];
    case "3-AFC": // one of the expected stronger product, in each place
      return [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ];
    case "tetrad":
      return [
        [0, 0, 1, 1],
        [0, 1, 0, 1],
        [0, 1, 1, 0],
        [1, 0, 0, 1],
        [1, 0, 1, 0],
        [1, 1, 0, 0],
      ];
    case "ranking":
    case "liking":
      return williamsOrders(productCount);
  }
}

function sheetOf(words: TastingWords, taster: number, order: readonly number[], random: Random): TasterSheet {
  const codes = threeDigitCodes(order.length, random);
  const samples = order.map((product, index): Sample => {
    const reference = words.method === "duo-trio" && index === 0;
    return { code: reference ? "R" : codes[index]!, product, role: reference ? "reference" : "sample" };
  });
  const property = words.property ?? "of the property that was explained to you";
  const asked = samples
    .filter(({ role }) => role === "sample")
    .map(({ code }) => code)
    .join(", ");
  const instruction: Record<TastingMethod, string> = {
    triangle: `Taste ${asked} from left to right. Two are the same. Which one is different? If you cannot tell, guess.`,
    "duo-trio": `Taste R first, then ${asked}. Which of the two is the same as R? If you cannot tell, guess.`,
    "2-AFC": `Taste ${asked}. Which has more ${property}? If you cannot tell, guess.`,
    "3-AFC": `Taste ${asked}. Which one has the most ${property}? If you cannot tell, guess.`,
    tetrad: `Taste ${asked}. Sort them into two groups of two that are alike. If you cannot tell, guess.`,
    "paired preference": `Taste ${asked}. Which do you prefer?`,
    ranking: `Taste ${asked} in this order. Then put them in order, the one you like best first.`,
    liking: `Taste ${asked} in this order. Give each a mark from 1 (dislike extremely) to 9 (like extremely).`,
  };
  const right = rightAnswer(words.method, samples);
  return { taster, samples, instruction: instruction[words.method], ...(right === undefined ? {} : { right }) };
}

function rightAnswer(method: TastingMethod, samples: readonly Sample[]): string[] | undefined {
  const count = (product: number) => samples.filter((sample) => sample.product === product).length;
  switch (method) {
    case "triangle":
      return samples.filter(({ product }) => count(product) === 1).map(({ code }) => code);
    case "duo-trio":
      return samples.filter(({ product, role }) => role === "sample" && product === samples[0]!.product).map(({ code }) => code);
    case "2-AFC":
    case "3-AFC":
      return samples.filter(({ product }) => product === 1).map(({ code }) => code);
    case "tetrad":
      return samples.filter(({ product }) => product === 0).map(({ code }) => code);
    default:
      return undefined;
  }
}

/** Different three-digit codes without repeated digits, so that none looks special. */
function threeDigitCodes(count: number, random: Random): string[] {
  const codes = new Set<string>();
  while (codes.size < count) {
    const code = String(100 + random.below(900));
    if (new Set(code).size === 3) codes.add(code);
  }
  return [...codes];
}

/**
 * One taster's answer: a code, two codes (tetrad), codes in order of liking (ranking), or marks by code (liking; what was not tasted
 * has none).
 */
export interface TasterAnswer {
  readonly taster: number;
  /** Did not taste: an allergen, or any other reason; never counted, never asked why. */
  readonly declined?: boolean;
  readonly codes?: readonly string[];
  readonly marks?: Readonly<Record<string, number>>;
}

/** Answers turned into what the tests count. */
export interface TastingCount {
  readonly answered: number;
  readonly declined: number;
  /** Answers that do not fit the taster's sheet, with what was expected. */
  readonly unusable: readonly { readonly taster: number; readonly expected: string; readonly found: string }[];
  /** For tests with a right answer. */
  readonly correct?: number;
  /** For the paired preference: how often each product was chosen. */
  readonly chosen?: readonly number[];
  /** For ranking and liking: one row per taster; ranks 1 best, or marks (null: not tasted), in the order of the products. */
  readonly rows?: readonly (readonly (number | null)[])[];
}

export function countAnswers(plan: TastingPlan, answers: readonly TasterAnswer[]): TastingCount {
  const { method, products } = plan.words;
  const unusable: { taster: number; expected: string; found: string }[] = [];
  let declined = 0;
  let correct = 0;
  let answered = 0;
  const chosen = products.map(() => 0);
  const rows: (number | null)[][] = [];
  const seen = new Set<number>();
  for (const answer of answers) {
    const sheet = plan.sheets.find(({ taster }) => taster === answer.taster);
    const refuse = (expected: string, found: string) => unusable.push({ taster: answer.taster, expected, found });
    if (sheet === undefined) {
      refuse(`a taster from 1 to ${plan.sheets.length}`, String(answer.taster));
      continue;
    }
    if (seen.has(answer.taster)) {
      refuse("one answer from each taster", "a second one");
      continue;
    }
    seen.add(answer.taster);
    if (answer.declined) {
      declined++;
      continue;
    }
    const known = sheet.samples.filter(({ role }) => role === "sample");
    const productOf = (code: string) => known.find((sample) => sample.code === code)?.product;
    if (method === "liking") {
      const marks = answer.marks ?? {};
      const given = Object.entries(marks);
      if (given.length === 0 || given.some(([code, mark]) => productOf(code) === undefined || !(mark >= 1 && mark <= 9)))
        refuse(`a mark from 1 to 9 for each of ${known.map(({ code }) => code).join(", ")}`, JSON.stringify(marks));
      else {
        answered++;
        rows.push(products.map((_, product) => marks[known.find((sample) => sample.product === product)!.code] ?? null));
      }
      continue;
    }
    const codes = answer.codes ?? [];
    const wanted = method === "ranking" ? known.length : method === "tetrad" ? 2 : 1;
    if (codes.length !== wanted || new Set(codes).size !== wanted || codes.some((code) => productOf(code) === undefined)) {
      refuse(`${wanted} of the codes ${known.map(({ code }) => code).join(", ")}`, codes.join(", ") || "nothing");
      continue;
    }
    answered++;
    if (method === "ranking") rows.push(products.map((_, product) => codes.findIndex((code) => productOf(code) === product) + 1));
    else if (method === "paired preference") chosen[productOf(codes[0]!)!]!++;
    else if (method === "tetrad") correct += productOf(codes[0]!) === productOf(codes[1]!) ? 1 : 0;
    else correct += sheet.right!.includes(codes[0]!) ? 1 : 0;
  }
  const base = { answered, declined, unusable };
  if (method === "ranking" || method === "liking") return { ...base, rows };
  return method === "paired preference" ? { ...base, chosen } : { ...base, correct };
}
