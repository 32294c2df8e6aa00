import type { Problem, Result } from "@evencrumb/core/quantities";
import type { Refusal, RefusalCode } from "./store.js";

export const NOTE_LENGTH_MAX = 10_000;
export const DEVICE_LENGTH_MAX = 200;
const NAME_LENGTH_MAX = 300;

export const refuse = (
  code: RefusalCode,
  detail: string,
  problems: readonly Problem[] = [],
): { readonly ok: false; readonly error: Refusal } => ({
  ok: false,
  error: { code, detail, problems },
});

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/** An id as it is kept: a UUID in lower case. */
export function readId(id: string, field: string): Result<string, Refusal> {
  const lower = id.toLowerCase();
  if (UUID.test(lower)) return { ok: true, value: lower };
  return refuse("unusable-field", `${field} is not a UUID.`, [
    {
      code: "wrong-type",
      path: [field],
      expected: "a UUID such as 5a1d0001-0000-4000-8000-000000000001",
      found: JSON.stringify(id.slice(0, 60)),
      remedy: "Leave the id out, or make one with a UUID generator.",
    },
  ]);
}

/** One line or several of plain text: PostgreSQL keeps no NUL, and neither keeps half a character. */
export function readText(text: string, field: string, lengthMax: number): Result<string, Refusal> {
  if (text.length <= lengthMax) return { ok: true, value: plainText(text) };
  return refuse("too-large", `${field} is too long.`, [
    {
      code: "too-large",
      path: [field],
      expected: `at most ${lengthMax} characters`,
      found: `${text.length} characters`,
      remedy: "Shorten it.",
    },
  ]);
}

/** The name in the list: never empty, never long enough to break the page. The body keeps the name as it was typed. */
export function listName(name: string): string {
  const plain = plainText(name).replace(/\s+/g, " ").trim();
  if (plain === "") return "(no name)";
  return plain.length <= NAME_LENGTH_MAX ? plain : `${plainText(plain.slice(0, NAME_LENGTH_MAX))}...`;
}

// Through UTF-8 and back, which is what either database does; half a character becomes the replacement character.
export const plainText = (text: string): string => Buffer.from(text.replaceAll("\u0000", ""), "utf8").toString("utf8");
