import type { Component } from "../formula/index.js";
import { hasAllergen, type Ingredient, type IngredientBook } from "../ingredients/index.js";

/** What an unbaked component is, as far as keeping it cold goes. */
export type PerishableKind = "raw-egg" | "custard" | "cream" | "soft-cheese" | "curd";

export interface Perishable {
  readonly kind: PerishableKind;
  /** Names of what makes it so, in lower case. */
  readonly because: readonly string[];
}

/** What a component is made of, as keeping looks at it. */
export interface Part {
  readonly component: Component;
  readonly totalGrams: number;
  readonly found: readonly { readonly ingredient: Ingredient; readonly grams: number; readonly unweighed: boolean }[];
  /** A cake, or baked. */
  readonly isBaked: boolean;
  /** Brought to 70 °C or more by a stage with that target; a method in words alone does not count. */
  readonly isHeated: boolean;
}

/** Two minutes at 70 °C is the usual equivalent for a thorough heat treatment (UK food agency guidance). */
const HEATED_FROM_C = 70;

export function partOf(component: Component, book: IngredientBook): Part {
  const found = component.stages
    .flatMap(({ uses }) => uses)
    .flatMap((use) => {
      const ingredient = book.get(use.ingredient);
      return ingredient === undefined || use.grams === 0
        ? []
        : [{ ingredient, grams: use.grams ?? 0, unweighed: use.grams === null }];
    });
  return {
    component,
    totalGrams: component.stages.flatMap(({ uses }) => uses).reduce((sum, { grams }) => sum + (grams ?? 0), 0),
    found,
    isBaked: component.kind === "cake" || component.bake !== undefined,
    isHeated: component.stages.some(({ targets = [] }) =>
      targets.some((target) => target.kind === "temperature" && target.celsius >= HEATED_FROM_C),
    ),
  };
}

export const isEgg = ({ role, id }: Ingredient) => role === "egg" && !/dried/.test(id);
export const isRawEgg = (ingredient: Ingredient) => isEgg(ingredient) && !/pasteurised/.test(ingredient.id);
/** Starches milled wet and washed (cornflour, potato flour) are not what the caution is about. */
export const isRawFlour = ({ role, id }: Ingredient) =>
  role === "flour" && /flour/.test(id) && !/cornflour|potato-flour|heat-treated/.test(id);
const isSoftCheese = ({ id }: Ingredient) => /cheese|mascarpone|ricotta|quark/.test(id);
/** Cream, yoghurt, fresh cheese: by name, and only what really is of milk. */
const isFreshDairy = (ingredient: Ingredient) =>
  /cream|mascarpone|ricotta|quark|cheese|yoghurt|custard|creme-fraiche|half-and-half/.test(ingredient.id) &&
  !/powder|condensed|evaporated|chocolate|cream-of-tartar|coconut|buttercream/.test(ingredient.id) &&
  hasAllergen(ingredient.contains, "milk");
const isAcidJuice = ({ id }: Ingredient) => /(lemon|lime|passion).*(juice|fruit)|^(lemon|lime)-juice/.test(id);

/** Share of fresh dairy from which an unbaked component is a cream filling; a spoon of cream in an icing is none. */
const CREAM_SHARE = 0.1;
/** Share of sour juice from which a cooked egg filling is a curd. */
const CURD_JUICE_SHARE = 0.12;

/** Why an unbaked component has to be kept cold, or undefined when nothing in it says so. */
export function perishableOf(part: Part): Perishable | undefined {
  if (part.isBaked) return undefined;
  const { found, totalGrams, isHeated } = part;
  const share = (is: (ingredient: Ingredient) => boolean) =>
    found.reduce((sum, { ingredient, grams }) => sum + (is(ingredient) ? grams : 0), 0) / (totalGrams || 1);
  const named = (is: (ingredient: Ingredient) => boolean) => [
    ...new Set(found.flatMap(({ ingredient }) => (is(ingredient) ? [ingredient.name.toLowerCase()] : []))),
  ];
  const eggs = named(isEgg);
  const hasDairy =
    share(isFreshDairy) >= CREAM_SHARE || found.some(({ ingredient, unweighed }) => unweighed && isFreshDairy(ingredient));
  const dairy = hasDairy ? named(isFreshDairy) : [];
  const because = [...dairy, ...eggs];
  if (eggs.length > 0) {
    if (!isHeated) return { kind: "raw-egg", because };
    return { kind: share(isAcidJuice) >= CURD_JUICE_SHARE && dairy.length === 0 ? "curd" : "custard", because };
  }
  if (dairy.length === 0) return undefined;
  return { kind: share(isSoftCheese) > share(isFreshDairy) / 2 ? "soft-cheese" : "cream", because };
}
