import type { Problem, ProblemCode } from "./result.js";

type Path = readonly (string | number)[];

const MOST_ITEMS = 200;
const MOST_PROBLEMS = 100;

/**
 * Reads the fields of a document that comes from outside, one by one, and keeps the problems, at most 100. What is asked for and
 * not there comes back as undefined, so that the rest can still be read. A class because it lives as long as one reading.
 */
export class FieldReader {
  readonly problems: Problem[] = [];

  say(code: ProblemCode, path: Path, expected: string, found: string, remedy: string): void {
    if (this.problems.length < MOST_PROBLEMS) this.problems.push({ code, path, expected, found, remedy });
  }

  /** The own fields of a plain object as a map: no prototype is ever asked, no getter is run. */
  object(value: unknown, path: Path, allowed: ReadonlySet<string>, what: string): ReadonlyMap<string, unknown> | undefined {
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      this.say("wrong-type", path, `${what}, as an object`, describe(value), "Give an object with named fields.");
      return undefined;
    }
    const fields = new Map<string, unknown>();
    for (const [field, descriptor] of Object.entries(Object.getOwnPropertyDescriptors(value))) {
      if (!allowed.has(field)) {
        this.say(
          "unknown-field",
          [...path, field.slice(0, 80)],
          `one of ${[...allowed].join(", ")}`,
          quoted(field),
          "Take this field out, or mend its spelling.",
        );
      } else if (!("value" in descriptor)) {
        this.say("wrong-type", [...path, field], "a plain value", "a getter", "Pass the object through JSON first.");
      } else if (descriptor.value !== undefined) fields.set(field, descriptor.value);
    }
    return fields;
  }

  text(value: unknown, path: Path, most: number, expected: string): string | undefined {
    if (value === undefined) {
      this.say("missing-field", path, expected, "nothing", "Add this field.");
      return undefined;
    }
    if (typeof value !== "string") {
      this.say("wrong-type", path, expected, describe(value), "Give text in quotes.");
      return undefined;
    }
    const trimmed = value.trim();
    if (trimmed === "") {
      this.say("missing-field", path, expected, "empty text", "Type something here.");
      return undefined;
    }
    if (trimmed.length > most) {
      this.say("too-large", path, `${expected}, at most ${most} characters`, `${trimmed.length} characters`, "Shorten it.");
      return undefined;
    }
    return trimmed;
  }

  optionalText(value: unknown, path: Path, most: number): string | undefined {
    return value === undefined || value === null || value === "" ? undefined : this.text(value, path, most, "text");
  }

  number(value: unknown, path: Path, least: number, most: number, expected: string): number | undefined {
    const range = `${expected}, from ${least} to ${most}`;
    if (typeof value !== "number" || !Number.isFinite(value)) {
      this.say(
        value === undefined ? "missing-field" : "wrong-type",
        path,
        range,
        describe(value),
        "Give a number without quotes and units.",
      );
      return undefined;
    }
    if (value < least || value > most) {
      this.say("out-of-range", path, range, String(value), "Read it again; is it per 100 g, and in the unit asked for?");
      return undefined;
    }
    return value;
  }

  choice<T extends string>(value: unknown, choices: readonly T[], path: Path): T | undefined {
    const found = choices.find((choice) => choice === value);
    if (found === undefined) {
      const code = value === undefined ? "missing-field" : "wrong-type";
      this.say(code, path, `one of ${choices.join(", ")}`, describe(value), "Choose one of them.");
    }
    return found;
  }

  flag(value: unknown, path: Path): boolean | undefined {
    if (value === undefined || value === null) return undefined;
    if (typeof value === "boolean") return value;
    this.say("wrong-type", path, "yes or no (true or false)", describe(value), "Write true or false, without quotes.");
    return undefined;
  }

  /** ISO 8601 date of a day that exists. */
  date(value: unknown, path: Path): string | undefined {
    const text = value instanceof Date && !Number.isNaN(value.getTime()) ? value.toISOString().slice(0, 10) : value;
    if (typeof text === "string" && /^\d{4}-\d{2}-\d{2}$/.test(text) && dayOf(text) === text) return text;
    const code = value === undefined ? "missing-field" : "wrong-type";
    this.say(code, path, "a date such as 2026-03-14", describe(value), "Write year, month and day with hyphens.");
    return undefined;
  }

  /** Named entries of one kind: `{ lemon-zest: 90 }`. */
  entries<T>(
    value: unknown,
    path: Path,
    what: string,
    read: (one: unknown, path: Path) => T | undefined,
  ): Readonly<Record<string, T>> {
    if (value === undefined || value === null) return {};
    if (typeof value !== "object" || Array.isArray(value)) {
      this.say("wrong-type", path, what, describe(value), "Give names with values.");
      return {};
    }
    const all = Object.entries(Object.getOwnPropertyDescriptors(value));
    if (all.length > MOST_ITEMS)
      this.say("too-large", path, `at most ${MOST_ITEMS} entries`, `${all.length} entries`, "Shorten it.");
    const found: [string, T][] = [];
    for (const [name, descriptor] of all.slice(0, MOST_ITEMS)) {
      const one = "value" in descriptor ? read(descriptor.value, [...path, name.slice(0, 80)]) : undefined;
      if (one !== undefined) found.push([name.slice(0, 120), one]);
    }
    // From entries, so that a name such as __proto__ is a name and nothing else.
    return Object.fromEntries(found);
  }

  list<T>(value: unknown, path: Path, read: (one: unknown, path: Path) => T | undefined): readonly T[] {
    if (value === undefined || value === null) return [];
    if (!Array.isArray(value)) {
      this.say("wrong-type", path, "a list", describe(value), "Give a list in square brackets.");
      return [];
    }
    if (value.length > MOST_ITEMS) {
      this.say("too-large", path, `at most ${MOST_ITEMS} entries`, `${value.length} entries`, "Shorten the list.");
    }
    const items: T[] = [];
    value.slice(0, MOST_ITEMS).forEach((one, index) => {
      const item = read(one, [...path, index]);
      if (item !== undefined) items.push(item);
    });
    return items;
  }
}

function describe(value: unknown): string {
  if (value === undefined) return "nothing";
  if (value === null) return "null";
  if (Array.isArray(value)) return "a list";
  if (typeof value === "string") return quoted(value);
  if (typeof value === "number" || typeof value === "boolean" || typeof value === "bigint") return String(value);
  return `a ${typeof value}`;
}

/** The day as the calendar has it: 30 February is none. */
function dayOf(text: string): string | undefined {
  const time = Date.parse(`${text}T00:00:00Z`);
  return Number.isNaN(time) ? undefined : new Date(time).toISOString().slice(0, 10);
}

/** Words of the baker's in a problem, cut to 60 characters. */
export function quoted(text: string): string {
  return `"${text.length > 60 ? `${text.slice(0, 60)}…` : text}"`;
}
