import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  minorPerMajor,
  type PriceDocument,
  type PriceRule,
  readPriceDocument,
  readPriceList,
  withPrices,
} from "@evencrumb/core/price";
import { parse } from "yaml";
import { type ExitStatus, type Io, refuse } from "./io.js";
import { problemText } from "./render/problems.js";

/** How a price is asked for on the command line. */
export interface PricingOptions {
  readonly inputs?: string;
  readonly margin?: string;
  readonly markUp?: string;
  readonly price?: string;
  readonly currency?: string;
  readonly cakes?: string;
}

/** The price document of `--inputs`, with what the other options say instead. */
export async function readInputs(options: PricingOptions, io: Io): Promise<PriceDocument | ExitStatus> {
  let document: PriceDocument = {
    name: "Price",
    inputs: {
      currency: options.currency ?? "GBP",
      date: io.now().toISOString().slice(0, 10),
      cakes: Math.max(1, Number(options.cakes) || 1),
      portionsPerCake: 1,
    },
  };
  if (options.inputs !== undefined) {
    const text = await io.readText(options.inputs);
    let parsed: unknown;
    try {
      parsed = parse(text);
    } catch (error) {
      io.say(`${options.inputs}: not readable as YAML. ${error instanceof Error ? error.message.split("\n")[0] : ""}`);
      return 2;
    }
    const { value, problems } = readPriceDocument(parsed, { date: io.now().toISOString().slice(0, 10) });
    if (value === undefined || problems.length > 0) return refuse(io, problems, options.inputs);
    document = value;
  }
  const rules = [
    ["--margin", options.margin, "margin"],
    ["--mark-up", options.markUp, "mark-up"],
    ["--price", options.price, "price"],
  ] as const;
  const given = rules.filter(([, value]) => value !== undefined);
  if (given.length > 1) {
    io.say(
      `Say one of ${given.map(([flag]) => flag).join(" and ")}: margin is a share of the price, mark-up a share of the cost.`,
    );
    return 2;
  }
  if (given.length === 0) return document;
  const [flag, value, kind] = given[0]!;
  const number = Number(value!.replace(/%$/, "").replace(",", "."));
  if (!(number >= 0 && number < (kind === "margin" ? 100 : 1e7))) {
    io.say(`${flag} takes a number from 0${kind === "margin" ? " to below 100" : ""}, not "${value}".`);
    return 2;
  }
  const rule: PriceRule =
    kind === "price"
      ? {
          kind,
          minor: Math.round(number * minorPerMajor(document.inputs.currency)),
        }
      : { kind, percent: number };
  return { ...document, settings: { ...document.settings, rule } };
}

export async function pricedBook(book: IngredientBook, files: readonly string[], io: Io): Promise<IngredientBook | ExitStatus> {
  let priced = book;
  for (const file of files) {
    const { value, problems } = readPriceList(await io.readText(file), book);
    // One line that cannot be read is no reason to lose the others; it is said, and its ingredient shows as missing.
    for (const problem of problems) io.say(problemText(problem, file));
    if (value.length === 0 && problems.length > 0) return 2;
    priced = withPrices(priced, value);
  }
  return priced;
}

export function readRises(words: readonly string[], io: Io): readonly { ingredient: string; percent: number }[] | ExitStatus {
  const parts = words.flatMap((word) => word.split(/[\s:=]+/)).filter((word) => word !== "");
  const rises: { ingredient: string; percent: number }[] = [];
  for (let index = 0; index < parts.length; index += 2) {
    const percent = Number(parts[index + 1]?.replace(/%$/, "").replace(",", "."));
    if (!(percent > -100 && percent <= 10_000)) {
      io.say(`--rise takes an ingredient and a percent, such as "butter-unsalted 10%", not "${words.join(" ")}".`);
      return 2;
    }
    rises.push({ ingredient: parts[index]!, percent });
  }
  return rises;
}
