/**
 * A small language that says what a document looks like. The reader (readShape.ts) and the published JSON Schema
 * (jsonSchema.ts) are both made from it, so that they cannot tell different stories.
 */
export type Shape = TextShape | NumberShape | FlagShape | ChoiceShape | ConstantShape | ListShape | RecordShape | VariantsShape;

/** Words. Always holds something to read, and no control characters but tab and line breaks. */
export interface TextShape {
  readonly is: "text";
  readonly expected: string;
  /** In Unicode characters, as JSON Schema counts them. */
  readonly maxLength: number;
  readonly pattern?: string;
}

/** A finite number. */
export interface NumberShape {
  readonly is: "number";
  readonly expected: string;
  readonly min?: number;
  readonly above?: number;
  readonly max?: number;
  readonly below?: number;
  readonly whole?: true;
  /** null says "not known yet". It is also what stands in for a number that cannot be used. */
  readonly orNull?: true;
}

export interface FlagShape {
  readonly is: "flag";
  readonly expected: string;
}

export interface ChoiceShape {
  readonly is: "choice";
  readonly expected: string;
  readonly of: readonly string[];
}

export interface ConstantShape {
  readonly is: "constant";
  readonly expected: string;
  readonly value: string | number | boolean;
  readonly remedy: string;
}

export interface ListShape {
  readonly is: "list";
  readonly expected: string;
  readonly of: Shape;
  readonly maxCount: number;
  /** No two items may have the same value in this field. JSON Schema cannot say it; only the reader does. */
  readonly unique?: string;
}

export interface RecordShape {
  readonly is: "record";
  readonly expected: string;
  readonly fields: Readonly<Record<string, Field>>;
}

export interface Field {
  readonly shape: Shape;
  readonly about: string;
  readonly optional?: true;
  /** Stands in where the field is missing or cannot be used, so that a half-typed document still shows. */
  readonly standIn?: unknown;
}

/** A record whose other fields depend on one field. */
export interface VariantsShape {
  readonly is: "variants";
  readonly expected: string;
  readonly tag: string;
  readonly cases: readonly { readonly value: string | boolean; readonly record: RecordShape }[];
}
