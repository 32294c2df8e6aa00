import type { Allergen, AllergenName, Ingredient, Nutrient, Role } from "../ingredients/index.js";

/** Something that can be added up over the ingredients of a mix. */
export type Measure =
  | { readonly kind: "total" }
  | { readonly kind: "nutrient"; readonly nutrient: Nutrient }
  | { readonly kind: "sweetness" }
  /** Carbon dioxide that raising agents can set free. */
  | { readonly kind: "gas" }
  | { readonly kind: "ingredient"; readonly ingredient: string }
  | { readonly kind: "role"; readonly role: Role }
  | { readonly kind: "cost" };

/**
 * What has to be true of the rebalanced mix: `hold` keeps the amount that the formula had, `between` sets limits, for the batch
 * [g, or minor units for cost] or for 100 g of it. `absent` keeps an allergen out.
 */
export type Demand =
  | { readonly kind: "hold"; readonly measure: Measure }
  | {
      readonly kind: "between";
      readonly measure: Measure;
      readonly per: "batch" | "100g";
      readonly least?: number;
      readonly most?: number;
    }
  | { readonly kind: "absent"; readonly allergen: AllergenName };

/**
 * Sweetness of a sugar beside sucrose by weight, at the strength of a cake; from memory, and it differs with strength and
 * temperature by a fifth either way.
 */
export const RELATIVE_SWEETNESS = {
  sucrose: 1,
  glucose: 0.7,
  fructose: 1.2,
  lactose: 0.2,
  maltose: 0.4,
  galactose: 0.3,
  polyols: 0.6,
} as const satisfies Partial<Record<Nutrient, number>>;

/** What one gram of an ingredient brings to a measure; undefined when a figure it needs is missing. */
export function contributionPerGram(measure: Measure, ingredient: Ingredient): number | undefined {
  switch (measure.kind) {
    case "total":
      return 1;
    case "nutrient":
      return figure(ingredient, measure.nutrient);
    case "sweetness":
      return sweetness(ingredient);
    case "gas":
      return gas(ingredient);
    case "ingredient":
      return ingredient.id === measure.ingredient ? 1 : 0;
    case "role":
      return ingredient.role === measure.role ? 1 : 0;
    case "cost":
      return costPerGram(ingredient);
  }
}

/** Minor units per gram by the pack seen last; undefined without a price. */
export function costPerGram({ packs = [] }: Ingredient): number | undefined {
  const pack = packs.toSorted((one, other) => (one.date ?? "").localeCompare(other.date ?? "")).at(-1);
  return pack === undefined ? undefined : pack.priceMinor / pack.grams;
}

export const brings = (ingredient: Ingredient, allergen: AllergenName): boolean =>
  ingredient.contains.some((mark: Allergen) => mark.allergen === allergen);

/**
 * Carbon dioxide per gram: baking powder 12 % (US federal standard, at least), bicarbonate 52.4 % (stoichiometry, 44.01 / 84.01),
 * self-raising flour 0.4 % (typical, from memory), US self-rising flour 0.5 % (21 CFR 137.180, at least).
 */
function gas({ id, role }: Ingredient): number {
  if (/baking-powder/.test(id)) return 0.12;
  if (role === "raising" && /bicarbonate|baking-soda/.test(id)) return 0.524;
  if (/^self-rising-flour-us/.test(id)) return 0.005;
  return /^self-raising/.test(id) ? 0.004 : 0;
}

/** Sucrose is worth 1 a gram. Sugars that the source only gives as a sum count as sucrose. */
function sweetness(ingredient: Ingredient): number | undefined {
  const singles = Object.entries(RELATIVE_SWEETNESS).map(([nutrient, sweet]) => ({
    sweet,
    amount: figure(ingredient, nutrient as Nutrient),
    nutrient,
  }));
  const total = figure(ingredient, "sugars");
  if (total === undefined) return undefined;
  const known = singles.filter(({ amount }) => amount !== undefined);
  const knownSugars = known.filter(({ nutrient }) => nutrient !== "polyols").reduce((sum, { amount }) => sum + amount!, 0);
  return known.reduce((sum, { amount, sweet }) => sum + amount! * sweet, 0) + Math.max(0, total - knownSugars);
}

function figure(ingredient: Ingredient, nutrient: Nutrient): number | undefined {
  const value = ingredient.per100g[nutrient];
  return value.known ? value.value / 100 : undefined;
}

const MEASURE_WORDS: Readonly<Partial<Record<Nutrient, string>>> = {
  energyKj: "energy",
  energyKcal: "energy",
  saturates: "saturated fat",
  fibre: "fibre",
};

/** "the fat", "the total weight": for sentences. */
export function measureWords(measure: Measure): string {
  switch (measure.kind) {
    case "total":
      return "the total weight";
    case "nutrient":
      return `the ${MEASURE_WORDS[measure.nutrient] ?? measure.nutrient}`;
    case "sweetness":
      return "the sweetness";
    case "gas":
      return "the raising power (g of carbon dioxide)";
    case "ingredient":
      return `the ${measure.ingredient}`;
    case "role":
      return `all ${measure.role}`;
    case "cost":
      return "the cost";
  }
}

/** "keep the fat as it is", "no milk": a demand as a baker would say it. */
export function demandWords(demand: Demand): string {
  if (demand.kind === "hold") return `keep ${measureWords(demand.measure)} as it is`;
  if (demand.kind === "absent") return `no ${demand.allergen}`;
  const unit = demand.measure.kind === "cost" ? " (minor units)" : " g";
  const per = demand.per === "100g" ? " in 100 g" : "";
  const least = demand.least === undefined ? "" : `at least ${demand.least}${unit}${per}`;
  const most = demand.most === undefined ? "" : `at most ${demand.most}${unit}${per}`;
  return `${measureWords(demand.measure)}: ${[least, most].filter((part) => part !== "").join(" and ")}`;
}
