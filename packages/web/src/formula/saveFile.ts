import { type Formula, writeFormulaFile } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { download } from "../parts/download.js";

/** The formula as a file that travels, with the own ingredients that it uses. Loaded when it is asked for: it brings the YAML writer. */
export function saveFormulaFile(formula: Formula, book: IngredientBook): void {
  const used = new Set(
    formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
  );
  const own = book.all.filter(({ id, basis }) => used.has(id) && (basis === "own" || basis === "compound"));
  const whole: Formula = own.length === 0 ? formula : { ...formula, ingredients: own };
  download(`${formula.name}.yaml`, writeFormulaFile(whole), "application/yaml");
}
