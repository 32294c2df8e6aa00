import type { Band } from "../../quantities/index.js";

/** What a line of a pasted list is. */
export type ListLineKind = "ingredient" | "heading" | "method" | "note" | "blank";

/**
 * understood: may be taken as it stands, with what was assumed told in `reasons`; doubtful: the baker has to choose, and the first
 * choice stands in the formula until then; not-understood: it is kept with its words, and somebody has to say what it is.
 */
export type ListLineStatus = "understood" | "doubtful" | "not-understood";

/** One way to settle a line. */
export interface ListChoice {
  /** Id of an ingredient. */
  readonly ingredient: string;
  readonly name: string;
  /** Weight [g]; null: used and not weighed. */
  readonly grams: number | null;
  /** In plain words: what makes it possible, with its source. */
  readonly why: string;
}

/** One line of a pasted list. "Zest and juice of 1 lemon" gives two of the same number and text, told apart by `part`. */
export interface ListLine {
  /** As it was pasted. */
  readonly text: string;
  /** Counted from 1. */
  readonly lineNumber: number;
  /** Where one line of text holds several ingredients: 1 for the first. */
  readonly part?: number;
  readonly kind: ListLineKind;
  readonly status: ListLineStatus;
  /** Id; of an ingredient that the book does not know, an id made from its name. */
  readonly ingredient?: string;
  /** Weight [g], above 0; null where the line has none or where it cannot be weighed. */
  readonly grams?: number | null;
  /** Within which the weight lies, where it was not weighed [g]. */
  readonly gramsBand?: Band;
  /** "sifted", "at room temperature", "plus extra for dusting". */
  readonly note?: string;
  /** What was assumed, or why it is doubtful. */
  readonly reasons: readonly string[];
  /** Likeliest first. On an understood line: the other readings, should the baker know better. */
  readonly choices?: readonly ListChoice[];
  /** The component and the stage that the line stands under. */
  readonly component?: string;
  readonly stage?: string;
  /** The baker settled it. */
  readonly settled?: boolean;
  /** It stays in the list and out of the formula (an amount that repeats another). */
  readonly leftOut?: boolean;
}
