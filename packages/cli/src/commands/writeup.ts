import { composeFormula } from "@evencrumb/core/composition";
import {
  READER_MEASURES,
  type ReaderMeasures,
  recipeData,
  type WriteUp,
  writeUp,
  writeUpHtml,
  writeUpMarkdown,
  writeUpText,
} from "@evencrumb/core/writeup";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { jsonText } from "../render/json.js";
import { SCALING_OPTIONS, type ScalingOptions, scaled } from "../scaling.js";

const FORMATS = ["text", "markdown", "html", "pdf", "jsonld"] as const;
type Format = (typeof FORMATS)[number];
const ENDINGS: readonly (readonly [ending: string, format: Format])[] = [
  [".txt", "text"],
  [".md", "markdown"],
  [".html", "html"],
  [".pdf", "pdf"],
  [".jsonld", "jsonld"],
];

export const writeupCommand = defineCommand<
  ScalingOptions & {
    readonly measures?: string;
    readonly names?: string;
    readonly format?: string;
    readonly output?: string;
    readonly author?: string;
    readonly date?: string;
  }
>({
  name: "writeup",
  summary:
    "The recipe for readers, in their own measures, names, tins and oven. Says what the rounding does to the cake. Scales first if asked.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--measures <whose>", "metric (grams), imperial (ounces) or us (cups, spoons and sticks)", "metric"],
    ["--names <whose>", "names of ingredients: british or us; those of the measures when left out"],
    ["--format <format>", "text, markdown, html, pdf or jsonld; told from the file's name when left out"],
    ["-o, --output <file>", "write it there"],
    ["--author <name>", "who wrote it"],
    ["--date <date>", "when, such as 2026-05-02"],
    ...SCALING_OPTIONS.filter(([flags]) => flags !== "--exact"),
  ],
  examples: [
    "evencrumb writeup sandwich.yaml --measures us",
    'evencrumb writeup sandwich.yaml --to-tins "1 round 23x7 cm" -o sandwich.pdf',
    "evencrumb writeup sandwich.yaml --measures imperial --format markdown",
  ],
  async run({ args, json, measures, names, format, output, author, date, ...options }, io) {
    const whose = READER_MEASURES.find((known) => known === measures);
    if (whose === undefined) {
      io.say(`--measures is ${READER_MEASURES.join(", ")}, not "${measures}".`);
      return 2;
    }
    if (names !== undefined && names !== "british" && names !== "us") {
      io.say(`--names is british or us, not "${names}".`);
      return 2;
    }
    const told = ENDINGS.find(([ending]) => output?.toLowerCase().endsWith(ending))?.[1];
    const wanted = FORMATS.find((known) => known === (format ?? told ?? "text"));
    if (wanted === undefined) {
      io.say(`--format is ${FORMATS.join(", ")}, not "${format}".`);
      return 2;
    }
    if (date !== undefined && !/^\d{4}-\d{2}-\d{2}$/.test(date)) {
      io.say(`--date is a date such as 2026-05-02, not "${date}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const result = scaled(input.formula, input.book, options, io, "may");
    if (typeof result === "number") return result;
    sayUnknown(io, result.exact, input.book);
    const text = writeUp(result.exact, input.book, {
      measures: whose,
      factor: result.factor,
      cautions: result.cautions,
      ...(names === undefined ? {} : { names }),
      ...(author === undefined ? {} : { author }),
      ...(date === undefined ? {} : { date }),
    });
    if (text.roundingSummary !== undefined) io.say(text.roundingSummary);
    const data = () => recipeData(text, composeFormula(result.exact, input.book).product.finished);
    if (json) {
      io.print(jsonText("writeup", asJson(text, whose, result.factor, data())));
      return 0;
    }
    if (wanted === "pdf") {
      if (output === undefined && io.outputIsTerminal) {
        io.say("A PDF is not for the screen: give a file with -o, or send the output on.");
        return 2;
      }
      // Loaded only here: drawing a PDF needs far more than every other command.
      const { renderWriteUpPdf } = await import("@evencrumb/server");
      const bytes = await renderWriteUpPdf(text, { madeAt: io.now() });
      if (output === undefined) io.printBytes(bytes);
      else await io.writeFile(output, bytes);
    } else {
      const words = drawn(text, wanted, data);
      if (output === undefined) io.print(words.trimEnd());
      else await io.writeFile(output, words);
    }
    if (output !== undefined) io.say(`Write-up in ${output}`);
    return 0;
  },
});

function drawn(text: WriteUp, format: Exclude<Format, "pdf">, data: () => object): string {
  switch (format) {
    case "text":
      return writeUpText(text);
    case "markdown":
      return writeUpMarkdown(text);
    case "html":
      return writeUpHtml(text, data());
    case "jsonld":
      return `${JSON.stringify(data(), null, 2)}\n`;
  }
}

/** The shape `writeup/1`. */
function asJson(text: WriteUp, measures: ReaderMeasures, factor: number, data: object): Readonly<Record<string, unknown>> {
  return {
    title: text.title,
    intro: text.intro ?? null,
    portions: text.portions ?? null,
    measures,
    factor,
    parts: text.parts.map(({ name, kind, tins, ingredients, steps, oven }) => ({
      name,
      kind,
      tins,
      ingredients,
      steps,
      oven: oven ?? null,
    })),
    storage: text.storage,
    allergens: text.allergens.contains,
    mayContain: text.allergens.mayContain,
    checkSupplier: text.allergens.check,
    cautions: text.cautions,
    rounding: {
      largestChange: text.largestRoundingChange,
      summary: text.roundingSummary ?? null,
      beyondTolerance: text.rounding.map(({ words: _, ...effect }) => effect),
    },
    recipe: data,
  };
}
