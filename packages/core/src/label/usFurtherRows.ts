import type { FurtherTotal } from "../composition/index.js";
import { FURTHER_WORDS, type FurtherNutrient } from "../ingredients/index.js";
import { type NutritionCell, type NutritionRow, sameWhatever, sourcesOfTotals } from "./nutritionLines.js";
import { type Declared, halfUp, roundUs, roundUsVitaminPercent } from "./rounding.js";
import { US_DAILY_VALUES } from "./usDailyValues.js";

/** What a laboratory or the suppliers state of the finished product, per 100 g. */
export type StatedForUs = { readonly [Name in FurtherNutrient]?: number };

interface FurtherLine {
  readonly id: FurtherNutrient;
  readonly name: string;
  readonly indented: boolean;
  /** Id of the row that it stands under. */
  readonly after: string;
  readonly daily?: number;
  readonly isMineral?: true;
  round(amount: number): Declared;
}

const toDigits = (digits: number, unit: string) => (amount: number) => {
  const value = halfUp(amount, digits);
  return { text: `${value}${unit}`, value };
};
const toTens = (amount: number) => {
  const value = halfUp(amount / 10, 0) * 10;
  return { text: `${value}mg`, value };
};

/** Rounding of the amounts of vitamin D and iron to 0.1, calcium and potassium to 10: the agency's guidance (the last from memory). */
export const FURTHER_LINES: readonly FurtherLine[] = [
  { id: "transFatGrams", name: "Trans Fat", indented: true, after: "saturates", round: (amount) => roundUs("fat", amount) },
  {
    id: "cholesterolMg",
    name: "Cholesterol",
    indented: false,
    after: "transFatGrams",
    daily: US_DAILY_VALUES.cholesterolMg,
    round: (amount) => roundUs("cholesterol", amount),
  },
  mineral("vitaminDMcg", "Vitamin D", "protein", US_DAILY_VALUES.vitaminDMcg, toDigits(1, "mcg")),
  mineral("calciumMg", "Calcium", "vitaminDMcg", US_DAILY_VALUES.calciumMg, toTens),
  mineral("ironMg", "Iron", "calciumMg", US_DAILY_VALUES.ironMg, toDigits(1, "mg")),
  mineral("potassiumMg", "Potassium", "ironMg", US_DAILY_VALUES.potassiumMg, toTens),
];

function mineral(
  id: FurtherNutrient,
  name: string,
  after: string,
  daily: number,
  round: (amount: number) => Declared,
): FurtherLine {
  return { id, name, indented: false, after, daily, isMineral: true, round };
}

/**
 * One of the rows that NUTRIENTS do not give.
 *
 * @param totalGrams  weight of the finished batch [g], which `total` is of
 * @param stated      per 100 g; it wins
 */
export function furtherRow(
  line: FurtherLine,
  totalGrams: number,
  servingGrams: number,
  stated: number | undefined,
  total: FurtherTotal | undefined,
): NutritionRow {
  const percentOf = (amount: number): number | undefined => {
    if (line.daily === undefined) return undefined;
    const percent = (100 * amount) / line.daily;
    return line.isMineral ? roundUsVitaminPercent(percent) : Math.round(percent);
  };
  const cell = (grams: number): NutritionCell => {
    if (stated !== undefined) {
      const unrounded = (stated * grams) / 100;
      return { known: true, unrounded, declared: line.round(unrounded), note: "stated by the baker" };
    }
    if (!(totalGrams > 0)) return { known: false, why: "nothing is weighed yet" };
    if (total === undefined) return { known: false, why: "it was not computed; an analysis or the supplier's figure is needed" };
    const [least, most] = [total.amount, total.amount + total.mostMissing].map((all) => (all * grams) / totalGrams) as [
      number,
      number,
    ];
    const declared = line.round(least);
    if (total.missing.length === 0) return { known: true, unrounded: least, declared };
    const names = [...new Set(total.missing.map(({ name }) => name))];
    const isSame = line.round(most).text === declared.text && percentOf(most) === percentOf(least);
    return isSame
      ? { known: true, unrounded: least, declared, note: sameWhatever(names) }
      : { known: false, why: `no figure for the ${FURTHER_WORDS[line.id].name} of ${names.join(", ")}: ask the supplier` };
  };
  const serving = cell(servingGrams);
  const percent = serving.known ? percentOf(serving.unrounded) : undefined;
  return {
    id: line.id,
    name: line.name,
    indented: line.indented,
    per100g: cell(100),
    perPortion: serving,
    ...(percent === undefined ? {} : { percent }),
    sources: stated === undefined && total !== undefined ? sourcesOfTotals(totalGrams, [[line.id, total]]) : [],
  };
}
