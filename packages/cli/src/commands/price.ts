import { type Formula, formulaGrams } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  type CostKind,
  comparePrices,
  formatMoney,
  type PriceDocument,
  type PriceReport,
  type PriceRule,
  priceHistory,
  priceListFor,
  priceReport,
  readPriceDocument,
  readPriceList,
  withPrices,
} from "@evencrumb/core/price";
import { parse } from "yaml";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import { type ExitStatus, type Io, refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";
import { tableText, wrapped } from "../render/table.js";

interface PriceOptions extends Readonly<Record<string, unknown>> {
  readonly inputs?: string;
  readonly prices?: readonly string[];
  readonly rise?: readonly string[];
  readonly margin?: string;
  readonly markUp?: string;
  readonly price?: string;
  readonly compare?: string;
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
    ["--cakes <count>", "cakes that a batch makes, where no inputs say it", "1"],
    ["--currency <code>", "currency, where no inputs say it", "GBP"],
    ["--list", "print a price list of what the formula uses, to fill in"],
    ["--history <ingredient>", "prices of one ingredient over time"],
    ["-o, --output <file>", "write the answer there"],
  ],
  examples: [
    "evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv",
    'evencrumb price sandwich.yaml --inputs price.yaml --prices prices.csv --margin 60 --rise "butter-unsalted 10%"',
    "evencrumb price sandwich.1.yaml --inputs price.yaml --prices prices.csv --compare sandwich.3.yaml",
    "evencrumb price sandwich.yaml --list -o prices.csv",
  ],
  async run({ args, json, output, ...options }, io) {
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
    const report = priceReport(input.formula, book, document, rises);
    const compared = await readCompared(input.formula, book, document, options, io);
    if (typeof compared === "number") return compared;
    await give(
      json
        ? jsonText("price", reportAsJson(input.formula, document, report, compared))
        : reportAsText(input.formula, document, report, compared),
    );
    return document.settings !== undefined && report.price === undefined ? 1 : 0;
  },
});

async function readInputs(options: PriceOptions, io: Io): Promise<PriceDocument | ExitStatus> {
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
    const { value, problems } = readPriceDocument(parsed);
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
          minor: Math.round(number * (formatMoney({ minor: 0, currency: document.inputs.currency }).includes(".") ? 100 : 1)),
        }
      : { kind, percent: number };
  return { ...document, settings: { ...document.settings, rule } };
}

