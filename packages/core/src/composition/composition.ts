import type { Allergen, Nutrient } from "../ingredients/index.js";
import type { Problem } from "../quantities/index.js";

/** What of a total comes from one use of one ingredient. */
export interface Contribution {
  readonly component: string;
  readonly stage: string;
  /** Id and name of the ingredient; the name is the id where the book does not know it. */
  readonly ingredient: string;
  readonly name: string;
  /** Weight of the use [g]. */
  readonly useGrams: number;
  /** What it brings [g, or kJ and kcal for the energies]; absent when the figure is missing. */
  readonly amount?: number;
  /** Source of the figure, or why there is none. */
  readonly source: string;
}

/**
 * Total of one nutrient [g; kJ or kcal for the energies]. With anything in `missing` it is a lower bound and shown as such.
 * The amounts of `contributions` add to `amount`; the finished water has one more, negative, for the water lost in the making
 * (its `ingredient` is empty).
 */
export interface Total {
  readonly amount: number;
  readonly missing: readonly Contribution[];
  readonly contributions: readonly Contribution[];
}

/** An ingredient with no weight yet: nothing of it is in the totals. */
export interface UnweighedUse {
  readonly component: string;
  readonly stage: string;
  readonly ingredient: string;
  readonly name: string;
}

/** What a mix contains. */
export interface Composition {
  /** Weight [g] of everything that was weighed, after loss where there is one. */
  readonly totalGrams: number;
  /** Water lost in the making [g], 0 before the loss. */
  readonly lostGrams: number;
  readonly totals: Readonly<Record<Nutrient, Total>>;
}

/** One component, or the whole product, as mixed and as finished. */
export interface PartComposition {
  readonly name: string;
  readonly mixed: Composition;
  readonly finished: Composition;
  readonly allergens: AllergenSummary;
  /** Uses without a weight. Their allergens count; their figures cannot. */
  readonly unweighed: readonly UnweighedUse[];
}

export interface AllergenEntry extends Allergen {
  /** Names of the ingredients that bring it. */
  readonly from: readonly string[];
}

export interface AllergenSummary {
  readonly contains: readonly AllergenEntry[];
  readonly mayContain: readonly AllergenEntry[];
  /** Common in the bought product: the specification has to be read. */
  readonly checkSupplier: readonly AllergenEntry[];
  /** Ingredients the book does not know: their allergens are not known either. */
  readonly unknownIngredients: readonly string[];
}

export interface FormulaComposition {
  readonly components: readonly PartComposition[];
  readonly product: PartComposition;
  /** What the baker can mend: a loss greater than the water there is. */
  readonly problems: readonly Problem[];
}
