import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook, NameStyle } from "@evencrumb/core/ingredients";
import { type EggGrade, type Problem, parseQuantity, type Result } from "@evencrumb/core/quantities";
import { type BatchRequest, type NamedTin, readTinsFor, scaleBatch, type TinCaution } from "@evencrumb/core/tins";
import type { ReaderMeasures } from "@evencrumb/core/writeup";
import { readSmall } from "../keep/storage.js";

/** For whom a write-up is made, as it was chosen last on this device. */
export interface ReaderChoices {
  readonly measures: ReaderMeasures;
  /** "" takes the names that go with the measures. */
  readonly names: NameStyle | "";
  /** "uk L"; "" takes the size that the formula counts out. */
  readonly egg: string;
  readonly author: string;
  /** ISO 8601; "" for none. */
  readonly date: string;
  readonly time: "predicted" | "own";
}

export const FIRST_CHOICES: ReaderChoices = {
  // The two that earlier versions kept each by itself.
  measures: readSmall<ReaderMeasures>("writeup.measures") ?? "metric",
  names: "",
  egg: "",
  author: readSmall<string>("writeup.author") ?? "",
  date: "",
  time: "predicted",
};

export const EGGS: readonly (readonly [key: string, words: string])[] = [
  ["", "the size the formula counts out"],
  ["uk S", "UK and EU small"],
  ["uk M", "UK and EU medium"],
  ["uk L", "UK and EU large"],
  ["uk XL", "UK and EU very large"],
  ["us medium", "US medium"],
  ["us large", "US large"],
  ["us extra-large", "US extra-large"],
];

export function eggOf(key: string): EggGrade | undefined {
  const [scheme, grade] = key.split(" ");
  return key === "" ? undefined : ({ scheme, grade } as EggGrade);
}

/** What the reader's batch shall be, as it was typed. */
export interface ReaderBatch {
  readonly by: "formula" | "tins" | "portions" | "factor";
  readonly value: string;
}

export interface WrittenBatch {
  readonly formula: Formula;
  readonly factor: number;
  readonly cautions: readonly TinCaution[];
}

/** The batch that the reader wants, unrounded: rounding is for the reader's own measures. */
export function batchFor(
  batch: ReaderBatch,
  formula: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
): Result<WrittenBatch, Problem> {
  if (batch.by === "formula" || batch.value.trim() === "") return { ok: true, value: { formula, factor: 1, cautions: [] } };
  const request = requestOf(batch, owned);
  if (!request.ok) return request;
  const scaled = scaleBatch(formula, request.value, { book, owned, weighing: false });
  if (!scaled.ok) return scaled;
  const { exact, factor, cautions } = scaled.value;
  return { ok: true, value: { formula: exact, factor, cautions } };
}

function requestOf(batch: ReaderBatch, owned: readonly NamedTin[]): Result<BatchRequest, Problem> {
  if (batch.by === "tins") {
    const { value: tins, problems } = readTinsFor(batch.value, owned);
    const [problem] = problems;
    return tins.length === 0 && problem !== undefined ? { ok: false, error: problem } : { ok: true, value: { by: "tins", tins } };
  }
  const { value } = parseQuantity(batch.value);
  const number = value?.kind === "number" ? value.value : Number.NaN;
  return { ok: true, value: batch.by === "portions" ? { by: "portions", portions: number } : { by: "factor", factor: number } };
}
