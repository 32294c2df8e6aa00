import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import type { Context } from "hono";
import { AllergensPrintSchema, asMatrix } from "../allergensPrintSchema.js";
import { asLabelPrint, LabelPrintSchema } from "../labelPrintSchema.js";
import { renderAllergensPdf, renderBatchSheetPdf, renderLabelPdf, renderWriteUpPdf } from "../printing.js";
import { asBatchSheet, BatchSheetSchema } from "../printSchema.js";
import { asWriteUp, WriteUpPrintSchema } from "../writeUpPrintSchema.js";
import { jsonBody, problem } from "./parts.js";

const pdfRoute = <Schema extends z.ZodType>(name: string, summary: string, schema: Schema) =>
  createRoute({
    method: "post",
    path: `/api/print/${name}`,
    summary,
    request: { body: jsonBody(schema) },
    responses: {
      200: { description: "The page", content: { "application/pdf": { schema: z.string().openapi({ format: "binary" }) } } },
      default: problem,
    },
  });

const sheetRoute = pdfRoute("batch-sheet", "A batch sheet as a PDF, ready for the printer", BatchSheetSchema);
const labelRoute = pdfRoute("label", "A label as a PDF at true size, alone or on sheets", LabelPrintSchema);
const writeUpRoute = pdfRoute("write-up", "A recipe for readers as a PDF", WriteUpPrintSchema);
const allergensRoute = pdfRoute("allergens", "The allergens of all products as a PDF", AllergensPrintSchema);

/** Sheets on paper. What is printed was worked out by the one who asks: the server only sets it. */
export function addPrintRoutes(app: OpenAPIHono, now: () => Date): void {
  app.openapi(sheetRoute, async (context) =>
    asPdf(context, "batch-sheet", await renderBatchSheetPdf(asBatchSheet(context.req.valid("json")), { madeAt: now() })),
  );
  app.openapi(labelRoute, async (context) => {
    const { layout, options } = asLabelPrint(context.req.valid("json"));
    return asPdf(context, "label", await renderLabelPdf(layout, { ...options, madeAt: now() }));
  });
  app.openapi(writeUpRoute, async (context) =>
    asPdf(context, "write-up", await renderWriteUpPdf(asWriteUp(context.req.valid("json")), { madeAt: now() })),
  );
  app.openapi(allergensRoute, async (context) =>
    asPdf(context, "allergens", await renderAllergensPdf(asMatrix(context.req.valid("json")), { madeAt: now() })),
  );
}

function asPdf(context: Context, name: string, pdf: Uint8Array) {
  context.header("content-type", "application/pdf");
  context.header("content-disposition", `inline; filename="${name}.pdf"`);
  return context.body(new Uint8Array(pdf), 200);
}
