import { formatAllergen } from "@evencrumb/core/ingredients";
import {
  type AllergenMatrix,
  type AllergenSide,
  allergenChange,
  allergenMatrix,
  allergenMatrixCsv,
  allergenMatrixHtml,
  MATRIX_HEADS,
  matrixWord,
} from "@evencrumb/core/label";
import { defineCommand } from "../command.js";
import { type FormulaInput, readFormula } from "../formulaInput.js";
import { jsonText } from "../render/json.js";
import { wrapped } from "../render/table.js";

const FORMATS = ["text", "html", "csv", "json", "pdf"] as const;

export const allergensCommand = defineCommand<{
  readonly format?: string;
  readonly bakery?: string;
  readonly date?: string;
  readonly change?: boolean;
  readonly output?: string;
}>({
  name: "allergens",
  summary: "The fourteen allergens of all products in one table, and what a change of a formula adds to them.",
  arguments: [["<files...>", "formula files"]],
  options: [
    ["--format <format>", "text, html, csv, json or pdf; told from the file's name when left out"],
    ["--bakery <name>", "name of the bakery, for the head"],
    ["--date <day>", "date on it; today when left out"],
    ["--change", "two files: which allergens the second has more and less than the first; status 1 if more"],
    ["-o, --output <file>", "write it there"],
  ],
  examples: [
    "evencrumb allergens *.yaml",
    'evencrumb allergens *.yaml --bakery "Millrace Yard" -o allergens.pdf',
    "evencrumb allergens sandwich.1.yaml sandwich.3.yaml --change",
  ],
  async run({ args, json, format, bakery, date, change, output }, io) {
    const wanted = json ? "json" : (format ?? FORMATS.find((known) => output?.toLowerCase().endsWith(`.${known}`)) ?? "text");
    if (!FORMATS.some((known) => known === wanted)) {
      io.say(`--format is text, html, csv, json or pdf, not "${wanted}".`);
      return 2;
    }
    const inputs: { readonly file: string; readonly input: FormulaInput }[] = [];
    for (const file of args) {
      const input = await readFormula(io, file);
      if (typeof input === "number") return input;
      inputs.push({ file, input });
    }
    if (change === true) {
      if (inputs.length !== 2) {
        io.say("--change takes two formula files: as it is, and as it is to be.");
        return 2;
      }
      const side = ({ input }: { readonly input: FormulaInput }): AllergenSide => ({
        products: [{ id: "product", formula: input.formula }],
        book: input.book,
      });
      const [before, after] = [side(inputs[0]!), side(inputs[1]!)];
      const [found] = allergenChange(before, after);
      if (wanted === "json")
        io.print(
          jsonText("allergens.change", { gained: found?.gained ?? [], lost: found?.lost ?? [], toCheck: found?.toCheck ?? [] }),
        );
      else if (found === undefined) io.print("No allergen more and none less.");
      else
        io.print(
          [
            ...found.gained.map(
              (one) =>
                `Gains ${formatAllergen(one)}, from ${one.from.join(", ")}${one.wasMaybe ? " (it was a maybe before)" : ""}.`,
            ),
            ...found.lost.map((one) => `No longer brings ${formatAllergen(one)}.`),
            ...found.toCheck.map((one) => `To look up: ${one}.`),
          ].join("\n"),
        );
      return (found?.gained.length ?? 0) > 0 ? 1 : 0;
    }
    const day = date ?? io.now().toISOString().slice(0, 10);
    // Each file has ingredients of its own; the same id may mean another thing in the next.
    const matrices = inputs.map(({ file, input }) =>
      allergenMatrix([{ id: file, formula: input.formula, revision: file.split("/").at(-1)! }], input.book, {
        date: day,
        ...(bakery === undefined ? {} : { bakery }),
      }),
    );
    const matrix: AllergenMatrix = { ...matrices[0]!, rows: matrices.flatMap(({ rows }) => rows) };
    if (wanted === "pdf") {
      if (output === undefined && io.outputIsTerminal) {
        io.say("A PDF is not for the screen: give a file with -o, or send the output on.");
        return 2;
      }
      const { renderAllergensPdf } = await import("@evencrumb/server");
      const bytes = await renderAllergensPdf(matrix, { madeAt: io.now() });
      if (output === undefined) io.printBytes(bytes);
      else await io.writeFile(output, bytes);
    } else {
      const text =
        wanted === "html"
          ? allergenMatrixHtml(matrix)
          : wanted === "csv"
            ? allergenMatrixCsv(matrix)
            : wanted === "json"
              ? jsonText("allergens", { ...matrix })
              : asText(matrix);
      if (output === undefined) io.print(text);
      else await io.writeFile(output, text.endsWith("\n") ? text : `${text}\n`);
    }
    if (output !== undefined) io.say(`Allergens in ${output}`);
    return 0;
  },
});

/** Fourteen columns do not fit a terminal: a product a paragraph. */
function asText(matrix: AllergenMatrix): string {
  return [
    `Allergens${matrix.bakery === undefined ? "" : `, ${matrix.bakery}`}, ${matrix.date}`,
    ...matrix.rows.map((row) =>
      [
        "",
        `${row.name}${row.revision === undefined ? "" : ` (${row.revision})`}`,
        ...row.cells
          .filter(({ state }) => state !== "none" && state !== "unknown")
          .map((cell) => wrapped(`${MATRIX_HEADS[cell.allergen]}: ${matrixWord(cell)} (${cell.from.join(", ")})`, 110, "  ")),
        ...(row.unknownIngredients.length === 0
          ? []
          : [wrapped(`Everything else is not known: ${row.unknownIngredients.join(", ")} is not in the book.`, 110, "  ")]),
      ].join("\n"),
    ),
    "",
    wrapped(matrix.words, 110),
  ].join("\n");
}
