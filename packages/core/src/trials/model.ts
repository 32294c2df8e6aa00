import { type DoubleDoubleColumn, multiply, newColumn, pair } from "./doubleDouble.js";
import type { Factor } from "./factors.js";

/** A product of factors; a name that comes twice is a square: `["egg", "egg"]`. The empty term is the intercept. */
export type Term = readonly string[];

/** The field's own names for a set of terms. Scheffé models are for shares that add to 1 and have no intercept. */
export const MODEL_NAMES = [
  "mean",
  "linear",
  "interaction",
  "quadratic",
  "full factorial",
  "scheffe linear",
  "scheffe quadratic",
  "scheffe special cubic",
] as const;
export type ModelName = (typeof MODEL_NAMES)[number];
export const PROCESS_MODEL_NAMES = ["linear", "interaction", "quadratic"] as const;
export type ProcessModelName = (typeof PROCESS_MODEL_NAMES)[number];

/** How the levels of a choice or a block become columns: each against the plain average of all, or each against the first. */
export type LevelCoding = "average" | "first";

export interface ModelWords {
  readonly model: ModelName;
  /** Terms of the amounts and choices that go with a blend; needed only when shares and other factors are together. */
  readonly process?: ProcessModelName;
  /**
   * "full" crosses every blend term with every process term; "reduced" lets only the linear blend terms depend on the process
   * (Kowalski, Cornell and Vining 2002, Technometrics 44, 72; from memory).
   */
  readonly crossing?: "full" | "reduced";
}

/** The terms that a model name stands for, in order: lower before higher. */
export function termsOf(words: ModelWords, factors: readonly Factor[]): Term[] {
  const shares = factors.filter((factor) => factor.kind === "share").map((factor) => factor.name);
  const others = factors.filter((factor) => factor.kind !== "share");
  if (words.model === "mean") return [[]];
  if (!words.model.startsWith("scheffe")) {
    if (shares.length > 0)
      throw new RangeError(`termsOf: "${words.model}" has an intercept; shares that add to 1 need a Scheffé model`);
    return processTerms(words.model, others);
  }
  if (shares.length < 2) throw new RangeError(`termsOf: "${words.model}" needs at least two factors of kind "share"`);
  const blend: Term[] = shares.map((name) => [name]);
  if (words.model !== "scheffe linear") blend.push(...combinations(shares, 2));
  if (words.model === "scheffe special cubic") blend.push(...combinations(shares, 3));
  if (others.length === 0) return blend;
  const process = processTerms(words.process ?? "linear", others).filter((term) => term.length > 0);
  if ((words.crossing ?? "full") === "full") return [...blend, ...process.flatMap((z) => blend.map((x) => [...x, ...z]))];
  // Reduced: linear blending depends on each single process factor, the rest of the process enters on its own.
  const single = process.filter((term) => term.length === 1);
  const higher = process.filter((term) => term.length > 1);
  return [...blend, ...single.flatMap((z) => shares.map((x) => [x, ...z])), ...higher];
}

function processTerms(model: ModelName | ProcessModelName, factors: readonly Factor[]): Term[] {
  const names = factors.map((factor) => factor.name);
  const terms: Term[] = [[], ...names.map((name) => [name])];
  if (model === "full factorial") for (let size = 2; size <= names.length; size++) terms.push(...combinations(names, size));
  if (model === "interaction" || model === "quadratic") terms.push(...combinations(names, 2));
  if (model === "quadratic") terms.push(...factors.filter((factor) => factor.kind === "amount").map(({ name }) => [name, name]));
  return terms;
}

/** All choices of `size` from a list, in order. */
export function combinations<T>(list: readonly T[], size: number): T[][] {
  if (size === 0) return [[]];
  return list.flatMap((first, index) => combinations(list.slice(index + 1), size - 1).map((rest) => [first, ...rest]));
}

/** One column of the model matrix: a product of powers of amounts and shares, and of contrasts of choices. */
export interface Column {
  readonly name: string;
  /** Place of its term in `terms`. */
  readonly termIndex: number;
  readonly parts: readonly { readonly factorIndex: number; readonly power: number; readonly levelIndex: number }[];
}

/** A model made ready for arithmetic. Plain data: it can be sent to a worker. */
export interface Model {
  readonly factors: readonly Factor[];
  readonly terms: readonly Term[];
  readonly columns: readonly Column[];
  /** Whether amounts enter as -1 to +1 over their range (true) or in their unit. */
  readonly coded: boolean;
  readonly coding: Readonly<Record<string, LevelCoding>>;
}

