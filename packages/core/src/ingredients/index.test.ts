import { expect, it } from "vitest";
import * as api from "./index.js";

it("shows these names and no others", () => {
  expect(Object.keys(api).sort()).toEqual([
    "ALLERGENS",
    "ALLERGEN_KINDS",
    "ALLERGEN_WORDS",
    "ENERGY_FACTORS",
    "FOOD_TABLES",
    "FURTHER_NUTRIENTS",
    "FURTHER_WORDS",
    "NUTRIENTS",
    "ROLES",
    "compoundIngredient",
    "createIngredientBook",
    "displayName",
    "formatAllergen",
    "furtherFigure",
    "furtherStatedOf",
    "hasAllergen",
    "ingredientFromPacket",
    "pricePerKgMinor",
    "readCommonName",
    "readIngredient",
    "searchIngredients",
    "standardIngredients",
    "stateFurther",
    "summariseAllergens",
    "uniteAllergens",
  ]);
});
