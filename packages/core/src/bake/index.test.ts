import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports these, and a new one is a decision", () => {
  expect(Object.keys(api).sort()).toEqual([
    "BAD_RECORD_DEVIATIONS",
    "BAKE_SPREADS",
    "DEFAULT_MOIST",
    "EQUAL_WEIGHTS_BATTER",
    "OVEN_PRIOR",
    "RECORD_SPREADS",
    "bakeDraws",
    "bakeInOtherTins",
    "bakeOfComponent",
    "batterFromComposition",
    "boilingPoint",
    "calibrate",
    "checkBakeRequest",
    "decimalReductionSeconds",
    "explainPositions",
    "gatherBakeBands",
    "logReductions",
    "ovenRecordOf",
    "ovenSchedule",
    "parseOven",
    "predictBake",
    "pressureAtAltitude",
    "readBakeCase",
    "readBakeRecord",
    "readOvenDocument",
    "runBakeDraws",
    "saturationPressure",
    "solveCase",
  ]);
});
