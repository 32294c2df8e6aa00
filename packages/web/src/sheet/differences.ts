import { compareFormulas, type Formula, type IngredientChange } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import type { Settings } from "../app/house.js";
import type { LineDifferences } from "./shown.js";

/** What differs on each line from another revision; an ingredient that stands in several stages says it once, on its first line. */
export function lineDifferences(before: Formula, now: Formula, book: IngredientBook, settings: Settings): LineDifferences {
  const comparison = compareFormulas(before, now, book);
  const components = now.components.map((component) => {
    const compared = comparison.components.find(({ name }) => name.after === component.name);
    const changes = new Map<string, IngredientChange>(compared?.ingredients.map((change) => [change.ingredient, change]));
    const stageNames = new Set(component.stages.map(({ name }) => name));
    const seen = new Set<string>();
    const lines = component.stages.map((stage) =>
      stage.uses.map(({ ingredient }) => {
        const change = changes.get(ingredient);
        if (change === undefined || seen.has(ingredient)) return null;
        seen.add(ingredient);
        if (change.status === "added") return "new";
        return change.status === "changed" ? signedGrams(change.changeGrams, settings) : null;
      }),
    );
    const gone = component.stages.map((stage, index) =>
      [...changes.values()]
        .filter(({ status }) => status === "removed")
        .filter(({ stages }) => {
          const home = stages.before[0];
          return home === stage.name || (index === 0 && (home === undefined || !stageNames.has(home)));
        })
        .map((change) => ({
          key: change.ingredient,
          name: change.name,
          grams:
            change.grams.before === null ? "" : formatGrams(change.grams.before, { bare: true, weighing: settings.rounding }),
        })),
    );
    const { before: old, after } = compared?.totalGrams ?? { before: null, after: null };
    return { lines, gone, total: old === null || after === null ? null : signedGrams(after - old, settings) };
  });
  return {
    line: (c, s, u) => components[c]?.lines[s]?.[u] ?? null,
    gone: (c, s) => components[c]?.gone[s] ?? [],
    total: (c) => components[c]?.total ?? null,
  };
}

/** "+12", "−3"; null where nothing changed that a scale could tell. */
export function signedGrams(grams: number | null, settings: Settings): string | null {
  if (grams === null || Math.abs(grams) < 0.05) return null;
  return `${grams > 0 ? "+" : ""}${formatGrams(grams, { bare: true, weighing: settings.rounding })}`;
}

/** One plain line for each thing that changed. */
export const changeSentences = (before: Formula, now: Formula, book: IngredientBook): readonly string[] =>
  compareFormulas(before, now, book).summary;
