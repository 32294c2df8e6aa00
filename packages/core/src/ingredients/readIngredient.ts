import { FieldReader, type Figure, quoted, type Reading } from "../quantities/index.js";
import { FURTHER_NUTRIENTS, FURTHER_WORDS, type FurtherFigures, type FurtherNutrient } from "./further.js";
import {
  ALLERGENS,
  type Allergen,
  type AllergenName,
  type CompoundPart,
  type HouseholdWeight,
  type Ingredient,
  NUTRIENTS,
  type Nutrient,
  type NutrientFigures,
  type Pack,
  ROLES,
} from "./ingredient.js";
import { checkDeclared } from "./plausible.js";

type Path = readonly (string | number)[];

const FIELDS = new Set([
  "id",
  "name",
  "usName",
  "otherNames",
  "group",
  "role",
  "per100g",
  "furtherPer100g",
  "densityGPerMl",
  "householdWeights",
  "contains",
  "checkSupplier",
  "mayContain",
  "basis",
  "source",
  "notes",
  "labelName",
  "packetList",
  "packs",
  "parts",
  "partsLossPercent",
]);
const BASES = ["dataset", "computed", "memory", "own", "compound"] as const;

/**
 * An ingredient that comes from outside: a file, the API, a backup. Made anew from what was understood, so that nothing of the given
 * value (a prototype, a getter, a field that nobody asked for) gets in.
 *
 * @param value  anything; an object as `JSON.parse` gives it is expected. A figure may be a number, null, or `{known, value, source}`.
 * @returns  the ingredient, or undefined where its id, name or role cannot be read; problems with their paths, at most 100
 */
export function readIngredient(value: unknown, path: Path = []): Reading<Ingredient | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, path, FIELDS, "an ingredient");
  if (!fields) return { value: undefined, problems: reader.problems };
  const id = reader.text(fields.get("id"), [...path, "id"], 80, "a kebab-case id such as own-strawberry-jam");
  if (id !== undefined && !/^[a-z0-9]+(?:-[a-z0-9]+)*$/.test(id)) {
    reader.say(
      "wrong-type",
      [...path, "id"],
      "a kebab-case id such as own-strawberry-jam",
      quoted(id),
      "Use small letters, digits and single hyphens.",
    );
  }
  const name = reader.text(fields.get("name"), [...path, "name"], 200, "a name such as Strawberry jam");
  const role = reader.choice(fields.get("role"), ROLES, [...path, "role"]);
  const usName = reader.optionalText(fields.get("usName"), [...path, "usName"], 200);
  const notes = reader.optionalText(fields.get("notes"), [...path, "notes"], 4000);
  const labelName = reader.optionalText(fields.get("labelName"), [...path, "labelName"], 200);
  const packetList = reader.optionalText(fields.get("packetList"), [...path, "packetList"], 4000);
  const source = reader.optionalText(fields.get("source"), [...path, "source"], 4000) ?? "stated by the baker";
  const group = reader.optionalText(fields.get("group"), [...path, "group"], 80) ?? "own";
  const basis = fields.has("basis") ? reader.choice(fields.get("basis"), BASES, [...path, "basis"]) : "own";
  const otherNames = reader.list(fields.get("otherNames"), [...path, "otherNames"], (one, at) =>
    reader.text(one, at, 200, "a name"),
  );
  const per100g = readFigures(reader, fields.get("per100g"), [...path, "per100g"]);
  const further = fields.has("furtherPer100g")
    ? readFurther(reader, fields.get("furtherPer100g"), [...path, "furtherPer100g"])
    : undefined;
  const density = readFigure(reader, fields.get("densityGPerMl"), [...path, "densityGPerMl"], 0.03, 3, "g/mL");
  const householdWeights = reader.list(fields.get("householdWeights"), [...path, "householdWeights"], (one, at) =>
    readHousehold(reader, one, at),
  );
  const allergens = (field: string) =>
    reader.list(fields.get(field), [...path, field], (one, at) => readAllergen(reader, one, at));
  const [contains, checkSupplier, mayContain] = [allergens("contains"), allergens("checkSupplier"), allergens("mayContain")];
  const packs = fields.has("packs")
    ? reader.list(fields.get("packs"), [...path, "packs"], (one, at) => readPack(reader, one, at))
    : undefined;
  const parts = fields.has("parts")
    ? reader.list(fields.get("parts"), [...path, "parts"], (one, at) => readPart(reader, one, at))
    : undefined;
  const lossPath = [...path, "partsLossPercent"];
  const loss = fields.has("partsLossPercent")
    ? reader.number(fields.get("partsLossPercent"), lossPath, 0, 99.99, "a loss in percent")
    : undefined;
  if (id === undefined || name === undefined || role === undefined || !/^[a-z0-9]+(?:-[a-z0-9]+)*$/.test(id)) {
    return { value: undefined, problems: reader.problems };
  }
  return {
    value: {
      id,
      name,
      ...(usName ? { usName } : {}),
      otherNames,
      group,
      role,
      per100g,
      ...(further === undefined ? {} : { furtherPer100g: further }),
      densityGPerMl: density,
      householdWeights,
      contains,
      checkSupplier,
      mayContain,
      basis: basis ?? "own",
      source,
      ...(notes ? { notes } : {}),
      ...(labelName ? { labelName } : {}),
      ...(packetList ? { packetList } : {}),
      ...(packs ? { packs } : {}),
      ...(parts ? { parts } : {}),
      ...(loss === undefined ? {} : { partsLossPercent: loss }),
    },
    problems: reader.problems,
  };
}

