export { type AppOptions, ARCHIVE_REQUEST_BYTES_MAX, createApp, REQUEST_BYTES_MAX } from "./app.js";
export { bakeryKinds } from "./kinds.js";
export type { PrintOptions } from "./print/batchSheetPdf.js";
export type { LabelPrintOptions } from "./print/labelPdf.js";
export { labelFontCss, renderAllergensPdf, renderBatchSheetPdf, renderLabelPdf, renderWriteUpPdf } from "./printing.js";
export type { ProblemDetails, ProblemDetailsCode } from "./problem.js";
export type { KeepBackup } from "./routes/copy.js";
export { type RunningServer, type ServerOptions, startServer } from "./startServer.js";
