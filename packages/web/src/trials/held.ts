import type { Measure } from "@evencrumb/core/rebalance";
import type { SettleWords } from "@evencrumb/core/trials";

/** What the rebalancer may be asked to hold through the bakes of a trial. */
export const HELD: readonly { readonly key: string; readonly words: string; readonly measure: Measure }[] = [
  { key: "total", words: "the total weight", measure: { kind: "total" } },
  { key: "fat", words: "the fat", measure: { kind: "nutrient", nutrient: "fat" } },
  { key: "water", words: "the water", measure: { kind: "nutrient", nutrient: "water" } },
  { key: "sugars", words: "the sugars", measure: { kind: "nutrient", nutrient: "sugars" } },
  { key: "sweetness", words: "the sweetness", measure: { kind: "sweetness" } },
  { key: "protein", words: "the protein", measure: { kind: "nutrient", nutrient: "protein" } },
];

export const settleWordsOf = (held: readonly string[]): SettleWords => ({
  demands: HELD.filter(({ key }) => held.includes(key)).map(({ measure }) => ({ kind: "hold", measure })),
  mayAdd: ["water"],
});
