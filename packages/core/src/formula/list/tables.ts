/** A row of a table put into a line that reads as any other. */
export interface TableLine {
  readonly text: string;
  readonly head: boolean;
}

const UNIT_ONLY = /^(?:g|gr|grams?|kg|ml|l|oz|lbs?|tsp|tbsp|cups?|teaspoons?|tablespoons?|%|pcs?|pieces?|each)\.?$/i;
const NUMBER_ONLY = /^[~]?\d[\d.,/ ]*$|^\d+\s+\d\/\d$/;
const AMOUNT =
  /^[~]?(?:about |approx\.? )?\d[\d.,/ -]*\s*(?:x\s*\d+\s*)?(?:g|gr|gms?|grams?|kg|ml|cl|dl|l|oz|fl\.? ?oz|lbs?|tsp|tbsp|cups?|teaspoons?|tablespoons?|pinch|large|medium|small|sticks?)?\b[^a-z]*$/i;
const HEAD_WORDS =
  /^(?:ingredients?|items?|names?|amounts?|quantit(?:y|ies)|qty|weights?|units?|measures?|grams?|g|%|percent|baker'?s %|bakers percent|notes?|metric|imperial|us|cups|preparation|prep|no\.?|#|component|stage|code|sku|ref|kg|kilos?|oz|ml|lbs?|ingredient name|raw materials?|materials?|description|products?|batch|total|costs?|price|supplier|allergens?|step)(?:\s*\([^)]*\))?$/i;

/**
 * Lines that are rows of a table (tabs or bars between the cells), as lines with the amount in front; undefined for the others.
 * A head that names a unit ("Grams", "Weight (g)") lends it to bare numbers under it.
 */
export function tableLines(text: readonly string[]): readonly (TableLine | undefined)[] {
  const lines = spacedColumns(text);
  let unitOfColumn: (string | undefined)[] = [];
  let percentColumns = new Set<number>();
  let skippedColumns = new Set<number>();
  return lines.map((line) => {
    const bars = line.includes("|");
    if (!bars && !line.includes("\t")) {
      if (line.trim() === "") {
        unitOfColumn = [];
        percentColumns = new Set();
        skippedColumns = new Set();
      }
      return undefined;
    }
    const cells = (
      bars
        ? line
            .replace(/^\s*\|/, "")
            .replace(/\|\s*$/, "")
            .split("|")
        : line.split("\t")
    ).map((cell) => cell.replace(/\*\*|__/g, "").trim());
    const filled = cells.filter((cell) => cell !== "" && !/^[*•·▪☐□✓-]$|^\[[ xX]?\]$/.test(cell));
    if (filled.length === 0 || /^[\s|:-]*$/.test(line)) return undefined;
    // "| Filling | | |": a heading within the table
    if (filled.length === 1) return bars && cells.length > 1 ? { text: filled[0], head: false } : undefined;
    // "30g|1oz cocoa": a pair of amounts and no table
    if (bars && cells.length === 2 && cells.every((cell) => /^\d/.test(cell)) && /[a-z]{3}/i.test(cells[1])) return undefined;
    // "Madeira slab | g | %": the product's name stands over the names
    const underName =
      cells.length > 2 && /^[A-Za-z]/.test(cells[0]) && cells.slice(1).every((cell) => /^(?:g|kg|oz|ml|%|lbs?)$/i.test(cell));
    if (underName || (filled.length >= 2 && cells.every((cell) => cell === "" || HEAD_WORDS.test(cell)))) {
      unitOfColumn = cells.map((cell) =>
        /\b(?:g|grams?)\b/i.test(cell)
          ? "g"
          : /\bkg\b/i.test(cell)
            ? "kg"
            : /\boz\b/i.test(cell)
              ? "oz"
              : /\bml\b/i.test(cell)
                ? "ml"
                : undefined,
      );
      percentColumns = new Set(cells.flatMap((cell, at) => (/%|percent/i.test(cell) ? [at] : [])));
      skippedColumns = new Set(
        cells.flatMap((cell, at) => (/^(?:code|sku|ref|no\.?|#|costs?|price|supplier|step)/i.test(cell) ? [at] : [])),
      );
      return { text: filled.join(" "), head: true };
    }
    const amounts: string[] = [];
    const names: string[] = [];
    const notes: string[] = [];
    let pending: string | undefined;
    cells.forEach((cell, at) => {
      if (cell === "" || /^[*•·▪☐□✓-]$|^\[[ xX]?\]$/.test(cell)) return;
      // A code, a cost: nothing to weigh; "001" is a code without a head too.
      if (skippedColumns.has(at) || (/^0\d+$/.test(cell) && at < cells.length - 1)) return;
      if (percentColumns.has(at) && /^[\d.,\s%]+$/.test(cell)) {
        if (cells.length === 2 || !cells.some((other, index) => index !== at && AMOUNT.test(other)))
          amounts.push(cell.includes("%") ? cell : `${cell}%`);
        else notes.push(cell.includes("%") ? cell : `${cell} %`);
        return;
      }
      if (pending !== undefined && UNIT_ONLY.test(cell)) {
        amounts[amounts.length - 1] = `${pending} ${cell}`;
        pending = undefined;
        return;
      }
      if (NUMBER_ONLY.test(cell)) {
        const unit = unitOfColumn[at];
        amounts.push(unit === undefined ? cell : `${cell} ${unit}`);
        pending = unit === undefined ? cell : undefined;
        return;
      }
      pending = undefined;
      if (/^[\d.,]+\s?%$/.test(cell)) (amounts.length === 0 && cells.length === 2 ? amounts : notes).push(cell);
      else if (AMOUNT.test(cell)) amounts.push(cell);
      else if (names.length === 0) names.push(cell);
      else notes.push(cell);
    });
    if (names.length === 0) return { text: filled.join(" "), head: false };
    const extra = notes.length === 0 ? "" : `, ${notes.join(", ")}`;
    if (amounts.length === 0) return { text: `${names.join(" ")}${extra}`, head: false };
    const [first, ...others] = amounts;
    const pairs = others.length === 0 ? "" : ` (${others.join(") (")})`;
    return { text: `${first}${pairs} ${names.join(" ")}${extra}`, head: false };
  });
}

const cellsOf = (line: string): readonly string[] => line.trim().split(/ {2,}/);
const NUMBER_CELL = /^\d[\d.,]*\s?(?:g|kg|ml|oz|%)?$/i;

/** Columns that were lined up with spaces, as tabs: three lines and more of a name and the same number of figures. */
function spacedColumns(lines: readonly string[]): readonly string[] {
  const isRow = (line: string) => {
    const cells = cellsOf(line);
    return (
      !/[\t|]/.test(line) &&
      cells.length >= 3 &&
      /^[A-Za-z]/.test(cells[0]) &&
      cells.slice(1).every((cell) => NUMBER_CELL.test(cell))
    );
  };
  const out = [...lines];
  for (let from = 0; from < lines.length; from += 1) {
    if (!isRow(lines[from])) continue;
    const width = cellsOf(lines[from]).length;
    let to = from;
    while (to < lines.length && isRow(lines[to]) && cellsOf(lines[to]).length === width) to += 1;
    if (to - from >= 3) {
      const head = from > 0 && cellsOf(lines[from - 1]).length === width && !/[\t|]/.test(lines[from - 1]) ? from - 1 : from;
      for (let at = head; at < to; at += 1) out[at] = cellsOf(lines[at]).join("\t");
    }
    from = Math.max(from, to - 1);
  }
  return out;
}