function readFigures(reader: FieldReader, value: unknown, path: Path): NutrientFigures {
  const figures = {} as Record<Nutrient, Figure>;
  const fields =
    value === undefined ? new Map<string, unknown>() : reader.object(value, path, new Set(NUTRIENTS), "figures per 100 g");
  for (const nutrient of NUTRIENTS) {
    const most = nutrient === "energyKj" ? 3800 : nutrient === "energyKcal" ? 920 : 100;
    const unit = nutrient === "energyKj" ? "kJ" : nutrient === "energyKcal" ? "kcal" : "g";
    figures[nutrient] = readFigure(reader, fields?.get(nutrient), [...path, nutrient], 0, most, unit);
  }
  const of = (nutrient: Nutrient) => (figures[nutrient].known ? figures[nutrient].value : undefined);
  const [carbohydrate, fibre] = [of("carbohydrate"), of("fibre")];
  const known = {
    fat: of("fat"),
    saturates: of("saturates"),
    protein: of("protein"),
    water: of("water"),
    alcohol: of("alcohol"),
  };
  const entries = Object.entries({
    ...known,
    carbohydrate: carbohydrate === undefined ? undefined : Math.max(0, carbohydrate - (fibre ?? 0)),
    fibre,
  });
  // Energy is left out: tables use factors of their own, and what they print is not the baker's slip.
  const declared = Object.fromEntries(entries.filter(([, figure]) => figure !== undefined));
  for (const problem of checkDeclared(declared, path)) reader.problems.push(problem);
  return figures;
}

function readFurther(reader: FieldReader, value: unknown, path: Path): FurtherFigures | undefined {
  const fields = reader.object(value, path, new Set(FURTHER_NUTRIENTS), "further figures per 100 g");
  if (fields === undefined) return undefined;
  const figures: Partial<Record<FurtherNutrient, Figure>> = {};
  for (const nutrient of FURTHER_NUTRIENTS) {
    if (!fields.has(nutrient)) continue;
    const { unit, mostPer100g } = FURTHER_WORDS[nutrient];
    figures[nutrient] = readFigure(reader, fields.get(nutrient), [...path, nutrient], 0, mostPer100g, unit);
  }
  return figures;
}

function readFigure(reader: FieldReader, value: unknown, path: Path, least: number, most: number, unit: string): Figure {
  if (value === undefined || value === null) return { known: false, why: "not stated" };
  if (typeof value === "number") {
    const read = reader.number(value, path, least, most, `a figure in ${unit}`);
    return read === undefined
      ? { known: false, why: "the figure given cannot be" }
      : { known: true, value: read, source: "stated by the baker" };
  }
  const fields = reader.object(
    value,
    path,
    new Set(["known", "value", "source", "why"]),
    "a number, null or a figure with its source",
  );
  if (!fields) return { known: false, why: "the figure given cannot be read" };
  if (fields.get("known") !== true) {
    return { known: false, why: reader.optionalText(fields.get("why"), [...path, "why"], 500) ?? "not stated" };
  }
  const read = reader.number(fields.get("value"), [...path, "value"], least, most, `a figure in ${unit}`);
  const source = reader.optionalText(fields.get("source"), [...path, "source"], 4000) ?? "stated by the baker";
  return read === undefined ? { known: false, why: "the figure given cannot be" } : { known: true, value: read, source };
}

