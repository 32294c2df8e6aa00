import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to", () => {
  expect(Object.keys(api).toSorted()).toEqual([
    "breakEvenItems",
    "compareCosts",
    "costBatch",
    "formatMoney",
    "marginFromMarkUp",
    "markUpFromMargin",
    "minorPerMajor",
    "packOn",
    "priceRise",
    "priceWaterfall",
    "readPriceList",
    "roundToMinor",
    "sellingPrice",
    "writePriceList",
  ]);
});
