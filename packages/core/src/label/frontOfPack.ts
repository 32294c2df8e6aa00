import type { Composition } from "../composition/index.js";
import { decimalsOf, type LabelLanguage } from "./languages.js";
import { euNutrition } from "./nutrition.js";

export type FrontOfPackBand = "low" | "medium" | "high";

/** Limits per 100 g of food [g], and for a portion over 100 g the amount above which it is high whatever 100 g say. */
const LIMITS = {
  fat: { low: 3, high: 17.5, portion: 21 },
  saturates: { low: 1.5, high: 5, portion: 6 },
  sugars: { low: 5, high: 22.5, portion: 27 },
  salt: { low: 0.3, high: 1.5, portion: 1.8 },
} as const;
export type FrontOfPackNutrient = keyof typeof LIMITS;

/**
 * Band of a nutrient on the front of a pack, as the voluntary scheme of the United Kingdom draws it for food.
 *
 * @param per100g       [g], as declared
 * @param portionGrams  weight of the portion; the portion rule applies above 100 g
 *
 * Source: Department of Health and others, Guide to creating a front of pack nutrition label (2013, updated 2016), table 2 (per 100 g seen in the health service's page on food labels; per portion from memory).
 */
export function frontOfPackBand(nutrient: FrontOfPackNutrient, per100g: number, portionGrams?: number): FrontOfPackBand {
  const { low, high, portion } = LIMITS[nutrient];
  if (per100g > high) return "high";
  if (portionGrams !== undefined && portionGrams > 100 && (per100g * portionGrams) / 100 > portion) return "high";
  return per100g <= low ? "low" : "medium";
}

export interface FrontOfPackLine {
  readonly nutrient: "energy" | "fat" | "saturates" | "sugars" | "salt";
  readonly name: string;
  /** Amounts in a portion (100 g without one) as printed, and percent of the reference intake. */
  readonly amount: string;
  readonly percent?: number;
  /** Energy has no band. */
  readonly band?: FrontOfPackBand;
}

/** On the front a part stands by itself. */
const OF_WHICH = /^(?:of which|dont|davon|de (?:las|los) cuales|di cui) /;

/** The lines of the voluntary scheme of the United Kingdom; none where a figure is missing, for half a picture misleads. */
export function frontOfPackLines(
  finished: Composition,
  portionGrams: number | undefined,
  language: LabelLanguage,
): readonly FrontOfPackLine[] | undefined {
  const { rows } = euNutrition(finished, "gb", portionGrams, [], language);
  const lines = (["energyKj", "fat", "saturates", "sugars", "salt"] as const).flatMap((id): FrontOfPackLine[] => {
    const row = rows.find((one) => one.id === id)!;
    const shown = row.perPortion ?? row.per100g;
    if (!shown.known || !row.per100g.known) return [];
    const kcal = rows.find((one) => one.id === "energyKcal")!;
    const shownKcal = kcal.perPortion ?? kcal.per100g;
    return [
      {
        nutrient: id === "energyKj" ? "energy" : id,
        name: id === "energyKj" ? row.name : row.name.replace(OF_WHICH, ""),
        amount:
          id === "energyKj"
            ? `${shown.declared.text} kJ${shownKcal.known ? ` ${shownKcal.declared.text} kcal` : ""}`
            : decimalsOf(shown.declared.text.replace(/ /g, ""), language),
        ...(row.percent === undefined ? {} : { percent: row.percent }),
        ...(id === "energyKj" ? {} : { band: frontOfPackBand(id, row.per100g.declared.value, portionGrams) }),
      },
    ];
  });
  return lines.length === 5 ? lines : undefined;
}
