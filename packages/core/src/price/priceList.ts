import type { IngredientBook, Pack } from "../ingredients/index.js";
import type { Problem, Reading } from "../quantities/index.js";
import { minorPerMajor } from "./money.js";

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

/** The same list as text. A cell that a spreadsheet would take for a command is kept from being one by a leading apostrophe. */
export function writePriceList(entries: readonly PriceEntry[]): string {
  const lines = entries.map(({ ingredient, pack }) => {
    const per = minorPerMajor(pack.currency);
    const price = (pack.priceMinor / per).toFixed(Math.round(Math.log10(per)));
    return [ingredient, String(pack.grams), price, pack.currency, pack.supplier ?? "", pack.date ?? ""].map(cell).join(",");
  });
  return `${[COLUMNS.join(","), ...lines].join("\r\n")}\r\n`;
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
