import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to export", () => {
  expect(Object.keys(api).sort()).toEqual(
    [
      "CAKE_FAMILIES",
      "RATIO_NAMES",
      "amountsIn",
      "balanceOf",
      "composeFormula",
      "composePart",
      "energyOf",
      "missingFigures",
      "per100g",
      "perPortion",
      "setTemperature",
      "sugarInWater",
      "summariseAllergens",
    ].sort(),
  );
});
