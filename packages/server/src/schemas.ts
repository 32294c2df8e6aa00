import { ALLERGENS } from "@evencrumb/core/ingredients";
import { z } from "@hono/zod-openapi";

// What goes over the wire. The schemas check what comes in, type what goes out, and write the OpenAPI document.

export const Id = z
  .guid({ error: "a UUID such as 5a1d0001-0000-4000-8000-000000000001" })
  .openapi({ example: "5a1d0001-0000-4000-8000-000000000001" });
const Instant = z.string().openapi({ format: "date-time", description: "ISO 8601, UTC" });
const Note = z.string().max(10_000);
export const Device = z.string().max(200).openapi({ description: "Which device it comes from: a name that the device keeps" });
/** Checked by the rules of its kind, and not by the schema. */
const Body = z.unknown().openapi({ description: "The document itself: any JSON that its kind allows, up to 1 000 000 bytes" });

export const ProblemSchema = z
  .object({
    type: z.string(),
    title: z.string(),
    status: z.int(),
    detail: z.string(),
    code: z.string(),
    problems: z.array(
      z.object({
        code: z.string(),
        path: z.array(z.union([z.string(), z.number()])),
        expected: z.string(),
        found: z.string(),
        remedy: z.string(),
      }),
    ),
  })
  .openapi("Problem");

export const DocumentSchema = z
  .object({
    id: Id,
    kind: z.string(),
    name: z.string(),
    demo: z.boolean(),
    archived: z.boolean(),
    createdAt: Instant,
    standardRevisionId: Id.nullable(),
  })
  .openapi("Document");

export const RevisionSummarySchema = z
  .object({
    id: Id,
    documentId: Id,
    number: z.int(),
    parentId: Id.nullable(),
    settlesId: Id.nullable(),
    savedAt: Instant,
    device: z.string(),
    note: z.string(),
    contentHash: z.string(),
  })
  .openapi("RevisionSummary");

export const RevisionSchema = RevisionSummarySchema.extend({ body: z.unknown() }).openapi("Revision");
const Summaries = z.array(RevisionSummarySchema).readonly();

const DraftSummary = z.object({ device: z.string(), savedAt: Instant });

export const DocumentListSchema = z.object({
  documents: z
    .array(DocumentSchema.extend({ latest: RevisionSummarySchema, drafts: z.array(DraftSummary).readonly() }))
    .readonly(),
});

export const DocumentHistorySchema = z.object({
  document: DocumentSchema,
  latest: RevisionSchema,
  revisions: Summaries,
  heads: Summaries,
  drafts: z.array(DraftSummary).readonly(),
  draft: DraftSummary.extend({ baseRevisionId: Id, body: z.unknown() }).optional(),
});

export const NewDocumentSchema = z
  .strictObject({
    id: Id.optional(),
    revisionId: Id.optional(),
    kind: z.string().min(1).max(60),
    body: Body,
    note: Note.optional(),
    device: Device.optional(),
  })
  .openapi("NewDocument");

export const SavedDocumentSchema = z.object({ document: DocumentSchema, revision: RevisionSchema, repeated: z.boolean() });

export const NewRevisionSchema = z
  .strictObject({
    id: Id.optional(),
    parentId: Id,
    settlesId: Id.nullable().optional(),
    body: Body,
    note: Note.optional(),
    device: Device.optional(),
  })
  .openapi("NewRevision");

export const SavedRevisionSchema = z.object({
  revision: RevisionSummarySchema,
  alongside: Summaries,
  isLatest: z.boolean(),
  repeated: z.boolean(),
});

export const NewDraftSchema = z.strictObject({ device: Device.min(1), baseRevisionId: Id, body: Body }).openapi("NewDraft");
export const StandardSchema = z.strictObject({ revisionId: Id.nullable() });
export const DocumentAnswerSchema = z.object({ document: DocumentSchema });
export const RecentSchema = z.object({
  revisions: z.array(RevisionSummarySchema.extend({ kind: z.string(), documentName: z.string() })).readonly(),
});

const grams = (least: number, most: number) => z.number().min(least).max(most);

/** Known settings are checked; others are kept as they are, so that a newer page and an older server get on. */
export const SettingsSchema = z
  .looseObject({
    units: z.enum(["metric", "imperial", "us"]).optional(),
    names: z.enum(["british", "us"]).optional(),
    rounding: z
      .strictObject({
        fineBelow: grams(0, 1000).openapi({ description: "Weights below this are rounded to `fineStep` [g]" }),
        fineStep: grams(0.001, 100).openapi({ description: "What the fine scale can weigh [g]" }),
        step: grams(0.001, 1000).openapi({ description: "What the scale can weigh [g]" }),
      })
      .optional(),
    eggScheme: z.string().max(40).optional(),
    eggGrade: z.string().max(40).optional(),
    fanOffsetC: z.number().min(0).max(60).optional().openapi({ description: "How much cooler a fan oven is set [°C]" }),
    temperature: z.enum(["celsius", "fahrenheit", "gas-mark"]).optional(),
    theme: z.enum(["auto", "light", "dark"]).optional(),
    currency: z
      .string()
      .regex(/^[A-Z]{3}$/, { error: "a currency code of ISO 4217 such as GBP" })
      .optional(),
    business: z
      .strictObject({ name: z.string().max(200), address: z.string().max(400) })
      .optional()
      .openapi({ description: "Who sells, as it stands on labels" }),
    seller: z
      .strictObject({
        staff: grams(0, 1e6).optional(),
        yearlyTurnover: grams(0, 1e12).optional(),
        isDirectOrLocal: z.boolean().optional(),
        yearlySalesDollars: grams(0, 1e12).optional(),
        yearlyFoodSalesDollars: grams(0, 1e12).optional(),
        yearlyUnits: grams(0, 1e12).optional(),
        makesNutritionClaim: z.boolean().optional(),
      })
      .optional()
      .openapi({ description: "What decides whether nutrition has to be declared" }),
    mayContain: z
      .array(z.strictObject({ allergen: z.enum(ALLERGENS), kind: z.string().max(60).optional() }))
      .max(60)
      .optional()
      .openapi({ description: "What everything made here may contain" }),
  })
  .openapi("Settings");

export const DemoInstalledSchema = z.object({ installed: z.array(Id).readonly(), present: z.array(Id).readonly() });
export const DemoRemovedSchema = z.object({ removed: z.array(Id).readonly(), kept: z.array(Id).readonly() });

export const RestoredSchema = z.object({
  documents: z.int(),
  revisions: z.int(),
  drafts: z.int(),
  settings: z.int(),
  madeAt: Instant,
  replaced: z.enum(["nothing", "everything"]),
  backupName: z.string().optional().openapi({ description: "Name of the backup of what was there before" }),
});

export const HealthSchema = z.object({
  name: z.literal("evencrumb"),
  version: z.string(),
  storage: z.enum(["embedded", "postgres"]),
});
