import type { Store } from "@evencrumb/store";
import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import type { HonoRequest } from "hono";
import { orStop, stopWith } from "../problem.js";
import { RestoredSchema } from "../schemas.js";
import { json, problem } from "./parts.js";

const BINARY = { type: "string", format: "binary" } as const;

/** Keeps a backup safely before everything is replaced; gives back the name it is kept under, which may differ from the one proposed. */
export type KeepBackup = (name: string, archive: Uint8Array) => Promise<string>;

/** Backup to one file, and back. */
export function addCopyRoutes(app: OpenAPIHono, store: Store, now: () => Date, keepBackup: KeepBackup | undefined): void {
  const nameOf = (why: string) => `evencrumb-${why}${now().toISOString().replace(/[:.]/g, "-")}.evencrumb`;

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/backup",
      summary: "Everything in one file",
      responses: {
        200: {
          description: "The archive",
          content: { "application/gzip": { schema: BINARY } },
        },
        default: problem,
      },
    }),
    async (context) => {
      const archive = await store.backup();
      context.header("content-disposition", `attachment; filename="${nameOf("backup-")}"`);
      context.header("content-type", "application/gzip");
      return context.body(new Uint8Array(archive), 200);
    },
  );

  app.openapi(
    createRoute({
      method: "post",
      path: "/api/restore",
      summary: "Put back exactly what a backup holds",
      request: {
        query: z.object({
          replace: z
            .enum(["true", "false"])
            .optional()
            .openapi({ description: "true: replace what is there, after a backup of it" }),
        }),
        body: {
          description: "The archive, as it is or as the field `archive` of a form",
          content: {
            "application/gzip": { schema: BINARY },
            "application/octet-stream": { schema: BINARY },
            // Not as a schema that checks: a browser names a file's type as it likes, and the archive is checked in full anyway.
            "multipart/form-data": { schema: { type: "object", properties: { archive: BINARY } } },
          },
        },
      },
      responses: { 200: json("What was put back", RestoredSchema), default: problem },
    }),
    async (context) => {
      const archive = await readArchive(context.req);
      if (context.req.valid("query").replace !== "true") return context.json(orStop(await store.restore(archive)), 200);
      if (keepBackup === undefined) {
        return stopWith(
          409,
          "no-backup-place",
          "This server was started without a place for backups, so it cannot replace what is there.",
        );
      }
      let backupName = "";
      const restored = orStop(
        await store.restore(archive, {
          async keepBackup(before) {
            backupName = await keepBackup(nameOf("before-restore-"), before);
          },
        }),
      );
      return context.json({ ...restored, backupName }, 200);
    },
  );
}

async function readArchive(request: HonoRequest): Promise<Uint8Array> {
  if (!request.header("content-type")?.startsWith("multipart/form-data")) return new Uint8Array(await request.arrayBuffer());
  const file = await request.formData().then(
    (form) => form.get("archive"),
    () => stopWith(400, "unusable-request", "The form cannot be read."),
  );
  if (file === null || typeof file === "string") {
    return stopWith(400, "unusable-request", "The form has no file in it.", [
      {
        code: "missing-field",
        path: ["archive"],
        expected: "a file",
        found: "nothing",
        remedy: "Send the backup as the field `archive`.",
      },
    ]);
  }
  return new Uint8Array(await file.arrayBuffer());
}