function readAllergen(reader: FieldReader, value: unknown, path: Path): Allergen | undefined {
  if (typeof value === "string") {
    const name = reader.choice(value, ALLERGENS, path);
    return name && { allergen: name };
  }
  const fields = reader.object(value, path, new Set(["allergen", "kind"]), "an allergen");
  const allergen: AllergenName | undefined = fields && reader.choice(fields.get("allergen"), ALLERGENS, [...path, "allergen"]);
  if (!fields || !allergen) return undefined;
  const kind = reader.optionalText(fields.get("kind"), [...path, "kind"], 60);
  return kind ? { allergen, kind } : { allergen };
}

function readHousehold(reader: FieldReader, value: unknown, path: Path): HouseholdWeight | undefined {
  const fields = reader.object(value, path, new Set(["amount", "measure", "grams", "source"]), "a household weight");
  if (!fields) return undefined;
  const amount = fields.has("amount")
    ? reader.number(fields.get("amount"), [...path, "amount"], 1e-6, 1e6, "a number above 0")
    : 1;
  const measure = reader.text(fields.get("measure"), [...path, "measure"], 100, "a measure such as cup");
  const grams = reader.number(fields.get("grams"), [...path, "grams"], 1e-6, 1e6, "a weight in g");
  const source = reader.optionalText(fields.get("source"), [...path, "source"], 1000) ?? "stated by the baker";
  return amount === undefined || measure === undefined || grams === undefined ? undefined : { amount, measure, grams, source };
}

function readPack(reader: FieldReader, value: unknown, path: Path): Pack | undefined {
  const fields = reader.object(value, path, new Set(["grams", "priceMinor", "currency", "supplier", "date"]), "a pack");
  if (!fields) return undefined;
  const grams = reader.number(fields.get("grams"), [...path, "grams"], 1e-3, 1e7, "the weight of the pack in g");
  const price = reader.number(fields.get("priceMinor"), [...path, "priceMinor"], 0, 1e12, "a price in whole pence or cents");
  const currency = reader.text(fields.get("currency"), [...path, "currency"], 3, "a currency such as GBP");
  if (price !== undefined && !Number.isInteger(price)) {
    reader.say(
      "wrong-type",
      [...path, "priceMinor"],
      "a price in whole pence or cents",
      String(price),
      "Give the price in pence or cents, without decimals.",
    );
  }
  if (currency !== undefined && !/^[A-Z]{3}$/.test(currency)) {
    reader.say(
      "wrong-type",
      [...path, "currency"],
      "a currency such as GBP",
      quoted(currency),
      "Use the three capital letters of ISO 4217.",
    );
  }
  const supplier = reader.optionalText(fields.get("supplier"), [...path, "supplier"], 200);
  const date = reader.optionalText(fields.get("date"), [...path, "date"], 10);
  if (date !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(date)) {
    reader.say(
      "wrong-type",
      [...path, "date"],
      "a date such as 2026-03-14",
      quoted(date),
      "Write year, month and day with hyphens.",
    );
  }
  if (
    grams === undefined ||
    price === undefined ||
    !Number.isInteger(price) ||
    currency === undefined ||
    !/^[A-Z]{3}$/.test(currency)
  )
    return undefined;
  return { grams, priceMinor: price, currency, ...(supplier ? { supplier } : {}), ...(date ? { date } : {}) };
}

function readPart(reader: FieldReader, value: unknown, path: Path): CompoundPart | undefined {
  const fields = reader.object(value, path, new Set(["ingredient", "grams"]), "a part with its weight");
  if (!fields) return undefined;
  const ingredient = reader.text(fields.get("ingredient"), [...path, "ingredient"], 80, "the id of an ingredient");
  const grams = reader.number(fields.get("grams"), [...path, "grams"], 1e-6, 1e9, "a weight in g");
  return ingredient === undefined || grams === undefined ? undefined : { ingredient, grams };
}
