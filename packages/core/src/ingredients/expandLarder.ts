import type { Figure } from "../quantities/index.js";
import { LARDER_ROWS } from "./data/larderRows.js";
import { expandFurther } from "./expandFurther.js";
import type { FurtherFigures } from "./further.js";
import {
  ALLERGENS,
  type Allergen,
  type AllergenName,
  type HouseholdWeight,
  type Ingredient,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Role,
} from "./ingredient.js";

/** The tables that the shipped figures were read from, by the short name used in the rows. Licences: data/NOTICE.md. */
export const FOOD_TABLES = {
  SR28: "USDA National Nutrient Database for Standard Reference, Release 28",
  CoFID: "UK CoFID 2021 (McCance and Widdowson's Composition of Foods Integrated Dataset)",
  SRA: "USDA National Nutrient Database for Standard Reference, abbreviated file of a release before 28",
  FDC: "USDA FoodData Central, Foundation Foods",
} as const;

/**
 * The shipped ingredients, in the order of the shelves (flours first). Expanded on the first call and kept; the figures of each
 * when they are first asked for.
 *
 * @returns every figure with its source, and with a reason where there is none; the array and its members are frozen in effect
 *   (readonly) and shared between callers.
 */
export function standardIngredients(): readonly Ingredient[] {
  expanded ??= LARDER_ROWS.trim().split("\n").map(expandRow);
  return expanded;
}
let expanded: readonly Ingredient[] | undefined;

type Basis = keyof typeof FOOD_TABLES | "computed" | "memory" | "none";

function expandRow(line: string): Ingredient {
  const fields = line.split("|");
  if (fields.length !== 17) throw new Error(`larderRows: "${fields[0]}" has ${fields.length} fields, not 17`);
  const [id, name, usName, others, group, role, figures, density, densitySource, household, householdSource] =
    fields as string[] & { 0: string };
  const [contains, check, basis, number, description, notes] = fields.slice(11);
  const table = basis as Basis;
  const source = sourceWords(table, number!, description!);
  const measuresSource = householdSource || source;
  let per100g: NutrientFigures | undefined;
  let further: { readonly figures: FurtherFigures } | undefined;
  const readPer100g = () => {
    per100g ??= expandFigures(figures!, table, source);
    return per100g;
  };
  return {
    id: id!,
    name: name!,
    ...(usName ? { usName } : {}),
    otherNames: list(others!),
    group: group!,
    role: role as Role,
    // Only when asked for: a formula uses a dozen of three hundred ingredients, and the command has to answer at once.
    get per100g() {
      return readPer100g();
    },
    get furtherPer100g() {
      further ??= { figures: expandFurther({ id: id!, table, number: number!, source, fat: readPer100g().fat }) ?? {} };
      return further.figures;
    },
    densityGPerMl: density
      ? { known: true, value: Number(density), source: densitySource! }
      : { known: false, why: densitySource || "no table gives a volume weight for it" },
    householdWeights: list(household!).map((part) => expandMeasure(part, measuresSource)),
    contains: expandAllergens(contains!),
    checkSupplier: expandAllergens(check!),
    mayContain: [],
    basis: table in TABLE_SHORT ? "dataset" : table === "computed" ? "computed" : "memory",
    source,
    ...(notes ? { notes } : {}),
  };
}

const TABLE_SHORT: Readonly<Record<string, string>> = {
  SR28: "USDA SR28",
  SRA: "USDA SR abbreviated",
  CoFID: "UK CoFID 2021",
  FDC: "USDA FoodData Central",
};

function sourceWords(table: Basis, number: string, description: string): string {
  if (table in TABLE_SHORT) return `${TABLE_SHORT[table]} ${number} ${description}`;
  return table === "computed" ? `computed: ${description}` : description;
}

function list(field: string): readonly string[] {
  return field === "" ? [] : field.split(";");
}

function expandMeasure(part: string, source: string): HouseholdWeight {
  const equals = part.lastIndexOf("=");
  const words = part.slice(0, equals);
  const star = words.indexOf("*");
  return {
    amount: star < 0 ? 1 : Number(words.slice(0, star)),
    measure: words.slice(star + 1),
    grams: Number(part.slice(equals + 1)),
    source,
  };
}

