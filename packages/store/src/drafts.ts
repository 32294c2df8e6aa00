import type { Result } from "@evencrumb/core/quantities";
import { writeBody } from "./body.js";
import type { Database } from "./database.js";
import { DEVICE_LENGTH_MAX, readText, refuse } from "./fields.js";
import type { Draft, DraftSummary, NewDraft, Refusal, StoreOptions } from "./store.js";

/** Work in progress. A draft is kept as it was typed: what is half-typed is not checked, only its size is. */
export function draftsIn(database: Database, { now }: StoreOptions) {
  const { db } = database;
  return {
    async readDraft(documentId: string, device: string): Promise<Draft | undefined> {
      const row = await db
        .selectFrom("drafts")
        .selectAll()
        .where("document_id", "=", documentId.toLowerCase())
        .where("device", "=", device)
        .executeTakeFirst();
      if (row === undefined) return undefined;
      return {
        device: row.device,
        savedAt: row.saved_at,
        baseRevisionId: row.base_revision_id,
        body: JSON.parse(row.body) as unknown,
      };
    },

    async saveDraft(request: NewDraft): Promise<Result<DraftSummary, Refusal>> {
      const written = writeBody(request.body);
      if (!written.ok) return written;
      const device = readText(request.device, "device", DEVICE_LENGTH_MAX);
      if (!device.ok) return device;
      if (device.value === "") {
        return refuse("unusable-field", "A draft belongs to a device.", [
          {
            code: "missing-field",
            path: ["device"],
            expected: "the name of the device",
            found: "nothing",
            remedy: "Send the device's name.",
          },
        ]);
      }
      const documentId = request.documentId.toLowerCase();
      const baseId = request.baseRevisionId.toLowerCase();
      const at = now().toISOString();
      return database.write(async (transaction): Promise<Result<DraftSummary, Refusal>> => {
        const document = await transaction.selectFrom("documents").select("id").where("id", "=", documentId).executeTakeFirst();
        if (document === undefined) return refuse("no-such-document", "There is no document with this id.");
        const base = await transaction
          .selectFrom("revisions")
          .select("id")
          .where("document_id", "=", documentId)
          .where("id", "=", baseId)
          .executeTakeFirst();
        if (base === undefined)
          return refuse("no-such-revision", "This document has no revision with the id given as baseRevisionId.");
        const fresh = { base_revision_id: baseId, saved_at: at, body: written.value.text };
        await transaction
          .insertInto("drafts")
          .values({ document_id: documentId, device: device.value, ...fresh })
          .onConflict((conflict) => conflict.columns(["document_id", "device"]).doUpdateSet(fresh))
          .execute();
        return { ok: true, value: { device: device.value, savedAt: at } };
      });
    },

    async deleteDraft(documentId: string, device: string): Promise<void> {
      await database.write(async (transaction) => {
        await transaction
          .deleteFrom("drafts")
          .where("document_id", "=", documentId.toLowerCase())
          .where("device", "=", device)
          .execute();
      });
    },
  };
}
