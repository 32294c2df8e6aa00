import type { AllergenMatrix, LabelLayout } from "@evencrumb/core/label";
import type { BatchSheet } from "@evencrumb/core/plan";
import type { WriteUp } from "@evencrumb/core/writeup";
import type { PrintOptions } from "./print/batchSheetPdf.js";
import type { LabelPrintOptions } from "./print/labelPdf.js";

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

/** A label as a PDF at true size; see `print/labelPdf.ts`. */
export async function renderLabelPdf(layout: LabelLayout, options: LabelPrintOptions): Promise<Uint8Array> {
  const { renderLabelPdf: render } = await import("./print/labelPdf.js");
  return render(layout, options);
}

/** The allergens of all products as a PDF; see `print/allergensPdf.ts`. */
export async function renderAllergensPdf(matrix: AllergenMatrix, options: { readonly madeAt?: Date } = {}): Promise<Uint8Array> {
  const { renderAllergensPdf: render } = await import("./print/allergensPdf.js");
  return render(matrix, options);
}

/** Style rules that carry the typeface of labels, for an SVG that has to look alike on every machine. */
export async function labelFontCss(): Promise<string> {
  const [{ readFile }, { createRequire }] = await Promise.all([import("node:fs/promises"), import("node:module")]);
  const files = createRequire(import.meta.url);
  const faces = [400, 700].flatMap((weight) =>
    // The wider set first: a page takes a letter from the last face that claims it.
    (["latin-ext", "latin"] as const).map(async (set) => {
      const data = await readFile(files.resolve(`@fontsource/figtree/files/figtree-${set}-${weight}-normal.woff2`));
      const range = set === "latin" ? "" : ";unicode-range:U+0100-02BA,U+1E00-1EFF,U+2C60-2C7F,U+A720-A7FF";
      return `@font-face{font-family:Figtree;font-weight:${weight};src:url(data:font/woff2;base64,${data.toString("base64")})${range}}`;
    }),
  );
  return (await Promise.all(faces)).join("");
}
