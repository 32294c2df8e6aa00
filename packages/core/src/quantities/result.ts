/** What kind of thing the baker can mend; stable, so that a program can tell them apart. */
export type ProblemCode =
  | "not-text"
  | "syntax"
  | "unknown-field"
  | "missing-field"
  | "wrong-type"
  | "out-of-range"
  | "too-large"
  | "duplicate"
  | "unknown-unit"
  | "not-a-weight"
  | "unknown-ingredient"
  | "doubtful-ingredient"
  | "no-figure"
  | "no-density"
  | "unknown-tin"
  | "unknown-component"
  | "conflict";

/** A place in text, both counted from 1. */
export interface TextPosition {
  readonly line: number;
  readonly column: number;
}

/** Something in the baker's document that the baker can mend. */
export interface Problem {
  readonly code: ProblemCode;
  /** Where in the document: `["components", 0, "stages", 1, "uses", 2, "grams"]`. */
  readonly path: readonly (string | number)[];
  /** Where in the text, when it came from text. */
  readonly position?: TextPosition;
  /** What would have been right: "a weight such as 250 g". */
  readonly expected: string;
  /** What was there: "25O g". */
  readonly found: string;
  /** What to do: "Replace the letter O with a zero." */
  readonly remedy: string;
}

/** Reading always gives something: what was understood, and what was not. A half-typed formula still shows. */
export interface Reading<T> {
  readonly value: T;
  readonly problems: readonly Problem[];
}

/** Solving may give nothing: then it says why. */
export type Result<T, E> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: E };

/** A figure that may not be known. Missing is never zero, and never a special number. */
export type Figure =
  | { readonly known: true; readonly value: number; readonly source: string }
  | { readonly known: false; readonly why: string };

/** A predicted value with its band: `from` and `to` hold about nine cases in ten unless the producer says otherwise. */
export interface Band {
  readonly likely: number;
  readonly from: number;
  readonly to: number;
}
