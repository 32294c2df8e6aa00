import { batchSheet, batchSheetHtml } from "@evencrumb/core/plan";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import { jsonText } from "../render/json.js";
import { sheetAsText } from "../render/sheet.js";
import { SCALING_OPTIONS, type ScalingOptions, scaled } from "../scaling.js";

const FORMATS = ["text", "html", "pdf"] as const;

export const sheetCommand = defineCommand<
  ScalingOptions & { readonly format?: string; readonly output?: string; readonly date?: string; readonly names?: string }
>({
  name: "sheet",
  summary: "The batch sheet: weights by stage in order, tins, totals, allergens at the top, on one page. Scales first if asked.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--format <format>", "text, html or pdf; told from the file's name when left out"],
    ["-o, --output <file>", "write it there"],
    ["--date <words>", "day of baking; left open to be written in when left out"],
    ["--names <whose>", "names of ingredients: british or us", "british"],
    ...SCALING_OPTIONS,
  ],
  examples: [
    "evencrumb sheet sandwich.yaml",
    'evencrumb sheet sandwich.yaml --to-tins "2 round 23x5 cm" -o sandwich.pdf',
    "evencrumb sheet sandwich.yaml --to-portions 24 --format html -o sheet.html",
  ],
  async run({ args, json, format, output, date, names, ...options }, io) {
    const wanted = format ?? FORMATS.find((known) => output?.toLowerCase().endsWith(`.${known}`)) ?? "text";
    if (!FORMATS.some((known) => known === wanted)) {
      io.say(`--format is text, html or pdf, not "${wanted}".`);
      return 2;
    }
    if (names !== "british" && names !== "us") {
      io.say(`--names is british or us, not "${names}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const result = scaled(input.formula, input.book, options, io, "may");
    if (typeof result === "number") return result;
    const sheet = batchSheet(result.exact, {
      book: input.book,
      factor: result.factor,
      batch: result.words,
      cautions: result.cautions,
      settings: { names },
      ...(date === undefined ? {} : { date }),
    });
    if (json) {
      io.print(jsonText("sheet", { ...sheet }));
      return 0;
    }
    if (wanted === "pdf") {
      if (output === undefined && io.outputIsTerminal) {
        io.say("A PDF is not for the screen: give a file with -o, or send the output on.");
        return 2;
      }
      // Loaded only here: drawing a PDF needs far more than every other command.
      const { renderBatchSheetPdf } = await import("@evencrumb/server");
      const bytes = await renderBatchSheetPdf(sheet, { madeAt: io.now() });
      if (output === undefined) io.printBytes(bytes);
      else await io.writeFile(output, bytes);
    } else {
      const text = wanted === "html" ? batchSheetHtml(sheet) : `${sheetAsText(sheet)}\n`;
      if (output === undefined) io.print(text);
      else await io.writeFile(output, text);
    }
    if (output !== undefined) io.say(`Batch sheet in ${output}`);
    return 0;
  },
});
