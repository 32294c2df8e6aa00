import { type Component, componentGrams } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";

/** Acidity of a component as far as lists tell it. */
export interface Acidity {
  readonly from: number;
  readonly to: number;
  readonly basis: "measured" | "list" | "assumed";
  readonly source: string;
}

const FDA_LIST = "US agency list of approximate pH of foods (2003)";

/** Lists of pH for what fills cakes; `least` is the share of the component's weight from which the list counts for it. */
const LISTS: readonly {
  readonly pattern: RegExp;
  readonly least: number;
  readonly from: number;
  readonly to: number;
  readonly source: string;
}[] = [
  { pattern: /-jam$|^jam-|marmalade/, least: 0.6, from: 3.5, to: 4.5, source: `${FDA_LIST}, as quoted on a public page` },
  { pattern: /lemon-curd/, least: 0.6, from: 3.2, to: 4.0, source: "from memory" },
  { pattern: /cream-cheese|soft-cheese/, least: 0.4, from: 4.1, to: 4.8, source: `from memory of the ${FDA_LIST}` },
  {
    pattern: /lemon-juice|lime-juice/,
    least: 0.15,
    from: 2.2,
    to: 4.6,
    source:
      "lemon juice 2.2 (USDA laboratory table), lemon curd 3.2 to 4.0 (from memory); how far egg and butter raise it is not known, so up to 4.6 is assumed",
  },
  {
    pattern: /buttermilk|yoghurt|soured-cream|creme-fraiche/,
    least: 0.5,
    from: 4.2,
    to: 4.8,
    source: `from memory of the ${FDA_LIST}`,
  },
];

/**
 * pH of a component: measured, or from published lists for what most of it is, or else assumed low in acid (up to 7), which is
 * the careful side.
 */
export function acidityOf(component: Component, book: IngredientBook, measuredPh?: number, measuredBand = 0.1): Acidity {
  if (measuredPh !== undefined) {
    return {
      from: Math.max(0, measuredPh - measuredBand),
      to: Math.min(14, measuredPh + measuredBand),
      basis: "measured",
      source: "measured by the baker",
    };
  }
  const total = componentGrams(component);
  for (const { pattern, least, from, to, source } of LISTS) {
    const weight = component.stages
      .flatMap(({ uses }) => uses)
      .filter((use) => pattern.test(book.get(use.ingredient)?.id ?? ""))
      .reduce((sum, use) => sum + (use.grams ?? 0), 0);
    if (total > 0 && weight >= least * total) return { from, to, basis: "list", source };
  }
  return {
    from: 5.5,
    to: 7,
    basis: "assumed",
    source: "no list covers it: taken as low in acid, the careful side; measure the pH to know",
  };
}
