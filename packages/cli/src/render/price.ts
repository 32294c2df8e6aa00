import type { Formula } from "@evencrumb/core/formula";
import {
  COST_KIND_WORDS,
  type CostChange,
  costByKind,
  formatMoney,
  type PriceDocument,
  type PricePoint,
  type PriceReport,
  type PriceRule,
  type RiseEffect,
} from "@evencrumb/core/price";
import { tableText, wrapped } from "./table.js";

/** Another formula or revision beside the first, line by line. */
export interface Compared {
  readonly name: string;
  readonly grams: number;
  readonly changes: readonly CostChange[];
}

export function reportAsJson(
  formula: Formula,
  { inputs, settings }: PriceDocument,
  report: PriceReport,
  compared: Compared | undefined,
) {
  const { cost } = report;
  return {
    name: formula.name,
    currency: inputs.currency,
    date: inputs.date,
    cakes: inputs.cakes,
    portionsPerCake: inputs.portionsPerCake,
    batchMinor: cost.batch.minor,
    perCakeMinor: cost.perCakeMinor,
    perPortionMinor: cost.perPortionMinor,
    per100gMinor: cost.per100gMinor ?? null,
    lines: cost.lines.map(({ kind, id, name, cost: money, exactMinor, from }) => ({
      kind,
      id,
      name,
      minor: money.minor,
      exactMinor,
      from,
    })),
    missing: cost.missing,
    handsOnMinutes: cost.handsOnMinutes,
    waitingMinutes: cost.waitingMinutes,
    price: report.price === undefined ? null : { ...report.price, rule: settings?.rule },
    waterfall: report.waterfall,
    breakEven: report.breakEven ?? null,
    rises: report.rises,
    ...(compared === undefined ? {} : { compared }),
    cautions: report.cautions,
  };
}

export function reportAsText(
  formula: Formula,
  { inputs, settings }: PriceDocument,
  report: PriceReport,
  compared: Compared | undefined,
): string {
  const { cost, price } = report;
  const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: inputs.currency });
  const rows = costByKind(cost).flatMap(({ kind, minor: sum }) => {
    const lines = cost.lines.filter((line) => line.kind === kind).toSorted((one, other) => other.exactMinor - one.exactMinor);
    return [
      [COST_KIND_WORDS[kind], money(sum), `${((100 * sum) / Math.max(1, cost.batch.minor)).toFixed(0)} %`, ""],
      ...lines.map((line) => [`  ${line.name}`, money(line.cost.minor), "", line.from]),
    ];
  });
  const left = { heading: "", align: "left" as const };
  const number = { heading: "", align: "decimal" as const };
  return [
    `${formula.name}: cost of a batch, ${inputs.currency}, prices as of ${inputs.date}`,
    "",
    tableText([left, number, number, left], [...rows, ["Batch", money(cost.batch.minor), "", ""]]),
    "",
    tableText(
      [left, number],
      [
        [
          `A cake (${inputs.cakes} made${inputs.unsoldPercent ? `, ${inputs.unsoldPercent} % not sold` : ""})`,
          money(cost.perCakeMinor),
        ],
        [`A portion (${inputs.portionsPerCake} in a cake)`, money(cost.perPortionMinor)],
        ...(cost.per100gMinor === undefined ? [] : [["100 g of the finished product", money(cost.per100gMinor)]]),
        ...(inputs.labour === undefined
          ? []
          : [
              ["Hands-on minutes, paid", String(cost.handsOnMinutes)],
              [
                inputs.labour.waitingPercent
                  ? `Waiting minutes, paid at ${inputs.labour.waitingPercent} %`
                  : "Waiting minutes, not paid",
                String(cost.waitingMinutes),
              ],
            ]),
      ],
    ),
    ...(cost.missing.length === 0
      ? []
      : ["", "Not priced, and not in the sums:", ...cost.missing.map(({ name, why }) => `  ${name}: ${why}`)]),
    ...(price === undefined || settings === undefined
      ? []
      : [
          "",
          `Price of a cake: ${money(price.minor)} (${ruleWords(settings.rule, inputs.currency)})`,
          tableText(
            [left, number, left],
            report.waterfall.map(({ name, kind, fromMinor, toMinor }) => [
              `  ${name}`,
              money(toMinor - fromMinor),
              kind === "price"
                ? ""
                : `${" ".repeat(at(fromMinor, price.minor))}${"▇".repeat(Math.max(1, at(toMinor, price.minor) - at(fromMinor, price.minor)))}`,
            ]),
          ),
          wrapped(price.words, 110, "  "),
        ]),
    ...(report.breakEven === undefined
      ? []
      : [`  ${report.breakEven.name} (${money(report.breakEven.fixedMinor)}) is earned with ${report.breakEven.cakes} cakes.`]),
    ...report.rises.map(
      ({ ingredient, percent, shareOfCost, perCakeChangeMinor, marginPercentAfter }) =>
        `What if ${ingredient} costs ${percent > 0 ? "+" : ""}${percent} %: a cake costs ${money(Math.abs(perCakeChangeMinor))} ${perCakeChangeMinor >= 0 ? "more" : "less"} (it is ${(100 * shareOfCost).toFixed(1)} % of the cost)${marginPercentAfter === undefined ? "" : `; at the same price the margin is ${marginPercentAfter.toFixed(1)} %`}.`,
    ),
    ...(compared === undefined ? [] : ["", comparedAsText(compared, money)]),
    "",
    ...report.cautions.map((caution) => wrapped(caution, 110)),
  ].join("\n");
}

