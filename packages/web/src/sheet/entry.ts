import {
  addUse,
  changeComponent,
  changeStage,
  changeUse,
  type Edited,
  type Formula,
  type PercentEdit,
  setGrams,
  setPercent,
} from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { type Problem, parseQuantity, type Result, readGrams } from "@evencrumb/core/quantities";
import type { CellPlace } from "../formula/session.js";

export interface EntryChoices {
  /** What the percent column shows. */
  readonly basis: "batch" | "bakers";
  readonly hold: PercentEdit["hold"];
}

/** An ingredient that was picked from the list, by its id; or text as it was typed. */
export type Entry = { readonly text: string; readonly ingredient?: string };

/** The edit that entering something in a cell means. */
export function editFor(
  place: CellPlace,
  entry: Entry,
  choices: EntryChoices,
): (formula: Formula, book: IngredientBook) => Edited {
  const text = entry.text.trim();
  return (formula, book) => {
    const { component, stage, use, column } = place;
    if (stage === undefined) return changeComponent(formula, component, { name: text });
    if (use === undefined) return changeStage(formula, { component, stage }, { name: text });
    const at = { component, stage, use };
    const uses = formula.components[component]!.stages[stage]!.uses;
    if (use >= uses.length) {
      if (text === "") return { ok: true, value: formula };
      return addUse(formula, { component, stage }, { ingredient: entry.ingredient ?? text, grams: null });
    }
    switch (column) {
      case "name":
        return text === "" ? { ok: true, value: formula } : changeUse(formula, at, { ingredient: entry.ingredient ?? text });
      case "note":
        return changeUse(formula, at, { note: text === "" ? undefined : text });
      case "grams": {
        if (text === "") return setGrams(formula, at, null);
        const read = readGrams(text, { path: [...pathOf(at), "grams"] });
        return read.ok ? setGrams(formula, at, read.value) : read;
      }
      case "percent":
      case "share": {
        const read = readPercent(text, [...pathOf(at), "grams"]);
        if (!read.ok) return read;
        const basis = column === "share" ? "group" : choices.basis;
        return setPercent(formula, book, at, { basis, percent: read.value, hold: choices.hold });
      }
    }
  };
}

/** "25" and "25 %" alike: the column already says percent. */
function readPercent(text: string, path: Problem["path"]): Result<number, Problem> {
  const { value, problems } = parseQuantity(text, { path });
  if (value?.kind === "number") return { ok: true, value: value.value };
  if (value?.kind === "percent") return { ok: true, value: value.percent };
  const expected = "a percentage such as 25";
  const remedy = problems[0]?.remedy ?? "Type a number; the % may be left out.";
  return { ok: false, error: { code: "out-of-range", path, expected, found: text, remedy } };
}

const pathOf = (at: { component: number; stage: number; use: number }) => [
  "components",
  at.component,
  "stages",
  at.stage,
  "uses",
  at.use,
];
