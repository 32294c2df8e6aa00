/** Cells as other programs exchange them: tab between cells, line end between lines, quotes around what holds either. */
export function cellsAsText(cells: readonly (readonly string[])[]): string {
  return cells.map((line) => line.map(quoted).join("\t")).join("\n");
}

const quoted = (cell: string): string => (/[\t\n\r"]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

export function textAsCells(text: string): string[][] {
  const lines: string[][] = [[]];
  let cell = "";
  let within = false;
  const body = text.replace(/\r\n?/g, "\n").replace(/\n$/, "");
  for (let at = 0; at < body.length; at++) {
    const letter = body[at]!;
    if (within) {
      if (letter !== '"') cell += letter;
      else if (body[at + 1] === '"') {
        cell += '"';
        at++;
      } else within = false;
    } else if (letter === '"' && cell === "") within = true;
    else if (letter === "\t") {
      lines.at(-1)!.push(cell);
      cell = "";
    } else if (letter === "\n") {
      lines.at(-1)!.push(cell);
      lines.push([]);
      cell = "";
    } else cell += letter;
  }
  lines.at(-1)!.push(cell);
  return lines;
}
