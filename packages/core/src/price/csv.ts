/** One cell of comma-separated text and where it begins, both from 1. */
export interface CsvCell {
  readonly text: string;
  readonly line: number;
  readonly column: number;
}

export interface CsvTable {
  readonly rows: readonly (readonly CsvCell[])[];
  /** Where a quotation mark opens that nothing closes: what follows it cannot be told apart. */
  readonly unclosed?: { readonly line: number; readonly column: number };
}

/** Reads comma-separated text after RFC 4180: quotes may hold commas, doubled quotes and line ends. A byte order mark is passed over. */
export function readCsv(text: string): CsvTable {
  const body = text.startsWith("\uFEFF") ? text.slice(1) : text;
  const rows: CsvCell[][] = [];
  let cells: CsvCell[] = [];
  let value = "";
  let quoted = false;
  let [line, lineStart] = [1, 0];
  let start = { line: 1, column: 1 };
  const endCell = (index: number) => {
    cells.push({ text: value, ...start });
    value = "";
    start = { line, column: index - lineStart + 2 };
  };
  for (let index = 0; index < body.length; index += 1) {
    const character = body[index]!;
    if (character === "\n") {
      line += 1;
      if (!quoted) {
        endCell(index);
        rows.push(cells);
        cells = [];
        start = { line, column: 1 };
      } else value += character;
      lineStart = index + 1;
    } else if (quoted) {
      if (character !== '"') value += character;
      else if (body[index + 1] === '"') {
        value += '"';
        index += 1;
      } else quoted = false;
    } else if (character === '"' && value === "") quoted = true;
    else if (character === ",") endCell(index);
    else if (character !== "\r") value += character;
  }
  if (value !== "" || cells.length > 0 || quoted) {
    cells.push({ text: value, ...start });
    rows.push(cells);
  }
  return { rows, ...(quoted ? { unclosed: start } : {}) };
}

/** A cell as text. One that a spreadsheet would take for a command is kept from being one by a leading apostrophe. */
export function csvCell(value: string): string {
  const harmless = /^'*[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

/** What `csvCell` was given: the apostrophe that it put there is taken off again. */
export const plainCell = (text: string): string => (/^'+[=+\-@\t\r]/.test(text) ? text.slice(1) : text);
