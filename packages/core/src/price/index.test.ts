import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to", () => {
  expect(Object.keys(api).toSorted()).toEqual([
    "COST_KINDS",
    "COST_KIND_WORDS",
    "PRICE_LIST_COLUMNS",
    "addPrices",
    "breakEvenItems",
    "compareCosts",
    "comparePrices",
    "costBatch",
    "costByKind",
    "formatMoney",
    "marginFromMarkUp",
    "markUpFromMargin",
    "minorPerMajor",
    "ovenEnergy",
    "packOn",
    "predictedEnergyKwh",
    "priceHistory",
    "priceListFor",
    "priceReport",
    "priceRise",
    "priceWaterfall",
    "readKeptPrices",
    "readPriceDocument",
    "readPriceList",
    "riseAcross",
    "roundToMinor",
    "sellingPrice",
    "waterfallPicture",
    "waterfallSvg",
    "waterfallWords",
    "withPrices",
    "writePriceList",
  ]);
});
