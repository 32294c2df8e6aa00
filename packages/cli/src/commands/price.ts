import { type Formula, formulaGrams } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  comparePrices,
  type PriceDocument,
  type PricedProduct,
  priceHistory,
  priceListFor,
  priceReport,
  riseAcross,
  waterfallSvg,
} from "@evencrumb/core/price";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import type { ExitStatus, Io } from "../io.js";
import { pricedBook, readInputs, readRises } from "../pricing.js";
import { jsonText } from "../render/json.js";
import { type Compared, effectsAsText, historyAsText, reportAsJson, reportAsText } from "../render/price.js";

interface PriceOptions extends Readonly<Record<string, unknown>> {
  readonly inputs?: string;
  readonly prices?: readonly string[];
  readonly rise?: readonly string[];
  readonly margin?: string;
  readonly markUp?: string;
  readonly price?: string;
  readonly compare?: string;
  readonly also?: readonly string[];
  readonly format?: string;
  readonly currency?: string;
  readonly cakes?: string;
  readonly list?: boolean;
  readonly history?: string;
  readonly output?: string;
}

export const priceCommand = defineCommand<PriceOptions>({
  name: "price",
  summary:
    "What a batch, a cake, a portion and 100 g cost, line by line and to the penny; a price by margin or mark-up; what a rise does; break-even.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--inputs <file>", "labour, energy, packaging, overhead, fees, how it is sold (YAML)"],
    ["--prices <files...>", "price lists (CSV: ingredient, pack_grams, price, currency, supplier, date)"],
    ["--rise <changes...>", 'what if: an ingredient and a percent, "butter-unsalted 10%"'],
    ["--margin <percent>", "price so that this share of the price is left"],
    ["--mark-up <percent>", "price this much above the cost"],
    ["--price <amount>", "the price is this: what is left of it"],
    ["--compare <file>", "cost of another formula or revision beside it, line by line"],
    [
      "--also <products...>",
      'with --rise, other products as well: formula and inputs with "=" between, "loaf.yaml=loaf-price.yaml"',
    ],
    ["--cakes <count>", "cakes that a batch makes, where no inputs say it", "1"],
    ["--currency <code>", "currency, where no inputs say it", "GBP"],
    ["--list", "print a price list of what the formula uses, to fill in"],
    ["--history <ingredient>", "prices of one ingredient over time"],
    ["--format <format>", "text, or svg: the price built up from its parts as a picture", "text"],
    ["-o, --output <file>", "write the answer there"],
  ],
  examples: [
    "evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv",
    'evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv --margin 60 --rise "butter-unsalted 10%"',
    "evencrumb price sandwich.1.yaml --inputs price.yaml --prices prices.csv --compare sandwich.3.yaml",
    "evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv --rise butter-unsalted:20% --also loaf.yaml=loaf-price.yaml",
    "evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv --format svg -o waterfall.svg",
    "evencrumb price sandwich.yaml --list -o prices.csv",
  ],
  async run({ args, json, output, ...options }, io) {
    if (options.format !== undefined && options.format !== "text" && options.format !== "svg") {
      io.say(`--format takes text or svg, not "${options.format}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const document = await readInputs(options, io);
    if (typeof document === "number") return document;
    const book = await pricedBook(input.book, options.prices ?? [], io);
    if (typeof book === "number") return book;
    const give = async (text: string): Promise<ExitStatus> => {
      if (output === undefined) io.print(text);
      else {
        await io.writeFile(output, text.endsWith("\n") ? text : `${text}\n`);
        io.say(`Price in ${output}`);
      }
      return 0;
    };
    const { currency, date } = document.inputs;
    if (options.list === true) return give(priceListFor(input.formula, book, date, currency));
    if (options.history !== undefined) {
      const points = priceHistory(book.get(options.history)?.packs, currency);
      if (book.get(options.history) === undefined) {
        io.say(`"${options.history}" is not an ingredient of the book.`);
        return 2;
      }
      return give(
        json
          ? jsonText("price.history", { ingredient: options.history, currency, prices: points })
          : historyAsText(points, currency),
      );
    }
    const rises = readRises(options.rise ?? [], io);
    if (typeof rises === "number") return rises;
    const also = await readAlso(options.also ?? [], options.prices ?? [], io);
    if (typeof also === "number") return also;
    if (also.products.length > 0 && rises.length !== 1) {
      io.say("--also goes with one --rise: it shows what that does to each product.");
      return 2;
    }
    const report = priceReport(input.formula, book, document, rises);
    const compared = await readCompared(input.formula, book, document, options, io);
    if (typeof compared === "number") return compared;
    if (options.format === "svg") {
      if (report.price === undefined) {
        io.say("There is no price to draw: say one of --margin, --mark-up and --price, or how it is sold in --inputs.");
        return 1;
      }
      return give(waterfallSvg(report.waterfall, currency, `${input.formula.name}, the price of one`));
    }
    const across =
      also.products.length === 0
        ? undefined
        : riseAcross(
            [{ id: args[0]!, formula: input.formula, document }, ...also.products],
            joined([book, ...also.books]),
            rises[0]!.ingredient,
            rises[0]!.percent,
          );
    await give(
      json
        ? jsonText("price", {
            ...reportAsJson(input.formula, document, report, compared),
            ...(across === undefined ? {} : { across }),
          })
        : [
            reportAsText(input.formula, document, report, compared),
            ...(across === undefined ? [] : ["", effectsAsText(across, rises[0]!)]),
          ].join("\n"),
    );
    return document.settings !== undefined && report.price === undefined ? 1 : 0;
  },
});

async function readCompared(
  formula: Formula,
  book: IngredientBook,
  document: PriceDocument,
  options: PriceOptions,
  io: Io,
): Promise<Compared | undefined | ExitStatus> {
  if (options.compare === undefined) return undefined;
  const other = await readFormula(io, options.compare);
  if (typeof other === "number") return other;
  return {
    name: other.formula.name,
    grams: formulaGrams(other.formula),
    changes: comparePrices(formula, other.formula, book, document),
  };
}

interface Also {
  readonly products: readonly PricedProduct[];
  /** Each formula's file may bring ingredients of its own. */
  readonly books: readonly IngredientBook[];
}

async function readAlso(pairs: readonly string[], prices: readonly string[], io: Io): Promise<Also | ExitStatus> {
  const products: PricedProduct[] = [];
  const books: IngredientBook[] = [];
  for (const pair of pairs) {
    const [file = "", inputs = ""] = pair.split("=");
    if (file === "" || inputs === "") {
      io.say(`--also takes a formula and its inputs, such as "loaf.yaml=loaf-price.yaml", not "${pair}".`);
      return 2;
    }
    const input = await readFormula(io, file);
    if (typeof input === "number") return input;
    const document = await readInputs({ inputs }, io);
    if (typeof document === "number") return document;
    const book = await pricedBook(input.book, prices, io);
    if (typeof book === "number") return book;
    products.push({ id: file, formula: input.formula, document });
    books.push(book);
  }
  return { products, books };
}

const joined = (books: readonly IngredientBook[]): IngredientBook => ({
  all: books.flatMap(({ all }) => all),
  get: (id) => books.map((book) => book.get(id)).find((found) => found !== undefined),
});
