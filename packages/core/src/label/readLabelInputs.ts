import { ALLERGENS, type Allergen } from "../ingredients/index.js";
import { FieldReader, type Reading } from "../quantities/index.js";
import { isGtin } from "./barcode.js";
import type { Seller } from "./exemptions.js";
import type { LabelInputs } from "./labelFor.js";
import { LABEL_LANGUAGES } from "./languages.js";
import { SALE_MODES } from "./saleModes.js";
import type { StatedForUs } from "./usFurtherRows.js";
import { US_REFERENCE_AMOUNTS, type UsReferenceClass } from "./usServing.js";

/** What a file may leave to the one who asks: the place and the day. */
export interface LabelDefaults {
  readonly place?: LabelInputs["place"];
  readonly mode?: LabelInputs["mode"];
  /** ISO 8601. */
  readonly date?: string;
}

const FIELDS = [
  "name",
  "place",
  "mode",
  "date",
  "language",
  "additives",
  "names",
  "description",
  "business",
  "packs",
  "pieces",
  "netGrams",
  "portions",
  "portionGrams",
  "bakeDate",
  "keepsDays",
  "keptAt",
  "eatenWithin24h",
  "storage",
  "instructions",
  "declareQuantityOf",
  "mayContain",
  "leftGrams",
  "reconstitutedWithGrams",
  "nutrition",
  "showRows",
  "frontOfPack",
  "gtin",
  "packets",
  "surfaceCm2",
  "seller",
  "usClass",
  "usStated",
  "addedPercentOfSugars",
] as const;

type Path = readonly (string | number)[];

/**
 * Reads what a label needs beside the formula: a file (YAML or JSON, already parsed) or the body of a kept one.
 *
 * @param defaults  used where the document does not say
 * @returns  undefined where the document is none, or place and day are not known; problems with their paths
 */
export function readLabelInputs(value: unknown, defaults: LabelDefaults = {}): Reading<LabelInputs | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], new Set(FIELDS), "what a label needs");
  if (fields === undefined) return { value: undefined, problems: reader.problems };
  const text = (field: string, most: number) => reader.optionalText(fields.get(field), [field], most);
  const number = (field: string, least: number, most: number, what: string) =>
    fields.get(field) === undefined ? undefined : reader.number(fields.get(field), [field], least, most, what);
  const choice = <T extends string>(field: string, of: readonly T[], fallback?: T) =>
    fields.get(field) === undefined ? fallback : reader.choice(fields.get(field), of, [field]);
  const date =
    fields.get("date") === undefined && defaults.date !== undefined ? defaults.date : reader.date(fields.get("date"), ["date"]);
  const grams = (one: unknown, path: Path) => reader.number(one, path, 0, 1e6, "a weight in g");
  const gtin = readGtin(reader, fields.get("gtin"));
  const rest = {
    language: choice("language", LABEL_LANGUAGES),
    additives: choice("additives", ["name", "number"] as const),
    name: text("name", 200),
    description: text("description", 400),
    packs: number("packs", 0.001, 100_000, "packs that a batch makes"),
    pieces: number("pieces", 1, 10_000, "pieces in a pack"),
    netGrams: number("netGrams", 0.1, 1e6, "the weight of a pack in g"),
    portions: readPortions(reader, fields.get("portions")),
    portionGrams: number("portionGrams", 0.1, 10_000, "the weight of a portion in g"),
    bakeDate: fields.get("bakeDate") === undefined ? undefined : reader.date(fields.get("bakeDate"), ["bakeDate"]),
    keepsDays: number("keepsDays", 0, 3650, "days from baking"),
    keptAt: choice("keptAt", ["room", "chilled"] as const),
    eatenWithin24h: reader.flag(fields.get("eatenWithin24h"), ["eatenWithin24h"]),
    storage: text("storage", 400),
    instructions: text("instructions", 400),
    nutrition: choice("nutrition", ["when-needed", "always", "never"] as const),
    frontOfPack: reader.flag(fields.get("frontOfPack"), ["frontOfPack"]),
    surfaceCm2: number("surfaceCm2", 0.1, 1e6, "the largest surface of the pack in cm²"),
    usClass: choice("usClass", Object.keys(US_REFERENCE_AMOUNTS) as UsReferenceClass[]),
    gtin,
    business: readBusiness(reader, fields.get("business")),
    seller: readSeller(reader, fields.get("seller")),
    usStated: readStated(reader, fields.get("usStated")),
    names: filled(
      reader.entries(fields.get("names"), ["names"], "ingredients with their names", (one, path) =>
        reader.text(one, path, 200, "a name"),
      ),
    ),
    packets: filled(
      reader.entries(fields.get("packets"), ["packets"], "ingredients with the lists of their packets", (one, path) =>
        reader.text(one, path, 4000, "the list of its packet"),
      ),
    ),
    leftGrams: filled(reader.entries(fields.get("leftGrams"), ["leftGrams"], "ingredients with the weight that is left", grams)),
    reconstitutedWithGrams: filled(
      reader.entries(fields.get("reconstitutedWithGrams"), ["reconstitutedWithGrams"], "ingredients with the water added", grams),
    ),
    addedPercentOfSugars: filled(
      reader.entries(fields.get("addedPercentOfSugars"), ["addedPercentOfSugars"], "ingredients with a percent", (one, path) =>
        reader.number(one, path, 0, 100, "percent of its sugars"),
      ),
    ),
    declareQuantityOf: some(
      reader.list(fields.get("declareQuantityOf"), ["declareQuantityOf"], (one, path) =>
        reader.text(one, path, 120, "the id of an ingredient"),
      ),
    ),
    // An empty list is an answer: no voluntary line, where none given means the usual one.
    showRows:
      fields.get("showRows") === undefined
        ? undefined
        : reader.list(fields.get("showRows"), ["showRows"], (one, path) =>
            reader.choice(one, ["fibre", "starch", "polyols", "monounsaturates", "polyunsaturates"] as const, path),
          ),
    mayContain: some(reader.list(fields.get("mayContain"), ["mayContain"], (one, path) => readAllergen(reader, one, path))),
  };
  const place = choice("place", ["gb", "eu", "us"] as const, defaults.place);
  const mode = choice("mode", SALE_MODES, defaults.mode ?? "prepacked");
  if (place === undefined && fields.get("place") === undefined)
    reader.say("missing-field", ["place"], "one of gb, eu, us", "nothing", "Say where it is sold.");
  if (place === undefined || mode === undefined || date === undefined) return { value: undefined, problems: reader.problems };
  return { value: { place, mode, date, ...present(rest) }, problems: reader.problems };
}

