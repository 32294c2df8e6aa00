/** One column of a table of plain text. */
export interface Column {
  readonly heading: string;
  /** decimal: aligned on the decimal point. */
  readonly align: "left" | "decimal";
}

/**
 * Rows as lines of text, columns two spaces apart, numbers aligned on the decimal point. An empty cell stays empty; trailing
 * spaces are cut. Headings are left out where all are empty.
 */
export function tableText(columns: readonly Column[], rows: readonly (readonly string[])[], indent = ""): string {
  const shaped = columns.map((column, index) =>
    shapeColumn(
      column,
      rows.map((row) => row[index] ?? ""),
    ),
  );
  const lines = rows.map((_row, rowIndex) => shaped.map(({ cells }) => cells[rowIndex]!).join("  "));
  const heading = columns.some(({ heading }) => heading !== "") ? [shaped.map(({ heading }) => heading).join("  ")] : [];
  return [...heading, ...lines].map((line) => `${indent}${line}`.trimEnd()).join("\n");
}

function shapeColumn({ heading, align }: Column, cells: readonly string[]): { heading: string; cells: readonly string[] } {
  if (align === "left") {
    const width = Math.max(widthOf(heading), ...cells.map(widthOf));
    return { heading: padEnd(heading, width), cells: cells.map((cell) => padEnd(cell, width)) };
  }
  const parts = cells.map((cell) => {
    const point = cell.search(/[.]\d/);
    return point < 0 ? { whole: cell, rest: "" } : { whole: cell.slice(0, point), rest: cell.slice(point) };
  });
  const rest = Math.max(0, ...parts.map((part) => widthOf(part.rest)));
  const whole = Math.max(widthOf(heading) - rest, ...parts.map((part) => widthOf(part.whole)));
  return {
    heading: padStart(heading, whole + rest),
    cells: parts.map((part) => padStart(part.whole, whole) + padEnd(part.rest, rest)),
  };
}

/** Letters as a terminal counts them: combining marks take no room. */
const widthOf = (text: string) => [...text.normalize("NFC").replace(/\p{M}/gu, "")].length;
const padEnd = (text: string, width: number) => text + " ".repeat(Math.max(0, width - widthOf(text)));
const padStart = (text: string, width: number) => " ".repeat(Math.max(0, width - widthOf(text))) + text;

/** Words on lines no longer than `width`, each after `indent`. */
export function wrapped(text: string, width = 96, indent = ""): string {
  const lines: string[] = [];
  for (const paragraph of text.split("\n")) {
    let line = "";
    for (const word of paragraph.split(/\s+/).filter(Boolean)) {
      if (line !== "" && widthOf(line) + 1 + widthOf(word) > width - indent.length) {
        lines.push(line);
        line = word;
      } else line = line === "" ? word : `${line} ${word}`;
    }
    lines.push(line);
  }
  return lines.map((line) => `${indent}${line}`).join("\n");
}
