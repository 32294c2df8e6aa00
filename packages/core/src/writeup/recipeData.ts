import type { Composition } from "../composition/index.js";
import { per100g } from "../composition/index.js";
import type { Formula } from "../formula/index.js";
import { bakeLine } from "./renderText.js";
import type { WriteUp } from "./writeUp.js";

/**
 * The write-up as schema.org Recipe data (JSON-LD).
 *
 * Properties and types as the vocabulary defines them: recipeIngredient and recipeInstructions as lists, times as ISO 8601
 * durations, nutrition as NutritionInformation with its text forms. What is not known is left out.
 *
 * @param finished  composition of the finished product, for the nutrition of a portion
 * Source: https://schema.org/Recipe (vocabulary, version 28).
 */
export function recipeData(text: WriteUp, formula: Formula, finished?: Composition): object {
  const bakeMinutes = formula.components.reduce((sum, { bake }) => sum + (bake?.minutes ?? 0), 0);
  const portionGrams = finished === undefined || text.portions === undefined ? undefined : finished.totalGrams / text.portions;
  const hundred = finished === undefined ? null : per100g(finished);
  const portion = (amount: number) => `${Number(((amount * portionGrams!) / 100).toFixed(1))} g`;
  return {
    "@context": "https://schema.org",
    "@type": "Recipe",
    name: text.title,
    ...(text.intro === undefined ? {} : { description: text.intro }),
    ...(text.author === undefined ? {} : { author: { "@type": "Person", name: text.author } }),
    ...(text.date === undefined ? {} : { datePublished: text.date }),
    ...(text.portions === undefined ? {} : { recipeYield: `${text.portions} portions` }),
    ...(bakeMinutes === 0 ? {} : { cookTime: isoDuration(bakeMinutes) }),
    ...(text.minutesTotal === undefined ? {} : { totalTime: isoDuration(text.minutesTotal) }),
    recipeIngredient: text.parts.flatMap(({ ingredients }) => ingredients.map((line) => line.text)),
    recipeInstructions: text.parts.map((part) => ({
      "@type": "HowToSection",
      name: part.name,
      itemListElement: [...part.steps, ...(part.oven === undefined ? [] : [bakeLine(part.oven)])].map((step) => ({
        "@type": "HowToStep",
        text: step,
      })),
    })),
    ...(hundred === null || portionGrams === undefined
      ? {}
      : {
          nutrition: {
            "@type": "NutritionInformation",
            servingSize: `1 portion (${Math.round(portionGrams)} g)`,
            calories: `${Math.round((hundred.energyKcal * portionGrams) / 100)} calories`,
            fatContent: portion(hundred.fatGrams),
            saturatedFatContent: portion(hundred.saturatesGrams),
            carbohydrateContent: portion(hundred.carbohydrateGrams),
            sugarContent: portion(hundred.sugarsGrams),
            proteinContent: portion(hundred.proteinGrams),
          },
        }),
  };
}

/** ISO 8601 duration of whole minutes: "PT1H20M". */
export function isoDuration(minutes: number): string {
  const whole = Math.max(1, Math.round(minutes));
  const [hours, rest] = [Math.floor(whole / 60), whole % 60];
  return `PT${hours > 0 ? `${hours}H` : ""}${rest > 0 || hours === 0 ? `${rest}M` : ""}`;
}
