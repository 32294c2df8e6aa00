import type { Formula } from "../formula/index.js";
import { displayName, type IngredientBook, type NameStyle } from "../ingredients/index.js";
import { oneLine } from "./plainText.js";

/** British goods that American shops seldom have, and the nearest that they do (common practice, no source). */
const NEAREST_IN_US: Readonly<Record<string, string>> = {
  "double-cream": "heavy-cream",
  "double-cream-cofid": "heavy-cream",
  "black-treacle": "molasses",
  "golden-syrup": "corn-syrup-light",
};

/**
 * What a reader in another country cannot buy, with the nearest that is sold there. The nearest is named and not put in: with it, it is
 * another formula, which nobody has tested.
 */
export function abroadCautions(formula: Formula, book: IngredientBook, names: NameStyle): readonly string[] {
  if (names !== "us") return [];
  const used = new Set(
    formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
  );
  return [...used].flatMap((id) => {
    const [here, there] = [book.get(id), book.get(NEAREST_IN_US[id] ?? "")];
    if (here === undefined || there === undefined) return [];
    const fat = [here, there].map(({ role, per100g }) =>
      role === "dairy" && per100g.fat.known ? ` (${per100g.fat.value.toFixed(0)} % fat)` : "",
    );
    const name = oneLine(displayName(here, "us"));
    return [
      `${name}${fat[0]} is seldom sold in the US. The nearest is ${displayName(there, "us").toLowerCase()}${fat[1]}: it makes a cake that was not tested here.`,
    ];
  });
}
