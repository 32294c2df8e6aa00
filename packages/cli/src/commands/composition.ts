import {
  type AllergenEntry,
  type BalanceReport,
  balanceOf,
  type Composition,
  composeFormula,
  composeFurther,
  type FurtherTotals,
  missingFigures,
  type PartComposition,
  per100g,
  perPortion,
} from "@evencrumb/core/composition";
import { FURTHER_NUTRIENTS, FURTHER_WORDS, type Nutrient } from "@evencrumb/core/ingredients";
import { formatGrams } from "@evencrumb/core/quantities";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";
import { tableText, wrapped } from "../render/table.js";

/** What is shown and given as JSON, in the order of a declaration with water first. */
const SHOWN = [
  ["waterGrams", "water", "Water g"],
  ["energyKj", "energyKj", "Energy kJ"],
  ["energyKcal", "energyKcal", "Energy kcal"],
  ["fatGrams", "fat", "Fat g"],
  ["saturatesGrams", "saturates", "  of which saturates g"],
  ["carbohydrateGrams", "carbohydrate", "Carbohydrate with fibre g"],
  ["sugarsGrams", "sugars", "  of which sugars g"],
  ["starchGrams", "starch", "  of which starch g"],
  ["fibreGrams", "fibre", "Fibre g"],
  ["proteinGrams", "protein", "Protein g"],
  ["saltGrams", "sodium", "Salt g"],
  ["alcoholGrams", "alcohol", "Alcohol g"],
] as const satisfies readonly (readonly [string, Nutrient, string])[];

export const compositionCommand = defineCommand<{ readonly sources?: boolean }>({
  name: "composition",
  summary:
    "What a formula and its components contain, before and after the weight lost in baking, per 100 g and per portion; allergens; missing figures.",
  arguments: [["<file>", 'formula file, or "-" for the standard input']],
  options: [["--sources", "unfold each total to the ingredients and sources that make it"]],
  examples: [
    "evencrumb composition sandwich.yaml",
    "evencrumb composition sandwich.yaml --sources",
    "evencrumb composition sandwich.yaml --json",
  ],
  async run({ args, sources, json }, io) {
    const input = await readFormula(io, args[0]!);
    if (typeof input === "number") return input;
    const { formula, book } = input;
    const composed = composeFormula(formula, book);
    const further = composeFurther(formula, book);
    // Ratios are for what is baked: a filling is not balanced by flour.
    const balances = formula.components.map((component) => (component.kind === "cake" ? balanceOf(component, book) : null));
    for (const problem of composed.problems) io.say(problemText(problem, args[0] === "-" ? "standard input" : args[0]!));
    if (json) {
      const { contains, mayContain, checkSupplier, unknownIngredients } = composed.product.allergens;
      io.print(
        jsonText("composition", {
          name: formula.name,
          product: partAsJson(composed.product, further.product, sources === true, formula.portions),
          components: composed.components.map((part, index) => ({
            ...partAsJson(part, further.components[index]!.totals, sources === true),
            ...(balances[index] ? { balance: balances[index] } : {}),
          })),
          allergens: contains,
          mayContain,
          checkSupplier,
          unknownIngredients,
        }),
      );
    } else io.print(compositionAsText(composed, further, balances, sources === true, formula.portions));
    sayUnknown(io, formula, book);
    return 0;
  },
});

function partAsJson(
  part: PartComposition,
  further: FurtherTotals,
  sources: boolean,
  portions?: number,
): Readonly<Record<string, unknown>> {
  const portion = portions === undefined ? null : perPortion(part.finished, portions);
  return {
    name: part.name,
    totalGrams: part.finished.totalGrams,
    lostGrams: part.finished.lostGrams,
    per100g: picked(per100g(part.finished)),
    ...(portion ? { perPortion: { portions, grams: part.finished.totalGrams / portions!, ...picked(portion) } } : {}),
    mixed: { totalGrams: part.mixed.totalGrams, per100g: picked(per100g(part.mixed)) },
    missing: missingOf(part.finished),
    furtherPer100g: furtherAsJson(further, part.finished.totalGrams, sources),
    unweighed: part.unweighed,
    allergens: part.allergens.contains,
    ...(sources
      ? {
          contributions: Object.fromEntries(
            SHOWN.map(([field, nutrient]) => [field, part.finished.totals[nutrient].contributions]),
          ),
        }
      : {}),
  };
}

