import type { Store } from "@evencrumb/store";
import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { orStop, stopWith } from "../problem.js";
import {
  Device,
  DocumentAnswerSchema,
  DocumentHistorySchema,
  DocumentListSchema,
  Id,
  NewDocumentSchema,
  NewDraftSchema,
  NewRevisionSchema,
  RecentSchema,
  RevisionSchema,
  SavedDocumentSchema,
  SavedRevisionSchema,
  StandardSchema,
} from "../schemas.js";
import { deviceOf, json, jsonBody, problem } from "./parts.js";

const DocumentParams = z.object({ id: Id });
const RevisionParams = z.object({ id: Id, revisionId: Id });

/** Documents, revisions and drafts. */
export function addDocumentRoutes(app: OpenAPIHono, store: Store): void {
  app.openapi(
    createRoute({
      method: "get",
      path: "/api/documents",
      summary: "List documents",
      request: {
        query: z.object({
          kind: z.string().max(60).optional(),
          archived: z.enum(["true", "false"]).optional().openapi({ description: "true: list what was archived as well" }),
        }),
      },
      responses: { 200: json("The documents, oldest first", DocumentListSchema), default: problem },
    }),
    async (context) => {
      const { kind, archived } = context.req.valid("query");
      const show = archived === "true" ? "all" : "current";
      return context.json({ documents: await store.listDocuments(kind === undefined ? { show } : { show, kind }) }, 200);
    },
  );

  app.openapi(
    createRoute({
      method: "post",
      path: "/api/documents",
      summary: "Create a document with its first revision",
      request: { body: jsonBody(NewDocumentSchema) },
      responses: {
        201: json("Created", SavedDocumentSchema),
        200: json("The same request had been answered before", SavedDocumentSchema),
        default: problem,
      },
    }),
    async (context) => {
      const saved = orStop(await store.createDocument(present(context.req.valid("json"))));
      return context.json(saved, saved.repeated ? 200 : 201);
    },
  );

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/documents/{id}",
      summary: "One document: its newest revision in full, its history, and the draft of the asking device",
      request: { params: DocumentParams, headers: z.object({ "x-device": Device.max(1000).optional() }) },
      responses: { 200: json("The document", DocumentHistorySchema), default: problem },
    }),
    async (context) => {
      const { id } = context.req.valid("param");
      const history = await store.readDocument(id);
      if (history === undefined) return stopWith(404, "no-such-document", "There is no document with this id.");
      const device = deviceOf(context);
      const draft = device === undefined ? undefined : await store.readDraft(id, device);
      return context.json({ ...history, ...(draft !== undefined && { draft }) }, 200);
    },
  );

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/documents/{id}/revisions/{revisionId}",
      summary: "One revision in full",
      request: { params: RevisionParams },
      responses: { 200: json("The revision", RevisionSchema), default: problem },
    }),
    async (context) => {
      const { id, revisionId } = context.req.valid("param");
      const revision = await store.readRevision(id, revisionId);
      if (revision === undefined) return stopWith(404, "no-such-revision", "There is no revision with this id in this document.");
      // A revision never changes, so a browser need not ask for it twice.
      context.header("cache-control", "private, max-age=31536000, immutable");
      return context.json(revision, 200);
    },
  );

  app.openapi(
    createRoute({
      method: "post",
      path: "/api/documents/{id}/revisions",
      summary: "Save a revision; it is kept even where another device saved on the same parent",
      request: { params: DocumentParams, body: jsonBody(NewRevisionSchema) },
      responses: {
        201: json("Saved", SavedRevisionSchema),
        200: json("The same request had been answered before", SavedRevisionSchema),
        default: problem,
      },
    }),
    async (context) => {
      const saved = orStop(
        await store.saveRevision({ ...present(context.req.valid("json")), documentId: context.req.valid("param").id }),
      );
      return context.json(saved, saved.repeated ? 200 : 201);
    },
  );

  app.openapi(
    createRoute({
      method: "put",
      path: "/api/documents/{id}/draft",
      summary: "Keep what a device has typed and not yet saved",
      request: { params: DocumentParams, body: jsonBody(NewDraftSchema) },
      responses: { 204: { description: "Kept" }, default: problem },
    }),
    async (context) => {
      const { device, baseRevisionId, body } = context.req.valid("json");
      orStop(await store.saveDraft({ documentId: context.req.valid("param").id, device, baseRevisionId, body }));
      return context.body(null, 204);
    },
  );

  app.openapi(
    createRoute({
      method: "delete",
      path: "/api/documents/{id}/draft",
      summary: "Drop a draft",
      request: { params: DocumentParams, query: z.object({ device: Device }) },
      responses: { 204: { description: "There is no such draft any more" }, default: problem },
    }),
    async (context) => {
      await store.deleteDraft(context.req.valid("param").id, context.req.valid("query").device);
      return context.body(null, 204);
    },
  );

  app.openapi(
    createRoute({
      method: "put",
      path: "/api/documents/{id}/standard",
      summary: "Choose the revision that is currently made; null for none",
      request: { params: DocumentParams, body: jsonBody(StandardSchema) },
      responses: { 200: json("The document", DocumentAnswerSchema), default: problem },
    }),
    async (context) =>
      context.json(
        { document: orStop(await store.setStandard(context.req.valid("param").id, context.req.valid("json").revisionId)) },
        200,
      ),
  );

  for (const [word, archived, summary] of [
    ["archive", "archived", "Put a document away; nothing of it is lost"],
    ["restore", "current", "Bring an archived document back"],
  ] as const) {
    app.openapi(
      createRoute({
        method: "post",
        path: `/api/documents/{id}/${word}`,
        summary,
        request: { params: DocumentParams },
        responses: { 200: json("The document", DocumentAnswerSchema), default: problem },
      }),
      async (context) =>
        context.json({ document: orStop(await store.setArchived(context.req.valid("param").id, archived)) }, 200),
    );
  }

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/revisions",
      summary: "What was saved lately in the whole bakery, newest first",
      request: {
        query: z.object({
          kind: z.string().max(60).optional(),
          since: z.iso.datetime({ error: "an instant in UTC such as 2030-03-01T06:00:00Z" }).optional(),
          limit: z.coerce.number().int().min(1).max(1000).optional(),
        }),
      },
      responses: { 200: json("The revisions", RecentSchema), default: problem },
    }),
    async (context) => {
      const { since, ...filter } = context.req.valid("query");
      // Written as the store writes instants, because they are compared as text.
      const from = since === undefined ? {} : { since: new Date(since).toISOString() };
      return context.json({ revisions: await store.recentRevisions(present({ ...filter, ...from })) }, 200);
    },
  );
}

/** Without the fields that were not sent. */
function present<T extends object>(fields: T): { [Key in keyof T]: Exclude<T[Key], undefined> } {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined)) as {
    [Key in keyof T]: Exclude<T[Key], undefined>;
  };
}
