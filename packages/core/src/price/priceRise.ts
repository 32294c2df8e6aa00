import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import { type BatchCost, costBatch } from "./cost.js";
import type { PriceInputs } from "./priceInputs.js";
import type { PriceDocument } from "./readPriceDocument.js";
import { type PriceRule, type PriceSettings, sellingPrice } from "./sellingPrice.js";

/** What a change of one ingredient's price does. */
export interface PriceRise {
  readonly ingredient: string;
  readonly beforeMinor: number;
  readonly afterMinor: number;
  readonly perCakeChangeMinor: number;
  /** Share of the batch cost that this ingredient is, 0 to 1, before the rise. */
  readonly shareOfCost: number;
}

/** @param risePercent  above -100; 10 for a tenth dearer */
export function priceRise(
  formula: Formula,
  book: IngredientBook,
  inputs: PriceInputs,
  ingredient: string,
  risePercent: number,
): PriceRise {
  if (!(risePercent > -100)) throw new RangeError(`priceRise: ${risePercent} % is not above -100`);
  const dearer = dearerBook(book, ingredient, risePercent);
  const before = costBatch(formula, book, inputs);
  const after = costBatch(formula, dearer, inputs);
  const sum = (cost: BatchCost) => cost.lines.reduce((total, { exactMinor }) => total + exactMinor, 0);
  // What doubling its price would add is what it costs now, also inside a jam or a mix that is costed by its parts.
  const bought = (cost: BatchCost) =>
    cost.lines.filter(({ kind }) => kind === "ingredient").reduce((total, { exactMinor }) => total + exactMinor, 0);
  const own = bought(costBatch(formula, dearerBook(book, ingredient, 100), inputs)) - bought(before);
  return {
    ingredient,
    beforeMinor: sum(before),
    afterMinor: sum(after),
    perCakeChangeMinor: after.perCakeMinor - before.perCakeMinor,
    shareOfCost: sum(before) === 0 ? 0 : own / sum(before),
  };
}

/** A product as it is sold: its formula and what is known of its price. */
export interface PricedProduct {
  readonly id: string;
  readonly formula: Formula;
  readonly document: PriceDocument;
}

/** What a dearer ingredient does to one product while its price on the shelf stays. */
export interface RiseEffect {
  readonly id: string;
  readonly name: string;
  readonly currency: string;
  /** Cost of one sold cake [minor units], before and after. */
  readonly costBeforeMinor: number;
  readonly costAfterMinor: number;
  /** Ingredients without a price: with any, the costs are lower bounds and the margins upper ones. */
  readonly missing: readonly string[];
  /** Price on the shelf [minor units] and what is left of it, percent; absent where the product has none. */
  readonly priceMinor?: number;
  readonly marginBeforePercent?: number;
  readonly marginAfterPercent?: number;
  /** The margin it should keep: the least the baker names, else the one its price was made for. */
  readonly aimPercent?: number;
  readonly fallsBelow: boolean;
  /** The price that keeps the margin [minor units]. */
  readonly priceToHoldMinor?: number;
}

/** Margins are shown with one decimal: less than half of it is no fall. */
const SHOWN_HALF = 0.05;

/**
 * What a change of one ingredient's price does to each product that it is in, also as a part of something made; the hardest hit first.
 *
 * @param risePercent  above -100; 10 for a tenth dearer
 * @throws RangeError outside that range
 */
export function riseAcross(
  products: readonly PricedProduct[],
  book: IngredientBook,
  ingredient: string,
  risePercent: number,
): readonly RiseEffect[] {
  const effects = products.flatMap(({ id, formula, document }): RiseEffect[] => {
    const { inputs, settings } = document;
    const rise = priceRise(formula, book, inputs, ingredient, risePercent);
    if (rise.shareOfCost === 0) return [];
    const { perCakeMinor, missing } = costBatch(formula, book, inputs);
    const costAfterMinor = perCakeMinor + rise.perCakeChangeMinor;
    const effect = {
      id,
      name: formula.name,
      currency: inputs.currency,
      costBeforeMinor: perCakeMinor,
      costAfterMinor,
      missing: missing.map(({ name }) => name),
      fallsBelow: false,
    };
    const price = settings === undefined ? undefined : sellingPrice(perCakeMinor, settings);
    if (price?.marginPercent === undefined || settings === undefined) return [effect];
    const after = sellingPrice(costAfterMinor, { ...settings, rule: { kind: "price", minor: price.minor } });
    const aim = aimOf(settings, price.marginPercent);
    const rule: PriceRule =
      settings.leastMarginPercent === undefined ? settings.rule : { kind: "margin", percent: settings.leastMarginPercent };
    const hold = aim === undefined ? undefined : sellingPrice(costAfterMinor, { ...settings, rule });
    return [
      {
        ...effect,
        priceMinor: price.minor,
        marginBeforePercent: price.marginPercent,
        ...(after?.marginPercent === undefined ? {} : { marginAfterPercent: after.marginPercent }),
        ...(aim === undefined ? {} : { aimPercent: aim }),
        fallsBelow: aim !== undefined && (after?.marginPercent ?? 0) < aim - SHOWN_HALF,
        ...(hold === undefined ? {} : { priceToHoldMinor: Math.max(price.minor, hold.minor) }),
      },
    ];
  });
  const change = ({ costBeforeMinor, costAfterMinor }: RiseEffect) => Math.abs(costAfterMinor / costBeforeMinor - 1);
  return effects.toSorted((one, other) => change(other) - change(one));
}

/** The least margin the baker names, else the one that the price was made for; a price that was simply set has none. */
function aimOf({ leastMarginPercent, rule }: PriceSettings, marginNow: number): number | undefined {
  if (leastMarginPercent !== undefined) return leastMarginPercent;
  return rule.kind === "margin" ? rule.percent : rule.kind === "mark-up" ? marginNow : undefined;
}

/** The same book with one ingredient's packs dearer by a percent. */
function dearerBook(book: IngredientBook, ingredient: string, risePercent: number): IngredientBook {
  return {
    all: book.all,
    get: (id) => {
      const found = book.get(id);
      if (found === undefined || id !== ingredient) return found;
      return {
        ...found,
        packs: (found.packs ?? []).map((pack) => ({ ...pack, priceMinor: pack.priceMinor * (1 + risePercent / 100) })),
      };
    },
  };
}
