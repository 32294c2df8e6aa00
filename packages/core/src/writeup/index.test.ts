import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what others rely on, and nothing by accident", () => {
  expect(Object.keys(api).sort()).toEqual([
    "READER_MEASURES",
    "ROUNDING_TOLERANCE",
    "allergenSentences",
    "factsOf",
    "forReader",
    "heldTogether",
    "importRecipe",
    "importedFormula",
    "isRecipeData",
    "isoDuration",
    "readerAmount",
    "readerBakeTime",
    "readerOven",
    "readerTin",
    "recipeData",
    "takeCare",
    "writeUp",
    "writeUpBatch",
    "writeUpHtml",
    "writeUpMarkdown",
    "writeUpText",
  ]);
});
