import type { Problem, Reading } from "../quantities/index.js";
import type { Cell, DataRow } from "./factors.js";

/** A table as it came: names of the columns and one row per line. */
export interface Table {
  readonly columns: readonly string[];
  readonly rows: readonly DataRow[];
  /** Line of the text that each row began on, counted from 1. */
  readonly lines: readonly number[];
}

/** Largest text read [characters], rows, and columns. More is refused, so that a wrong file cannot stop the program. */
export const CSV_LIMITS = { characters: 5_000_000, rows: 50_000, columns: 300 } as const;

/** What counts as "not measured"; compared in lower case. */
const MISSING = new Set(["", "-", "–", "na", "n/a", "nan", "null", "none", "missing", "."]);
const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i;
const NUMBER_WITH_COMMA = /^[+-]?\d+(,\d+)?(e[+-]?\d+)?$/i;
/** Text that a spreadsheet would run as a formula. */
const DANGEROUS_START = /^[=+\-@\t\r]/;

/**
 * Reads comma-separated values (RFC 4180): quoted fields, doubled quotes, either line end, a leading byte-order mark.
 * Semicolons and tabs are taken for separators when the first line has them and no comma outside quotes; with semicolons a decimal comma is read.
 *
 * Always gives what could be read. Rows of the wrong length are left out, with the line and what was expected.
 */
export function readCsv(text: string): Reading<Table> {
  const problems: Problem[] = [];
  const empty: Table = { columns: [], rows: [], lines: [] };
  if (text.length > CSV_LIMITS.characters) {
    const remedy = "Split the file, or check that it is the right one.";
    return {
      value: empty,
      problems: [
        { code: "too-large", path: [], expected: `at most ${CSV_LIMITS.characters} characters`, found: `${text.length}`, remedy },
      ],
    };
  }
  const plain = text.startsWith("\uFEFF") ? text.slice(1) : text;
  const separator = separatorOf(plain);
  const { records, problem } = splitRecords(plain, separator);
  if (problem !== undefined) problems.push(problem);
  const [header, ...body] = records.filter(({ fields }) => fields.length > 1 || fields[0]!.text.trim() !== "");
  if (header === undefined) {
    problems.push({
      code: "missing-field",
      path: [],
      expected: "a first line with the names of the columns",
      found: "nothing",
      remedy: "Export the table with its header line.",
    });
    return { value: empty, problems };
  }
  const columns = header.fields.map(({ text: name }) => unguard(name.trim()));
  for (const [index, name] of columns.entries()) {
    const position = { line: header.line, column: header.fields[index]!.column };
    if (name === "" && body.some(({ fields }) => (fields[index]?.text.trim() ?? "") !== "")) {
      problems.push({
        code: "missing-field",
        path: [index],
        position,
        expected: "a name for each column",
        found: `column ${index + 1} without a name`,
        remedy: "Name the column in the first line.",
      });
    }
    if (name !== "" && columns.indexOf(name) !== index) {
      problems.push({
        code: "duplicate",
        path: [index],
        position,
        expected: "column names that differ",
        found: name,
        remedy: "Rename one of the columns.",
      });
    }
  }
  if (columns.length > CSV_LIMITS.columns) {
    problems.push({
      code: "too-large",
      path: [],
      expected: `at most ${CSV_LIMITS.columns} columns`,
      found: `${columns.length}`,
      remedy: "Leave out columns that are not needed.",
    });
    return { value: empty, problems };
  }
  const keptPlaces = [...columns.keys()].filter((index) => columns[index] !== "" && columns.indexOf(columns[index]!) === index);
  const rows: DataRow[] = [];
  const lines: number[] = [];
  for (const { fields, line } of body) {
    if (rows.length >= CSV_LIMITS.rows) {
      problems.push({
        code: "too-large",
        path: [],
        position: { line, column: 1 },
        expected: `at most ${CSV_LIMITS.rows} rows`,
        found: "more",
        remedy: "Split the file.",
      });
      break;
    }
    if (fields.length !== columns.length) {
      problems.push({
        code: "syntax",
        path: [rows.length],
        position: { line, column: 1 },
        expected: `${columns.length} fields, as in the first line`,
        found: `${fields.length}`,
        remedy: "Check for a missing or extra separator, or put text with separators in double quotes.",
      });
      continue;
    }
    // No prototype: a column called "__proto__" is a column like any other.
    const row: Record<string, Cell> = Object.create(null);
    for (const index of keptPlaces) row[columns[index]!] = cellOf(fields[index]!, separator);
    rows.push(row);
    lines.push(line);
  }
  return { value: { columns: keptPlaces.map((index) => columns[index]!), rows, lines }, problems };
}

