import type { Formula } from "../formula/index.js";
import type { IngredientBook } from "../ingredients/index.js";
import type { Money } from "./money.js";
import { formatMoney, roundToMinor } from "./money.js";
import { type PriceInputs, packOn } from "./priceInputs.js";

/** In the order in which a price is built up from them. */
export const COST_KINDS = ["ingredient", "labour", "energy", "packaging", "overhead"] as const;
export type CostKind = (typeof COST_KINDS)[number];
export const COST_KIND_WORDS: Readonly<Record<CostKind, string>> = {
  ingredient: "Ingredients",
  labour: "Labour",
  energy: "Energy",
  packaging: "Packaging",
  overhead: "Overhead",
};

export interface CostLine {
  readonly kind: CostKind;
  /** Ingredient id, stage or name. */
  readonly id: string;
  readonly name: string;
  /** Rounded to whole minor units so that all lines sum to the batch. */
  readonly cost: Money;
  /** Before rounding [minor units]. */
  readonly exactMinor: number;
  /** What it was worked out from: "225 g at 7.20 a kg". */
  readonly from: string;
}

export interface BatchCost {
  readonly lines: readonly CostLine[];
  /** Sum of the lines, to the penny. With anything in `missing` it is a lower bound. */
  readonly batch: Money;
  /** Cost of one cake that is sold: those made and not sold are carried by the rest. Exact, in minor units. */
  readonly perCakeMinor: number;
  readonly perPortionMinor: number;
  /** For 100 g of finished product [minor units]; undefined without a finished weight. */
  readonly per100gMinor?: number;
  /** Ingredients without a price or a weight: nothing of them is in the sums. */
  readonly missing: readonly { readonly ingredient: string; readonly name: string; readonly why: string }[];
  /** Hands-on and waiting minutes of a batch. */
  readonly handsOnMinutes: number;
  readonly waitingMinutes: number;
}

/**
 * What one batch costs.
 *
 * Ingredients by the pack price of the date, divided by the share that can be used (edible-portion cost; common practice, no
 * source); labour by hands-on minutes; overhead last, because it may be a percent of the others.
 *
 * @param finishedGrams  weight of the finished batch [g], for the cost of 100 g
 * @throws RangeError for counts and shares out of range; these are checked where they are typed
 */
export function costBatch(formula: Formula, book: IngredientBook, inputs: PriceInputs, finishedGrams?: number): BatchCost {
  checkInputs(inputs);
  const missing: { ingredient: string; name: string; why: string }[] = [];
  const exact: Omit<CostLine, "cost">[] = [];

  for (const [id, { grams, isPartlyWeighed }] of ingredientGrams(formula)) {
    const name = book.get(id)?.name ?? id;
    if (isPartlyWeighed) missing.push({ ingredient: id, name, why: "it has no weight in the formula" });
    if (grams === 0) continue;
    const cost = costPerGram(id, book, inputs);
    if (!cost.known) {
      missing.push({ ingredient: id, name, why: cost.why });
      continue;
    }
    if (cost.minorPerGram === 0 && id === "water") continue;
    const perKg = formatMoney({ minor: Math.round(cost.minorPerGram * 1000), currency: inputs.currency });
    exact.push({
      kind: "ingredient",
      id,
      name,
      exactMinor: grams * cost.minorPerGram,
      from: `${Number(grams.toFixed(2))} g at ${perKg} a kg${cost.words === "" ? "" : ` (${cost.words})`}`,
    });
  }
  const { labour, energy } = inputs;
  const perMinute = labour === undefined ? 0 : (labour.perHourMinor / 60) * (1 + (labour.onCostPercent ?? 0) / 100);
  const waitingShare = (labour?.waitingPercent ?? 0) / 100;
  for (const { name, handsOnMinutes, waitingMinutes = 0 } of labour?.stages ?? []) {
    exact.push({
      kind: "labour",
      id: name,
      name,
      exactMinor: (handsOnMinutes + waitingMinutes * waitingShare) * perMinute,
      from: `${handsOnMinutes} min hands-on${waitingMinutes > 0 ? waitingWords(waitingMinutes, labour?.waitingPercent ?? 0) : ""}`,
    });
  }
  if (energy !== undefined) {
    exact.push({
      kind: "energy",
      id: "energy",
      name: "Energy",
      exactMinor: energy.kwh * energy.perKwhMinor,
      from: `${energy.kwh.toFixed(2)} kWh (${energy.basis})`,
    });
  }
  for (const { name, minor, per } of inputs.packaging ?? []) {
    const times = per === "batch" ? 1 : per === "cake" ? inputs.cakes : inputs.cakes * inputs.portionsPerCake;
    exact.push({
      kind: "packaging",
      id: name,
      name,
      exactMinor: minor * times,
      from: per === "batch" ? "a batch" : `${times} ${per}${times === 1 ? "" : "s"}`,
    });
  }
  const base = exact
    .filter(({ kind }) => kind === "ingredient" || kind === "labour")
    .reduce((sum, { exactMinor }) => sum + exactMinor, 0);
  for (const entry of inputs.overhead ?? []) {
    const exactMinor = "percent" in entry ? (base * entry.percent) / 100 : entry.minorPerBatch;
    exact.push({
      kind: "overhead",
      id: entry.name,
      name: entry.name,
      exactMinor,
      from: "percent" in entry ? `${entry.percent} % of ingredients and labour` : "a batch",
    });
  }

  const rounded = roundToMinor(exact.map(({ exactMinor }) => exactMinor));
  const total = exact.reduce((sum, { exactMinor }) => sum + exactMinor, 0);
  const sold = inputs.cakes * (1 - (inputs.unsoldPercent ?? 0) / 100);
  return {
    lines: exact.map((line, index) => ({ ...line, cost: { minor: rounded[index]!, currency: inputs.currency } })),
    batch: { minor: rounded.reduce((sum, part) => sum + part, 0), currency: inputs.currency },
    perCakeMinor: total / sold,
    perPortionMinor: total / sold / inputs.portionsPerCake,
    ...(finishedGrams !== undefined && finishedGrams > 0 ? { per100gMinor: (total / finishedGrams) * 100 } : {}),
    missing,
    handsOnMinutes: (labour?.stages ?? []).reduce((sum, stage) => sum + stage.handsOnMinutes, 0),
    waitingMinutes: (labour?.stages ?? []).reduce((sum, stage) => sum + (stage.waitingMinutes ?? 0), 0),
  };
}

