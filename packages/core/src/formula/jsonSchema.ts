import type { RecordShape, Shape } from "./shape.js";

export type JsonSchema = { readonly [keyword: string]: unknown };

/** The same shape in JSON Schema (draft 2020-12). */
export function jsonSchemaOf(shape: Shape): JsonSchema {
  switch (shape.is) {
    case "text":
      return {
        type: "string",
        maxLength: shape.maxLength,
        pattern: "^[\\P{Cc}\\t\\n\\r]*$",
        allOf: [{ pattern: "\\S" }, ...(shape.pattern === undefined ? [] : [{ pattern: shape.pattern }])],
      };
    case "number":
      return {
        type: shape.orNull ? [shape.whole ? "integer" : "number", "null"] : shape.whole ? "integer" : "number",
        ...(shape.min === undefined ? {} : { minimum: shape.min }),
        ...(shape.above === undefined ? {} : { exclusiveMinimum: shape.above }),
        ...(shape.max === undefined ? {} : { maximum: shape.max }),
        ...(shape.below === undefined ? {} : { exclusiveMaximum: shape.below }),
      };
    case "flag":
      return { type: "boolean" };
    case "choice":
      return { enum: shape.of };
    case "constant":
      return { const: shape.value };
    case "list":
      return { type: "array", items: jsonSchemaOf(shape.of), maxItems: shape.maxCount };
    case "record":
      return recordSchema(shape);
    case "variants":
      return { oneOf: shape.cases.map(({ record }) => recordSchema(record)) };
  }
}

function recordSchema(shape: RecordShape): JsonSchema {
  const fields = Object.entries(shape.fields);
  return {
    type: "object",
    properties: Object.fromEntries(
      fields.map(([key, field]) => [key, { description: field.about, ...jsonSchemaOf(field.shape) }]),
    ),
    required: fields.filter(([, field]) => !field.optional).map(([key]) => key),
    additionalProperties: false,
  };
}
