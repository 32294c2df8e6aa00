import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what others rely on, and nothing by accident", () => {
  expect(Object.keys(api).sort()).toEqual([
    "batchSheet",
    "batchSheetHtml",
    "benchCautions",
    "consequences",
    "driversOf",
    "sheetGrams",
    "sheetScale",
    "targetWords",
  ]);
});
