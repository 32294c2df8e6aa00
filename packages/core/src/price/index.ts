export { type CostChange, compareCosts, priceWaterfall, type WaterfallBar } from "./compareCosts.js";
export { type BatchCost, type CostKind, type CostLine, costBatch, type PriceRise, priceRise } from "./cost.js";
export { formatMoney, type Money, minorPerMajor, roundToMinor } from "./money.js";
export { type OvenEnergy, type OvenUse, ovenEnergy } from "./ovenEnergy.js";
export { type PriceInputs, packOn } from "./priceInputs.js";
export {
  type PriceEntry,
  type PricePoint,
  priceHistory,
  priceListFor,
  readPriceList,
  withPrices,
  writePriceList,
} from "./priceList.js";
export { comparePrices, type PriceReport, priceReport } from "./priceReport.js";
export { type PriceDocument, readPriceDocument } from "./readPriceDocument.js";
export {
  breakEvenItems,
  marginFromMarkUp,
  markUpFromMargin,
  type PriceRule,
  type PriceSettings,
  type SellingPrice,
  sellingPrice,
} from "./sellingPrice.js";
