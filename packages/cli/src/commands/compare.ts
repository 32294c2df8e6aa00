import { compareFormulas } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { jsonText } from "../render/json.js";
import { tableText } from "../render/table.js";

export const compareCommand = defineCommand({
  name: "compare",
  summary: "What differs between two formulas or revisions, in grams and in percent, and what was kept.",
  arguments: [
    ["<before>", "formula file"],
    ["<after>", 'formula file; one of the two may be "-"'],
  ],
  examples: ["evencrumb compare sandwich.1.yaml sandwich.2.yaml", "evencrumb compare sandwich.1.yaml sandwich.2.yaml --json"],
  async run({ args, json }, io) {
    const before = await readFormula(io, args[0]!);
    if (typeof before === "number") return before;
    const after = await readFormula(io, args[1]!);
    if (typeof after === "number") return after;
    const book = createIngredientBook([...(before.formula.ingredients ?? []), ...(after.formula.ingredients ?? [])]);
    const comparison = compareFormulas(before.formula, after.formula, book);
    if (json) io.print(jsonText("compare", { before: before.formula.name, after: after.formula.name, ...comparison }));
    else io.print(comparisonAsText(comparison, [before.formula.name, after.formula.name]));
    sayUnknown(io, before.formula, book);
    return 0;
  },
});

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
