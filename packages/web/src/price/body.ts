import type { Formula } from "@evencrumb/core/formula";
import { minorPerMajor, type PriceDocument, priceInMinor, readPriceDocument } from "@evencrumb/core/price";
import type { Problem } from "@evencrumb/core/quantities";
import type { Kept, Settings } from "../app/house.js";
import { today } from "../parts/dates.js";

/** A stage of the work: hands-on minutes are paid, waiting is shown. */
export interface StageOfWork {
  readonly name: string;
  readonly handsOnMinutes: number;
  readonly waitingMinutes?: number;
}
export interface Packaging {
  readonly name: string;
  readonly minor: number;
  readonly per: "batch" | "cake" | "portion";
}
export type Overhead =
  | { readonly name: string; readonly minorPerBatch: number }
  | { readonly name: string; readonly percent: number };

interface Tariff {
  readonly perKwhMinor?: number;
}
/** By the oven's plate, or in kWh from a meter, a prediction or a guess. */
export type Energy =
  | (Tariff & {
      readonly ratedKw: number;
      readonly warmUpMinutes: number;
      readonly bakeMinutes: number;
      readonly batches?: number;
    })
  | (Tariff & { readonly kwh: number; readonly basis: "measured" | "predicted" | "stated" });

export interface Selling {
  readonly marginPercent?: number;
  readonly markUpPercent?: number;
  readonly priceMinor?: number;
  readonly feePercent?: number;
  readonly feeMinor?: number;
  readonly taxPercent?: number;
  readonly roundUpMinor?: number;
  readonly leastMarginPercent?: number;
}

/** The price of one product as it is kept: what `readPriceDocument` reads, money in minor units. */
export interface PriceBody {
  readonly name: string;
  /** Id of the formula's document. */
  readonly formula: string;
  readonly currency: string;
  /** Day whose prices count, ISO 8601; absent for the day on which it is looked at. */
  readonly date?: string;
  readonly cakes: number;
  readonly portionsPerCake: number;
  readonly unsoldPercent?: number;
  readonly usablePercent?: Readonly<Record<string, number>>;
  readonly labour?: {
    readonly perHourMinor?: number;
    readonly onCostPercent?: number;
    readonly waitingPercent?: number;
    readonly stages: readonly StageOfWork[];
  };
  readonly energy?: Energy;
  readonly packaging?: readonly Packaging[];
  readonly overhead?: readonly Overhead[];
  readonly selling?: Selling;
  readonly fixed?: { readonly name: string; readonly costMinor: number };
}

/** What is taken before anything is said of a product: its ingredients are costed, and a margin is asked for. */
export const firstPrice = (formulaId: string, formula: Formula, { currency }: Settings): PriceBody => ({
  name: formula.name,
  formula: formulaId,
  currency,
  cakes: 1,
  portionsPerCake: formula.portions ?? 1,
  selling: { marginPercent: 40 },
});

/** Without the fields that are undefined: what is not said is not kept. */
export const said = <T extends object>(fields: T): T =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as T;

/** The body as core takes it, with what holds for the whole bakery, priced on a day. */
export function readPrice(
  body: PriceBody,
  { rates }: Settings,
  date = today(),
): { readonly document: PriceDocument; readonly problems: readonly Problem[] } {
  const { value, problems } = readPriceDocument(body, { ...rates, date });
  return {
    document: value ?? {
      name: body.name,
      inputs: { currency: body.currency, date, cakes: 1, portionsPerCake: 1 },
    },
    problems,
  };
}

/** The kept price of a formula: the first where two devices began one each. */
export const priceOf = (all: readonly Kept<PriceBody>[] | undefined, formulaId: string): Kept<PriceBody> | undefined =>
  all?.find(({ body }) => body.formula === formulaId);

/** As it is edited here: whoever wrote the document may have given amounts in pounds. */
export const editable = (body: PriceBody): PriceBody => priceInMinor(body);

/** What this app kept of a price before prices were documents: on one device, as it was typed, money in major units. */
export interface WordsOfOld {
  readonly cakes?: string;
  readonly portions?: string;
  readonly unsold?: string;
  readonly perHour?: string;
  readonly minutes?: string;
  readonly kwh?: string;
  readonly perKwh?: string;
  readonly packaging?: string;
  readonly overheadPercent?: string;
  readonly rule?: "margin" | "mark-up" | "price";
  readonly ruleValue?: string;
  readonly feePercent?: string;
  readonly taxPercent?: string;
  readonly fixed?: string;
}

/** Those words as a price. What was typed and is no number was not counted then and is not now. */
export function fromWordsOfOld(formulaId: string, name: string, words: WordsOfOld, currency: string): PriceBody {
  const number = (text: string | undefined, most = 1e6) => {
    const value = Number((text ?? "").replace(",", "."));
    return (text ?? "").trim() !== "" && value >= 0 && value <= most ? value : undefined;
  };
  const minor = (text: string | undefined) => {
    const value = number(text);
    return value === undefined ? undefined : Math.round(value * minorPerMajor(currency) * 1e5) / 1e5;
  };
  const [perHourMinor, minutes, kwh] = [minor(words.perHour), number(words.minutes, 10_000), number(words.kwh, 10_000)];
  const [packaging, overhead, fixed] = [minor(words.packaging), number(words.overheadPercent, 1000), minor(words.fixed)];
  const value = number(words.ruleValue);
  const [feePercent, taxPercent] = [number(words.feePercent, 100), number(words.taxPercent, 100)];
  const perKwhMinor = minor(words.perKwh);
  return said<PriceBody>({
    name,
    formula: formulaId,
    currency,
    cakes: Math.max(1, number(words.cakes, 100_000) ?? 1),
    portionsPerCake: Math.max(1, number(words.portions, 10_000) ?? 1),
    unsoldPercent: number(words.unsold, 99.9) || undefined,
    labour:
      perHourMinor === undefined && minutes === undefined
        ? undefined
        : said({ perHourMinor, stages: minutes === undefined ? [] : [{ name: "Work", handsOnMinutes: minutes }] }),
    energy: kwh === undefined ? undefined : said({ kwh, basis: "stated" as const, perKwhMinor }),
    packaging: packaging === undefined ? undefined : [{ name: "Packaging", minor: packaging, per: "cake" }],
    overhead: overhead === undefined ? undefined : [{ name: "Overhead", percent: overhead }],
    selling:
      value === undefined
        ? undefined
        : said<Selling>({
            ...(words.rule === "price"
              ? { priceMinor: Math.round(value * minorPerMajor(currency)) }
              : words.rule === "mark-up"
                ? { markUpPercent: Math.min(10_000, value) }
                : { marginPercent: Math.min(99.9, value) }),
            // A nought that stood there from the start was not said by anybody: the bakery's own counts.
            feePercent: feePercent || undefined,
            taxPercent: taxPercent || undefined,
          }),
    fixed: fixed === undefined ? undefined : { name: "fixed costs", costMinor: fixed },
  } as PriceBody);
}
