import { formatTin, parseTins, scaleToTins, type TinCaution, type TinUnits, tinCapacityMl } from "@evencrumb/core/tins";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import { refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";
import { tableText } from "../render/table.js";

export const tinsCommand = defineCommand<{
  readonly for?: string;
  readonly component?: string;
  readonly fill?: string;
  readonly inches?: boolean;
}>({
  name: "tins",
  summary: "What tins hold to the brim; with --for, how many of each one batch of a formula fills, and how full.",
  arguments: [["<tins>", '"round 20x5 cm, square 23x5 cm, loaf 900 g"']],
  options: [
    ["--for <file>", "formula to compare them for"],
    ["--component <name>", "component that goes into the tins"],
    ["--fill <share>", "fill each to this share, 0 to 1; as deep as in the formula's own tins when left out"],
    ["--inches", "say sizes in inches"],
  ],
  examples: [
    'evencrumb tins "round 20x5 cm, 9x13 in, 2 lb loaf"',
    'evencrumb tins "round 18x9 cm, square 20x7 cm" --for fruit.yaml',
  ],
  async run({ args, json, inches, fill, component, for: file }, io) {
    const { value: tins, problems } = parseTins(args[0]!);
    if (tins.length === 0) return refuse(io, problems);
    for (const problem of problems) io.say(problemText(problem));
    const units: TinUnits = inches ? "in" : "cm";
    const input = file === undefined ? undefined : await readFormula(io, file);
    if (typeof input === "number") return input;
    const share = fill === undefined ? undefined : Number(fill);
    const rows: TinRow[] = [];
    for (const counted of tins) {
      const row: TinRow = {
        tin: formatTin(counted.tin, { units }),
        count: counted.count,
        capacityMl: tinCapacityMl(counted.tin),
        assumed: counted.tin.assumed.map(({ words }) => words),
      };
      if (!input) {
        rows.push(row);
        continue;
      }
      const result = scaleToTins(input.formula, [{ ...counted, count: 1 }], {
        book: input.book,
        ...(component === undefined ? {} : { component }),
        ...(share === undefined ? {} : { fill: { rule: "share", share } }),
      });
      if (!result.ok) return refuse(io, [result.error]);
      const { factor, cautions, tins: filled } = result.value;
      const { batterGrams, fillShare, depthMm } = filled[0]!;
      rows.push({ ...row, batch: { tinsPerBatch: 1 / factor, factorForOne: factor, batterGrams, fillShare, depthMm, cautions } });
    }
    if (json) {
      io.print(jsonText("tins", { tins: rows.map(({ batch, ...row }) => ({ ...row, ...batch })) }));
      return 0;
    }
    const number = (heading: string) => ({ heading, align: "decimal" as const });
    io.print(
      tableText(
        [
          { heading: "tin", align: "left" },
          number("holds ml"),
          ...(input ? [number("tins a batch"), number("g in one"), number("% full"), number("mm deep")] : []),
        ],
        rows.map(({ tin, capacityMl, batch }) => [
          tin,
          capacityMl.toFixed(0),
          ...(batch
            ? [
                batch.tinsPerBatch.toFixed(2),
                batch.batterGrams.toFixed(0),
                (batch.fillShare * 100).toFixed(0),
                batch.depthMm.toFixed(0),
              ]
            : []),
        ]),
      ),
    );
    for (const { tin, assumed, batch } of rows) {
      for (const words of assumed) if (!words.startsWith("aluminium")) io.say(`${tin}: ${words}.`);
      for (const { code, words } of batch?.cautions ?? []) if (code !== "usual-size") io.say(words);
    }
    return 0;
  },
});

interface TinRow {
  readonly tin: string;
  readonly count: number;
  readonly capacityMl: number;
  readonly assumed: readonly string[];
  readonly batch?: {
    readonly tinsPerBatch: number;
    readonly factorForOne: number;
    readonly batterGrams: number;
    readonly fillShare: number;
    readonly depthMm: number;
    readonly cautions: readonly TinCaution[];
  };
}
