import { type LabelLayout, type SheetGrid, sheetGrid } from "@evencrumb/core/label";
import { z } from "@hono/zod-openapi";
import type { LabelPrintOptions } from "./print/labelPdf.js";

/** More than any label holds, and little enough to draw in a moment. */
const ITEMS_MAX = 3000;
/** Labels of one request; more would be a job for a printing house. */
const LABELS_MAX = 500;
/** Drawn pieces of a whole request. */
const DRAWN_MAX = 60_000;

const mm = (least: number, most: number) => z.number().min(least).max(most).openapi({ description: "mm" });
const place = mm(-100, 2000);
const item = z.discriminatedUnion("kind", [
  z.object({
    kind: z.literal("text"),
    xMm: place,
    baselineMm: place,
    sizeMm: mm(0.2, 100),
    isBold: z.boolean(),
    text: z.string().max(2000),
  }),
  z.object({
    kind: z.literal("box"),
    xMm: place,
    yMm: place,
    widthMm: mm(0, 2000),
    heightMm: mm(0, 2000),
    // A colour goes into the drawing as it stands.
    fill: z.string().regex(/^#[0-9a-f]{3}(?:[0-9a-f]{3})?$/i),
  }),
]);

const layout = z.object({
  widthMm: mm(15, 600),
  heightMm: mm(15, 2000),
  items: z.array(item).max(ITEMS_MAX).readonly(),
});

const sheet = z.object({
  pageWidthMm: mm(15, 1200),
  pageHeightMm: mm(15, 2000),
  rows: z.int().min(1).max(50),
  columns: z.int().min(1).max(50),
  labelWidthMm: mm(15, 600),
  labelHeightMm: mm(15, 2000),
  marginLeftMm: mm(0, 1200),
  marginTopMm: mm(0, 2000),
  gapAcrossMm: mm(0, 200),
  gapDownMm: mm(0, 200),
});

/** A label as `layoutLabel` of core sets it, alone or on sheets. */
export const LabelPrintSchema = z
  .object({
    layout,
    title: z.string().max(300),
    language: z.string().regex(/^[a-z]{2}(?:-[A-Z]{2})?$/),
    author: z.string().max(300).optional(),
    sheet: sheet.optional(),
    skip: z.int().min(0).max(2499).optional(),
    count: z.int().min(1).max(LABELS_MAX).optional(),
  })
  .superRefine(({ layout, sheet, skip = 0, count }, context) => {
    const refuse = (path: string, message: string) => void context.addIssue({ code: "custom", path: [path], message });
    if (sheet === undefined) {
      if (layout.items.length * (count ?? 1) > DRAWN_MAX) refuse("count", "fewer labels at once");
      return;
    }
    try {
      sheetGrid(sheet);
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      refuse("sheet", error.message.replace(/^sheetGrid: /, ""));
      return;
    }
    if (layout.widthMm > sheet.labelWidthMm + 1e-6 || layout.heightMm > sheet.labelHeightMm + 1e-6)
      refuse("sheet", `labels of at least ${layout.widthMm} × ${layout.heightMm} mm`);
    if (skip >= sheet.rows * sheet.columns) refuse("skip", "fewer labels taken than the sheet holds");
    const labels = count ?? sheet.rows * sheet.columns - skip;
    if (labels > LABELS_MAX || layout.items.length * labels > DRAWN_MAX) refuse("count", "fewer labels at once");
  })
  .openapi("LabelPrint");

/** What the schema lets through, as the print takes it. What is not printed (the checks of the layout) is left out. */
export function asLabelPrint(body: z.output<typeof LabelPrintSchema>): {
  readonly layout: LabelLayout;
  readonly options: LabelPrintOptions;
} {
  const { layout, sheet, title, language, author, skip, count } = body;
  return {
    layout: { ...layout, sizeMm: 0, xHeightMm: 0, leastXHeightMm: 0, fits: true, problems: [] },
    options: {
      title,
      language,
      ...(author === undefined ? {} : { author }),
      ...(sheet === undefined ? {} : { sheet: sheet satisfies SheetGrid }),
      ...(skip === undefined ? {} : { skip }),
      ...(count === undefined ? {} : { count }),
    },
  };
}