/**
 * Writes comma-separated values (RFC 4180, CRLF line ends). Text that a spreadsheet would run as a formula gets an apostrophe in front,
 * which `readCsv` takes away again; numbers are written in full precision.
 */
export function writeCsv(columns: readonly string[], rows: readonly DataRow[]): string {
  const field = (value: Cell | undefined): string => {
    if (value === null || value === undefined) return "";
    const text =
      typeof value === "number"
        ? Number.isFinite(value)
          ? String(value)
          : ""
        : DANGEROUS_START.test(value) || value.startsWith("'")
          ? `'${value}`
          : value;
    return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return [columns.map((name) => field(name)), ...rows.map((row) => columns.map((name) => field(row[name])))]
    .map((line) => `${line.join(",")}\r\n`)
    .join("");
}

interface Field {
  readonly text: string;
  readonly quoted: boolean;
  readonly column: number;
}

function splitRecords(text: string, separator: string): { records: { fields: Field[]; line: number }[]; problem?: Problem } {
  const records: { fields: Field[]; line: number }[] = [];
  let fields: Field[] = [];
  let line = 1;
  let lineStart = 0;
  let recordLine = 1;
  let at = 0;
  while (at <= text.length) {
    const column = at - lineStart + 1;
    let value = "";
    let quoted = false;
    if (text[at] === '"') {
      quoted = true;
      const openLine = line;
      at++;
      for (;;) {
        const end = text.indexOf('"', at);
        if (end < 0) {
          const problem: Problem = {
            code: "syntax",
            path: [records.length],
            position: { line: openLine, column },
            expected: "a closing double quote",
            found: "the end of the file",
            remedy: "Close the quote, or write a double quote inside text as two.",
          };
          return { records, problem };
        }
        const part = text.slice(at, end);
        for (let index = part.indexOf("\n"); index >= 0; index = part.indexOf("\n", index + 1)) {
          line++;
          lineStart = at + index + 1;
        }
        value += part;
        at = end + 1;
        if (text[at] !== '"') break;
        value += '"';
        at++;
      }
    }
    let end = at;
    while (end < text.length && text[end] !== separator && text[end] !== "\n" && text[end] !== "\r") end++;
    // Text after a closing quote is kept as it stands: lenient, and visible to the person.
    value += text.slice(at, end);
    fields.push({ text: value, quoted, column });
    at = end;
    if (at < text.length && text[at] === separator) {
      at++;
      if (at === text.length) {
        fields.push({ text: "", quoted: false, column: at - lineStart + 1 });
        records.push({ fields, line: recordLine });
        return { records };
      }
      continue;
    }
    records.push({ fields, line: recordLine });
    fields = [];
    if (at >= text.length) break;
    at += text[at] === "\r" && text[at + 1] === "\n" ? 2 : 1;
    line++;
    lineStart = at;
    recordLine = line;
    if (at >= text.length) break;
  }
  return { records };
}

function separatorOf(text: string): string {
  let quoted = false;
  const counts = { ",": 0, ";": 0, "\t": 0 };
  for (let at = 0; at < text.length; at++) {
    const character = text[at]!;
    if (character === '"') quoted = !quoted;
    else if (!quoted && (character === "\n" || character === "\r")) break;
    else if (!quoted && character in counts) counts[character as keyof typeof counts]++;
  }
  if (counts[","] > 0) return ",";
  return counts[";"] > 0 ? ";" : counts["\t"] > 0 ? "\t" : ",";
}

function cellOf({ text, quoted }: Field, separator: string): Cell {
  const trimmed = text.trim();
  if (!quoted && MISSING.has(trimmed.toLowerCase())) return null;
  if (NUMBER.test(trimmed)) return Number(trimmed);
  if (separator === ";" && NUMBER_WITH_COMMA.test(trimmed)) return Number(trimmed.replace(",", "."));
  return unguard(quoted ? text : trimmed);
}

const unguard = (text: string): string =>
  text.startsWith("'") && (DANGEROUS_START.test(text.slice(1)) || text.startsWith("''")) ? text.slice(1) : text;
