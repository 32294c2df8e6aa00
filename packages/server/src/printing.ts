import type { BatchSheet } from "@evencrumb/core/plan";
import type { WriteUp } from "@evencrumb/core/writeup";
import type { PrintOptions } from "./print/batchSheetPdf.js";

/**
 * The batch sheet as a PDF; see `print/batchSheetPdf.ts`. The layout engine is loaded at the first print, because nothing else
 * needs it and everything else starts faster without.
 */
export async function renderBatchSheetPdf(sheet: BatchSheet, options: PrintOptions = {}): Promise<Uint8Array> {
  const { renderBatchSheetPdf: render } = await import("./print/batchSheetPdf.js");
  return render(sheet, options);
}

/** The write-up as a PDF; see `print/writeUpPdf.ts`. */
export async function renderWriteUpPdf(text: WriteUp, options: PrintOptions = {}): Promise<Uint8Array> {
  const { renderWriteUpPdf: render } = await import("./print/writeUpPdf.js");
  return render(text, options);
}
