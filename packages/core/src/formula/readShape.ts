import type { Problem, ProblemCode, TextPosition } from "../quantities/index.js";
import type { ListShape, NumberShape, RecordShape, Shape, TextShape, VariantsShape } from "./shape.js";

/** What a node of a document turns out to be. Strange is everything a formula never holds: dates, functions, references. */
export type Seen<Node> =
  | { readonly is: "record"; readonly entries: readonly Entry<Node>[] }
  | { readonly is: "list"; readonly items: readonly Node[] }
  | { readonly is: "text"; readonly value: string }
  | { readonly is: "number"; readonly value: number }
  | { readonly is: "flag"; readonly value: boolean }
  | { readonly is: "nothing" }
  | { readonly is: "strange"; readonly words: string };

export interface Entry<Node> {
  readonly key: string;
  readonly value: Node;
  readonly position?: TextPosition;
}

/** How to look at a document: at plain values from JSON, or at the nodes of a text, which know where they stand. */
export interface Look<Node> {
  see(node: Node): Seen<Node>;
  positionOf(node: Node): TextPosition | undefined;
}

/** Values as `JSON.parse` leaves them. Only own fields are looked at, so nothing of a prototype gets in. */
export const PLAIN_VALUES: Look<unknown> = {
  see(node) {
    if (node === null || node === undefined) return { is: "nothing" };
    if (typeof node === "string") return { is: "text", value: node };
    if (typeof node === "number") return { is: "number", value: node };
    if (typeof node === "boolean") return { is: "flag", value: node };
    if (Array.isArray(node)) return { is: "list", items: node };
    if (typeof node !== "object") return { is: "strange", words: `a ${typeof node}` };
    const prototype = Object.getPrototypeOf(node);
    if (prototype !== Object.prototype && prototype !== null) return { is: "strange", words: "an object that is not plain data" };
    // A field set to undefined is what JSON leaves out.
    const entries = Object.entries(node).filter(([, value]) => value !== undefined);
    return { is: "record", entries: entries.map(([key, value]) => ({ key, value })) };
  },
  positionOf: () => undefined,
};

/** After so many problems the rest is not worth reading, and a hostile document cannot make a million of them. */
export const MAX_PROBLEMS = 100;

type Path = readonly (string | number)[];

/**
 * Reads a document by its shape. Depth is bounded by the shape and not by the document: what no field asks for is reported
 * and not entered.
 *
 * @returns the value as far as it could be understood (undefined when nothing could), with everything that is wrong
 */
