export { type CostChange, compareCosts } from "./compareCosts.js";
export {
  type BatchCost,
  COST_KIND_WORDS,
  COST_KINDS,
  type CostKind,
  type CostLine,
  costBatch,
  costByKind,
} from "./cost.js";
export { addPrices, readKeptPrices } from "./keptPrices.js";
export { formatMoney, type Money, minorPerMajor, roundToMinor } from "./money.js";
export { type OvenEnergy, type OvenUse, ovenEnergy, predictedEnergyKwh } from "./ovenEnergy.js";
export { type PricePoint, priceHistory } from "./priceHistory.js";
export { priceInMinor } from "./priceInMinor.js";
export { type PriceInputs, packOn } from "./priceInputs.js";
export {
  PRICE_LIST_COLUMNS,
  type PriceEntry,
  priceListFor,
  readPriceList,
  withPrices,
  writePriceList,
} from "./priceList.js";
export { comparePrices, type PriceReport, priceReport, taxCaution } from "./priceReport.js";
export { type PricedProduct, type PriceRise, priceRise, type RiseEffect, riseAcross } from "./priceRise.js";
export { type PriceDefaults, type PriceDocument, readPriceDocument } from "./readPriceDocument.js";
export {
  breakEvenItems,
  marginFromMarkUp,
  markUpFromMargin,
  type PriceRule,
  type PriceSettings,
  type SellingPrice,
  sellingPrice,
} from "./sellingPrice.js";
export { priceWaterfall, type WaterfallBar } from "./waterfall.js";
export { type WaterfallPicture, type WaterfallRow, waterfallPicture, waterfallSvg, waterfallWords } from "./waterfallPicture.js";
