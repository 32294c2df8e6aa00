import type { Pack } from "../ingredients/index.js";

/** What one formula costs beside its ingredients. Everything is optional: what is not given is not counted, and said. */
export interface PriceInputs {
  readonly currency: string;
  /** ISO 8601 date for which prices are looked up; a pack seen later is not used. */
  readonly date: string;
  /** Cakes that one batch of the formula makes; 1 or more. */
  readonly cakes: number;
  /** Portions that one cake is cut into; 1 or more. */
  readonly portionsPerCake: number;
  /** Cakes made but not sold, percent of those made, 0 to below 100. */
  readonly unsoldPercent?: number;
  /** Usable share of what is bought, percent, by ingredient id: peel, shell, bowl. 100 when absent. */
  readonly usablePercent?: Readonly<Record<string, number>>;
  readonly labour?: {
    readonly perHourMinor: number;
    /** Employer's additions, percent of the wage. */
    readonly onCostPercent?: number;
    /** Share of the wage that waiting is paid with, percent, 0 to 100: 0 when absent, for another batch can be made meanwhile. */
    readonly waitingPercent?: number;
    /** Hands-on time is paid for; waiting (baking, cooling) is shown, and paid only by `waitingPercent`. */
    readonly stages: readonly { readonly name: string; readonly handsOnMinutes: number; readonly waitingMinutes?: number }[];
  };
  readonly energy?: { readonly kwh: number; readonly perKwhMinor: number; readonly basis: "measured" | "predicted" | "stated" };
  readonly packaging?: readonly { readonly name: string; readonly minor: number; readonly per: "batch" | "cake" | "portion" }[];
  /** Rent, insurance, cleaning: an amount for each batch, or a percent of ingredients and labour. */
  readonly overhead?: readonly (
    | { readonly name: string; readonly minorPerBatch: number }
    | { readonly name: string; readonly percent: number }
  )[];
}

/** The pack whose price counts on a date: the one seen last, not later; undefined when there is none in that currency. */
export function packOn(packs: readonly Pack[] | undefined, date: string, currency: string): Pack | undefined {
  return (packs ?? [])
    .filter((pack) => pack.currency === currency && (pack.date === undefined || pack.date <= date) && pack.grams > 0)
    .toSorted((one, other) => (one.date ?? "").localeCompare(other.date ?? ""))
    .at(-1);
}
