import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Band } from "../quantities/index.js";
import { type Part, type PerishableKind, partOf, perishableOf } from "./perishable.js";

const PRACTICE = "common practice, no source";

/** Days from making to the last good slice of what is kept cold. */
export const CHILLED_DAYS: Readonly<Record<PerishableKind, Band & { readonly words: string }>> = {
  "raw-egg": { likely: 2, from: 1, to: 2, words: `raw or lightly cooked egg, kept cold (${PRACTICE})` },
  cream: { likely: 3, from: 2, to: 3, words: `fresh cream, kept cold (${PRACTICE})` },
  custard: { likely: 3, from: 2, to: 3, words: `cooked custard, kept cold (${PRACTICE})` },
  "soft-cheese": { likely: 4, from: 3, to: 5, words: `soft cheese, kept cold (${PRACTICE})` },
  curd: { likely: 14, from: 7, to: 14, words: `sour curd, kept cold and closed (${PRACTICE})` },
};

/** What of a cake decides how long it is good to eat, mould apart. */
export interface CakeQuality {
  readonly days: number;
  readonly words: string;
}

/** Dried and candied fruit of the larder, by name. */
const FRUIT = /sultana|raisin|currants|dates|peel|glace|prune|apricots-dried|cranberries-dried|figs/;

const fruitShare = ({ found, totalGrams }: Part) =>
  found.reduce((sum, { ingredient, grams }) => sum + (FRUIT.test(ingredient.id) ? grams : 0), 0) / (totalGrams || 1);
const fatShare = ({ found, totalGrams }: Part) =>
  found.reduce((sum, { ingredient, grams }) => {
    const { fat } = ingredient.per100g;
    return sum + (fat.known ? (grams * fat.value) / 100 : 0);
  }, 0) / (totalGrams || 1);

/**
 * Usual days for which a cake is good to eat, wrapped: the shortest of its baked parts.
 *
 * Common practice, no source: a fruit cake weeks, a buttery cake about five days, a lean sponge two.
 */
export function cakeQuality(parts: readonly Part[]): CakeQuality | undefined {
  const each = parts
    .filter(({ isBaked, totalGrams }) => isBaked && totalGrams > 0)
    .map((part): CakeQuality => {
      const name = part.component.name;
      if (fruitShare(part) > 0.3)
        return { days: 42, words: `${name}: a wrapped fruit cake is good for about six weeks (${PRACTICE})` };
      if (fatShare(part) < 0.1) return { days: 2, words: `${name}: a lean sponge stales in about two days (${PRACTICE})` };
      return { days: 5, words: `${name}: a buttery or oily crumb stales in about five days, wrapped (${PRACTICE})` };
    });
  return each.toSorted((one, other) => one.days - other.days)[0];
}

/** How long something keeps frozen at -18 °C or below, for quality; frozen it does not spoil. */
export interface FreezerLife {
  /** Undefined where it does not freeze well. */
  readonly days: Band | undefined;
  readonly words: string;
}

const MONTH = 30;
const months = (likely: number, from: number, to: number): Band => ({
  likely: likely * MONTH,
  from: from * MONTH,
  to: to * MONTH,
});

/** Freezer life of one component (common practice: advice of extension services, and of the trade). */
export function freezerLife(part: Part): FreezerLife {
  if (part.isBaked) {
    if (fruitShare(part) > 0.3) return { days: months(12, 6, 12), words: `up to a year, well wrapped (${PRACTICE})` };
    if (fatShare(part) < 0.1) return { days: months(2, 1, 3), words: `one to three months, well wrapped (${PRACTICE})` };
    return { days: months(3, 2, 4), words: `two to four months, well wrapped (${PRACTICE})` };
  }
  const perishable = perishableOf(part);
  if (perishable?.kind === "curd") return { days: months(2, 1, 3), words: `one to three months (${PRACTICE})` };
  if (perishable !== undefined)
    return { days: undefined, words: `it weeps or curdles when it thaws: freeze the cake without it (${PRACTICE})` };
  if (fatShare(part) > 0.2) return { days: months(2, 1, 3), words: `one to three months (${PRACTICE})` };
  return { days: months(1.5, 1, 2), words: `one to two months on a cake; sugar icings go wet as they thaw (${PRACTICE})` };
}

/** Freezer life of the cake without what does not freeze, and with everything on it where all of it freezes. */
export function freezerOf(formula: Formula, book: IngredientBook): { readonly plain?: FreezerLife; readonly whole: FreezerLife } {
  const lives = formula.components.map((component) => {
    const part = partOf(component, book);
    return { part, life: freezerLife(part) };
  });
  const shortest = (all: readonly (typeof lives)[number][]) =>
    all.toSorted((one, other) => (one.life.days?.likely ?? 0) - (other.life.days?.likely ?? 0))[0]?.life;
  const baked = shortest(lives.filter(({ part }) => part.isBaked));
  const whole = shortest(lives) ?? { days: undefined, words: "there is nothing to freeze" };
  return { ...(baked === undefined ? {} : { plain: baked }), whole };
}
