import type { Formula } from "../formula/index.js";
import { type Ingredient, type IngredientBook, type Pack, pricePerKgMinor } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { minorPerMajor } from "./money.js";
import { packOn } from "./priceInputs.js";

/** One line of a price list. */
export interface PriceEntry {
  readonly ingredient: string;
  readonly pack: Pack;
}

const COLUMNS = ["ingredient", "pack_grams", "price", "currency", "supplier", "date"] as const;
const MOST_CHARACTERS = 2_000_000;

/**
 * Reads a price list: comma-separated text after RFC 4180 with a first line of column names, in any order:
 * `ingredient,pack_grams,price,currency,supplier,date`. The price is in major units ("7.20"). Lines that cannot be read are
 * reported with their line and left out; the rest stands.
 */
export function readPriceList(text: string, book: IngredientBook): Reading<readonly PriceEntry[]> {
  if (text.length > MOST_CHARACTERS) {
    return {
      value: [],
      problems: [problem("too-large", 1, "at most 2 million characters", `${text.length} characters`, "Split the list.")],
    };
  }
  const rows = readCsv(text);
  const head = (rows[0]?.cells ?? []).map((cell) => cell.trim().toLowerCase());
  const missing = COLUMNS.slice(0, 4).filter((column) => !head.includes(column));
  if (missing.length > 0) {
    return {
      value: [],
      problems: [
        problem(
          "missing-field",
          1,
          `a first line with the columns ${COLUMNS.join(", ")}`,
          head.join(", ") || "an empty text",
          `Add ${missing.join(", ")}.`,
        ),
      ],
    };
  }
  const problems: Problem[] = [];
  const entries: PriceEntry[] = [];
  for (const { line, cells } of rows.slice(1)) {
    if (cells.every((cell) => cell.trim() === "")) continue;
    const at = (column: (typeof COLUMNS)[number]) => (cells[head.indexOf(column)] ?? "").trim();
    // A line of the list to fill in that was not filled in: the price stays missing, which is no fault of the file.
    if (at("pack_grams") === "" && at("price") === "") continue;
    const found = problems.length;
    const grams = Number(at("pack_grams"));
    if (!(grams > 0 && grams <= 1e7))
      problems.push(
        problem(
          "not-a-weight",
          line,
          "the weight of the pack in grams, such as 1000",
          at("pack_grams"),
          "Give the weight as a plain number.",
        ),
      );
    const currency = at("currency").toUpperCase();
    if (!/^[A-Z]{3}$/.test(currency))
      problems.push(
        problem("out-of-range", line, "a currency of three letters, such as GBP", at("currency"), "Write the currency's code."),
      );
    const price = Number(at("price").replace(/^[£€$]/, ""));
    if (at("price") === "" || !(price >= 0 && price <= 1e7))
      problems.push(
        problem(
          "out-of-range",
          line,
          "a price such as 7.20",
          at("price"),
          "Give the price as a plain number with a decimal point.",
        ),
      );
    const ingredient = at("ingredient");
    if (book.get(ingredient) === undefined)
      problems.push(
        problem(
          "unknown-ingredient",
          line,
          "the id of an ingredient",
          ingredient,
          "Look its id up in the ingredients, or add it there first.",
        ),
      );
    const date = at("date");
    if (date !== "" && !/^\d{4}-\d{2}-\d{2}$/.test(date))
      problems.push(problem("out-of-range", line, "a date such as 2026-11-25, or nothing", date, "Write year, month, day."));
    if (problems.length > found) continue;
    const supplier = at("supplier");
    entries.push({
      ingredient,
      pack: {
        grams,
        priceMinor: Math.round(price * minorPerMajor(currency)),
        currency,
        ...(supplier === "" ? {} : { supplier }),
        ...(date === "" ? {} : { date }),
      },
    });
  }
  return { value: entries, problems };
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
    return [pack === undefined ? [id, "", "", currency, "", date].map(cell).join(",") : lineOf({ ingredient: id, pack })];
  });
  return `${[COLUMNS.join(","), ...lines].join("\r\n")}\r\n`;
}

/** One price of the history of an ingredient. */
export interface PricePoint {
  readonly date?: string;
  readonly supplier?: string;
  /** Price of a kilogram [minor units], not rounded. */
  readonly perKgMinor: number;
  /** Against the price before, percent; absent for the first. */
  readonly changePercent?: number;
}

/** Prices of an ingredient in a currency over time, the oldest first; those without a date stand at the start. */
export function priceHistory(packs: readonly Pack[] | undefined, currency: string): readonly PricePoint[] {
  const sorted = (packs ?? [])
    .filter((pack) => pack.currency === currency && pack.grams > 0)
    .toSorted((one, other) => (one.date ?? "").localeCompare(other.date ?? ""));
  return sorted.map((pack, index) => {
    const perKgMinor = pricePerKgMinor(pack)!;
    const before = index === 0 ? undefined : pricePerKgMinor(sorted[index - 1]!);
    return {
      perKgMinor,
      ...(pack.date === undefined ? {} : { date: pack.date }),
      ...(pack.supplier === undefined ? {} : { supplier: pack.supplier }),
      ...(before === undefined || before === 0 ? {} : { changePercent: (perKgMinor / before - 1) * 100 }),
    };
  });
}

/** The same list as text. A cell that a spreadsheet would take for a command is kept from being one by a leading apostrophe. */
export function writePriceList(entries: readonly PriceEntry[]): string {
  return `${[COLUMNS.join(","), ...entries.map(lineOf)].join("\r\n")}\r\n`;
}

function lineOf({ ingredient, pack }: PriceEntry): string {
  const per = minorPerMajor(pack.currency);
  const price = (pack.priceMinor / per).toFixed(Math.round(Math.log10(per)));
  return [ingredient, String(pack.grams), price, pack.currency, pack.supplier ?? "", pack.date ?? ""].map(cell).join(",");
}

function cell(value: string): string {
  const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

/** Rows with the line each begins on (from 1); quotes may hold commas, doubled quotes and line ends. */
function readCsv(text: string): readonly { readonly line: number; readonly cells: readonly string[] }[] {
  const rows: { line: number; cells: string[] }[] = [];
  let [cells, value, quoted, line, startLine]: [string[], string, boolean, number, number] = [[], "", false, 1, 1];
  const endRow = () => {
    rows.push({ line: startLine, cells: [...cells, value] });
    [cells, value] = [[], ""];
  };
  const body = text.startsWith("\uFEFF") ? text.slice(1) : text;
  for (let index = 0; index < body.length; index += 1) {
    const character = body[index]!;
    if (character === "\n") line += 1;
    if (quoted) {
      if (character !== '"') value += character;
      else if (body[index + 1] === '"') {
        value += '"';
        index += 1;
      } else quoted = false;
    } else if (character === '"' && value === "") quoted = true;
    else if (character === ",") {
      cells.push(value);
      value = "";
    } else if (character === "\n") {
      endRow();
      startLine = line;
    } else if (character !== "\r") value += character;
  }
  if (value !== "" || cells.length > 0) endRow();
  return rows;
}

const problem = (code: Problem["code"], line: number, expected: string, found: string, remedy: string): Problem => ({
  code,
  path: [line - 1],
  position: { line, column: 1 },
  expected,
  found: found.slice(0, 80),
  remedy,
});