const at = (minor: number, whole: number) => Math.round((40 * minor) / Math.max(1, whole));

function ruleWords(rule: PriceRule, currency: string): string {
  if (rule.kind === "price") return `as given, ${formatMoney({ minor: rule.minor, currency })}`;
  return rule.kind === "margin" ? `margin ${rule.percent} % of the price` : `mark-up ${rule.percent} % on the cost`;
}

function comparedAsText(compared: Compared, money: (minor: number) => string): string {
  if (compared.changes.length === 0) return `Against ${compared.name}: no difference in cost.`;
  const total = compared.changes.reduce((sum, { beforeMinor, afterMinor }) => sum + afterMinor - beforeMinor, 0);
  const signed = (minor: number) => `${minor >= 0 ? "+" : ""}${money(minor)}`;
  return [
    `The other (${compared.name}) beside it, a batch:`,
    tableText(
      [
        { heading: "", align: "left" },
        { heading: "this", align: "decimal" },
        { heading: "other", align: "decimal" },
        { heading: "change", align: "decimal" },
      ],
      [
        ...compared.changes.map(({ name, beforeMinor, afterMinor }) => [
          `  ${name}`,
          money(beforeMinor),
          money(afterMinor),
          signed(afterMinor - beforeMinor),
        ]),
        ["  All", "", "", signed(total)],
      ],
    ),
  ].join("\n");
}

export function historyAsText(points: readonly PricePoint[], currency: string): string {
  if (points.length === 0) return `No price in ${currency} yet.`;
  return tableText(
    [
      { heading: "date", align: "left" },
      { heading: "a kg", align: "decimal" },
      { heading: "change", align: "decimal" },
      { heading: "held until", align: "left" },
      { heading: "supplier", align: "left" },
    ],
    points.map(({ date, perKgMinor, changePercent, heldUntil, supplier }) => [
      date ?? "-",
      formatMoney({ minor: Math.round(perKgMinor), currency }),
      changePercent === undefined ? "" : `${changePercent > 0 ? "+" : ""}${changePercent.toFixed(1)} %`,
      heldUntil ?? "",
      supplier ?? "",
    ]),
  );
}

/** What a dearer ingredient does to several products at the prices they have. */
export function effectsAsText(
  effects: readonly RiseEffect[],
  { ingredient, percent }: { readonly ingredient: string; readonly percent: number },
): string {
  const title = `What if ${ingredient} costs ${percent > 0 ? "+" : ""}${percent} %, at the prices they have:`;
  if (effects.length === 0) return `${title} none of them has it, or none of it is priced.`;
  const share = (value: number | undefined) => (value === undefined ? "" : `${value.toFixed(1)} %`);
  const left = { align: "left" as const };
  const number = { align: "decimal" as const };
  return [
    title,
    tableText(
      [
        { heading: "", ...left },
        { heading: "a cake costs", ...number },
        { heading: "then", ...number },
        { heading: "margin", ...number },
        { heading: "then", ...number },
        { heading: "", ...left },
      ],
      effects.map((one) => {
        const money = (minor: number) => formatMoney({ minor: Math.round(minor), currency: one.currency });
        return [
          `  ${one.name}`,
          money(one.costBeforeMinor),
          money(one.costAfterMinor),
          share(one.marginBeforePercent),
          share(one.marginAfterPercent),
          one.fallsBelow
            ? `below ${share(one.aimPercent)}${one.priceToHoldMinor === undefined ? "" : `; ${money(one.priceToHoldMinor)} would hold it`}`
            : "",
        ];
      }),
    ),
  ].join("\n");
}
