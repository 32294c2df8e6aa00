import { ALLERGENS, type Allergen, type AllergenName, type Ingredient } from "./ingredient.js";

/** Each allergen in plain words, after Annex II of Regulation (EU) 1169/2011. */
export const ALLERGEN_WORDS: Readonly<Record<AllergenName, string>> = {
  "cereals-gluten": "cereals containing gluten",
  crustaceans: "crustaceans",
  eggs: "eggs",
  fish: "fish",
  peanuts: "peanuts",
  soybeans: "soya",
  milk: "milk",
  nuts: "nuts",
  celery: "celery",
  mustard: "mustard",
  sesame: "sesame",
  sulphites: "sulphur dioxide and sulphites",
  lupin: "lupin",
  molluscs: "molluscs",
};

/** The cereals and nuts that Annex II names and a label has to name. Spelt and khorasan wheat are declared as wheat. */
export const ALLERGEN_KINDS: Readonly<Partial<Record<AllergenName, readonly string[]>>> = {
  "cereals-gluten": ["wheat", "rye", "barley", "oats"],
  nuts: ["almond", "hazelnut", "walnut", "cashew", "pecan", "brazil", "pistachio", "macadamia"],
};

/** "milk", "wheat (gluten)", "nuts (almond)". */
export function formatAllergen({ allergen, kind }: Allergen): string {
  if (kind === undefined) return ALLERGEN_WORDS[allergen];
  return allergen === "cereals-gluten" ? `${kind} (gluten)` : `${ALLERGEN_WORDS[allergen]} (${kind})`;
}

/** Every allergen of the lists once, in the order of Annex II, kinds in the order in which Annex II names them. */
export function uniteAllergens(lists: Iterable<readonly Allergen[]>): readonly Allergen[] {
  const found = new Map<string, Allergen>();
  for (const list of lists) for (const one of list) found.set(keyOf(one), one);
  return [...found.values()].sort((a, b) => placeOf(a) - placeOf(b) || (a.kind ?? "").localeCompare(b.kind ?? "", "en-GB"));
}

/** What several ingredients bring together. An allergen that is contained is not repeated as a maybe. */
export interface AllergenSummary {
  readonly contains: readonly Allergen[];
  /** As the baker stated it for the ingredients. */
  readonly mayContain: readonly Allergen[];
  /** Common in the bought product: the specification has to be read before the label is written. */
  readonly checkSupplier: readonly Allergen[];
}

export function summariseAllergens(
  ingredients: readonly Pick<Ingredient, "contains" | "mayContain" | "checkSupplier">[],
): AllergenSummary {
  const contains = uniteAllergens(ingredients.map((ingredient) => ingredient.contains));
  const mayContain = without(uniteAllergens(ingredients.map((ingredient) => ingredient.mayContain)), contains);
  const checkSupplier = without(uniteAllergens(ingredients.map((ingredient) => ingredient.checkSupplier)), contains);
  return { contains, mayContain, checkSupplier };
}

/** Whether the allergen is in the list; with a kind only that kind counts, or an entry that does not say which. */
export function hasAllergen(list: readonly Allergen[], allergen: AllergenName, kind?: string): boolean {
  return list.some((one) => one.allergen === allergen && (kind === undefined || one.kind === undefined || one.kind === kind));
}

function without(list: readonly Allergen[], contained: readonly Allergen[]): readonly Allergen[] {
  const known = new Set(contained.map(keyOf));
  return list.filter((one) => !known.has(keyOf(one)));
}

function keyOf({ allergen, kind }: Allergen): string {
  return kind === undefined ? allergen : `${allergen}:${kind}`;
}

function placeOf({ allergen, kind }: Allergen): number {
  const kinds = ALLERGEN_KINDS[allergen] ?? [];
  const within = kind === undefined ? 0 : kinds.indexOf(kind) + 1 || kinds.length + 1;
  return ALLERGENS.indexOf(allergen) * 100 + within;
}
