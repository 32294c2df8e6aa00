import type { Formula } from "../formula/index.js";
import type { Ingredient, IngredientBook, Pack } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { csvCell, plainCell, readCsv } from "./csv.js";
import { minorPerMajor } from "./money.js";
import { packOn } from "./priceInputs.js";

/** One line of a price list. */
export interface PriceEntry {
  readonly ingredient: string;
  readonly pack: Pack;
}

export const PRICE_LIST_COLUMNS = ["ingredient", "pack_grams", "price", "currency", "supplier", "date"] as const;
type Column = (typeof PRICE_LIST_COLUMNS)[number];
const MOST_CHARACTERS = 2_000_000;
const MOST_PROBLEMS = 200;

/**
 * Reads a price list: comma-separated text after RFC 4180 with a first line of column names, in any order:
 * `ingredient,pack_grams,price,currency,supplier,date`. An ingredient is its id or its name as the book has it; the price is in
 * major units ("7.20"). Lines that cannot be read are reported and left out; the rest stands.
 *
 * @returns  each problem with the line and the column where its cell begins, and the name of the column at the end of its path
 */
export function readPriceList(text: string, book: IngredientBook): Reading<readonly PriceEntry[]> {
  if (text.length > MOST_CHARACTERS)
    return refused("too-large", "at most 2 million characters", `${text.length} characters`, "Split the list.");
  const { rows, unclosed } = readCsv(text);
  const head = (rows[0] ?? []).map((one) => one.text.trim().toLowerCase());
  const missing = PRICE_LIST_COLUMNS.slice(0, 4).filter((column) => !head.includes(column));
  if (missing.length > 0)
    return refused(
      "missing-field",
      `a first line with the columns ${PRICE_LIST_COLUMNS.join(", ")}`,
      head.join(", ") || "an empty text",
      head.join("").includes(";") ? "Save the list with commas between the columns." : `Add ${missing.join(", ")}.`,
    );
  const problems: Problem[] = [];
  const entries: PriceEntry[] = [];
  const named = idsByName(book);
  for (const [row, cells] of rows.entries()) {
    if (row === 0 || cells.every((one) => one.text.trim() === "")) continue;
    const at = (column: Column) => plainCell((cells[head.indexOf(column)]?.text ?? "").trim());
    // A line of the list to fill in that was not filled in: the price stays missing, which is no fault of the file.
    if (at("pack_grams") === "" && at("price") === "") continue;
    const found = problems.length;
    const say = (code: Problem["code"], column: Column, expected: string, remedy: string) => {
      const place = cells[head.indexOf(column)] ?? cells.at(-1)!;
      const position = { line: place.line, column: place.column };
      problems.push({ code, path: [row, column], position, expected, found: at(column).slice(0, 80) || "nothing", remedy });
    };
    const id = book.get(at("ingredient")) === undefined ? named.get(at("ingredient").toLowerCase()) : at("ingredient");
    if (id === undefined)
      say(
        "unknown-ingredient",
        "ingredient",
        "the id of an ingredient, or its name",
        "Look its id up in the ingredients, or add it there first.",
      );
    const grams = Number(at("pack_grams"));
    if (!(grams > 0 && grams <= 1e7))
      say("not-a-weight", "pack_grams", "the weight of the pack in grams, such as 1000", "Give the weight as a plain number.");
    const price = Number(at("price").replace(/^[£€$]/, ""));
    if (at("price") === "" || !(price >= 0 && price <= 1e7))
      say("out-of-range", "price", "a price such as 7.20", "Give the price as a plain number with a decimal point.");
    const currency = at("currency").toUpperCase();
    if (!/^[A-Z]{3}$/.test(currency))
      say("out-of-range", "currency", "a currency of three letters, such as GBP", "Write the currency's code.");
    const date = at("date");
    if (date !== "" && !isDay(date))
      say("out-of-range", "date", "a date such as 2026-11-25, or nothing", "Write year, month and day with hyphens.");
    if (problems.length > found || id === undefined) {
      if (problems.length > MOST_PROBLEMS) break;
      continue;
    }
    const supplier = at("supplier");
    entries.push({
      ingredient: id,
      pack: {
        grams,
        priceMinor: Math.round(price * minorPerMajor(currency)),
        currency,
        ...(supplier === "" ? {} : { supplier }),
        ...(date === "" ? {} : { date }),
      },
    });
  }
  if (unclosed !== undefined)
    problems.push({
      code: "wrong-type",
      path: [unclosed.line - 1],
      position: unclosed,
      expected: "a quotation mark that closes the cell",
      found: "the end of the list",
      remedy: "Close the quotation mark, or take it out: what follows it was read as one cell.",
    });
  return { value: entries, problems };
}

