import type { Composition } from "../composition/index.js";
import type { IngredientBook, Nutrient } from "../ingredients/index.js";
import { formatGrams, formatPercent } from "../quantities/index.js";

/** What one ingredient's change does to the share of a nutrient. */
export interface Driver {
  readonly ingredient: string;
  readonly name: string;
  /** Change of its weight [g]. */
  readonly grams: number;
  /** Change that this makes in 100 g of the mix [g]. */
  readonly effect: number;
}

/**
 * Which ingredients move the share of a nutrient in a mix, the strongest first.
 *
 * An ingredient moves it by what it brings more, or less, of the nutrient; where the weight of the mix changes, those that
 * make it heavier (or lighter) also thin (or thicken) the rest, by their part of that change: sugar taken away raises the
 * share of fat although it holds none. The effects of all ingredients add to the change.
 */
export function driversOf(nutrient: Nutrient, before: Composition, after: Composition): readonly Driver[] {
  const [old, now] = [amountsBy(nutrient, before), amountsBy(nutrient, after)];
  if (!(before.totalGrams > 0 && after.totalGrams > 0)) return [];
  const share = before.totals[nutrient].amount / before.totalGrams;
  const changes = [...new Set([...old.keys(), ...now.keys()])].map((ingredient) => {
    const [one, other] = [old.get(ingredient), now.get(ingredient)];
    return {
      ingredient,
      name: (other ?? one)!.name,
      grams: (other?.grams ?? 0) - (one?.grams ?? 0),
      amount: (other?.amount ?? 0) - (one?.amount ?? 0),
    };
  });
  const heavier = after.totalGrams - before.totalGrams;
  const sameWay = ({ grams }: { readonly grams: number }) => (grams * heavier > 0 ? Math.abs(grams) : 0);
  const allSameWay = changes.reduce((sum, one) => sum + sameWay(one), 0) || 1;
  return changes
    .filter(({ grams }) => Math.abs(grams) > 1e-9)
    .map(({ amount, ...one }): Driver => {
      const thinned = (share * heavier * sameWay(one)) / allSameWay;
      return { ...one, effect: (100 * (amount - thinned)) / after.totalGrams };
    })
    .toSorted((one, other) => Math.abs(other.effect) - Math.abs(one.effect));
}

function amountsBy(nutrient: Nutrient, mix: Composition) {
  const { contributions, missing } = mix.totals[nutrient];
  const sums = new Map<string, { name: string; grams: number; amount: number }>();
  for (const { ingredient, name, useGrams, amount = 0 } of [...contributions, ...missing]) {
    const sum = sums.get(ingredient) ?? { name, grams: 0, amount: 0 };
    sum.grams += useGrams;
    sum.amount += amount;
    sums.set(ingredient, sum);
  }
  return sums;
}

/** A nutrient whose share changed, and why. */
export interface ShareChange {
  readonly nutrient: Nutrient;
  /** Change in 100 g [g]. */
  readonly change: number;
  readonly drivers: readonly Driver[];
}

const NAMES: Readonly<Partial<Record<Nutrient, string>>> = { sugars: "sugar", saturates: "saturated fat", fibre: "fibre" };
const nameOf = (nutrient: Nutrient) => NAMES[nutrient] ?? nutrient;
/** Reasons name as many ingredients as make four fifths of the change, at most two. */
const DRIVERS_MOST = 2;

/**
 * "1.7 % more fat and 1.4 % less water in the batter, because sunflower oil is 100 % fat (90 g more) and unsalted butter is 15 % water
 * (90 g less)."
 *
 * @param changes  at least one, largest first
 */
export function shareSentence(where: string, changes: readonly ShareChange[], book: IngredientBook): string {
  const parts = changes.map(
    ({ nutrient, change }) => `${formatPercent(Math.abs(change), 1)} ${change > 0 ? "more" : "less"} ${nameOf(nutrient)}`,
  );
  const reasons = new Map<string, { driver: Driver; nutrients: Nutrient[] }>();
  for (const { nutrient, change, drivers } of changes) {
    for (const driver of leading(drivers, change)) {
      const reason = reasons.get(driver.ingredient) ?? { driver, nutrients: [] };
      reason.nutrients.push(nutrient);
      reasons.set(driver.ingredient, reason);
    }
  }
  const because = [...reasons.values()].map(({ driver, nutrients }) => reasonWords(driver, nutrients, book));
  return `${capital(listed(parts))} in ${where}${because.length > 0 ? `, because ${listed(because)}` : ""}.`;
}

function leading(drivers: readonly Driver[], change: number): readonly Driver[] {
  const chosen: Driver[] = [];
  let sum = 0;
  for (const driver of drivers) {
    if (chosen.length === DRIVERS_MOST || Math.abs(sum) >= 0.8 * Math.abs(change)) break;
    // What pulls the other way is no reason.
    if (Math.sign(driver.effect) !== Math.sign(change)) continue;
    chosen.push(driver);
    sum += driver.effect;
  }
  return chosen;
}

function reasonWords({ ingredient, name, grams }: Driver, nutrients: readonly Nutrient[], book: IngredientBook): string {
  const figures = nutrients.flatMap((nutrient) => {
    const figure = book.get(ingredient)?.per100g[nutrient];
    // "0 % water" explains nothing: what holds none of it acts through its weight.
    if (figure === undefined || !figure.known || figure.value < 1) return [];
    return [`${formatPercent(figure.value, figure.value < 10 ? 1 : 0)} ${nameOf(nutrient)}`];
  });
  const change = `${formatGrams(Math.abs(grams))} ${grams > 0 ? "more" : "less"}`;
  const lower = `${name.charAt(0).toLowerCase()}${name.slice(1)}`;
  return figures.length === 0 ? `there is ${change} ${lower}` : `${lower} is ${listed(figures)} (${change})`;
}

const capital = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;

export function listed(parts: readonly string[]): string {
  return parts.length <= 1 ? (parts[0] ?? "") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}
