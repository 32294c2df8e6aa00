import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what it means to export", () => {
  expect(Object.keys(api).sort()).toEqual(
    [
      "RELATIVE_SWEETNESS",
      "SWAPS",
      "demandWords",
      "lpText",
      "measureWords",
      "objectiveOf",
      "offeredSwap",
      "polishQuadratic",
      "rebalance",
      "solverFromHighs",
    ].sort(),
  );
});
