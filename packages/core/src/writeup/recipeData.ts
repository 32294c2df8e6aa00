import type { Composition, Total } from "../composition/index.js";
import type { WriteUp } from "./writeUp.js";

/**
 * The write-up as schema.org Recipe data (JSON-LD).
 *
 * Properties and types as the vocabulary defines them: ingredients as lines, instructions as sections of steps, times as ISO 8601
 * durations, nutrition as text with its unit. What is not known is left out: there is no total time, because the hands-on time is
 * not in a formula.
 *
 * @param finished  composition of the finished product, for the nutrition of a portion; a figure that is not known is left out
 * Source: https://schema.org/Recipe (vocabulary, release 28.0).
 */
export function recipeData(text: WriteUp, finished?: Composition): object {
  const bakeMinutes = text.parts.reduce((sum, { oven }) => sum + (oven?.likelyMinutes ?? 0), 0);
  const tins = text.parts.flatMap((part) => part.tins);
  return {
    "@context": "https://schema.org",
    "@type": "Recipe",
    name: text.title,
    inLanguage: text.measures === "us" ? "en-US" : "en-GB",
    recipeCategory: "Cake",
    ...(text.intro === undefined ? {} : { description: text.intro }),
    ...(text.author === undefined ? {} : { author: { "@type": "Organization", name: text.author } }),
    ...(text.date === undefined ? {} : { datePublished: text.date }),
    ...(text.portions === undefined ? {} : { recipeYield: `${text.portions} ${text.portions === 1 ? "portion" : "portions"}` }),
    ...(bakeMinutes > 0 ? { cookTime: isoDuration(bakeMinutes), cookingMethod: "Baking" } : {}),
    ...(tins.length === 0 ? {} : { tool: tins.map((name) => ({ "@type": "HowToTool", name })) }),
    recipeIngredient: text.parts.flatMap(({ ingredients }) => ingredients.map((line) => line.text)),
    recipeInstructions: text.parts
      .filter(({ steps }) => steps.length > 0)
      .map(({ name, steps }) => ({
        "@type": "HowToSection",
        name,
        itemListElement: steps.map((step) => ({ "@type": "HowToStep", text: step })),
      })),
    ...nutritionOf(text, finished),
  };
}

/** ISO 8601 duration of whole minutes, one at least: "PT1H20M". */
export function isoDuration(minutes: number): string {
  const whole = Math.max(1, Math.round(minutes));
  const [hours, rest] = [Math.floor(whole / 60), whole % 60];
  return `PT${hours > 0 ? `${hours}H` : ""}${rest > 0 || hours === 0 ? `${rest}M` : ""}`;
}

function nutritionOf({ portions }: WriteUp, finished: Composition | undefined): object {
  if (finished === undefined || portions === undefined || !(finished.totalGrams > 0)) return {};
  const { totals, totalGrams } = finished;
  // A total with a figure missing is a lower bound: it is not printed as the whole.
  const portion = ({ amount, missing }: Total) => (missing.length > 0 ? undefined : amount / portions);
  const grams = (total: Total) => {
    const amount = portion(total);
    return amount === undefined ? undefined : `${Number(Math.max(0, amount).toFixed(1))} g`;
  };
  const energy = portion(totals.energyKcal);
  const figures = {
    calories: energy === undefined ? undefined : `${Math.round(energy)} calories`,
    fatContent: grams(totals.fat),
    saturatedFatContent: grams(totals.saturates),
    // The label's carbohydrate: without the fibre, which the tables' "by difference" holds.
    carbohydrateContent:
      totals.fibre.missing.length > 0
        ? undefined
        : grams({ ...totals.carbohydrate, amount: totals.carbohydrate.amount - totals.fibre.amount }),
    sugarContent: grams(totals.sugars),
    fiberContent: grams(totals.fibre),
    proteinContent: grams(totals.protein),
  };
  const known = Object.entries(figures).filter(([, value]) => value !== undefined);
  if (known.length === 0) return {};
  return {
    nutrition: {
      "@type": "NutritionInformation",
      servingSize: `1 portion (${Math.round(totalGrams / portions)} g)`,
      ...Object.fromEntries(known),
    },
  };
}