export function readShape<Node>(shape: Shape, root: Node, look: Look<Node>): { value: unknown; problems: readonly Problem[] } {
  const problems: Problem[] = [];

  function say(
    code: ProblemCode,
    path: Path,
    at: TextPosition | undefined,
    expected: string,
    found: string,
    remedy: string,
  ): undefined {
    if (problems.length === MAX_PROBLEMS) return;
    problems.push({ code, path: path.map(clipKey), ...(at === undefined ? {} : { position: at }), expected, found, remedy });
    if (problems.length < MAX_PROBLEMS - 1) return;
    problems.push({
      code: "too-large",
      path: [],
      ...(at === undefined ? {} : { position: at }),
      expected: `fewer than ${MAX_PROBLEMS} problems`,
      found: "more",
      remedy: "Mend the problems above first; the rest was not read.",
    });
  }

  function read(what: Shape, node: Node, path: Path): unknown {
    if (problems.length >= MAX_PROBLEMS) return;
    const seen = look.see(node);
    switch (what.is) {
      case "text":
        return readText(what, seen, node, path);
      case "number":
        return readNumber(what, seen, node, path);
      case "flag":
        return seen.is === "flag" ? seen.value : wrongType(what, seen, node, path, "Write true or false.");
      case "choice": {
        if (seen.is === "text" && what.of.includes(seen.value)) return seen.value;
        const near = seen.is === "text" ? nearest(seen.value, what.of) : undefined;
        const remedy = near === undefined ? `Use one of: ${what.of.join(", ")}.` : `Did you mean "${near}"?`;
        if (seen.is !== "text") return wrongType(what, seen, node, path, remedy);
        return say("out-of-range", path, look.positionOf(node), what.expected, show(seen), remedy);
      }
      case "constant":
        if ("value" in seen && seen.value === what.value) return what.value;
        return say("out-of-range", path, look.positionOf(node), what.expected, show(seen), what.remedy);
      case "list":
        return readList(what, seen, node, path);
      case "record":
        return readRecord(what, seen, node, path);
      case "variants":
        return readVariants(what, seen, node, path);
    }
  }

  function wrongType(what: Shape, seen: Seen<Node>, node: Node, path: Path, remedy: string): undefined {
    return say("wrong-type", path, look.positionOf(node), what.expected, show(seen), remedy);
  }

  function readText(what: TextShape, seen: Seen<Node>, node: Node, path: Path): string | undefined {
    if (seen.is !== "text") {
      const remedy = seen.is === "number" || seen.is === "flag" ? `Put it in quotes: "${seen.value}".` : "Write words here.";
      return wrongType(what, seen, node, path, remedy);
    }
    const { value } = seen;
    const at = look.positionOf(node);
    if (value.length > what.maxLength && (value.length > 2 * what.maxLength || [...value].length > what.maxLength)) {
      const found = `${value.length} characters beginning ${show(seen)}`;
      return say("too-large", path, at, `${what.expected}, at most ${what.maxLength} characters`, found, "Shorten it.");
    }
    if (!/\S/.test(value))
      return say("missing-field", path, at, what.expected, "nothing to read", "Write it, or leave the field out.");
    const control = /[^\P{Cc}\t\n\r]/u.exec(value);
    if (control !== null) {
      const found = `an invisible character (U+${control[0].charCodeAt(0).toString(16).toUpperCase().padStart(4, "0")})`;
      return say("not-text", path, at, what.expected, found, "Delete it and type the words again.");
    }
    if (what.pattern !== undefined && !new RegExp(what.pattern, "u").test(value)) {
      return say("out-of-range", path, at, what.expected, show(seen), `Write ${what.expected}.`);
    }
    return value;
  }

  function readNumber(what: NumberShape, seen: Seen<Node>, node: Node, path: Path): number | null | undefined {
    const unusable = what.orNull ? null : undefined;
    if (seen.is === "nothing" && what.orNull) return null;
    if (seen.is !== "number" || !Number.isFinite(seen.value)) {
      wrongType(what, seen, node, path, seen.is === "text" ? numberRemedy(seen.value) : "Write a number.");
      return unusable;
    }
    const { value } = seen;
    const fits =
      (what.min === undefined || value >= what.min) &&
      (what.above === undefined || value > what.above) &&
      (what.max === undefined || value <= what.max) &&
      (what.below === undefined || value < what.below) &&
      (what.whole === undefined || Number.isInteger(value));
    if (fits) return value;
    say("out-of-range", path, look.positionOf(node), what.expected, show(seen), `Write ${what.expected}.`);
    return unusable;
  }

  function readList(what: ListShape, seen: Seen<Node>, node: Node, path: Path): unknown[] | undefined {
    if (seen.is !== "list") {
      return wrongType(
        what,
        seen,
        node,
        path,
        seen.is === "nothing" ? "Write the list, or [] for an empty one." : "Write a list.",
      );
    }
    if (seen.items.length > what.maxCount) {
      const expected = `${what.expected}, at most ${what.maxCount}`;
      say("too-large", path, look.positionOf(node), expected, `${seen.items.length}`, "Split it into several formulas.");
    }
    const taken = new Set<unknown>();
    const values: unknown[] = [];
    seen.items.slice(0, what.maxCount).forEach((item, index) => {
      const value = read(what.of, item, [...path, index]);
      if (value === undefined) return;
      values.push(value);
      if (what.unique === undefined || typeof value !== "object" || value === null) return;
      const name = (value as Record<string, unknown>)[what.unique];
      if (taken.has(name)) {
        const remedy = "Give each its own; a stage or a trial refers to it.";
        say(
          "duplicate",
          [...path, index, what.unique],
          look.positionOf(item),
          `a ${what.unique} of its own`,
          `"${clip(String(name))}" again`,
          remedy,
        );
      }
      taken.add(name);
    });
    return values;
  }

  function readRecord(what: RecordShape, seen: Seen<Node>, node: Node, path: Path): Record<string, unknown> | undefined {
    if (seen.is !== "record")
      return wrongType(what, seen, node, path, `Write the fields: ${Object.keys(what.fields).join(", ")}.`);
    const found = new Map<string, Node>();
    for (const { key, value, position } of seen.entries) {
      const field = Object.hasOwn(what.fields, key) ? what.fields[key] : undefined;
      const at = position ?? look.positionOf(value) ?? look.positionOf(node);
      if (field === undefined) {
        const near = nearest(key, Object.keys(what.fields));
        const lone = near === undefined && look.see(value).is === "nothing";
        const remedy = lone
          ? "If it belongs to the words before the comma, put all of them in quotation marks; else remove it."
          : near === undefined
            ? "Remove it; nothing reads it."
            : `Did you mean "${near}"?`;
        say("unknown-field", [...path, key], at, `one of: ${Object.keys(what.fields).join(", ")}`, `"${clip(key)}"`, remedy);
      } else if (found.has(key)) {
        say("duplicate", [...path, key], at, `"${key}" once`, "a second one", "Remove one of the two.");
      } else found.set(key, value);
    }
    const result: Record<string, unknown> = {};
    let usable = true;
    for (const [key, field] of Object.entries(what.fields)) {
      let value: unknown;
      if (found.has(key)) value = read(field.shape, found.get(key) as Node, [...path, key]);
      else if (!field.optional) {
        say(
          "missing-field",
          [...path, key],
          look.positionOf(node),
          `"${key}": ${field.shape.expected}`,
          "nothing",
          `Add "${key}".`,
        );
      }
      if (value === undefined && !field.optional) value = field.standIn;
      if (value !== undefined) result[key] = value;
      else if (!field.optional) usable = false;
    }
    return usable ? result : undefined;
  }

  function readVariants(what: VariantsShape, seen: Seen<Node>, node: Node, path: Path): unknown {
    if (seen.is !== "record") return wrongType(what, seen, node, path, `Write the fields, beginning with "${what.tag}".`);
    const tag = seen.entries.find((entry) => entry.key === what.tag);
    const values = what.cases.map(({ value }) => String(value));
    if (tag === undefined) {
      const remedy = `Add "${what.tag}", one of: ${values.join(", ")}.`;
      return say("missing-field", [...path, what.tag], look.positionOf(node), what.expected, `no "${what.tag}"`, remedy);
    }
    const tagSeen = look.see(tag.value);
    const match = what.cases.find(({ value }) => "value" in tagSeen && tagSeen.value === value);
    if (match !== undefined) return readRecord(match.record, seen, node, path);
    const near = tagSeen.is === "text" ? nearest(tagSeen.value, values) : undefined;
    const remedy = near === undefined ? `Use one of: ${values.join(", ")}.` : `Did you mean "${near}"?`;
    return say(
      "out-of-range",
      [...path, what.tag],
      look.positionOf(tag.value),
      `one of: ${values.join(", ")}`,
      show(tagSeen),
      remedy,
    );
  }

  return { value: read(shape, root, []), problems };
}

