import type { Formula, FormulaPercentages, PercentBasis } from "@evencrumb/core/formula";
import { formatGrams, formatPercent, formatTemperature } from "@evencrumb/core/quantities";
import { type Column, tableText, wrapped } from "./table.js";

const BASIS_HEADINGS: Readonly<Record<PercentBasis, string>> = { batch: "batch %", bakers: "flour %", group: "group %" };
export const BASES = ["batch", "bakers", "group"] as const satisfies readonly PercentBasis[];

/** A formula as a sheet of text, weights and percents aligned on the decimal point. */
export function formulaAsText(formula: Formula, shares: FormulaPercentages, bases: readonly PercentBasis[] = BASES): string {
  const columns: readonly Column[] = [
    { heading: "", align: "left" },
    { heading: "g", align: "decimal" },
    ...bases.map((basis): Column => ({ heading: BASIS_HEADINGS[basis], align: "decimal" })),
    { heading: "", align: "left" },
  ];
  const rows: string[][] = [];
  // One table for the whole formula keeps the columns in line; headings are woven in afterwards.
  const headings = new Map<number, string[]>();
  const head = (line: string) => headings.set(rows.length, [...(headings.get(rows.length) ?? []), line]);
  shares.components.forEach((component, componentIndex) => {
    const source = formula.components[componentIndex]!;
    head("");
    head(`${component.name} (${component.kind})${factsOf(source)}`);
    component.stages.forEach((stage, stageIndex) => {
      const targets = (source.stages[stageIndex]!.targets ?? []).map(targetText).join(", ");
      head(`  ${stage.name}${targets ? `: ${targets}` : ""}`);
      for (const use of stage.uses) {
        const percents = { batch: use.batchPercent, bakers: use.bakersPercent, group: use.groupSharePercent };
        rows.push([
          `    ${use.name}${use.role === null ? " (not in the book)" : ""}`,
          use.grams === null ? "-" : formatGrams(use.grams, { bare: true }),
          ...bases.map((basis) => percentText(percents[basis])),
          use.note ?? "",
        ]);
      }
    });
    const total = {
      batch: component.totalGrams > 0 ? 100 : null,
      bakers: component.flourGrams > 0 ? (component.totalGrams / component.flourGrams) * 100 : null,
      group: null,
    };
    rows.push([
      `  ${component.name}, total`,
      formatGrams(component.totalGrams, { bare: true }),
      ...bases.map((basis) => percentText(total[basis])),
      "",
    ]);
  });
  const [heading = "", ...lines] = tableText(columns, rows).split("\n");
  const body = lines.flatMap((line, index) => [...(headings.get(index) ?? []), line]);
  const facts = [
    formatGrams(shares.totalGrams),
    ...(formula.portions === undefined ? [] : [`${formula.portions} portions`]),
  ].join(", ");
  return [`${formula.name}: ${facts}`, ...(formula.notes ? [wrapped(formula.notes, 96)] : []), heading, ...body].join("\n");
}

function factsOf(component: Formula["components"][number]): string {
  const facts = [
    ...(component.tins ?? []).map(({ count, tin }) => `${count} × ${tin}`),
    ...(component.bake
      ? [
          `${formatTemperature(component.bake.ovenC)}${component.bake.fan ? " fan" : ""}${component.bake.minutes === undefined ? "" : `, ${component.bake.minutes} min`}`,
        ]
      : []),
    ...(component.loss ? [`loses ${formatPercent(component.loss.percent)} (${component.loss.basis})`] : []),
    ...(component.specificGravity
      ? [`specific gravity ${component.specificGravity.value} (${component.specificGravity.basis})`]
      : []),
  ];
  return facts.length > 0 ? `: ${facts.join("; ")}` : "";
}

const percentText = (percent: number | null) => (percent === null ? "" : percent.toFixed(1));

function targetText(target: NonNullable<Formula["components"][number]["stages"][number]["targets"]>[number]): string {
  switch (target.kind) {
    case "volume-increase":
      return `volume up by ${target.percent} %`;
    case "temperature":
      return `${target.celsius} °C`;
    case "specific-gravity":
      return `specific gravity ${target.value}`;
    case "time":
      return target.seconds < 60 ? `${target.seconds} s` : `${Math.round(target.seconds / 6) / 10} min`;
    case "look":
      return target.words;
  }
}

/** The sheet as JSON: `show --json`, and the weights of `scale --json`. */
export function formulaAsJson(formula: Formula, shares: FormulaPercentages): Readonly<Record<string, unknown>> {
  return {
    name: formula.name,
    ...(formula.portions === undefined ? {} : { portions: formula.portions }),
    totalGrams: shares.totalGrams,
    flourGrams: shares.flourGrams,
    components: shares.components.map((component, componentIndex) => {
      const source = formula.components[componentIndex]!;
      return {
        name: component.name,
        kind: component.kind,
        totalGrams: component.totalGrams,
        flourGrams: component.flourGrams,
        ...(source.tins ? { tins: source.tins } : {}),
        ...(source.loss ? { loss: source.loss } : {}),
        ...(source.specificGravity ? { specificGravity: source.specificGravity } : {}),
        ...(source.bake ? { bake: source.bake } : {}),
        stages: component.stages.map((stage, stageIndex) => {
          const { method, targets } = source.stages[stageIndex]!;
          return {
            name: stage.name,
            totalGrams: stage.totalGrams,
            ...(method ? { method } : {}),
            ...(targets ? { targets } : {}),
            uses: stage.uses.map((use) => ({
              ingredient: use.ingredient,
              name: use.name,
              role: use.role,
              grams: use.grams,
              batchPercent: use.batchPercent,
              bakersPercent: use.bakersPercent,
              groupSharePercent: use.groupSharePercent,
              ...(use.note ? { note: use.note } : {}),
            })),
          };
        }),
        groups: component.groups,
      };
    }),
    unknownIngredients: shares.unknownIngredients,
    unweighedCount: shares.unweighed.length,
  };
}
