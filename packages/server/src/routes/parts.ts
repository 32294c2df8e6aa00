import type { z } from "@hono/zod-openapi";
import type { Context } from "hono";
import { ProblemSchema } from "../schemas.js";

/** One kind of answer, for the OpenAPI document. */
export const json = <Schema extends z.ZodType>(description: string, schema: Schema) => ({
  description,
  content: { "application/json": { schema } },
});

export const jsonBody = <Schema extends z.ZodType>(schema: Schema) => ({
  required: true,
  content: { "application/json": { schema } },
});

export const problem = {
  description: "What went wrong, as problem details (RFC 9457)",
  content: { "application/problem+json": { schema: ProblemSchema } },
};

/** The device that asks. Its name may hold any letter, so it is sent percent-encoded; a plain one is taken as it is. */
export function deviceOf(context: Context): string | undefined {
  const header = context.req.header("x-device");
  if (header === undefined || header === "") return undefined;
  try {
    return decodeURIComponent(header);
  } catch {
    return header;
  }
}
