import { readdirSync, readFileSync } from "node:fs";
import { expect, it } from "vitest";
import { composeFormula } from "../composition/index.js";
import { parseFormulaFile } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { READER_MEASURES } from "./amounts.js";
import { isoDuration, recipeData } from "./recipeData.js";
import { writeUp } from "./writeUp.js";

/*
 * Published: the types, properties and expected types of the schema.org vocabulary, release 28.0 (Recipe and HowTo rows of its table of
 * types seen; NutritionInformation from third-party pages that list it; the other names and expected types from memory). Only what
 * recipe data need; a property that is not in this table is a mistake.
 */
type Kind = "Text" | "Duration" | "Date" | "Energy" | "Mass" | "Language" | readonly string[];
const VOCABULARY: Readonly<Record<string, Readonly<Record<string, Kind>>>> = {
  Recipe: {
    name: "Text",
    description: "Text",
    inLanguage: "Language",
    author: ["Organization", "Person"],
    datePublished: "Date",
    recipeYield: "Text",
    recipeCategory: "Text",
    recipeCuisine: "Text",
    cookingMethod: "Text",
    cookTime: "Duration",
    prepTime: "Duration",
    performTime: "Duration",
    totalTime: "Duration",
    recipeIngredient: "Text",
    recipeInstructions: ["HowToSection", "HowToStep", "ItemList"],
    tool: ["HowToTool"],
    nutrition: ["NutritionInformation"],
  },
  HowToSection: { name: "Text", itemListElement: ["HowToStep", "HowToDirection", "HowToTip"], text: "Text", position: "Text" },
  HowToStep: { name: "Text", text: "Text", position: "Text", itemListElement: ["HowToDirection", "HowToTip"] },
  HowToTool: { name: "Text", requiredQuantity: "Text" },
  Organization: { name: "Text", url: "Text" },
  Person: { name: "Text", url: "Text" },
  NutritionInformation: {
    servingSize: "Text",
    calories: "Energy",
    carbohydrateContent: "Mass",
    cholesterolContent: "Mass",
    fatContent: "Mass",
    fiberContent: "Mass",
    proteinContent: "Mass",
    saturatedFatContent: "Mass",
    sodiumContent: "Mass",
    sugarContent: "Mass",
    transFatContent: "Mass",
    unsaturatedFatContent: "Mass",
  },
};

/** schema.org: Energy and Mass are "<Number> <unit>"; Duration and Date as ISO 8601; Language as IETF BCP 47. */
const FORMS: Readonly<Record<string, RegExp>> = {
  Text: /\S/,
  Duration: /^PT(?=\d)(\d+H)?(\d+M)?$/,
  Date: /^\d{4}-\d{2}-\d{2}$/,
  Energy: /^\d+(\.\d+)? (calories|kcal|kJ)$/,
  Mass: /^\d+(\.\d+)? (g|mg)$/,
  Language: /^[a-z]{2}(-[A-Z]{2})?$/,
};

/** What of a node is not as the vocabulary has it: nothing, when all is well. */
function faultsOf(node: unknown, at = "Recipe"): readonly string[] {
  if (typeof node !== "object" || node === null) return [`${at}: not a node`];
  const { "@type": type, "@context": context, ...properties } = node as Record<string, unknown>;
  const known = VOCABULARY[String(type)];
  if (known === undefined) return [`${at}: no type "${String(type)}"`];
  const faults: string[] = context === undefined || context === "https://schema.org" ? [] : [`${at}: context ${String(context)}`];
  for (const [name, value] of Object.entries(properties)) {
    const kind = known[name];
    if (kind === undefined) faults.push(`${at}: ${String(type)} has no property "${name}"`);
    else {
      for (const [index, one] of [value].flat().entries()) {
        const place = `${at}.${name}[${index}]`;
        if (typeof kind === "string") {
          if (typeof one !== "string" || !FORMS[kind]!.test(one)) faults.push(`${place}: ${JSON.stringify(one)} is no ${kind}`);
        } else if (!kind.includes(String((one as Record<string, unknown> | null)?.["@type"])))
          faults.push(`${place}: not of ${kind.join(", ")}`);
        else faults.push(...faultsOf(one, place));
      }
    }
  }
  return faults;
}

it("the checker itself finds what is wrong", () => {
  const bad = {
    "@type": "Recipe",
    cookTime: "20 minutes",
    ingredients: ["flour"],
    nutrition: { "@type": "NutritionInformation", calories: 300 },
  };
  expect(faultsOf(bad)).toEqual([
    'Recipe.cookTime[0]: "20 minutes" is no Duration',
    'Recipe: Recipe has no property "ingredients"',
    "Recipe.nutrition[0].calories[0]: 300 is no Energy",
  ]);
});

const folder = new URL("../../../../examples/formulas/", import.meta.url);
it.each(readdirSync(folder).filter((file) => file.endsWith(".yaml")))(
  "%s gives recipe data as the vocabulary has them",
  (file) => {
    const formula = parseFormulaFile(readFileSync(new URL(file, folder), "utf8")).value!;
    const book = createIngredientBook(formula.ingredients ?? []);
    for (const measures of READER_MEASURES) {
      const text = writeUp(formula, book, { measures, author: "Millrace Yard", date: "2026-05-02" });
      const data = JSON.parse(JSON.stringify(recipeData(text, composeFormula(formula, book).product.finished))) as Record<
        string,
        unknown
      >;
      expect(faultsOf(data)).toEqual([]);
      expect(data.recipeIngredient).toEqual(text.parts.flatMap(({ ingredients }) => ingredients.map((line) => line.text)));
    }
  },
);

it("gives a portion's nutrition by hand-worked arithmetic, and leaves out what is not known", () => {
  const book = createIngredientBook();
  // 100 g caster sugar into two portions of 50 g: 50 g sugars each, no fat.
  const formula = {
    name: "Sugar",
    portions: 2,
    components: [
      { name: "Sugar", kind: "other" as const, stages: [{ name: "Weigh", uses: [{ ingredient: "caster-sugar", grams: 100 }] }] },
    ],
  };
  const text = writeUp(formula, book, { measures: "metric" });
  const { finished } = composeFormula(formula, book).product;
  const { nutrition } = recipeData(text, finished) as { nutrition: Record<string, string> };
  expect(nutrition.servingSize).toBe("1 portion (50 g)");
  expect(Number.parseFloat(nutrition.sugarContent!)).toBeGreaterThan(49);
  expect(Number.parseFloat(nutrition.fatContent!)).toBeLessThan(0.3);
  const unknown = {
    ...formula,
    components: [{ ...formula.components[0]!, stages: [{ name: "Weigh", uses: [{ ingredient: "moon-dust", grams: 100 }] }] }],
  };
  const dust = recipeData(writeUp(unknown, book, { measures: "metric" }), composeFormula(unknown, book).product.finished);
  expect(dust).not.toHaveProperty("nutrition");
});

it("writes durations as ISO 8601 does", () => {
  expect([0.2, 20, 60, 80, 150].map(isoDuration)).toEqual(["PT1M", "PT20M", "PT1H", "PT1H20M", "PT2H30M"]);
});