/** "250g" and "1,5" are what people write; say how to write the same as a number. */
function numberRemedy(text: string): string {
  const number = /^\s*[~≈]?\s*(\d+(?:[.,]\d+)?)/.exec(text.slice(0, 40))?.[1]?.replace(",", ".");
  return number === undefined ? "Write a number, with no unit and no quotes." : `Write the number alone: ${number}`;
}

function show(seen: Seen<unknown>): string {
  switch (seen.is) {
    case "text":
      return `"${clip(seen.value)}"`;
    case "number":
    case "flag":
      return String(seen.value);
    case "nothing":
      return "nothing";
    case "list":
      return "a list";
    case "record":
      return "a set of fields";
    case "strange":
      return clip(seen.words);
  }
}

const clip = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}...` : text);
const clipKey = (step: string | number): string | number => (typeof step === "string" ? clip(step) : step);

/** The known word that a mistyped one most likely means, or none when nothing is near. */
export function nearest(word: string, known: readonly string[]): string | undefined {
  if (word.length > 40) return undefined;
  const lower = word.toLowerCase();
  let best: string | undefined;
  let bestSteps = Math.max(1, Math.floor(word.length / 3)) + 1;
  for (const candidate of known) {
    const steps = editSteps(lower, candidate.toLowerCase());
    if (steps < bestSteps) [best, bestSteps] = [candidate, steps];
  }
  return best;
}

/** Letters to insert, remove, replace or swap with a neighbour (optimal string alignment distance). */
function editSteps(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      let steps = Math.min(last[j]! + 1, row[j - 1]! + 1, last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) steps = Math.min(steps, beforeLast[j - 2]! + 1);
      row.push(steps);
    }
    [beforeLast, last] = [last, row];
  }
  return last[b.length]!;
}