const waitingWords = (minutes: number, percent: number) =>
  `, ${minutes} min waiting${percent > 0 ? ` at ${percent} % of the wage` : " not paid"}`;

/** Cost by kind in the order of the work, in whole minor units that sum to the batch; kinds without a line are left out. */
export function costByKind({ lines }: Pick<BatchCost, "lines">): readonly { readonly kind: CostKind; readonly minor: number }[] {
  return COST_KINDS.flatMap((kind) => {
    const own = lines.filter((line) => line.kind === kind);
    return own.length === 0 ? [] : [{ kind, minor: own.reduce((sum, { cost }) => sum + cost.minor, 0) }];
  });
}

type PerGram =
  | { readonly known: true; readonly minorPerGram: number; readonly words: string }
  | { readonly known: false; readonly why: string };

/**
 * Cost of a gram that gets into the bowl: the pack's price over the share that can be used. An ingredient of the baker's own without
 * a pack costs what its parts cost. Tap water without a price costs nothing that is worth a line.
 */
function costPerGram(id: string, book: IngredientBook, inputs: PriceInputs, depth = 0): PerGram {
  const ingredient = book.get(id);
  if (ingredient === undefined) return { known: false, why: "the book does not know it" };
  const usable = inputs.usablePercent?.[id] ?? 100;
  const pack = packOn(ingredient.packs, inputs.date, inputs.currency);
  if (pack !== undefined)
    return {
      known: true,
      minorPerGram: pack.priceMinor / pack.grams / (usable / 100),
      words: [
        ...(pack.supplier === undefined ? [] : [pack.supplier]),
        ...(pack.date === undefined ? [] : [pack.date]),
        ...(usable === 100 ? [] : [`${usable} % usable`]),
      ].join(", "),
    };
  if (id === "water") return { known: true, minorPerGram: 0, words: "from the tap" };
  const parts = ingredient.parts ?? [];
  const whole = parts.reduce((sum, { grams }) => sum + grams, 0) * (1 - (ingredient.partsLossPercent ?? 0) / 100);
  if (!(whole > 0) || depth > 4) return { known: false, why: `no price in ${inputs.currency} by ${inputs.date}` };
  let minor = 0;
  for (const part of parts) {
    const one = costPerGram(part.ingredient, book, inputs, depth + 1);
    if (!one.known) return { known: false, why: `${book.get(part.ingredient)?.name ?? part.ingredient} in it: ${one.why}` };
    minor += part.grams * one.minorPerGram;
  }
  return { known: true, minorPerGram: minor / whole / (usable / 100), words: "from its parts" };
}

/** Weight of each ingredient over the whole formula [g], and whether one of its uses has none. */
function ingredientGrams(formula: Formula): ReadonlyMap<string, { readonly grams: number; readonly isPartlyWeighed: boolean }> {
  const weights = new Map<string, { grams: number; isPartlyWeighed: boolean }>();
  for (const { stages } of formula.components) {
    for (const { uses } of stages) {
      for (const { ingredient, grams } of uses) {
        const before = weights.get(ingredient) ?? { grams: 0, isPartlyWeighed: false };
        weights.set(ingredient, {
          grams: before.grams + (grams ?? 0),
          isPartlyWeighed: before.isPartlyWeighed || grams === null,
        });
      }
    }
  }
  return weights;
}

function checkInputs({ cakes, portionsPerCake, unsoldPercent = 0, usablePercent = {}, labour }: PriceInputs): void {
  if (!((labour?.waitingPercent ?? 0) >= 0 && (labour?.waitingPercent ?? 0) <= 100))
    throw new RangeError(`costBatch: waiting paid at ${labour?.waitingPercent} % is not within 0 to 100`);
  if (!(cakes >= 1)) throw new RangeError(`costBatch: ${cakes} cakes are not 1 or more`);
  if (!(portionsPerCake >= 1)) throw new RangeError(`costBatch: ${portionsPerCake} portions are not 1 or more`);
  if (!(unsoldPercent >= 0 && unsoldPercent < 100))
    throw new RangeError(`costBatch: ${unsoldPercent} % unsold is not within 0 to below 100`);
  for (const [id, share] of Object.entries(usablePercent)) {
    if (!(share > 0 && share <= 100))
      throw new RangeError(`costBatch: ${share} % usable of ${id} is not above 0 and at most 100`);
  }
}
