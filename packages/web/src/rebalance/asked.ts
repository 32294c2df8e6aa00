import type { Component, Formula } from "@evencrumb/core/formula";
import type { AllergenName } from "@evencrumb/core/ingredients";
import type { BentLimit } from "@evencrumb/core/keeping";
import type { Demand, Measure, RebalanceRequest, Swap } from "@evencrumb/core/rebalance";

/** What stands on the page, as it was typed. */
export interface Asked {
  readonly component: string;
  readonly swap: { readonly from: string; readonly percent: string; readonly to: readonly string[] } | null;
  readonly hold: readonly HoldName[];
  readonly limits: readonly AskedLimit[];
  readonly without: readonly AllergenName[];
  readonly mayAdd: readonly string[];
  readonly keep: readonly string[];
  /** Weight of one whole egg [g] as typed; null where eggs may be divided. */
  readonly wholeEggs: string | null;
  readonly aim: RebalanceRequest["aim"];
}

export interface AskedLimit {
  readonly of: LimitName;
  readonly side: "least" | "most";
  readonly value: string;
  readonly per: "batch" | "100g";
}

/** What may be held, in the order in which bakers think of it. */
export const HOLDS = {
  total: { words: "total weight", measure: { kind: "total" } },
  fat: { words: "fat", measure: { kind: "nutrient", nutrient: "fat" } },
  water: { words: "water", measure: { kind: "nutrient", nutrient: "water" } },
  sugars: { words: "sugars", measure: { kind: "nutrient", nutrient: "sugars" } },
  sweetness: { words: "sweetness", measure: { kind: "sweetness" } },
  protein: { words: "protein", measure: { kind: "nutrient", nutrient: "protein" } },
  starch: { words: "starch", measure: { kind: "nutrient", nutrient: "starch" } },
  flour: { words: "all flour", measure: { kind: "role", role: "flour" } },
  egg: { words: "all egg", measure: { kind: "role", role: "egg" } },
  sodium: { words: "salt (sodium)", measure: { kind: "nutrient", nutrient: "sodium" } },
  gas: { words: "raising power", measure: { kind: "gas" } },
  cost: { words: "cost", measure: { kind: "cost" } },
} as const satisfies Readonly<Record<string, { readonly words: string; readonly measure: Measure }>>;
export type HoldName = keyof typeof HOLDS;

/** What may be limited; a bent one is no straight sum, and has no weight it is per. */
export const LIMITS = {
  sugars: { words: "sugars", unit: "g" },
  fat: { words: "fat", unit: "g" },
  saturates: { words: "saturated fat", unit: "g" },
  water: { words: "water", unit: "g" },
  protein: { words: "protein", unit: "g" },
  fibre: { words: "fibre", unit: "g" },
  energyKcal: { words: "energy", unit: "kcal" },
  "water-activity": { words: "water activity", unit: "" },
  "set-temperature": { words: "set temperature", unit: "°C" },
  "solid-fat": { words: "solid fat at 5 °C, in 100 g", unit: "g" },
} as const;
export type LimitName = keyof typeof LIMITS;
export const isBent = (name: LimitName): name is BentLimit["kind"] =>
  name === "water-activity" || name === "set-temperature" || name === "solid-fat";

/** The refrigerator, where a cake that is firm at all is firmest. */
const SOLID_FAT_C = 5;

export function firstAsked(formula: Formula): Asked {
  const component = formula.components.find(({ kind }) => kind === "cake") ?? formula.components[0];
  return {
    component: component?.name ?? "",
    swap: null,
    hold: ["total", "fat", "water"],
    limits: [],
    without: [],
    mayAdd: [],
    keep: [],
    wholeEggs: null,
    aim: "nearest",
  };
}

/** The offered swap as the page asks for it: what it carries may be added, what has to stay is held. */
export function takeSwap(asked: Asked, swap: Swap): Asked {
  const held = (swap.holds ?? []).flatMap((measure) =>
    (Object.keys(HOLDS) as HoldName[]).filter((name) => JSON.stringify(HOLDS[name].measure) === JSON.stringify(measure)),
  );
  return {
    ...asked,
    swap: { from: swap.from, percent: asked.swap?.percent ?? "100", to: swap.to },
    mayAdd: swap.carries,
    hold: [...new Set([...asked.hold, ...held])],
  };
}

/** Ingredients of a component, each once, in the order of its stages. */
export const ingredientsOf = (component: Component): readonly string[] => [
  ...new Set(component.stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
];

export type ReadAsked =
  | { readonly ok: true; readonly request: RebalanceRequest; readonly limits: readonly BentLimit[] }
  /** Nothing to work out yet, or what is typed wrongly: what to do. */
  | { readonly ok: false; readonly words: readonly string[] };

/** Reads what is typed. A figure that is none is said, and never guessed. */
export function readAsked(asked: Asked, formula: Formula, eggs: readonly string[]): ReadAsked {
  const words: string[] = [];
  const number = (text: string, least: number, most: number, what: string): number => {
    const value = text.trim() === "" ? Number.NaN : Number(text.trim().replace(",", "."));
    if (!(value >= least && value <= most)) words.push(`${what}: type a number from ${least} to ${most}.`);
    return value;
  };
  const limits: BentLimit[] = [];
  const demands: Demand[] = asked.hold.map((name) => ({ kind: "hold", measure: HOLDS[name].measure }));
  for (const { of, side, value, per } of asked.limits) {
    const most = of === "water-activity" ? 1 : of === "set-temperature" ? 120 : 100_000;
    const limit = { [side]: number(value, 0, most, LIMITS[of].words) };
    if (!isBent(of)) demands.push({ kind: "between", measure: { kind: "nutrient", nutrient: of }, per, ...limit });
    else if (of === "solid-fat") limits.push({ kind: of, temperatureC: SOLID_FAT_C, ...limit });
    else limits.push({ kind: of, ...limit });
  }
  for (const allergen of asked.without) demands.push({ kind: "absent", allergen });
  const { swap } = asked;
  const percent = swap === null ? 0 : number(swap.percent, 0, 100, "How much of it is replaced, in per cent");
  if (swap !== null && swap.to.length === 0) words.push("Say what takes its place.");
  const each = asked.wholeEggs === null ? 0 : number(asked.wholeEggs, 1, 200, "The weight of one egg in grams");
  if (words.length > 0) return { ok: false, words };
  const nothing = swap === null && asked.limits.length === 0 && asked.without.length === 0;
  if (nothing && asked.wholeEggs === null && asked.aim === "nearest")
    return { ok: false, words: ["Choose a swap, set a limit, or leave an allergen out: the answer follows as you go."] };
  return {
    ok: true,
    limits,
    request: {
      formula,
      component: asked.component,
      ...(swap === null ? {} : { swap: { from: swap.from, percent, to: swap.to } }),
      mayAdd: asked.mayAdd,
      keep: asked.keep,
      demands,
      aim: asked.aim,
      pieces: asked.wholeEggs === null ? [] : eggs.map((ingredient) => ({ ingredient, gramsEach: each })),
    },
  };
}
