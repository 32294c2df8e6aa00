import { COMPONENT_KINDS } from "@evencrumb/core/formula";
import type { BatchSheet } from "@evencrumb/core/plan";
import { z } from "@hono/zod-openapi";

/** More than any batch has, and little enough to lay out in a moment. */
const LINES_MAX = 400;

const words = (lengthMax = 200) => z.string().max(lengthMax);
const grams = z.number().min(0).max(999_999_999).openapi({ description: "g" });
const allergens = z
  .array(z.object({ name: words(), from: z.array(words()).max(LINES_MAX).readonly() }))
  .max(100)
  .readonly();

const line = z.object({
  ingredient: words(),
  name: words(),
  grams: grams.nullable(),
  scaleReadsGrams: grams.nullable(),
  note: words(500).optional(),
  bringsAllergen: z.boolean(),
});

const stage = z.object({
  name: words(),
  method: words(4000).optional(),
  targets: z.array(words()).max(20).readonly(),
  lines: z.array(line).max(LINES_MAX).readonly(),
  totalGrams: grams,
});

const component = z.object({
  name: words(),
  kind: z.enum(COMPONENT_KINDS),
  totalGrams: grams,
  tins: z
    .array(
      z.object({
        count: z.int().min(0).max(100_000),
        tin: words(),
        gramsEach: grams,
        gramsPerCup: grams.optional(),
        fillShare: z.number().min(0).max(1000),
        depthMm: z.number().min(0).max(10_000),
      }),
    )
    .max(50)
    .readonly(),
  bake: words().optional(),
  specificGravity: z.number().min(0).max(10).optional(),
  finishedGrams: grams.optional(),
  stages: z.array(stage).max(100).readonly(),
  measure: z
    .array(z.object({ label: words(), unit: words(40).optional() }))
    .max(30)
    .readonly(),
});

/** The batch sheet as `batchSheet` of core gives it. */
export const BatchSheetSchema = z
  .object({
    title: words(300),
    notes: words(20_000).optional(),
    revision: z.object({ number: z.int().min(1), note: words(10_000).optional(), keptAt: words(40).optional() }).optional(),
    date: words(60).optional(),
    batch: z.object({ factor: z.number().min(0).max(1e9), words: words() }),
    portions: z.number().min(0).max(1e6).optional(),
    allergens: z.object({
      contains: allergens,
      mayContain: allergens,
      checkSupplier: allergens,
      unknownIngredients: z.array(words()).max(LINES_MAX).readonly(),
    }),
    components: z.array(component).max(50).readonly(),
    totalGrams: grams,
    cautions: z
      .array(z.object({ code: words(60), words: words(1000) }))
      .max(50)
      .readonly(),
  })
  .refine(({ components }) => components.flatMap(({ stages }) => stages.flatMap(({ lines }) => lines)).length <= LINES_MAX, {
    error: `at most ${LINES_MAX} lines in all`,
    path: ["components"],
  })
  .openapi("BatchSheet");

/** What the schema lets through is a sheet; the codes of cautions are not printed, so any will do. */
export const asBatchSheet = (sheet: z.output<typeof BatchSheetSchema>): BatchSheet => sheet as BatchSheet;
