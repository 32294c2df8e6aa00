import { composePart, setTemperature, softnessOf, sugarInWater } from "../composition/index.js";
import type { Component } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { BentDemand } from "../rebalance/index.js";
import { likelyActivity } from "./waterActivity.js";
import { waterPhaseOf } from "./waterPhase.js";

/** Where a figure has to lie; at least one of the two. */
export interface Limits {
  readonly least?: number;
  readonly most?: number;
}

/** A bent demand as plain data, for a worker or a saved request; `bentDemandOf` gives it its model. */
export type BentLimit = Limits &
  (
    | { readonly kind: "water-activity" }
    | { readonly kind: "set-temperature" }
    | { readonly kind: "solid-fat"; readonly temperatureC: number }
  );

/** @throws RangeError for solid fat at a temperature outside -18 to 40 °C, when it is asked for its value */
export function bentDemandOf(limit: BentLimit, book: IngredientBook): BentDemand {
  const limits: Limits = {
    ...(limit.least === undefined ? {} : { least: limit.least }),
    ...(limit.most === undefined ? {} : { most: limit.most }),
  };
  switch (limit.kind) {
    case "water-activity":
      return waterActivityDemand(limits, book);
    case "set-temperature":
      return setTemperatureDemand(limits, book);
    case "solid-fat":
      return solidFatDemand(limit.temperatureC, limits, book);
  }
}

/** Likely water activity of the component after its loss, as `keepFormula` predicts it (syrup from other components left out). */
export function waterActivityDemand(limits: Limits, book: IngredientBook): BentDemand {
  return {
    words: `water activity ${words(limits, 2)}`,
    ...limits,
    value(component) {
      const { finished } = composePart(component, book).value;
      const isBaked = component.kind === "cake" || component.bake !== undefined;
      return likelyActivity(waterPhaseOf(finished, isBaked && component.loss === undefined).phase);
    },
  };
}

/** About where the starch sets in the mix [°C] (`setTemperature`, an assumption). */
export function setTemperatureDemand(limits: Limits, book: IngredientBook): BentDemand {
  return {
    words: `set temperature ${words(limits, 0)} °C`,
    ...limits,
    value(component) {
      const { share } = sugarInWater(composePart(component, book).value.mixed);
      // Beyond the table the last slope goes on, so that a way back can be found.
      return share === null ? undefined : share <= 0.6 ? setTemperature(share) : setTemperature(0.6) + (share - 0.6) * 82.4;
    },
  };
}

/** Likely solid fat in 100 g of the finished component at a temperature [g]. */
export function solidFatDemand(temperatureC: number, limits: Limits, book: IngredientBook): BentDemand {
  return {
    words: `solid fat at ${temperatureC} °C ${words(limits, 1)} g in 100 g`,
    ...limits,
    value: (component: Component) => softnessOf(component, book, [temperatureC]).at[0]?.gramsPer100g.likely,
  };
}

function words({ least, most }: Limits, digits: number): string {
  const parts = [
    ...(least === undefined ? [] : [`at least ${least.toFixed(digits)}`]),
    ...(most === undefined ? [] : [`at most ${most.toFixed(digits)}`]),
  ];
  return parts.join(" and ");
}
