import { type Formula, percentages, writeFormulaFile } from "@evencrumb/core/formula";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { formulaAsJson } from "../render/formula.js";
import { jsonText } from "../render/json.js";
import { SCALING_OPTIONS, type ScalingOptions, scaled, tinLines, tinsAsJson } from "../scaling.js";

export const scaleCommand = defineCommand<ScalingOptions>({
  name: "scale",
  summary:
    "Scale a formula and print it as a formula file, weights rounded to what a scale can weigh. How it sits in the tins, and whether the old bake time still holds, is said on the standard error.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: SCALING_OPTIONS,
  examples: [
    'evencrumb scale sandwich.yaml --to-tins "2 round 23x5 cm" > large.yaml',
    'evencrumb scale sandwich.yaml --to-tins "12-hole muffin tray" --fill 0.6',
    "evencrumb scale sandwich.yaml --to-grams 1500 --component Sponge",
    "evencrumb scale sandwich.yaml --to-eggs 6 --egg 51",
    'evencrumb scale sandwich.yaml --left "320 g double cream"',
    "evencrumb scale sandwich.yaml --factor 1.5 --json",
  ],
  async run({ args, json, ...options }, io) {
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const result = scaled(input.formula, input.book, options, io, "must");
    if (typeof result === "number") return result;
    const { formula, exact, factor, filling, cautions } = result;
    if (json) {
      const sheet = formulaAsJson(formula, percentages(formula, input.book));
      io.print(
        jsonText("scale", {
          factor,
          formula,
          tins: tinsAsJson(filling),
          ...(filling ? { tinComponent: filling.component, specificGravity: filling.density } : {}),
          cautions,
          ...sheet,
          components: withExact(sheet.components as SheetComponents, exact),
        }),
      );
    } else io.print(writeFormulaFile(formula, input.text));
    if (!json) {
      io.say(`Factor ${Math.round(factor * 1e4) / 1e4}`);
      for (const line of filling ? tinLines(filling) : []) io.say(line);
      for (const { words } of cautions) io.say(words);
    }
    sayUnknown(io, formula, input.book);
    return 0;
  },
});

type SheetComponents = readonly { readonly stages: readonly { readonly uses: readonly Readonly<Record<string, unknown>>[] }[] }[];

/** Beside each weighable weight the exact one. */
function withExact(components: SheetComponents, exact: Formula): unknown {
  return components.map((component, c) => ({
    ...component,
    stages: component.stages.map((stage, s) => ({
      ...stage,
      uses: stage.uses.map((use, u) => ({ ...use, exactGrams: exact.components[c]!.stages[s]!.uses[u]!.grams })),
    })),
  }));
}
