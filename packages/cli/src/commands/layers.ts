import { assembleCake, coverNeeds, moistureInCake } from "@evencrumb/core/keeping";
import { formatGrams } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText, wrapped } from "../render/table.js";

interface LayersWords {
  readonly cover: string;
  readonly height?: string;
  readonly fillingMm?: string;
  readonly topMm?: string;
  readonly sidesMm?: string;
  readonly syrup?: string;
  readonly hours: string;
}

export const layersCommand = defineCommand<LayersWords & Readonly<Record<string, unknown>>>({
  name: "layers",
  summary:
    "The finished cake: layers with heights and weights, what a slice contains, how much filling, icing and syrup it needs, and where the water goes.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [
    ["--cover <how>", "icing on top, or top-and-sides", "top"],
    ["--height <mm>", "measured height of one baked layer"],
    ["--filling-mm <mm>", "thickness of filling to work out (6 is usual)"],
    ["--top-mm <mm>", "thickness on top (5 is usual)"],
    ["--sides-mm <mm>", "thickness round the sides (4 is usual)"],
    ["--syrup <grams>", "grams of syrup for 100 g of crumb (12 is usual)"],
    ["--hours <hours>", "how long water moves between the layers", "96"],
  ],
  examples: ["evencrumb layers sandwich.yaml", "evencrumb layers sandwich.yaml --height 30 --filling-mm 8 --json"],
  async run({ args, json, cover, height, fillingMm, topMm, sidesMm, syrup, hours }, io) {
    if (cover !== "top" && cover !== "top-and-sides") {
      io.say(`--cover is top or top-and-sides, not "${cover}".`);
      return 2;
    }
    const numbers: Record<string, number> = {};
    for (const [option, text, least, most] of [
      ["--height", height, 1, 500],
      ["--filling-mm", fillingMm, 0, 100],
      ["--top-mm", topMm, 0, 100],
      ["--sides-mm", sidesMm, 0, 100],
      ["--syrup", syrup, 0, 200],
      ["--hours", hours, 1, 1440],
    ] as const) {
      if (text === undefined) continue;
      const value = Number(text);
      if (!(value >= least && value <= most)) {
        io.say(`${option} is a number from ${least} to ${most}, not "${text}".`);
        return 2;
      }
      numbers[option] = value;
    }
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const { formula, book } = input;
    const given = (option: string, name: string) => (numbers[option] === undefined ? {} : { [name]: numbers[option] });
    const options = { cover, ...given("--height", "crumbHeightMm") } as const;
    const { value: cake, problems } = assembleCake(formula, book, options);
    if (cake === undefined) return refuse(io, problems, args[0] === "-" ? "standard input" : args[0]!);
    const needs = coverNeeds(formula, book, {
      ...options,
      ...given("--filling-mm", "fillingMm"),
      ...given("--top-mm", "topMm"),
      ...given("--sides-mm", "sidesMm"),
      ...given("--syrup", "syrupPer100g"),
    }).value;
    const moisture = moistureInCake(formula, book, numbers["--hours"]!, options);
    if (json) {
      const { profiles: _, ...moved } = moisture ?? { profiles: [] };
      io.print(jsonText("layers", { name: formula.name, ...cake, needs, moisture: moisture === undefined ? null : moved }));
    } else {
      const decimal = (heading: string) => ({ heading, align: "decimal" as const });
      const each = cake.pieces > 1 ? `${cake.pieces} cakes, each ` : "";
      io.print(
        [
          `${formula.name}: ${each}${formatGrams(cake.grams)}, about ${cake.heightMm.likely.toFixed(0)} mm high (${cake.heightMm.from.toFixed(0)} to ${cake.heightMm.to.toFixed(0)})`,
          "",
          tableText(
            [
              { heading: "top to base", align: "left" },
              decimal("g"),
              decimal("mm"),
              decimal("g/mL"),
              { heading: "", align: "left" },
            ],
            cake.layers
              .toReversed()
              .map(({ name, grams, thicknessMm, densityGPerMl, densityBasis }) => [
                name,
                grams.toFixed(0),
                thicknessMm.likely.toFixed(1),
                densityGPerMl.toFixed(2),
                densityBasis,
              ]),
            "  ",
          ),
          ...(cake.slice === undefined
            ? []
            : [
                "",
                `A slice of ${cake.slice.portions}: ${formatGrams(cake.slice.grams)}, ${cake.slice.amounts.energyKj.toFixed(0)} kJ, ${cake.slice.amounts.fatGrams.toFixed(1)} g fat, ${cake.slice.amounts.sugarsGrams.toFixed(1)} g sugars`,
              ]),
          "",
          "To cover it, for the whole batch",
          ...needs.map(({ words }) => `  ${words}`),
          ...(moisture === undefined
            ? []
            : ["", `Water between the layers at ${moisture.keptC} °C`, ...moisture.words.map((words) => `  ${words}`)]),
          "",
          "Assumed",
          ...cake.assumptions.map((words) => wrapped(`- ${words}`, 110, "  ")),
        ].join("\n"),
      );
    }
    sayUnknown(io, formula, book);
    return 0;
  },
});