const refused = (code: Problem["code"], expected: string, found: string, remedy: string): Reading<readonly PriceEntry[]> => ({
  value: [],
  problems: [{ code, path: [0], position: { line: 1, column: 1 }, expected, found: found.slice(0, 80), remedy }],
});

/** Names by which exactly one ingredient goes. */
function idsByName(book: IngredientBook): ReadonlyMap<string, string> {
  const ids = new Map<string, Set<string>>();
  for (const { id, name, usName, otherNames } of book.all)
    for (const one of [name, usName, ...otherNames])
      if (one !== undefined) ids.set(one.toLowerCase(), (ids.get(one.toLowerCase()) ?? new Set()).add(id));
  // The trade name goes before a by-name of another ingredient.
  const own = new Map(book.all.map(({ id, name }) => [name.toLowerCase(), id]));
  return new Map([...ids].flatMap(([name, all]) => (all.size === 1 ? [[name, [...all][0]!] as const] : [])).concat([...own]));
}

/** Whether a text is an ISO 8601 date of a day that exists. */
function isDay(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const time = Date.parse(`${text}T00:00:00Z`);
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text);
}

/** The book with the packs of a price list added: a price does not replace another, it is a later entry of its history. */
export function withPrices(book: IngredientBook, entries: readonly PriceEntry[]): IngredientBook {
  const packs = new Map<string, Pack[]>();
  for (const { ingredient, pack } of entries) packs.set(ingredient, [...(packs.get(ingredient) ?? []), pack]);
  const priced = (one: Ingredient): Ingredient => {
    const more = packs.get(one.id);
    return more === undefined ? one : { ...one, packs: [...(one.packs ?? []), ...more] };
  };
  const found = new Map(
    [...packs.keys()].flatMap((id) => (book.get(id) === undefined ? [] : [[id, priced(book.get(id)!)] as const])),
  );
  return { all: book.all.map((one) => found.get(one.id) ?? one), get: (id) => found.get(id) ?? book.get(id) };
}

/**
 * A price list of what a formula uses, to fill in: the price that counts on a day where there is one, else empty cells.
 *
 * @returns  text as `readPriceList` reads it; lines left empty are passed over there
 */
export function priceListFor(formula: Formula, book: IngredientBook, date: string, currency: string): string {
  const ids = new Set(
    formula.components.flatMap(({ stages }) => stages.flatMap(({ uses }) => uses.map(({ ingredient }) => ingredient))),
  );
  const lines = [...ids].flatMap((id) => {
    const found = book.get(id);
    if (found === undefined || id === "water") return [];
    const pack = packOn(found.packs, date, currency);
    return [pack === undefined ? [id, "", "", currency, "", date].map(csvCell).join(",") : lineOf({ ingredient: id, pack })];
  });
  return `${[PRICE_LIST_COLUMNS.join(","), ...lines].join("\r\n")}\r\n`;
}

/** The same list as text. */
export function writePriceList(entries: readonly PriceEntry[]): string {
  return `${[PRICE_LIST_COLUMNS.join(","), ...entries.map(lineOf)].join("\r\n")}\r\n`;
}

function lineOf({ ingredient, pack }: PriceEntry): string {
  const per = minorPerMajor(pack.currency);
  const price = (pack.priceMinor / per).toFixed(Math.round(Math.log10(per)));
  return [ingredient, String(pack.grams), price, pack.currency, pack.supplier ?? "", pack.date ?? ""].map(csvCell).join(",");
}