function expandAllergens(field: string): readonly Allergen[] {
  if (field === "") return [];
  return field.split(",").map((part) => {
    const [allergen, kind] = part.split(":");
    if (!(ALLERGENS as readonly string[]).includes(allergen!))
      throw new Error(`larderRows: "${allergen}" is no Annex II allergen`);
    return kind ? { allergen: allergen as AllergenName, kind } : { allergen: allergen as AllergenName };
  });
}

function expandFigures(field: string, table: Basis, source: string): NutrientFigures {
  const tokens = field.split(" ");
  if (tokens.length !== NUTRIENTS.length) throw new Error(`larderRows: ${tokens.length} figures, not ${NUTRIENTS.length}`);
  const missing: Figure = { known: false, why: table === "none" ? "no table has this ingredient" : `not given by ${source}` };
  const zero: Figure = { known: true, value: 0, source };
  const figures = {} as Record<Nutrient, Figure>;
  for (let index = 0; index < tokens.length; index++) {
    const token = tokens[index]!;
    const nutrient = NUTRIENTS[index]!;
    figures[nutrient] = token === "0" ? zero : token === "-" ? missing : expandFigure(token, nutrient, table, source);
  }
  return figures;
}

function expandFigure(token: string, nutrient: Nutrient, table: Basis, source: string): Figure {
  const mark = token.charCodeAt(token.length - 1);
  if (mark === LETTER_Z) return assumedZero(nutrient);
  if (mark === LETTER_D)
    return { known: true, value: Number(token.slice(0, -1)), source: `${derivedHow(nutrient, table)} (${source})` };
  return { known: true, value: Number(token), source };
}

const LETTER_Z = "z".charCodeAt(0);
const LETTER_D = "d".charCodeAt(0);

/** The same figure for every ingredient, so that a few objects stand for two thousand. */
function assumedZero(nutrient: Nutrient): Figure {
  let figure = zeros.get(nutrient);
  if (!figure) {
    figure = {
      known: true,
      value: 0,
      source: ASSUMED_ZERO[nutrient] ?? "assumed zero because this kind of food does not hold it",
    };
    zeros.set(nutrient, figure);
  }
  return figure;
}
const zeros = new Map<Nutrient, Figure>();

const ASSUMED_ZERO: Partial<Record<Nutrient, string>> = {
  lactose: "assumed zero because no milk is in it",
  alcohol: "assumed zero because it is not an alcoholic drink",
  starch: "assumed zero because this kind of food holds no starch",
  polyols: "assumed zero because polyols are neither natural to it nor usually added",
  organicAcids: "assumed zero because it holds no more than traces of organic acids",
  galactose: "assumed zero because it holds no free galactose",
};

const COFID_SUGARS = "derived: monosaccharide equivalents divided by 1.05";
const COFID_HOW: Partial<Record<Nutrient, string>> = {
  carbohydrate: "derived: starch + sugars + fibre, as weight",
  sugars: "derived: sum of the single sugars as weight, from monosaccharide equivalents",
  sucrose: COFID_SUGARS,
  lactose: COFID_SUGARS,
  maltose: COFID_SUGARS,
  starch: "derived: monosaccharide equivalents divided by 1.10",
  ash: "derived: Na + K + Ca + Mg + P + Cl, lower than an ashing",
};
const USDA_HOW: Partial<Record<Nutrient, string>> = {
  starch: "derived: carbohydrate less fibre and sugars",
  sugars: "derived: sum of the single sugars",
  energyKj: "derived: kcal x 4.184",
  water: "derived: 100 less protein, fat and carbohydrate",
};

function derivedHow(nutrient: Nutrient, table: Basis): string {
  if (table === "CoFID") return COFID_HOW[nutrient] ?? "derived from the row's other figures";
  if (table !== "computed" && table !== "memory" && table !== "none")
    return USDA_HOW[nutrient] ?? "derived from the row's other figures";
  return "derived";
}
