import type { Figure } from "../quantities/index.js";
import type { FurtherFigures } from "./further.js";

/**
 * What an ingredient is made of, in grams per 100 g as sold, except the two energies (kJ, kcal per 100 g as the source prints them).
 * `carbohydrate` is by difference and holds the fibre; `sugars` is the sum of the single sugars, as weight;
 * `saturates`, `monounsaturates`, `polyunsaturates` add to less than `fat`.
 */
export const NUTRIENTS = [
  "water",
  "protein",
  "fat",
  "saturates",
  "monounsaturates",
  "polyunsaturates",
  "carbohydrate",
  "sugars",
  "sucrose",
  "glucose",
  "fructose",
  "lactose",
  "maltose",
  "galactose",
  "starch",
  "fibre",
  "ash",
  "sodium",
  "alcohol",
  "polyols",
  "organicAcids",
  "energyKj",
  "energyKcal",
] as const;
export type Nutrient = (typeof NUTRIENTS)[number];

/** Every nutrient is present: as a figure, or as the reason why there is none. */
export type NutrientFigures = Readonly<Record<Nutrient, Figure>>;

/** The fourteen of Annex II of Regulation (EU) 1169/2011. */
export const ALLERGENS = [
  "cereals-gluten",
  "crustaceans",
  "eggs",
  "fish",
  "peanuts",
  "soybeans",
  "milk",
  "nuts",
  "celery",
  "mustard",
  "sesame",
  "sulphites",
  "lupin",
  "molluscs",
] as const;
export type AllergenName = (typeof ALLERGENS)[number];

/** One allergen; `kind` names the cereal or the nut ("wheat", "almond"), which the law wants named. */
export interface Allergen {
  readonly allergen: AllergenName;
  readonly kind?: string;
}

/**
 * What an ingredient does in a cake, for the shares and ratios that bakers balance by.
 * "flour" is what baker's percent is measured against: flours and starches. Cocoa and ground nuts are not flour.
 */
export type Role = (typeof ROLES)[number];
export const ROLES = [
  "flour",
  "fat",
  "sugar",
  "egg",
  "dairy",
  "liquid",
  "raising",
  "chocolate",
  "nut",
  "fruit",
  "flavour",
  "salt",
  "thickener",
  "other",
] as const;

/** The weight of a household amount of this food: one cup, one large one, one stick. */
export interface HouseholdWeight {
  /** How many of `measure`; nearly always 1. */
  readonly amount: number;
  /** "cup", "tablespoon", "large", "stick" ... in the words of the source. */
  readonly measure: string;
  readonly grams: number;
  readonly source: string;
}

/** What was paid for a pack. Money in whole minor units of the currency (pence, cents). */
export interface Pack {
  readonly grams: number;
  readonly priceMinor: number;
  /** ISO 4217, "GBP". */
  readonly currency: string;
  readonly supplier?: string;
  /** ISO 8601 date on which the price was seen. */
  readonly date?: string;
}

/** One part of a compound ingredient (the baker's own jam, a pre-mix). */
export interface CompoundPart {
  readonly ingredient: string;
  readonly grams: number;
}

export interface Ingredient {
  /** kebab-case, stable for ever: "butter-unsalted". */
  readonly id: string;
  /** British trade name. */
  readonly name: string;
  /** The US name where it is another one: "heavy cream". */
  readonly usName?: string;
  readonly otherNames: readonly string[];
  /** Shelf in the larder: "flours-starches", "dairy" ... */
  readonly group: string;
  readonly role: Role;
  readonly per100g: NutrientFigures;
  /** What a US panel asks for besides; `furtherFigure` reads it. */
  readonly furtherPer100g?: FurtherFigures;
  /** Density in g/mL, poured or spooned as a baker would. */
  readonly densityGPerMl: Figure;
  readonly householdWeights: readonly HouseholdWeight[];
  readonly contains: readonly Allergen[];
  /** Not in it by nature but common in the bought product: the specification has to be read. */
  readonly checkSupplier: readonly Allergen[];
  /** As the baker states it after their own assessment of risk. */
  readonly mayContain: readonly Allergen[];
  /** dataset: read from a table; computed: arithmetic from named parts; memory: no table found; own: the baker's packet; compound: from its parts. */
  readonly basis: "dataset" | "computed" | "memory" | "own" | "compound";
  /** Where the figures come from, in words, with the table's own number. */
  readonly source: string;
  readonly notes?: string;
  /** What a label calls it, where that is not the trade name: "wheat flour". */
  readonly labelName?: string;
  /** The list of ingredients as its packet prints it, without the heading: "sugar, cocoa mass, emulsifier (soya lecithins)". */
  readonly packetList?: string;
  readonly packs?: readonly Pack[];
  readonly parts?: readonly CompoundPart[];
  /** Water lost while a compound is made (jam boiled down), percent of the parts' weight. */
  readonly partsLossPercent?: number;
}

/** All ingredients that a formula can use: the shipped ones and the baker's own, which win where ids are the same. */
export interface IngredientBook {
  readonly all: readonly Ingredient[];
  get(id: string): Ingredient | undefined;
}