/** What a US panel asks for besides, in the units of the names: a lower bound where something is missing. */
const furtherAsJson = (totals: FurtherTotals, totalGrams: number, sources: boolean) =>
  totalGrams > 0
    ? Object.fromEntries(
        FURTHER_NUTRIENTS.map((nutrient) => {
          const { amount, missing, contributions } = totals[nutrient];
          const rest = { missing: missing.map(({ name, useGrams, source }) => ({ name, useGrams, why: source })) };
          return [nutrient, { amount: (amount * 100) / totalGrams, ...rest, ...(sources ? { contributions } : {}) }];
        }),
      )
    : null;

const missingOf = (composition: Composition) =>
  missingFigures(
    composition,
    SHOWN.map(([, nutrient]) => nutrient),
  );

function picked(amounts: ReturnType<typeof per100g>): Readonly<Record<string, number>> | null {
  return amounts && Object.fromEntries(SHOWN.map(([field]) => [field, amounts[field]]));
}

function compositionAsText(
  composed: ReturnType<typeof composeFormula>,
  further: ReturnType<typeof composeFurther>,
  balances: readonly (BalanceReport | null)[],
  sources: boolean,
  portions?: number,
): string {
  const { product, components } = composed;
  const parts = [...(components.length > 1 ? components : []), product];
  const baked = parts.some((part) => part.finished.lostGrams > 0);
  const portion = portions === undefined ? null : perPortion(product.finished, portions);
  const lower = (part: PartComposition, nutrient: Nutrient) => (part.finished.totals[nutrient].missing.length > 0 ? "≥" : "");
  const columns = parts.map((part) => ({ part, amounts: per100g(part.finished) }));
  const rows = SHOWN.map(([field, nutrient, label]) => {
    const digits = field.startsWith("energy") ? 0 : 1;
    return [
      label,
      ...columns.map(({ part, amounts }) => (amounts ? `${lower(part, nutrient)}${amounts[field].toFixed(digits)}` : "-")),
      ...(portion ? [`${lower(product, nutrient)}${portion[field].toFixed(digits)}`] : []),
    ];
  });
  const number = (heading: string) => ({ heading, align: "decimal" as const });
  const table = tableText(
    [
      { heading: "per 100 g", align: "left" },
      ...columns.map(({ part }) => number(part.name)),
      ...(portion ? [number("per portion")] : []),
    ],
    [
      ...rows,
      [
        "Weight, all g",
        ...parts.map((part) => part.finished.totalGrams.toFixed(0)),
        ...(portion ? [(product.finished.totalGrams / portions!).toFixed(0)] : []),
      ],
      ...(baked
        ? [["  lost in the making g", ...parts.map((part) => part.finished.lostGrams.toFixed(0)), ...(portion ? [""] : [])]]
        : []),
    ],
  );
  const missing = missingOf(product.finished);
  const { contains, mayContain, checkSupplier, unknownIngredients } = product.allergens;
  return [
    product.name,
    "",
    table,
    "",
    `Contains: ${allergenWords(contains) || "none of the fourteen, as far as the book knows"}`,
    ...(mayContain.length > 0 ? [`May contain: ${allergenWords(mayContain)}`] : []),
    ...(checkSupplier.length > 0 ? [`Check the packet for: ${allergenWords(checkSupplier)}`] : []),
    ...(unknownIngredients.length > 0 ? [`Not known for: ${unknownIngredients.join(", ")}`] : []),
    ...(product.unweighed.length > 0
      ? [`Not weighed, not in the figures: ${product.unweighed.map(({ name }) => name).join(", ")}`]
      : []),
    ...(missing.length > 0
      ? [
          "",
          "No figure (totals marked ≥ are lower bounds):",
          ...missing.map((one) =>
            wrapped(`${one.name}, ${formatGrams(one.useGrams)}: ${one.nutrients.join(", ")} (${one.why})`, 110, "  "),
          ),
        ]
      : []),
    ...balances.flatMap((balance, index) => (balance ? ["", balanceAsText(components[index]!.name, balance)] : [])),
    "",
    furtherAsText(further.product, product.finished.totalGrams),
    ...(sources ? ["", sourcesAsText(product.finished), furtherSources(further.product)] : []),
  ].join("\n");
}

