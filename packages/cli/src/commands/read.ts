import { readList, writeFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { type EggGrade, formatGrams, type MeasureSystem } from "@evencrumb/core/quantities";
import { importedFormula, importRecipe, isRecipeData } from "@evencrumb/core/writeup";
import { defineCommand } from "../command.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";

const MEASURES: readonly MeasureSystem[] = ["metric", "us", "imperial", "australian"] as const satisfies readonly MeasureSystem[];
const EGGS: Readonly<Record<string, EggGrade>> = {
  "uk-small": { scheme: "uk", grade: "S" },
  "uk-medium": { scheme: "uk", grade: "M" },
  "uk-large": { scheme: "uk", grade: "L" },
  "us-medium": { scheme: "us", grade: "medium" },
  "us-large": { scheme: "us", grade: "large" },
  "us-extra-large": { scheme: "us", grade: "extra-large" },
};

export const readCommand = defineCommand<{ readonly measures?: string; readonly eggs?: string; readonly name?: string }>({
  name: "read",
  summary:
    "Read an ingredient list as people write it and print it as a formula file. Every line comes back: understood, doubtful (with the choices) or not understood; the latter two are said on the standard error. A page or a file with schema.org Recipe data is read too.",
  arguments: [["<list>", 'text file, or "-" for the standard input']],
  options: [
    ["--measures <whose>", "whose cups and spoons: metric, us, imperial or australian; told from the list when left out"],
    ["--eggs <size>", `the eggs of this bakery: ${Object.keys(EGGS).join(", ")}`],
    ["--name <name>", "name of the formula where the list has no title"],
  ],
  examples: [
    "evencrumb read list.txt > cake.yaml",
    "evencrumb read list.txt --measures us --json",
    "evencrumb read saved-page.html > cake.yaml",
    "evencrumb read - --eggs uk-large < list.txt",
  ],
  async run({ args, measures, eggs, name, json }, io) {
    const whose = MEASURES.find((known) => known === measures);
    if (measures !== undefined && !whose) {
      io.say(`--measures is ${MEASURES.join(", ")}, not "${measures}".`);
      return 2;
    }
    const eggGrade = eggs === undefined ? undefined : EGGS[eggs];
    if (eggs !== undefined && !eggGrade) {
      io.say(`--eggs is one of ${Object.keys(EGGS).join(", ")}, not "${eggs}".`);
      return 2;
    }
    const text = await io.readText(args[0]!);
    const where = args[0] === "-" ? "standard input" : args[0]!;
    const book = createIngredientBook();
    const settings = { ...(whose ? { measures: whose } : {}), ...(eggGrade ? { eggGrade } : {}), ...(name ? { name } : {}) };
    const data = isRecipeData(text) ? importRecipe(text) : undefined;
    if (data !== undefined && data.value === undefined) return refuse(io, data.problems, where);
    const {
      formula,
      lines,
      problems,
      measures: taken,
    } = data?.value === undefined
      ? readList(text, book, settings)
      : importedFormula(name ? { ...data.value, name } : data.value, book, settings);
    const written = lines.filter((line) => line.kind !== "blank");
    for (const problem of problems) io.say(problemText(problem, where));
    if (!written.some((line) => line.kind === "ingredient")) {
      io.say(`${where}: no line reads as an ingredient. Expected lines such as "225 g butter".`);
      return 2;
    }
    for (const line of written) {
      if (line.status === "understood") continue;
      io.say(`${where}:${line.lineNumber}: ${line.status === "doubtful" ? "doubtful" : "not understood"}: ${line.text.trim()}`);
      for (const reason of line.reasons) io.say(`    ${reason}`);
      for (const choice of line.choices ?? [])
        io.say(`    ${choice.name}, ${choice.grams === null ? "not weighed" : formatGrams(choice.grams)}: ${choice.why}`);
    }
    if (taken.system) io.say(`Measures: ${taken.system}. ${taken.why}`);
    io.print(
      json
        ? jsonText("read", {
            formula,
            lines: written.map((line) => ({
              text: line.text,
              lineNumber: line.lineNumber,
              kind: line.kind,
              status: line.status,
              ...(line.ingredient === undefined ? {} : { ingredient: line.ingredient }),
              ...(line.grams === undefined ? {} : { grams: line.grams }),
              ...(line.gramsBand ? { gramsBand: line.gramsBand } : {}),
              ...(line.note ? { note: line.note } : {}),
              ...(line.reasons.length > 0 ? { reasons: line.reasons } : {}),
              ...(line.choices ? { choices: line.choices } : {}),
              ...(line.component === undefined ? {} : { component: line.component }),
              ...(line.stage === undefined ? {} : { stage: line.stage }),
              ...(line.leftOut ? { leftOut: true } : {}),
            })),
            measures: taken,
          })
        : writeFormulaFile(formula),
    );
    return 0;
  },
});
