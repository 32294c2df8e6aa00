/** How the price is found from the cost. Margin is a share of the price, mark-up a share of the cost: they are never the same number. */
export type PriceRule =
  | { readonly kind: "margin"; readonly percent: number }
  | { readonly kind: "mark-up"; readonly percent: number }
  | { readonly kind: "price"; readonly minor: number };

export interface PriceSettings {
  readonly rule: PriceRule;
  /** Card or platform fees: percent of what the customer pays, and an amount for each sale [minor units]. */
  readonly feePercent?: number;
  readonly feeMinor?: number;
  /** VAT or sales tax on top of the price before tax, percent; local rules decide whether any is due. */
  readonly taxPercent?: number;
  /** Prices found by margin or mark-up are rounded up to whole multiples of this [minor units]: 50 for half pounds. */
  readonly roundUpMinor?: number;
  /** Below this margin the baker would not sell it, percent of the price without tax. */
  readonly leastMarginPercent?: number;
}

export interface SellingPrice {
  /** What the customer pays, rounded to a whole minor unit. */
  readonly minor: number;
  readonly taxMinor: number;
  readonly feeMinor: number;
  /** Price without tax. */
  readonly netMinor: number;
  /** What the item costs, rounded to a whole minor unit. */
  readonly costMinor: number;
  /** What is left: cost, fee, tax and this are the price to the penny. */
  readonly profitMinor: number;
  /** Profit as a share of the price without tax, and of the cost, percent; undefined where there is nothing to divide by. */
  readonly marginPercent?: number;
  readonly markUpPercent?: number;
  /** The two told apart in words. */
  readonly words: string;
}

/** margin = mark-up / (1 + mark-up), both in percent. */
export const marginFromMarkUp = (markUpPercent: number): number => (markUpPercent / (100 + markUpPercent)) * 100;
/** mark-up = margin / (1 - margin), both in percent; margin below 100. */
export const markUpFromMargin = (marginPercent: number): number => (marginPercent / (100 - marginPercent)) * 100;

/**
 * The price of one item and where it goes; cost, fee, tax and profit are whole minor units that sum to it exactly. The shares in
 * percent are taken from the cost before it was rounded: half a penny is much of a cost of twenty.
 *
 * Fees count as a cost of the sale: with a rule of margin the price is raised until the margin is left after them.
 *
 * @param costMinor  cost of one item [minor units], may have a fraction, 0 or more
 * @returns  undefined when no price can reach the margin (margin and fees together take all of it)
 */
export function sellingPrice(costMinor: number, settings: PriceSettings): SellingPrice | undefined {
  const { rule, feePercent = 0, feeMinor = 0, taxPercent = 0, roundUpMinor = 1 } = settings;
  const withTax = 1 + taxPercent / 100;
  const feeShare = (feePercent / 100) * withTax; // of the price before tax
  const net = ((): number | undefined => {
    switch (rule.kind) {
      case "price":
        return rule.minor / withTax;
      case "margin": {
        const left = 1 - rule.percent / 100 - feeShare;
        return left > 0 ? (costMinor + feeMinor) / left : undefined;
      }
      case "mark-up":
        return feeShare < 1 ? (costMinor * (1 + rule.percent / 100) + feeMinor) / (1 - feeShare) : undefined;
    }
  })();
  if (net === undefined || !Number.isFinite(net)) return undefined;
  const gross =
    rule.kind !== "price" && roundUpMinor > 1
      ? Math.ceil((net * withTax) / roundUpMinor - 1e-9) * roundUpMinor
      : Math.round(net * withTax + 1e-9);
  const tax = Math.round(gross - gross / withTax);
  const fee = Math.round((gross * feePercent) / 100 + feeMinor);
  const netMinor = gross - tax;
  const profit = netMinor - fee - costMinor;
  const cost = Math.round(costMinor + 1e-9);
  const margin = netMinor > 0 ? (profit / netMinor) * 100 : undefined;
  const markUp = costMinor > 0 ? (profit / costMinor) * 100 : undefined;
  return {
    minor: gross,
    taxMinor: tax,
    feeMinor: fee,
    netMinor,
    costMinor: cost,
    profitMinor: netMinor - fee - cost,
    ...(margin === undefined ? {} : { marginPercent: margin }),
    ...(markUp === undefined ? {} : { markUpPercent: markUp }),
    words:
      margin === undefined || markUp === undefined
        ? "Without a cost or a price there is no margin to speak of."
        : `The margin is ${margin.toFixed(1)} % of the price without tax; the mark-up is ${markUp.toFixed(1)} % on the cost. It is the same profit, measured against two different amounts.`,
  };
}

/**
 * Items that have to be sold before the fixed costs are earned.
 *
 * @returns  a whole number, or undefined when an item earns nothing
 */
export function breakEvenItems(
  fixedMinor: number,
  { netMinor, feeMinor }: Pick<SellingPrice, "netMinor" | "feeMinor">,
  variableCostMinor: number,
): number | undefined {
  const contribution = netMinor - feeMinor - variableCostMinor;
  return contribution > 0 ? Math.ceil(fixedMinor / contribution - 1e-9) : undefined;
}
