import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to", () => {
  expect(Object.keys(api).toSorted()).toEqual([
    "breakEvenItems",
    "compareCosts",
    "comparePrices",
    "costBatch",
    "formatMoney",
    "marginFromMarkUp",
    "markUpFromMargin",
    "minorPerMajor",
    "ovenEnergy",
    "packOn",
    "priceHistory",
    "priceListFor",
    "priceReport",
    "priceRise",
    "priceWaterfall",
    "readPriceDocument",
    "readPriceList",
    "roundToMinor",
    "sellingPrice",
    "withPrices",
    "writePriceList",
  ]);
});
