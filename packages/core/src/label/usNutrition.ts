import type { Composition, FurtherTotals } from "../composition/index.js";
import {
  cellsOf,
  INDENTED,
  type Line,
  type NutritionCell,
  type NutritionDeclaration,
  type NutritionRow,
  sameWhatever,
  sourcesOf,
  straight,
} from "./nutritionLines.js";
import { roundUs, type UsClass } from "./rounding.js";
import { US_DAILY_VALUES } from "./usDailyValues.js";
import { FURTHER_LINES, furtherRow, type StatedForUs } from "./usFurtherRows.js";

const US_LINES: readonly Line<UsClass>[] = [
  {
    id: "calories",
    name: "Calories",
    kind: "calories",
    needs: ["fat", "protein", "carbohydrate", "alcohol"],
    amount: (of) => 9 * of("fat") + 4 * of("protein") + 4 * of("carbohydrate") + 7 * of("alcohol"),
  },
  straight("fat", "Total Fat", "fat", { daily: US_DAILY_VALUES.fat }),
  straight("saturates", "Saturated Fat", "fat", { ...INDENTED, daily: US_DAILY_VALUES.saturates }),
  {
    id: "sodium",
    name: "Sodium",
    kind: "sodium",
    needs: ["sodium"],
    daily: US_DAILY_VALUES.sodiumMg,
    amount: (of) => of("sodium") * 1000,
  },
  straight("carbohydrate", "Total Carbohydrate", "carbohydrate", { daily: US_DAILY_VALUES.carbohydrate }),
  straight("fibre", "Dietary Fiber", "carbohydrate", { ...INDENTED, daily: US_DAILY_VALUES.fibre }),
  straight("sugars", "Total Sugars", "carbohydrate", INDENTED),
  straight("protein", "Protein", "protein"),
];

/** Added sugars of the whole finished product [g]: the least and the most that they can be (see `addedSugarsOf`). */
export interface AddedSugars {
  readonly fromGrams: number;
  readonly toGrams: number;
  readonly unknown: readonly string[];
}

/**
 * The figures of a US Nutrition Facts panel, per serving and per 100 g.
 *
 * Trans fat, cholesterol, vitamin D, calcium, iron and potassium are what `stated` says, else computed from `further`; a row that neither
 * gives says which ingredient to ask about, and the panel is not complete.
 *
 * @param servingGrams  above 0
 * @param added         from `addedSugarsOf`; without it the row says that it is not known
 * @param stated        of the finished product, from an analysis or a supplier: it wins over what is computed
 * @param further       from `composeFurther`, of the whole batch that `finished` is
 *
 * Source: 21 CFR 101.9(c), (d). Calories by 4-9-4-7 (101.9(c)(1)(i)(B)).
 */
export function usNutrition(
  finished: Composition,
  servingGrams: number,
  added?: AddedSugars,
  stated: StatedForUs = {},
  further?: FurtherTotals,
): NutritionDeclaration {
  const cells = cellsOf(finished);
  const rows: NutritionRow[] = US_LINES.map((line) => {
    const cell = (grams: number) => cells(grams, line, (amount) => roundUs(line.kind, amount));
    const serving = cell(servingGrams);
    return {
      id: line.id,
      name: line.name,
      indented: line.indented ?? false,
      per100g: cell(100),
      perPortion: serving,
      ...(line.daily === undefined || !serving.known ? {} : { percent: Math.round((100 * serving.unrounded) / line.daily) }),
      sources: sourcesOf(finished, line.needs),
    };
  });
  const insertAfter = (after: string, row: NutritionRow) =>
    void rows.splice(rows.findIndex(({ id }) => id === after) + 1, 0, row);
  insertAfter("sugars", addedRow(finished, servingGrams, added));
  for (const line of FURTHER_LINES)
    insertAfter(line.after, furtherRow(line, finished.totalGrams, servingGrams, stated[line.id], further?.[line.id]));
  return { place: "us", portionGrams: servingGrams, rows, rule: "21 CFR 101.9(c)" };
}

function addedRow(finished: Composition, servingGrams: number, added: AddedSugars | undefined): NutritionRow {
  const cell = (grams: number): NutritionCell => {
    if (added === undefined || !(finished.totalGrams > 0))
      return { known: false, why: "which of the sugars were added is not known" };
    const [from, to] = [added.fromGrams, added.toGrams].map((all) => (all * grams) / finished.totalGrams) as [number, number];
    const declared = roundUs("carbohydrate", from);
    return declared.text === roundUs("carbohydrate", to).text
      ? { known: true, unrounded: from, declared, ...(to > from ? { note: sameWhatever(added.unknown) } : {}) }
      : { known: false, why: `how much of the sugars was added is not known for ${added.unknown.join(", ")}` };
  };
  const serving = cell(servingGrams);
  return {
    id: "addedSugars",
    name: "Includes Added Sugars",
    indented: true,
    per100g: cell(100),
    perPortion: serving,
    ...(serving.known ? { percent: Math.round((100 * serving.unrounded) / US_DAILY_VALUES.addedSugars) } : {}),
    sources: [],
  };
}
