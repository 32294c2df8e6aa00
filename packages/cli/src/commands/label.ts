import {
  type Label,
  type LabelInputs,
  type LabelLayout,
  labelFor,
  labelHtml,
  labelSvg,
  labelText,
  layoutLabel,
  type NutritionCell,
  readLabelDocument,
  readLabelInputs,
  type SheetGrid,
  sheetGrid,
} from "@evencrumb/core/label";
import { parse } from "yaml";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import { type ExitStatus, type Io, refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText, wrapped } from "../render/table.js";

const FORMATS = ["text", "pdf", "svg", "html", "json"] as const;
type Format = (typeof FORMATS)[number];

interface LabelOptions extends Readonly<Record<string, unknown>> {
  readonly inputs?: string;
  readonly place?: string;
  readonly mode?: string;
  readonly date?: string;
  readonly baked?: string;
  readonly language?: string;
  readonly quantityOf?: string;
  readonly format?: string;
  readonly size?: string;
  readonly sheet?: string;
  readonly page?: string;
  readonly margins?: string;
  readonly gaps?: string;
  readonly skip?: string;
  readonly count?: string;
  readonly sources?: boolean;
  readonly rules?: boolean;
  readonly draftMark?: boolean;
  readonly output?: string;
}

export const labelCommand = defineCommand<LabelOptions>({
  name: "label",
  summary:
    "The label of a product by the rules of a place and a way of selling: list, allergens, quantities, dates, nutrition; what is missing; at true size.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--inputs <file>", "business, packs, packets' lists, what else the label says (YAML)"],
    ["--place <place>", "gb, eu or us"],
    ["--mode <way>", "prepacked, direct-sale, loose or distance"],
    ["--date <day>", "day on which it is to hold; today when left out"],
    ["--baked <day>", "day of baking, for the date on the label"],
    ["--language <language>", "en, fr, de, es or it"],
    ["--quantity-of <ids>", "ingredients whose quantity is declared, with commas"],
    ["--format <format>", "text, pdf, svg, html or json; told from the file's name when left out"],
    ["--size <size>", "label size", "100x70mm"],
    ["--sheet <rows x columns>", "a sheet of labels, such as 4x2 (PDF)"],
    ["--page <size>", "page of the sheet", "210x297mm"],
    ["--margins <left,top>", "first label from the page's left and top, mm; centred when left out"],
    ["--gaps <across,down>", "between labels, mm", "0,0"],
    ["--skip <count>", "labels already taken from the sheet"],
    ["--count <count>", "how many labels; a full sheet when left out"],
    ["--sources", "unfold each nutrition figure to what makes it"],
    ["--rules", "list the rules that were applied, with their dates and sources"],
    ["--no-draft-mark", "leave out the line that says that something is missing"],
    ["-o, --output <file>", "write it there"],
  ],
  examples: [
    "evencrumb label sandwich.yaml --inputs label.yaml --place gb",
    "evencrumb label sandwich.yaml --inputs label.yaml --place gb --size 90x60mm -o label.pdf",
    "evencrumb label sandwich.yaml --inputs label.yaml --place us --format json",
    "evencrumb label sandwich.yaml --inputs label.yaml --sheet 4x2 --size 99x67mm -o sheet.pdf",
  ],
  async run({ args, json, output, ...options }, io) {
    const format = json
      ? "json"
      : (options.format ?? FORMATS.find((known) => output?.toLowerCase().endsWith(`.${known}`)) ?? "text");
    if (!isFormat(format)) {
      io.say(`--format is text, pdf, svg, html or json, not "${format}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const inputs = await readInputs(options, io);
    if (typeof inputs === "number") return inputs;
    const size = readPair(options.size ?? "100x70mm");
    if (size === undefined) {
      io.say(`--size is width and height such as 90x60mm, not "${options.size}".`);
      return 2;
    }
    const label = labelFor(input.formula, input.book, inputs);
    for (const one of label.missing) io.say(wrapped(`Missing: ${one}`, 110));
    if (format === "text" || format === "html" || format === "json") {
      const text =
        format === "html"
          ? labelHtml(label)
          : format === "json"
            ? jsonText("label", labelAsJson(label, options.sources === true))
            : asText(label, options);
      if (output === undefined) io.print(text);
      else await io.writeFile(output, text.endsWith("\n") ? text : `${text}\n`);
      return label.missing.length === 0 ? 0 : 1;
    }
    if (!size.every((side) => side >= 15 && side <= 600)) {
      io.say(`A label is from 15 to 600 mm wide and high, not ${options.size}.`);
      return 2;
    }
    const layout = layoutLabel(label, {
      widthMm: size[0],
      heightMm: size[1],
      ...(options.draftMark === false ? { hidesDraftMark: true } : {}),
    });
    for (const problem of layout.problems) io.say(problem);
    io.say(
      `Letters: x-height ${layout.xHeightMm.toFixed(2)} mm; the rule asks for ${layout.leastXHeightMm.toFixed(2)} mm${inputs.place === "us" ? "" : " (0.9 mm where the pack's largest surface is under 80 cm²)"}.`,
    );
    const written = await draw(label, layout, format, options, size, output, io);
    if (written !== 0) return written;
    return label.missing.length === 0 && layout.fits ? 0 : 1;
  },
});

const isFormat = (format: string): format is Format => FORMATS.some((known) => known === format);

async function draw(
  label: Label,
  layout: LabelLayout,
  format: "pdf" | "svg",
  options: LabelOptions,
  size: readonly [number, number],
  output: string | undefined,
  io: Io,
): Promise<ExitStatus> {
  if (format === "pdf" && output === undefined && io.outputIsTerminal) {
    io.say("A PDF is not for the screen: give a file with -o, or send the output on.");
    return 2;
  }
  // Loaded only here: fonts and the PDF engine are more than every other command needs.
  const { labelFontCss, renderLabelPdf } = await import("@evencrumb/server");
  if (format === "svg") {
    const svg = labelSvg(layout, { title: label.name, fontCss: await labelFontCss() });
    if (output === undefined) io.print(svg);
    else await io.writeFile(output, svg);
  } else {
    const sheet = readSheet(options, size, io);
    if (typeof sheet === "number") return sheet;
    if (sheet !== undefined && !layout.fits) {
      io.say("A label that does not fit is not put on a sheet.");
      return 1;
    }
    const counted = (text: string | undefined) => (text === undefined ? undefined : Number(text));
    const [count, skip] = [counted(options.count), counted(options.skip)];
    if ([count, skip].some((one) => one !== undefined && !(Number.isInteger(one) && one >= 0 && one <= 2000))) {
      io.say("--count and --skip are whole numbers up to 2000.");
      return 2;
    }
    const bytes = await renderLabelPdf(layout, {
      title: label.name,
      language: label.place === "us" ? "en-US" : label.language === "en" ? "en-GB" : label.language,
      madeAt: io.now(),
      ...(label.business === undefined ? {} : { author: label.business.name }),
      ...(sheet === undefined ? {} : { sheet }),
      ...(count === undefined || count === 0 ? {} : { count }),
      ...(skip === undefined ? {} : { skip }),
    });
    if (output === undefined) io.printBytes(bytes);
    else await io.writeFile(output, bytes);
  }
  if (output !== undefined) io.say(`Label in ${output}`);
  return 0;
}

async function readInputs(options: LabelOptions, io: Io): Promise<LabelInputs | ExitStatus> {
  let body: unknown = {};
  if (options.inputs !== undefined) {
    try {
      body = parse(await io.readText(options.inputs));
    } catch (error) {
      if (!(error instanceof Error) || error.name !== "YAMLParseError") throw error;
      io.say(`${options.inputs}: not readable as YAML. ${error.message.split("\n")[0]}`);
      return 2;
    }
  }
  // A label as the app keeps it: what it needs is one level down, and its size stands beside.
  if (typeof body === "object" && body !== null && Object.hasOwn(body, "inputs")) {
    const kept = readLabelDocument(body);
    if (kept.value === undefined) return refuse(io, kept.problems, options.inputs ?? "label");
    body = kept.value.inputs;
  }
  // What is said on the command line wins over the file, and is checked by the same reader.
  const isObject = typeof body === "object" && body !== null && !Array.isArray(body);
  const said = Object.entries({
    place: options.place,
    mode: options.mode,
    date: options.date,
    bakeDate: options.baked,
    language: options.language,
    declareQuantityOf: options.quantityOf?.split(",").map((id) => id.trim()),
  }).filter(([, value]) => value !== undefined);
  const { value, problems } = readLabelInputs(isObject ? { ...(body as object), ...Object.fromEntries(said) } : body, {
    date: io.now().toISOString().slice(0, 10),
  });
  if (value === undefined || problems.length > 0) return refuse(io, problems, options.inputs ?? "label");
  return value;
}

/** "90x60mm", "90 x 60", "10,12" as two numbers. */
function readPair(text: string): readonly [number, number] | undefined {
  const found = /^\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*[x×,]\s*(\d+(?:\.\d+)?)\s*(?:mm)?\s*$/i.exec(text);
  return found === null ? undefined : [Number(found[1]), Number(found[2])];
}

function readSheet(options: LabelOptions, size: readonly [number, number], io: Io): SheetGrid | undefined | ExitStatus {
  if (options.sheet === undefined) return undefined;
  const [grid, page, gaps] = [options.sheet, options.page ?? "210x297", options.gaps ?? "0,0"].map(readPair);
  const margins = options.margins === undefined ? undefined : readPair(options.margins);
  if (
    grid === undefined ||
    page === undefined ||
    gaps === undefined ||
    (options.margins !== undefined && margins === undefined)
  ) {
    io.say("--sheet is rows x columns (4x2), --page a size in mm (210x297mm), --margins and --gaps two numbers in mm (8,13).");
    return 2;
  }
  try {
    return sheetGrid({
      rows: grid[0],
      columns: grid[1],
      labelWidthMm: size[0],
      labelHeightMm: size[1],
      pageWidthMm: page[0],
      pageHeightMm: page[1],
      gapAcrossMm: gaps[0],
      gapDownMm: gaps[1],
      ...(margins === undefined ? {} : { marginLeftMm: margins[0], marginTopMm: margins[1] }),
    });
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    io.say(error.message.replace(/^sheetGrid: /, ""));
    return 2;
  }
}

function labelAsJson(label: Label, sources: boolean) {
  const cell = (value: NutritionCell | undefined) =>
    value === undefined
      ? null
      : value.known
        ? { text: value.declared.text, value: value.declared.value, unrounded: value.unrounded, note: value.note ?? null }
        : { text: null, why: value.why };
  return {
    place: label.place,
    mode: label.mode,
    language: label.language,
    date: label.date,
    name: label.name,
    description: label.description ?? null,
    list: label.list.runs,
    items: label.list.items.map(({ ingredients, grams, percent, quantity }) => ({
      ingredients,
      grams,
      percent,
      quantity: quantity ?? null,
    })),
    contains: label.list.contains ?? null,
    mayContain: label.list.mayContain ?? null,
    netQuantity: label.netQuantity ?? null,
    durability: {
      kind: label.durability.kind,
      date: label.durability.date ?? null,
      text: label.durability.text,
      because: label.durability.because,
    },
    storage: label.storage,
    instructions: label.instructions ?? null,
    business: label.business ?? null,
    alcohol: label.alcohol ?? null,
    gtin: label.gtin ?? null,
    serving: label.serving ?? null,
    nutrition:
      label.nutrition?.rows.map(({ id, name, per100g, perPortion, percent, sources: from }) => ({
        id,
        name,
        per100g: cell(per100g),
        perPortion: cell(perPortion),
        percent: percent ?? null,
        ...(sources ? { sources: from } : {}),
      })) ?? null,
    frontOfPack: label.frontOfPack ?? null,
    particulars: label.particulars,
    missing: label.missing,
    checks: label.checks,
    cautions: label.cautions,
    rules: label.rules,
  };
}

function asText(label: Label, { sources, rules }: Pick<LabelOptions, "sources" | "rules">): string {
  const left = (heading: string) => ({ heading, align: "left" as const });
  const number = (heading: string) => ({ heading, align: "decimal" as const });
  const shown = (cell: NutritionCell | undefined) => (cell === undefined ? "" : cell.known ? cell.declared.text : "not known");
  const isUs = label.place === "us";
  return [
    ...labelText(label).map((line) => wrapped(line, 110)),
    ...(label.nutrition === undefined
      ? []
      : [
          "",
          ...(label.serving === undefined
            ? []
            : [`Serving size ${label.serving.words}, ${label.serving.servings} servings (${label.serving.because})`]),
          tableText(
            [
              left("Nutrition"),
              number("per 100 g"),
              ...(label.nutrition.portionGrams === undefined
                ? []
                : [number(`per ${isUs ? "serving" : "portion"} (${Math.round(label.nutrition.portionGrams)} g)`)]),
              number(isUs ? "% DV" : "% RI"),
            ],
            label.nutrition.rows.map((row) => {
              const unit = row.id === "energyKj" ? " kJ" : row.id === "energyKcal" ? " kcal" : "";
              return [
                `${row.indented ? "  " : ""}${row.name}`,
                `${shown(row.per100g)}${unit}`,
                ...(row.perPortion === undefined ? [] : [`${shown(row.perPortion)}${unit}`]),
                row.percent === undefined ? "" : String(row.percent),
              ];
            }),
          ),
          ...label.nutrition.rows.flatMap(({ name, per100g }) =>
            per100g.known && per100g.note !== undefined && per100g.note !== "stated by the baker"
              ? [wrapped(`${name}: ${per100g.note}.`, 110, "  ")]
              : [],
          ),
          ...(sources === true
            ? label.nutrition.rows.flatMap((row) => ["", `${row.name}, in 100 g:`, sourceLines(row.sources)])
            : []),
        ]),
    ...(label.checks.length === 0
      ? []
      : ["", "To compare with the packets:", ...label.checks.map(({ words }) => wrapped(`- ${words}`, 110, "  "))]),
    "",
    ...(rules === true
      ? [
          "Rules:",
          ...label.rules.map(({ source, basis, from, until, checkedOn, id, words }) =>
            wrapped(
              `- ${id === "flour" ? `Flour milled in Great Britain, wholemeal apart, has added: ${words}.` : words} ${source} (${until === undefined ? `from ${from}` : `${from} to ${until}`}; gathered ${checkedOn}, ${basis === "memory" ? "from memory" : basis}).`,
              110,
              "  ",
            ),
          ),
        ]
      : [`${label.rules.length} rules applied as of ${label.date}; --rules lists them with their sources.`]),
    "",
    ...label.cautions.map((caution) => wrapped(caution, 110)),
  ].join("\n");
}

function sourceLines(sources: NonNullable<Label["nutrition"]>["rows"][number]["sources"]): string {
  return tableText(
    [
      { heading: "", align: "left" },
      { heading: "", align: "decimal" },
      { heading: "", align: "left" },
    ],
    sources
      .filter(({ per100g }) => per100g === undefined || Math.abs(per100g) >= 0.005)
      .map(({ component, name, nutrient, per100g, source }) => [
        `  ${component}, ${name} (${nutrient})`,
        per100g === undefined ? "-" : per100g.toFixed(2),
        source,
      ]),
  );
}
