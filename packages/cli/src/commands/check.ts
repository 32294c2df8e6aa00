import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import { parseTin } from "@evencrumb/core/tins";
import { defineCommand } from "../command.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";

export const checkCommand = defineCommand({
  name: "check",
  summary:
    "Whether a formula file is in order: its form, its ingredients, its tins, its weights. Exit status 0: in order; 1: readable, and something has to be mended; 2: not usable at all.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  examples: ["evencrumb check sandwich.yaml", "evencrumb check sandwich.yaml --json"],
  async run({ args, json }, io) {
    const where = args[0] === "-" ? "standard input" : args[0]!;
    const { value, problems } = parseFormulaFile(await io.readText(args[0]!));
    const found: Problem[] = [...problems];
    const unweighed: string[] = [];
    if (value && problems.length === 0) {
      const book = createIngredientBook(value.ingredients ?? []);
      value.components.forEach((component, c) => {
        (component.tins ?? []).forEach((use, t) => {
          // A name of a tin that the baker owns is not known here: said as what it is, one thing to look at.
          for (const problem of parseTin(use.tin).problems) found.push({ ...problem, path: ["components", c, "tins", t, "tin"] });
        });
        component.stages.forEach((stage, s) => {
          stage.uses.forEach((use, u) => {
            const path = ["components", c, "stages", s, "uses", u];
            if (!book.get(use.ingredient)) {
              found.push({
                code: "unknown-ingredient",
                path: [...path, "ingredient"],
                expected: "an ingredient of the book",
                found: `"${use.ingredient}"`,
                remedy: `evencrumb ingredients ${use.ingredient.replaceAll("-", " ")} finds names; or describe it under "ingredients" in the file.`,
              });
            }
            if (use.grams === null) unweighed.push(`${component.name}, ${stage.name}: ${use.ingredient}`);
          });
        });
      });
    }
    const usable = value !== undefined && problems.length === 0;
    const verdict = found.length === 0 ? "in order" : usable || value !== undefined ? "to mend" : "not usable";
    if (json) io.print(jsonText("check", { file: where, verdict, problems: found, unweighed }));
    else {
      if (verdict !== "not usable")
        io.print(
          verdict === "in order"
            ? `${where}: in order.`
            : `${where}: ${found.length} ${found.length === 1 ? "thing" : "things"} to mend.`,
        );
      for (const problem of found) io.say(problemText(problem, where));
    }
    if (!json) for (const line of unweighed) io.say(`${where}: not weighed: ${line}`);
    return verdict === "in order" ? 0 : verdict === "to mend" ? 1 : 2;
  },
});