async function pricedBook(book: IngredientBook, files: readonly string[], io: Io): Promise<IngredientBook | ExitStatus> {
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

function readRises(words: readonly string[], io: Io): readonly { ingredient: string; percent: number }[] | ExitStatus {
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

type Compared = { readonly name: string; readonly grams: number; readonly changes: ReturnType<typeof comparePrices> } | undefined;

async function readCompared(
  formula: Formula,
  book: IngredientBook,
  document: PriceDocument,
  options: PriceOptions,
  io: Io,
): Promise<Compared | ExitStatus> {
  if (options.compare === undefined) return undefined;
  const other = await readFormula(io, options.compare);
  if (typeof other === "number") return other;
  return {
    name: other.formula.name,
    grams: formulaGrams(other.formula),
    changes: comparePrices(formula, other.formula, book, document),
  };
}

const KINDS: Readonly<Record<CostKind, string>> = {
  ingredient: "Ingredients",
  labour: "Labour",
  energy: "Energy",
  packaging: "Packaging",
  overhead: "Overhead",
};

function reportAsJson(formula: Formula, { inputs, settings }: PriceDocument, report: PriceReport, compared: Compared) {
  const { cost } = report;
  return {
    name: formula.name,
    currency: inputs.currency,
    date: inputs.date,
    cakes: inputs.cakes,
    portionsPerCake: inputs.portionsPerCake,
    batchMinor: cost.batch.minor,
    perCakeMinor: cost.perCakeMinor,
    perPortionMinor: cost.perPortionMinor,
    per100gMinor: cost.per100gMinor ?? null,
    lines: cost.lines.map(({ kind, id, name, cost: money, exactMinor, from }) => ({
      kind,
      id,
      name,
      minor: money.minor,
      exactMinor,
      from,
    })),
    missing: cost.missing,
    handsOnMinutes: cost.handsOnMinutes,
    waitingMinutes: cost.waitingMinutes,
    price: report.price === undefined ? null : { ...report.price, rule: settings?.rule },
    waterfall: report.waterfall,
    breakEven: report.breakEven ?? null,
    rises: report.rises,
    ...(compared === undefined ? {} : { compared }),
    cautions: report.cautions,
  };
}

function reportAsText(formula: Formula, { inputs, settings }: PriceDocument, report: PriceReport, compared: Compared): string {
  const { cost, price } = report;
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: inputs.currency });
  const rows = (Object.keys(KINDS) as CostKind[]).flatMap((kind) => {
    const lines = cost.lines.filter((line) => line.kind === kind).toSorted((one, other) => other.exactMinor - one.exactMinor);
    if (lines.length === 0) return [];
    const sum = lines.reduce((total, line) => total + line.cost.minor, 0);
    return [
      [KINDS[kind], money(sum), `${((100 * sum) / Math.max(1, cost.batch.minor)).toFixed(0)} %`, ""],
      ...lines.map((line) => [`  ${line.name}`, money(line.cost.minor), "", line.from]),
    ];
  });
  const left = { heading: "", align: "left" as const };
  const number = { heading: "", align: "decimal" as const };
  return [
    `${formula.name}: cost of a batch, ${inputs.currency}, prices as of ${inputs.date}`,
    "",
    tableText([left, number, number, left], [...rows, ["Batch", money(cost.batch.minor), "", ""]]),
    "",
    tableText(
      [left, number],
      [
        [
          `A cake (${inputs.cakes} made${inputs.unsoldPercent ? `, ${inputs.unsoldPercent} % not sold` : ""})`,
          money(cost.perCakeMinor),
        ],
        [`A portion (${inputs.portionsPerCake} in a cake)`, money(cost.perPortionMinor)],
        ...(cost.per100gMinor === undefined ? [] : [["100 g of the finished product", money(cost.per100gMinor)]]),
        ...(inputs.labour === undefined
          ? []
          : [
              ["Hands-on minutes, paid", String(cost.handsOnMinutes)],
              ["Waiting minutes, not paid", String(cost.waitingMinutes)],
            ]),
      ],
    ),
    ...(cost.missing.length === 0
      ? []
      : ["", "Not priced, and not in the sums:", ...cost.missing.map(({ name, why }) => `  ${name}: ${why}`)]),
    ...(price === undefined || settings === undefined
      ? []
      : [
          "",
          `Price of a cake: ${money(price.minor)} (${ruleWords(settings.rule, inputs.currency)})`,
          tableText(
            [left, number, left],
            report.waterfall.map(({ name, kind, fromMinor, toMinor }) => [
              `  ${name}`,
              money(toMinor - fromMinor),
              kind === "price"
                ? ""
                : `${" ".repeat(at(fromMinor, price.minor))}${"▇".repeat(Math.max(1, at(toMinor, price.minor) - at(fromMinor, price.minor)))}`,
            ]),
          ),
          wrapped(price.words, 110, "  "),
        ]),
    ...(report.breakEven === undefined
      ? []
      : [`  ${report.breakEven.name} (${money(report.breakEven.fixedMinor)}) is earned with ${report.breakEven.cakes} cakes.`]),
    ...report.rises.map(
      ({ ingredient, percent, shareOfCost, perCakeChangeMinor, marginPercentAfter }) =>
        `What if ${ingredient} costs ${percent > 0 ? "+" : ""}${percent} %: a cake costs ${money(Math.abs(perCakeChangeMinor))} ${perCakeChangeMinor >= 0 ? "more" : "less"} (it is ${(100 * shareOfCost).toFixed(1)} % of the cost)${marginPercentAfter === undefined ? "" : `; at the same price the margin is ${marginPercentAfter.toFixed(1)} %`}.`,
    ),
    ...(compared === undefined ? [] : ["", comparedAsText(compared, money)]),
    "",
    ...report.cautions.map((caution) => wrapped(caution, 110)),
  ].join("\n");
}

const at = (minor: number, whole: number) => Math.round((40 * minor) / Math.max(1, whole));

function ruleWords(rule: PriceRule, currency: string): string {
  if (rule.kind === "price") return `as given, ${formatMoney({ minor: rule.minor, currency })}`;
  return rule.kind === "margin" ? `margin ${rule.percent} % of the price` : `mark-up ${rule.percent} % on the cost`;
}

function comparedAsText(compared: NonNullable<Compared>, money: (minor: number) => string): string {
  if (compared.changes.length === 0) return `Against ${compared.name}: no difference in cost.`;
  const total = compared.changes.reduce((sum, { beforeMinor, afterMinor }) => sum + afterMinor - beforeMinor, 0);
  const signed = (minor: number) => `${minor >= 0 ? "+" : ""}${money(minor)}`;
  return [
    `The other (${compared.name}) beside it, a batch:`,
    tableText(
      [
        { heading: "", align: "left" },
        { heading: "this", align: "decimal" },
        { heading: "other", align: "decimal" },
        { heading: "change", align: "decimal" },
      ],
      [
        ...compared.changes.map(({ name, beforeMinor, afterMinor }) => [
          `  ${name}`,
          money(beforeMinor),
          money(afterMinor),
          signed(afterMinor - beforeMinor),
        ]),
        ["  All", "", "", signed(total)],
      ],
    ),
  ].join("\n");
}

function historyAsText(points: ReturnType<typeof priceHistory>, currency: string): string {
  if (points.length === 0) return `No price in ${currency} yet.`;
  return tableText(
    [
      { heading: "date", align: "left" },
      { heading: "a kg", align: "decimal" },
      { heading: "change", align: "decimal" },
      { heading: "supplier", align: "left" },
    ],
    points.map(({ date, perKgMinor, changePercent, supplier }) => [
      date ?? "-",
      formatMoney({ minor: Math.round(perKgMinor), currency }),
      changePercent === undefined ? "" : `${changePercent > 0 ? "+" : ""}${changePercent.toFixed(1)} %`,
      supplier ?? "",
    ]),
  );
}