type Present<T> = { readonly [Key in keyof T]?: Exclude<T[Key], undefined> };
/** Without the fields that nobody gave. */
const present = <T extends Readonly<Record<string, unknown>>>(all: T): Present<T> =>
  Object.fromEntries(Object.entries(all).filter(([, value]) => value !== undefined)) as Present<T>;
const filled = <T>(all: Readonly<Record<string, T>>) => (Object.keys(all).length === 0 ? undefined : all);
const some = <T>(all: readonly T[]) => (all.length === 0 ? undefined : all);

function readPortions(reader: FieldReader, value: unknown): number | undefined {
  if (value === undefined) return undefined;
  const portions = reader.number(value, ["portions"], 1, 1000, "portions in a pack");
  if (portions === undefined || Number.isInteger(portions)) return portions;
  reader.say("out-of-range", ["portions"], "a whole number of portions", String(portions), "Say how many a pack is cut into.");
  return undefined;
}

function readGtin(reader: FieldReader, value: unknown): string | undefined {
  if (value === undefined || value === null) return undefined;
  const digits = String(value).replace(/[\s-]/g, "");
  if (/^\d{13}$/.test(digits) && isGtin(digits)) return digits;
  reader.say(
    "out-of-range",
    ["gtin"],
    "an EAN-13 number, 13 digits that end in their check digit",
    String(value).slice(0, 40),
    "Copy the number that was issued to you; quotes keep a leading zero.",
  );
  return undefined;
}

function readBusiness(reader: FieldReader, value: unknown): LabelInputs["business"] {
  if (value === undefined || value === null) return undefined;
  const of = reader.object(value, ["business"], new Set(["name", "address"]), "name and address");
  const name = of && reader.text(of.get("name"), ["business", "name"], 200, "the name of the business");
  const address = of && reader.text(of.get("address"), ["business", "address"], 400, "its address");
  return name === undefined || address === undefined ? undefined : { name, address };
}

function readSeller(reader: FieldReader, value: unknown): Seller | undefined {
  if (value === undefined || value === null) return undefined;
  const amounts = ["staff", "yearlyTurnover", "yearlySalesDollars", "yearlyFoodSalesDollars", "yearlyUnits"] as const;
  const flags = ["isDirectOrLocal", "makesNutritionClaim"] as const;
  const of = reader.object(value, ["seller"], new Set([...amounts, ...flags]), "what is said of the business");
  if (of === undefined) return undefined;
  return present({
    ...Object.fromEntries(
      amounts.map((field) => [
        field,
        of.has(field) ? reader.number(of.get(field), ["seller", field], 0, 1e12, "a number") : undefined,
      ]),
    ),
    ...Object.fromEntries(flags.map((field) => [field, reader.flag(of.get(field), ["seller", field])])),
  }) as Seller;
}

function readStated(reader: FieldReader, value: unknown): StatedForUs | undefined {
  if (value === undefined || value === null) return undefined;
  const amounts = ["transFatGrams", "cholesterolMg", "vitaminDMcg", "calciumMg", "ironMg", "potassiumMg"] as const;
  const of = reader.object(value, ["usStated"], new Set(amounts), "amounts per 100 g");
  if (of === undefined) return undefined;
  return present(
    Object.fromEntries(
      amounts.map((field) => [
        field,
        of.has(field) ? reader.number(of.get(field), ["usStated", field], 0, 1e5, "an amount per 100 g") : undefined,
      ]),
    ),
  ) as StatedForUs;
}

/** "nuts", "nuts: walnut" or an object of both. */
function readAllergen(reader: FieldReader, value: unknown, path: Path): Allergen | undefined {
  if (typeof value === "string") {
    const [name, kind] = value.split(/\s*:\s*/, 2) as [string, string?];
    const allergen = reader.choice(name.trim(), ALLERGENS, path);
    return allergen && (kind ? { allergen, kind: kind.trim().slice(0, 60) } : { allergen });
  }
  const of = reader.object(value, path, new Set(["allergen", "kind"]), "an allergen");
  const allergen = of && reader.choice(of.get("allergen"), ALLERGENS, [...path, "allergen"]);
  const kind = of && reader.optionalText(of.get("kind"), [...path, "kind"], 60);
  return allergen && (kind ? { allergen, kind } : { allergen });
}
