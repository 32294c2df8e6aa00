import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what others rely on, and nothing by accident", () => {
  expect(Object.keys(api).sort()).toEqual([
    "BATTER_DENSITIES",
    "FULLEST_SHARE",
    "TIN_FINISHES",
    "TIN_MATERIALS",
    "USUAL_FILL_SHARE",
    "USUAL_WALLS",
    "batterDensity",
    "batterFamily",
    "batterVolumeMl",
    "cavityCount",
    "compareTins",
    "effectiveShape",
    "fillDepth",
    "filledTin",
    "fillingCautions",
    "formatTin",
    "geometricCapacityMl",
    "makeTin",
    "parseTin",
    "parseTins",
    "readTinsFor",
    "refillTins",
    "resolveTin",
    "scaleToTins",
    "shareOut",
    "tinCapacityMl",
    "tinComponent",
    "tinDepthMm",
    "tinFilling",
    "tinsOf",
    "volumeAtDepth",
  ]);
});
