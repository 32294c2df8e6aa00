import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to export", () => {
  expect(Object.keys(api).sort()).toEqual(
    [
      "CAKE_FAMILIES",
      "RATIO_NAMES",
      "SERVING_TEMPERATURES_C",
      "SOLID_FAT_CURVES",
      "amountsIn",
      "balanceOf",
      "composeFormula",
      "composeFurther",
      "composePart",
      "energyOf",
      "missingFigures",
      "per100g",
      "perPortion",
      "setTemperature",
      "softnessOf",
      "solidShare",
      "sugarInWater",
      "summariseAllergens",
    ].sort(),
  );
});