/** A range is a habit of the trade and no verdict; the source stands beside it. */
function balanceAsText(name: string, balance: BalanceReport): string {
  const rows = balance.ratios.map(({ words, percent, range, stands }) => [
    `  ${words}`,
    percent === null ? "-" : percent.toFixed(percent < 10 ? 1 : 0),
    range
      ? range.from === undefined
        ? `up to ${range.to}`
        : range.to === undefined
          ? `from ${range.from}`
          : `${range.from} to ${range.to}`
      : "",
    stands === "no-range" ? "no range known" : stands === "no-value" ? "" : stands,
    range?.source ?? "",
  ]);
  const left = (heading: string) => ({ heading, align: "left" as const });
  return [
    `${name}, balance of a ${balance.family} cake (${balance.familyBecause})`,
    tableText([left(""), { heading: "%", align: "decimal" }, left("usual"), left(""), left("source of the range")], rows),
    wrapped(balance.sugarInWater.sentence, 110, "  "),
  ].join("\n");
}

function sourcesAsText(composition: Composition): string {
  return SHOWN.map(([field, nutrient, label]) => {
    const digits = field.startsWith("energy") ? 0 : 2;
    const scale = field === "saltGrams" ? 2.5 : 1;
    const rows = composition.totals[nutrient].contributions
      .filter((one) => one.amount === undefined || Math.abs(one.amount * scale) >= 0.005)
      .map((one) => [
        `  ${one.component}, ${one.name || "lost in the making"}`,
        one.amount === undefined ? "-" : (one.amount * scale).toFixed(digits),
        one.source,
      ]);
    return [
      `${label.trim()}, whole batch: ${(composition.totals[nutrient].amount * scale).toFixed(digits)}`,
      ...(rows.length > 0
        ? [
            tableText(
              [
                { heading: "", align: "left" },
                { heading: "", align: "decimal" },
                { heading: "", align: "left" },
              ],
              rows,
            ),
          ]
        : []),
    ].join("\n");
  }).join("\n");
}

const FURTHER_DIGITS = { g: 2, mg: 1, µg: 2 } as const;

function furtherAsText(totals: FurtherTotals, totalGrams: number): string {
  const rows = FURTHER_NUTRIENTS.map((nutrient) => {
    const { amount, mostMissing, missing } = totals[nutrient];
    const { name, unit } = FURTHER_WORDS[nutrient];
    const per100 = (all: number) => (totalGrams > 0 ? ((all * 100) / totalGrams).toFixed(FURTHER_DIGITS[unit]) : "-");
    // A pinch of something that cannot hold enough to show is not worth a warning.
    const isOpen = per100(amount + mostMissing) !== per100(amount);
    const names = [...new Set(missing.map((one) => one.name))];
    return [`  ${name} ${unit}`, `${isOpen ? "≥" : ""}${per100(amount)}`, isOpen ? `no figure for ${names.join(", ")}` : ""];
  });
  const left = { heading: "", align: "left" as const };
  return `What a US panel asks for besides, product per 100 g:\n${tableText([left, { heading: "", align: "decimal" }, left], rows)}`;
}

const furtherSources = (totals: FurtherTotals): string =>
  FURTHER_NUTRIENTS.map((nutrient) => {
    const { name, unit } = FURTHER_WORDS[nutrient];
    const left = { heading: "", align: "left" as const };
    const { amount, contributions } = totals[nutrient];
    const rows = contributions
      .filter((one) => (one.amount ?? 0) > 0)
      .map((one) => [`  ${one.component}, ${one.name}`, one.amount!.toFixed(FURTHER_DIGITS[unit]), one.source]);
    const head = `${name} ${unit}, whole batch: ${amount.toFixed(FURTHER_DIGITS[unit])}`;
    return rows.length === 0 ? head : `${head}\n${tableText([left, { heading: "", align: "decimal" }, left], rows)}`;
  }).join("\n");

const allergenWords = (entries: readonly AllergenEntry[]) =>
  entries.map(({ allergen, kind, from }) => `${kind ?? allergen} (${from.join(", ")})`).join(", ");
