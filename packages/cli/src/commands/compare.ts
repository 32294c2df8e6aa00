import { compareFormulas } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { type ConsequenceReport, consequences } from "@evencrumb/core/plan";
import { formatGrams } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { pricedBook, readInputs } from "../pricing.js";
import { jsonText } from "../render/json.js";
import { tableText, wrapped } from "../render/table.js";

export const compareCommand = defineCommand<{
  readonly consequences?: boolean;
  readonly inputs?: string;
  readonly prices?: readonly string[];
}>({
  name: "compare",
  summary:
    "What differs between two formulas or revisions, in grams and in percent, and what was kept; with --consequences what it does to composition, softness, bake, keeping, allergens, energy and, with prices, cost.",
  arguments: [
    ["<before>", "formula file"],
    ["<after>", 'formula file; one of the two may be "-"'],
  ],
  options: [
    ["--consequences", "everything that follows from the change, with its size and whether it exceeds its doubt"],
    ["--inputs <file>", "with --consequences, the cost as well: labour, energy, packaging and how it is sold (YAML)"],
    ["--prices <files...>", "price lists (CSV) for the cost"],
  ],
  examples: [
    "evencrumb compare sandwich.1.yaml sandwich.2.yaml",
    "evencrumb compare sandwich.1.yaml sandwich.2.yaml --consequences",
    "evencrumb compare sandwich.1.yaml sandwich.2.yaml --consequences --inputs price.yaml --prices prices.csv",
    "evencrumb compare sandwich.1.yaml sandwich.2.yaml --consequences --json",
  ],
  async run({ args, json, consequences: wanted, inputs, prices = [] }, io) {
    const before = await readFormula(io, args[0]!);
    if (typeof before === "number") return before;
    const after = await readFormula(io, args[1]!);
    if (typeof after === "number") return after;
    const plain = createIngredientBook([...(before.formula.ingredients ?? []), ...(after.formula.ingredients ?? [])]);
    const book = await pricedBook(plain, prices, io);
    if (typeof book === "number") return book;
    const document =
      inputs === undefined && prices.length === 0
        ? undefined
        : await readInputs({ ...(inputs === undefined ? {} : { inputs }) }, io);
    if (typeof document === "number") return document;
    const comparison = compareFormulas(before.formula, after.formula, book);
    const names = [before.formula.name, after.formula.name] as const;
    const report =
      wanted === true
        ? consequences(before.formula, after.formula, book, {
            bake: true,
            ...(document === undefined ? {} : { price: document.inputs }),
          })
        : undefined;
    if (json) {
      io.print(
        jsonText("compare", { before: names[0], after: names[1], ...comparison, ...(report && consequencesAsJson(report)) }),
      );
    } else if (report) io.print(consequencesAsText(report, names));
    else io.print(comparisonAsText(comparison, names));
    sayUnknown(io, before.formula, book);
    return 0;
  },
});

const consequencesAsJson = ({ changed, held, sentences, consequences: figures, missing }: ConsequenceReport) => ({
  changed,
  held,
  sentences,
  consequences: figures,
  missing,
});

/** Sentences first; then only the figures that moved by more than they are unsure by. */
function consequencesAsText(report: ConsequenceReport, names: readonly [string, string]): string {
  const title = names[0] === names[1] ? names[0] : `${names[0]} → ${names[1]}`;
  if (report.same) return `${title}: no difference.`;
  const cell = (value: number | string | undefined) =>
    value === undefined ? "-" : typeof value === "string" ? value : value.toFixed(Math.abs(value) < 10 ? 2 : 1);
  const moved = report.consequences.filter(({ exceeds }) => exceeds);
  const rows = moved.map(({ where, what, unit, before, after, change, uncertainty }) => [
    `${where}: ${what}${unit === "" ? "" : ` [${unit}]`}`,
    cell(before),
    cell(after),
    change === undefined ? "" : `${change > 0 ? "+" : ""}${cell(change)}`,
    uncertainty === undefined ? "" : cell(uncertainty),
  ]);
  const decimal = (heading: string) => ({ heading, align: "decimal" as const });
  const part = (heading: string, lines: readonly string[]) =>
    lines.length === 0 ? [] : ["", heading, ...lines.map((line) => wrapped(`- ${line}`, 110, "  "))];
  return [
    title,
    ...part("Changed", report.changed),
    ...part("Held", report.held),
    ...part("What it does", report.sentences.length > 0 ? report.sentences : ["Nothing that exceeds its doubt."]),
    ...(rows.length > 0
      ? [
          "",
          tableText(
            [{ heading: "", align: "left" }, decimal("before"), decimal("after"), decimal("change"), decimal("doubt")],
            rows,
            "  ",
          ),
          `  ${report.consequences.length - moved.length} more figures did not change by more than their doubt.`,
        ]
      : []),
    ...part("Not compared", report.missing),
  ].join("\n");
}

function comparisonAsText(comparison: ReturnType<typeof compareFormulas>, names: readonly [string, string]): string {
  const title = names[0] === names[1] ? names[0] : `${names[0]} → ${names[1]}`;
  if (comparison.same) return `${title}: no difference.`;
  const grams = (value: number | null) => (value === null ? "-" : formatGrams(value, { bare: true }));
  const percent = (value: number | null) => (value === null ? "-" : value.toFixed(1));
  const parts = comparison.components
    .filter((component) => component.status !== "same")
    .map((component) => {
      const rows = component.ingredients
        .filter((one) => one.status !== "same")
        .map((one) => [
          `  ${one.name}`,
          grams(one.grams.before),
          grams(one.grams.after),
          one.changeGrams === null
            ? one.status
            : `${one.changeGrams > 0 ? "+" : ""}${formatGrams(one.changeGrams, { bare: true })}`,
          percent(one.percent.batch.before),
          percent(one.percent.batch.after),
        ]);
      rows.push([
        `  ${component.name.after ?? component.name.before ?? ""}, total`,
        grams(component.totalGrams.before),
        grams(component.totalGrams.after),
        "",
        "",
        "",
      ]);
      return `${component.name.after ?? component.name.before} (${component.status})\n${tableText(
        [
          { heading: "", align: "left" },
          { heading: "before g", align: "decimal" },
          { heading: "after g", align: "decimal" },
          { heading: "change g", align: "decimal" },
          { heading: "before %", align: "decimal" },
          { heading: "after %", align: "decimal" },
        ],
        rows,
      )}`;
    });
  return [title, "", ...comparison.summary.map((line) => `- ${line}`), "", parts.join("\n\n")].join("\n").trimEnd();
}
