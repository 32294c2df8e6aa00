import { expect, it } from "vitest";
import * as api from "./index.js";

it("exports what was decided, and nothing by accident", () => {
  expect(Object.keys(api).sort()).toEqual([
    "ARCHIVE_REQUEST_BYTES_MAX",
    "REQUEST_BYTES_MAX",
    "bakeryKinds",
    "createApp",
    "labelFontCss",
    "renderAllergensPdf",
    "renderBatchSheetPdf",
    "renderLabelPdf",
    "renderWriteUpPdf",
    "startServer",
  ]);
});
