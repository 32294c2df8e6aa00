import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to export", () => {
  expect(Object.keys(api).sort()).toEqual(
    [
      "CHILLED_DAYS",
      "FLOUR_ISOTHERM",
      "SATURATED_SALTS",
      "SOLUTES",
      "acidityOf",
      "assembleCake",
      "bentDemandOf",
      "coolingVerdict",
      "coverNeeds",
      "heldWater",
      "keepFormula",
      "moistureBetweenLayers",
      "moistureInCake",
      "mouldFreeLife",
      "norrish",
      "saltOsmoticCoefficient",
      "saltWaterActivity",
      "saturatedSaltHumidity",
      "setTemperatureDemand",
      "solidFatDemand",
      "solutionActivity",
      "spreadDensity",
      "storageClass",
      "storagePlan",
      "sucroseSolubility",
      "waterActivity",
      "waterActivityDemand",
      "waterPhaseOf",
      "whippingVerdict",
    ].sort(),
  );
});
