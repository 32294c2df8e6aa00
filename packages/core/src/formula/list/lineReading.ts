import type { IngredientBook } from "../../ingredients/index.js";
import type { EggGrade } from "../../quantities/index.js";
import type { ListChoice, ListLine } from "./listLine.js";
import type { Evidence } from "./measures.js";

/** What a line is read with. */
export interface LineContext {
  readonly book: IngredientBook;
  readonly evidence: Evidence;
  readonly eggGrade: EggGrade | undefined;
  /** A hyphen stood close to a number, and the list has no other hyphens for bullets. */
  readonly minusLikely: boolean;
}

/** What a line says, without its place in the list. */
export type LineReading = Omit<ListLine, "text" | "lineNumber" | "component" | "stage"> & {
  /** The line's amount is a percent of something. */
  readonly percent?: number;
};

export function doubted(reading: LineReading, why: string): LineReading {
  const status = reading.status === "understood" ? "doubtful" : reading.status;
  return { ...reading, status, reasons: [...reading.reasons, why], ...withChoices(reading.choices ?? ownChoice(reading)) };
}

const ownChoice = (reading: LineReading): readonly ListChoice[] =>
  reading.ingredient === undefined
    ? []
    : [{ ingredient: reading.ingredient, name: reading.ingredient, grams: reading.grams ?? null, why: "as read" }];

const withChoices = (choices: readonly ListChoice[]) => (choices.length === 0 ? {} : { choices });
