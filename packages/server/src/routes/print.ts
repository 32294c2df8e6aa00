import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { renderBatchSheetPdf } from "../printing.js";
import { asBatchSheet, BatchSheetSchema } from "../printSchema.js";
import { jsonBody, problem } from "./parts.js";

/** Sheets on paper. */
export function addPrintRoutes(app: OpenAPIHono, now: () => Date): void {
  app.openapi(
    createRoute({
      method: "post",
      path: "/api/print/batch-sheet",
      summary: "A batch sheet as a PDF, ready for the printer",
      request: { body: jsonBody(BatchSheetSchema) },
      responses: {
        200: { description: "The page", content: { "application/pdf": { schema: z.string().openapi({ format: "binary" }) } } },
        default: problem,
      },
    }),
    async (context) => {
      const pdf = await renderBatchSheetPdf(asBatchSheet(context.req.valid("json")), { madeAt: now() });
      context.header("content-type", "application/pdf");
      context.header("content-disposition", 'inline; filename="batch-sheet.pdf"');
      return context.body(new Uint8Array(pdf), 200);
    },
  );
}
