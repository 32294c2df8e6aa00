import { createHash } from "node:crypto";
import type { Problem, Result } from "@evencrumb/core/quantities";
import type { Refusal } from "./store.js";

/** The largest body that is kept, in bytes of JSON text: far more than the longest formula, far less than a mistake. */
export const BODY_BYTES_MAX = 1_000_000;
/** How deeply lists and objects may be nested in a body. */
export const BODY_DEPTH_MAX = 64;

/** A body as it is kept: its JSON text, and the hash of that text. */
export interface BodyText {
  readonly text: string;
  readonly hash: string;
}

/**
 * Turns a body into the text that is kept. What could not be given back exactly (a function, a date, not-a-number) is
 * refused rather than changed in silence.
 */
export function writeBody(body: unknown): Result<BodyText, Refusal> {
  const problem = findForeignValue(body, [], 0);
  if (problem !== undefined)
    return { ok: false, error: { code: "unusable-body", detail: "The content cannot be kept as it is.", problems: [problem] } };
  const text = JSON.stringify(body);
  const bytes = Buffer.byteLength(text, "utf8");
  if (bytes > BODY_BYTES_MAX) {
    const found = `${bytes} bytes`;
    const expected = `at most ${BODY_BYTES_MAX} bytes`;
    const remedy = "Split the document, or shorten its notes.";
    return {
      ok: false,
      error: {
        code: "too-large",
        detail: `The content is too large: ${found}.`,
        problems: [{ code: "too-large", path: [], expected, found, remedy }],
      },
    };
  }
  return { ok: true, value: { text, hash: hashText(text) } };
}

export const hashText = (text: string): string => createHash("sha256").update(text, "utf8").digest("hex");

function findForeignValue(value: unknown, path: readonly (string | number)[], depth: number): Problem | undefined {
  if (depth > BODY_DEPTH_MAX) {
    return {
      code: "too-large",
      path: path.slice(0, 8),
      expected: `lists and objects nested at most ${BODY_DEPTH_MAX} deep`,
      found: "deeper nesting",
      remedy: "Flatten the content.",
    };
  }
  if (value === null || typeof value === "string" || typeof value === "boolean") return undefined;
  if (typeof value === "number") {
    return Number.isFinite(value) ? undefined : foreign(path, String(value), "a finite number");
  }
  if (Array.isArray(value)) {
    for (const [index, item] of value.entries()) {
      const problem = findForeignValue(item, [...path, index], depth + 1);
      if (problem !== undefined) return problem;
    }
    return undefined;
  }
  if (typeof value === "object") {
    const prototype = Object.getPrototypeOf(value);
    if (prototype !== Object.prototype && prototype !== null) return foreign(path, "an object of a program", "plain data");
    for (const [key, item] of Object.entries(value)) {
      if (item === undefined) continue; // an optional field that is not there; JSON leaves it out as well
      const problem = findForeignValue(item, [...path, key], depth + 1);
      if (problem !== undefined) return problem;
    }
    return undefined;
  }
  return foreign(path, typeof value, "text, a number, true, false, null, a list or an object");
}

const foreign = (path: readonly (string | number)[], found: string, expected: string): Problem => ({
  code: "wrong-type",
  path,
  expected,
  found,
  remedy: "Replace the value, or leave the field out.",
});
