import { FORMULA_FILE_SHAPE } from "./formulaShape.js";
import { type JsonSchema, jsonSchemaOf } from "./jsonSchema.js";

/**
 * The published JSON Schema (draft 2020-12) of the formula file; the same text lies beside this file as
 * `formulaFile.schema.json`. What JSON Schema cannot say and the reader also checks: component names and the ids of own
 * ingredients are unique.
 */
export const formulaFileSchema: JsonSchema = {
  $schema: "https://json-schema.org/draft/2020-12/schema",
  title: "Formula file",
  description: "The quantities and the method of one product, as it travels between people. Weights in grams.",
  ...jsonSchemaOf(FORMULA_FILE_SHAPE),
};
