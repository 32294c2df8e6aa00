import { composeFormula } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type CostChange, compareCosts } from "./compareCosts.js";
import { type BatchCost, costBatch } from "./cost.js";
import { type PriceRise, priceRise } from "./priceRise.js";
import type { PriceDocument } from "./readPriceDocument.js";
import { breakEvenItems, type PriceSettings, type SellingPrice, sellingPrice } from "./sellingPrice.js";
import { priceWaterfall, type WaterfallBar } from "./waterfall.js";

export interface PriceReport {
  readonly cost: BatchCost;
  /** Price of one cake; absent without a rule, or where no price can reach it. */
  readonly price?: SellingPrice;
  readonly waterfall: readonly WaterfallBar[];
  /** Cakes to sell before the fixed cost is earned; absent where there is none or a cake earns nothing. */
  readonly breakEven?: { readonly name: string; readonly fixedMinor: number; readonly cakes: number };
  readonly rises: readonly (PriceRise & { readonly percent: number; readonly marginPercentAfter?: number })[];
  readonly cautions: readonly string[];
}

/** What to say about tax wherever a price stands. */
const TAX: Readonly<Record<string, string>> = {
  GBP: "VAT: in the United Kingdom most cakes are zero-rated, but not what is eaten in or hot, and not all confectionery; the borders are litigated (VAT Act 1994, Schedule 8, Group 1). Ask when in doubt.",
  USD: "Sales tax differs by state, county and product: look it up where you sell.",
  EUR: "VAT differs by country and by product: look it up where you sell.",
};

/** What to say about VAT or sales tax where a price stands in a currency. */
export const taxCaution = (currency: string): string =>
  TAX[currency] ?? "Tax differs by country and by product: look it up where you sell.";

/**
 * Cost, price and what they hang on, for one batch of a formula.
 *
 * @param rises  "what if": ingredients with the percent by which they get dearer
 */
export function priceReport(
  formula: Formula,
  book: IngredientBook,
  document: PriceDocument,
  rises: readonly { readonly ingredient: string; readonly percent: number }[] = [],
): PriceReport {
  const { inputs, settings, fixed } = document;
  const cost = costBatch(formula, book, inputs, composeFormula(formula, book).product.finished.totalGrams);
  const price = settings === undefined ? undefined : sellingPrice(cost.perCakeMinor, settings);
  // The cost of one sold cake over that of the batch: with unsold cakes it is more than one part in so many.
  const share = 1 / (inputs.cakes * (1 - (inputs.unsoldPercent ?? 0) / 100));
  const breakEven =
    price === undefined || fixed === undefined ? undefined : breakEvenItems(fixed.minor, price, cost.perCakeMinor);
  return {
    cost,
    ...(price === undefined ? {} : { price }),
    waterfall: price === undefined ? [] : priceWaterfall(cost, share, price),
    ...(breakEven === undefined || fixed === undefined
      ? {}
      : { breakEven: { name: fixed.name, fixedMinor: fixed.minor, cakes: breakEven } }),
    rises: rises.map(({ ingredient, percent }) => {
      const rise = priceRise(formula, book, inputs, ingredient, percent);
      const after =
        price === undefined ? undefined : atSamePrice(cost.perCakeMinor + rise.perCakeChangeMinor, price.minor, settings!);
      return { ...rise, percent, ...(after?.marginPercent === undefined ? {} : { marginPercentAfter: after.marginPercent }) };
    }),
    cautions: [
      ...(cost.missing.length > 0
        ? [`Not all is priced: the cost is a lower bound without ${cost.missing.map(({ name }) => name).join(", ")}.`]
        : []),
      ...(settings !== undefined && price === undefined
        ? ["No price reaches that margin: margin and fees together take all of it."]
        : []),
      ...belowLeast(price, settings),
      ...(cost.handsOnMinutes === 0 ? ["No labour is counted: a price without it pays nobody."] : []),
      taxCaution(inputs.currency),
    ],
  };
}

function belowLeast(price: SellingPrice | undefined, settings: PriceSettings | undefined): readonly string[] {
  const least = settings?.leastMarginPercent;
  if (least === undefined || price?.marginPercent === undefined || price.marginPercent >= least - 0.05) return [];
  return [`At this price the margin is ${price.marginPercent.toFixed(1)} %, below your least of ${least} %.`];
}

/** What is left when the price on the shelf stays and the cost moves. */
const atSamePrice = (costMinor: number, priceMinor: number, settings: PriceSettings) =>
  sellingPrice(costMinor, { ...settings, rule: { kind: "price", minor: priceMinor } });

/** Two formulas costed with the same inputs, line by line. */
export function comparePrices(
  before: Formula,
  after: Formula,
  book: IngredientBook,
  document: PriceDocument,
): readonly CostChange[] {
  return compareCosts(costBatch(before, book, document.inputs), costBatch(after, book, document.inputs));
}
