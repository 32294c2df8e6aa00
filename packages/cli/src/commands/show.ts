import { type PercentBasis, percentages } from "@evencrumb/core/formula";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { BASES, formulaAsJson, formulaAsText } from "../render/formula.js";
import { jsonText } from "../render/json.js";

export const showCommand = defineCommand<{ readonly basis?: string }>({
  name: "show",
  summary: "Show a formula: grams, percent of the batch, of the flour and of each group.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [["--basis <basis>", "only this percent: batch, bakers (on flour) or group"]],
  examples: [
    "evencrumb show sandwich.yaml",
    "evencrumb show sandwich.yaml --basis bakers",
    "evencrumb read list.txt | evencrumb show - --json",
  ],
  async run({ args, basis, json }, io) {
    if (basis !== undefined && !BASES.some((known) => known === basis)) {
      io.say(`--basis is batch, bakers or group, not "${basis}".`);
      return 2;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const { formula, book } = input;
    const shares = percentages(formula, book);
    io.print(
      json
        ? jsonText("show", formulaAsJson(formula, shares))
        : formulaAsText(formula, shares, basis ? [basis as PercentBasis] : BASES),
    );
    sayUnknown(io, formula, book);
    return 0;
  },
});
