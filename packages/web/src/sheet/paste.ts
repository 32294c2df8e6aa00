import type { Edited, Formula } from "@evencrumb/core/formula";
import { type IngredientBook, type NameStyle, searchIngredients } from "@evencrumb/core/ingredients";
import type { CellPlace } from "../formula/session.js";
import { type Entry, type EntryChoices, editFor } from "./entry.js";
import { COLUMNS, sheetRows } from "./rows.js";

type Step = (formula: Formula, book: IngredientBook) => Edited;

/**
 * What pasting cells means. Lines go over the lines from the chosen one on, headings left out; where they start in the
 * ingredient column they fill the stage and go on below its last line.
 */
export function pasteSteps(
  formula: Formula,
  book: IngredientBook,
  start: CellPlace,
  cells: readonly (readonly string[])[],
  choices: EntryChoices,
  names: NameStyle,
): Step[] {
  const columns = COLUMNS.slice(COLUMNS.indexOf(start.column));
  const targets = targetLines(formula, start, cells.length);
  return cells.flatMap((line, index): Step[] => {
    const target = targets[index];
    if (target === undefined) return [];
    return line.slice(0, columns.length).flatMap((text, at): Step[] => {
      const column = columns[at]!;
      // Two shares of one paste would undo each other; the weights decide.
      if (column === "share" || (column === "percent" && line.length > 1 && columns[0] !== "percent")) return [];
      const entry: Entry = column === "name" ? namedEntry(text, book, names) : { text };
      return [editFor({ ...target, column }, entry, choices)];
    });
  });
}

function namedEntry(text: string, book: IngredientBook, names: NameStyle): Entry {
  const [best] = searchIngredients(book, text, { names, limit: 1 });
  return best?.exact ? { text, ingredient: best.ingredient.id } : { text };
}

function targetLines(formula: Formula, start: CellPlace, count: number): readonly Omit<CellPlace, "column">[] {
  const { component, stage, use } = start;
  if (stage === undefined || use === undefined) return [{ component, ...(stage === undefined ? {} : { stage }) }];
  if (start.column === "name") return Array.from({ length: count }, (_, index) => ({ component, stage, use: use + index }));
  const lines = sheetRows(formula).filter((row) => row.is === "use");
  const from = lines.findIndex((row) => row.component === component && row.stage === stage && row.use === use);
  return from < 0
    ? []
    : lines.slice(from, from + count).map((row) => ({ component: row.component, stage: row.stage, use: row.use }));
}