export interface ModelOptions {
  readonly coded?: boolean;
  /** By factor name; "first" where nothing is said. */
  readonly coding?: Readonly<Record<string, LevelCoding>>;
}

/** @throws RangeError when a term names a factor that is not there */
export function buildModel(factors: readonly Factor[], terms: readonly Term[], options: ModelOptions = {}): Model {
  const coding = options.coding ?? {};
  const columns: Column[] = [];
  for (const [termIndex, term] of terms.entries()) {
    const powers = new Map<number, number>();
    for (const name of term) {
      const factorIndex = factors.findIndex((factor) => factor.name === name);
      if (factorIndex < 0) throw new RangeError(`buildModel: the term ${term.join(" × ")} names "${name}", which is no factor`);
      powers.set(factorIndex, (powers.get(factorIndex) ?? 0) + 1);
    }
    let products: { name: string; parts: Column["parts"] }[] = [{ name: "", parts: [] }];
    for (const [factorIndex, power] of [...powers].sort(([a], [b]) => a - b)) {
      const factor = factors[factorIndex]!;
      const choices =
        factor.kind === "choice"
          ? levelsWithColumn(factor.levels.length, coding[factor.name] ?? "first").map((levelIndex) => ({
              name: `${factor.name} [${factor.levels[levelIndex]}]`,
              part: { factorIndex, power: 1, levelIndex },
            }))
          : [{ name: factor.name + (SUPERSCRIPTS[power] ?? `^${power}`), part: { factorIndex, power, levelIndex: -1 } }];
      products = products.flatMap((product) =>
        choices.map(({ name, part }) => ({
          name: product.name === "" ? name : `${product.name} × ${name}`,
          parts: [...product.parts, part],
        })),
      );
    }
    for (const { name, parts } of products) columns.push({ name: name === "" ? "intercept" : name, termIndex, parts });
  }
  return { factors, terms, columns, coded: options.coded ?? false, coding };
}

const SUPERSCRIPTS = ["", "", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"];

const levelsWithColumn = (count: number, coding: LevelCoding): number[] =>
  Array.from({ length: count - 1 }, (_, index) => (coding === "first" ? index + 1 : index));

/**
 * The row of the model matrix for one setting.
 *
 * @param values  one number per factor: the amount in its unit, the share, or the index of the level.
 *                NaN for a choice means "the plain average of its levels", as for a day that is not one of those in the data.
 */
export function modelRow(model: Model, values: ArrayLike<number>, out = new Float64Array(model.columns.length)): Float64Array {
  for (let index = 0; index < model.columns.length; index++) {
    let product = 1;
    for (const part of model.columns[index]!.parts) {
      const factor = model.factors[part.factorIndex]!;
      const value = values[part.factorIndex]!;
      if (factor.kind === "choice") {
        product *= levelContrast(value, part.levelIndex, factor.levels.length, model.coding[factor.name] ?? "first");
      } else {
        const base =
          factor.kind === "amount" && model.coded
            ? (value - (factor.low + factor.high) / 2) / ((factor.high - factor.low) / 2)
            : value;
        product *= part.power === 1 ? base : base ** part.power;
      }
    }
    out[index] = product;
  }
  return out;
}

function levelContrast(value: number, levelIndex: number, levelCount: number, coding: LevelCoding): number {
  if (Number.isNaN(value)) return coding === "average" ? 0 : 1 / levelCount;
  if (value === levelIndex) return 1;
  return coding === "average" && value === levelCount - 1 ? -1 : 0;
}

/** The whole model matrix, one column after another, powers and products carried to about 31 digits. */
export function modelColumns(model: Model, rows: readonly ArrayLike<number>[]): DoubleDoubleColumn[] {
  const out = pair();
  return model.columns.map((column) => {
    const answer = newColumn(rows.length);
    for (const [rowIndex, values] of rows.entries()) {
      let high = 1;
      let low = 0;
      for (const part of column.parts) {
        const factor = model.factors[part.factorIndex]!;
        const value = values[part.factorIndex]!;
        let base: number;
        if (factor.kind === "choice")
          base = levelContrast(value, part.levelIndex, factor.levels.length, model.coding[factor.name] ?? "first");
        else if (factor.kind === "amount" && model.coded)
          base = (value - (factor.low + factor.high) / 2) / ((factor.high - factor.low) / 2);
        else base = value;
        for (let turn = 0; turn < part.power; turn++) {
          multiply(high, low, base, 0, out);
          high = out[0]!;
          low = out[1]!;
        }
      }
      answer.high[rowIndex] = high;
      answer.low[rowIndex] = low;
    }
    return answer;
  });
}
