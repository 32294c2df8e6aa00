import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Settings } from "../app/house.js";
import type { LineDifferences } from "./shown.js";

export function lineDifferences(_before: Formula, _now: Formula, _book: IngredientBook, _settings: Settings): LineDifferences {
  return { line: () => null, gone: () => [], total: () => null };
}
export function changeSentences(_before: Formula, _now: Formula, _book: IngredientBook, _settings: Settings): readonly string[] {
  return [];
}
