import type { Component } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";

export type BatterFamily = "whisked" | "angel" | "layer" | "creamed" | "chocolate" | "oil" | "fruited";

/** What a batter of a family usually weighs against water. */
export interface BatterDensity {
  readonly specificGravity: number;
  readonly from: number;
  readonly to: number;
  readonly words: string;
  readonly source: string;
}

const TRADE = "trade tabulations of batter specific gravity (American Society of Baking note, bakers' dictionary), seen in two";

/** Specific gravity of raw batter by family, with the range that sources give. */
export const BATTER_DENSITIES: Readonly<Record<BatterFamily, BatterDensity>> = {
  whisked: { specificGravity: 0.48, from: 0.46, to: 0.5, words: "whisked sponge", source: TRADE },
  angel: { specificGravity: 0.3, from: 0.3, to: 0.3, words: "egg-white sponge", source: TRADE },
  layer: { specificGravity: 0.8, from: 0.7, to: 0.95, words: "layer cake", source: `${TRADE}; they differ widely` },
  creamed: { specificGravity: 0.85, from: 0.8, to: 0.9, words: "creamed cake", source: TRADE },
  chocolate: { specificGravity: 0.8, from: 0.7, to: 0.9, words: "chocolate cake", source: TRADE },
  oil: { specificGravity: 0.93, from: 0.85, to: 1.0, words: "oil cake", source: "assumption, no source" },
  fruited: { specificGravity: 1.05, from: 0.95, to: 1.1, words: "fruit cake", source: "assumption, no source" },
};

/** The specific gravity a calculation used, and where it came from. */
export interface UsedDensity {
  readonly specificGravity: number;
  readonly basis: "measured" | "stated-typical" | "family";
  /** Only where it was taken from the family. */
  readonly family?: BatterFamily;
  readonly source: string;
}

/**
 * Specific gravity of a component's raw mix: as the formula says, or else typical for what it is made of.
 * The family is told from the weights alone (how it is mixed is not known), so it is a guess that is always named.
 */
export function batterDensity(component: Component, book: IngredientBook): UsedDensity {
  const stated = component.specificGravity;
  if (stated) {
    return {
      specificGravity: stated.value,
      basis: stated.basis === "measured" ? "measured" : "stated-typical",
      source: stated.basis === "measured" ? "measured by the baker" : "typical, as the formula says",
    };
  }
  const family = batterFamily(component, book);
  const density = BATTER_DENSITIES[family];
  return { specificGravity: density.specificGravity, basis: "family", family, source: density.source };
}

/**
 * Which family of batter the weights look like. Rules of the house (assumption, no source): much fruit is a fruit cake;
 * little fat and as much egg as flour a whisked sponge; whites alone an egg-white sponge; chocolate or cocoa from 4 % a
 * chocolate cake; oil for half the fat an oil cake; fat from half the flour a creamed cake; otherwise a layer cake.
 */
export function batterFamily(component: Component, book: IngredientBook): BatterFamily {
  let total = 0;
  let oil = 0;
  let white = 0;
  const byRole: Record<string, number> = {};
  for (const use of component.stages.flatMap((stage) => stage.uses)) {
    const grams = use.grams ?? 0;
    total += grams;
    const ingredient = book.get(use.ingredient);
    if (!ingredient) continue;
    byRole[ingredient.role] = (byRole[ingredient.role] ?? 0) + grams;
    if (ingredient.role === "fat" && /\boil\b/i.test(ingredient.name)) oil += grams;
    if (ingredient.role === "egg" && /white/.test(ingredient.id)) white += grams;
  }
  const of = (role: string) => byRole[role] ?? 0;
  const bulk = of("flour") + of("nut");
  if (total > 0 && of("fruit") > 0.35 * total) return "fruited";
  if (of("fat") < 0.25 * bulk && of("egg") >= 0.9 * bulk && of("egg") > 0)
    return white > 0.95 * of("egg") && of("fat") === 0 ? "angel" : "whisked";
  if (of("chocolate") >= 0.04 * total && of("chocolate") > 0) return "chocolate";
  if (of("fat") > 0 && oil >= 0.5 * of("fat")) return "oil";
  if (of("fat") >= 0.5 * bulk && of("fat") > 0) return "creamed";
  return "layer";
}

/**
 * Volume [mL] of batter.
 *
 * @param batterGrams  weight [g], 0 or more
 * @param specificGravity  above 0; against water taken as 1 g/mL (at 20 °C it is 0.998, a fifth of a percent less)
 */
export function batterVolumeMl(batterGrams: number, specificGravity: number): number {
  if (!(batterGrams >= 0 && specificGravity > 0)) {
    throw new RangeError(`batterVolumeMl: ${batterGrams} g at specific gravity ${specificGravity} is not a batter`);
  }
  return batterGrams / specificGravity;
}
