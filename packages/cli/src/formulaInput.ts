import { type Formula, parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook, type IngredientBook } from "@evencrumb/core/ingredients";
import { type ExitStatus, type Io, refuse } from "./io.js";

export interface FormulaInput {
  readonly formula: Formula;
  readonly book: IngredientBook;
  /** The file itself, whose comments a changed formula keeps. */
  readonly text: string;
}

/** A formula file and the book for it, or the exit status when it cannot be used; problems are said. */
export async function readFormula(io: Io, path: string): Promise<FormulaInput | ExitStatus> {
  const text = await io.readText(path);
  const { value, problems } = parseFormulaFile(text);
  const where = path === "-" ? "standard input" : path;
  if (value === undefined || problems.length > 0) return refuse(io, problems, where);
  return { formula: value, book: createIngredientBook(value.ingredients ?? []), text };
}

/** Says which ingredients of a formula the book does not know. */
export function sayUnknown(io: Io, formula: Formula, book: IngredientBook): void {
  const unknown = new Set(
    formula.components.flatMap((component) =>
      component.stages.flatMap((stage) => stage.uses.flatMap((use) => (book.get(use.ingredient) ? [] : [use.ingredient]))),
    ),
  );
  for (const id of unknown) {
    io.say(
      `"${id}" is not in the book: it weighs, and nothing else is known of it. evencrumb ingredients ${id} may find its name.`,
    );
  }
}
