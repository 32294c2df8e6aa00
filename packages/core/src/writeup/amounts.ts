import type { Ingredient } from "../ingredients/index.js";
import {
  type EggGrade,
  eggParts,
  formatFraction,
  formatGrams,
  householdAmount,
  householdMillilitres,
} from "../quantities/index.js";

/** The reader's measures: grams; ounces and pounds; US cups and spoons. */
export type ReaderMeasures = "metric" | "imperial" | "us";

/** An amount as a reader gets it, and what it really is when the reader measures it so. */
export interface ReaderAmount {
  /** "225 g", "8 oz", "1¾ cups", "4 large eggs", "1½ tsp". */
  readonly text: string;
  /** Grams that the text stands for. */
  readonly grams: number;
  /** True where the words hold the ingredient already ("4 large eggs"). */
  readonly namesIt: boolean;
}

const GRAMS_PER_OUNCE = 28.349523125;
const OUNCES_PER_POUND = 16;
/** Below this a kitchen scale in whole grams says little: a spoon is given beside or instead [g]. */
const SPOON_BELOW_GRAMS = 15;

/**
 * A weight in the reader's measures, rounded as a reader can measure it.
 *
 * Eggs are counted where the count is near a whole or half number of eggs of the grade; small weights are spoons where a density is
 * sourced; cups only where one is. What cannot be measured by volume without a guess stays in weight.
 *
 * @param grams  above 0
 */
export function readerAmount(
  grams: number,
  ingredient: Ingredient | undefined,
  measures: ReaderMeasures,
  egg: EggGrade,
): ReaderAmount {
  const counted = eggsFor(grams, ingredient, egg);
  if (counted !== undefined) return counted;
  const density = densityOf(ingredient);
  if (measures === "metric") return metricAmount(grams, density);
  if (measures === "imperial") return imperialAmount(grams, density);
  return usAmount(grams, density, ingredient);
}

function metricAmount(grams: number, density: number | undefined): ReaderAmount {
  const rounded =
    grams < 10 ? Math.max(0.5, Math.round(grams * 2) / 2) : grams < 100 ? Math.round(grams) : Math.round(grams / 5) * 5;
  if (grams < SPOON_BELOW_GRAMS && density !== undefined) {
    // The spoon is what most readers use; the weight stays for those who have a fine scale.
    const spoon = householdAmount(grams / density, "metric");
    if (Math.abs(spoon.differencePercent) <= 15)
      return { text: `${spoon.text} (${formatGrams(rounded)})`, grams: spoon.millilitres * density, namesIt: false };
  }
  return { text: formatGrams(rounded), grams: rounded, namesIt: false };
}

function imperialAmount(grams: number, density: number | undefined): ReaderAmount {
  if (grams < SPOON_BELOW_GRAMS && density !== undefined) return spoons(grams, density, "metric");
  const ounces = grams / GRAMS_PER_OUNCE;
  const step = ounces < 8 ? 0.25 : 0.5;
  const rounded = Math.max(0.25, Math.round(ounces / step) * step);
  const [pounds, rest] = [Math.floor(rounded / OUNCES_PER_POUND), rounded % OUNCES_PER_POUND];
  const text = pounds === 0 ? `${formatFraction(rest)} oz` : `${pounds} lb${rest === 0 ? "" : ` ${formatFraction(rest)} oz`}`;
  return { text, grams: rounded * GRAMS_PER_OUNCE, namesIt: false };
}

function usAmount(grams: number, density: number | undefined, ingredient: Ingredient | undefined): ReaderAmount {
  const stick = ingredient?.role === "fat" && /butter|margarine/.test(ingredient.id) ? grams / STICK_GRAMS : undefined;
  if (stick !== undefined && stick >= 0.4) {
    const halves = Math.round(stick * 2) / 2;
    if (halves > 0 && Math.abs(halves / stick - 1) < 0.03) {
      return {
        text: `${formatFraction(halves)} ${halves <= 1 ? "stick" : "sticks"}`,
        grams: halves * STICK_GRAMS,
        namesIt: false,
      };
    }
  }
  if (density === undefined) return imperialAmount(grams, undefined);
  return spoons(grams, density, "us");
}

const STICK_GRAMS = 4 * GRAMS_PER_OUNCE;

function spoons(grams: number, density: number, system: "us" | "metric"): ReaderAmount {
  const { text, millilitres } = householdAmount(grams / density, system);
  return { text, grams: millilitres * density, namesIt: false };
}

/** "4 large eggs", "3 egg yolks": where the weight is within a tenth of an egg of a whole or half number. */
function eggsFor(grams: number, ingredient: Ingredient | undefined, grade: EggGrade): ReaderAmount | undefined {
  if (ingredient?.role !== "egg" || /dried|pasteurised|duck/.test(ingredient.id)) return undefined;
  const parts = eggParts(grade);
  const isWhite = ingredient.id.startsWith("egg-white");
  const isYolk = ingredient.id.startsWith("egg-yolk");
  const each = isWhite ? parts.whiteGrams : isYolk ? parts.yolkGrams : parts.edibleGrams;
  const count = Math.round(grams / each);
  if (count < 1 || Math.abs(count * each - grams) > 0.15 * each) return undefined;
  const size = GRADE_WORDS[grade.grade] ?? grade.grade;
  const part = isWhite ? "egg white" : isYolk ? "egg yolk" : "egg";
  return {
    text: `${count} ${size} ${part}${count === 1 ? "" : "s"} (${formatGrams(Math.round(count * each))})`,
    grams: count * each,
    namesIt: true,
  };
}

const GRADE_WORDS: Readonly<Record<string, string>> = {
  S: "small",
  M: "medium",
  L: "large",
  XL: "very large",
  "extra-large": "extra large",
};

/** Grams per millilitre, from a density or from the weight of a US cup that a table prints. */
function densityOf(ingredient: Ingredient | undefined): number | undefined {
  if (ingredient === undefined) return undefined;
  if (ingredient.densityGPerMl.known) return ingredient.densityGPerMl.value;
  const cup = ingredient.householdWeights.find(({ measure, amount }) => /^cup\b/.test(measure) && amount > 0);
  return cup === undefined ? undefined : cup.grams / cup.amount / householdMillilitres("cup", "us");
}
