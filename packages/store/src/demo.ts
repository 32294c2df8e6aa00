import type { Result } from "@evencrumb/core/quantities";
import type { Kysely } from "kysely";
import { type BodyText, hashText } from "./body.js";
import type { Database } from "./database.js";
import { NOTE_LENGTH_MAX, readId, readText } from "./fields.js";
import type { Tables } from "./schema.js";
import type { DemoDocument, DemoInstalled, DemoRemoved, Refusal, StoreChange, StoreOptions } from "./store.js";

type AcceptBody = (kind: string, body: unknown) => Result<BodyText & { readonly name: string }, Refusal>;

/** A demo document that passed the same checks as the baker's own. */
interface ReadyDocument {
  readonly id: string;
  readonly kind: string;
  readonly standard?: number;
  readonly revisions: readonly (BodyText & { readonly name: string; readonly note: string })[];
}

/** The demo bakery: put in at the first start, removed and put back at a wish, never at the cost of the baker's own work. */
export function demoIn(database: Database, { now, newId }: StoreOptions, acceptBody: AcceptBody) {
  async function install(
    transaction: Kysely<Tables>,
    announce: (change: StoreChange) => void,
    demo: readonly ReadyDocument[],
  ): Promise<DemoInstalled> {
    const rows = await transaction.selectFrom("documents").select("id").execute();
    const ids = new Set(rows.map((row) => row.id));
    const missing = demo.filter(({ id }) => !ids.has(id));
    for (const document of missing) {
      await insertDocument(transaction, document);
      announce({ type: "document-changed", id: document.id });
    }
    await remember(transaction, "installed");
    const installed = missing.map(({ id }) => id);
    return { installed, present: demo.map(({ id }) => id).filter((id) => !installed.includes(id)) };
  }

  async function insertDocument(transaction: Kysely<Tables>, { id, kind, revisions, standard }: ReadyDocument): Promise<void> {
    const at = now().toISOString();
    const ids = revisions.map(() => newId());
    await transaction
      .insertInto("documents")
      .values({ id, kind, name: revisions.at(-1)!.name, created_at: at, archived_at: null, demo: 1, standard_revision_id: null })
      .execute();
    for (const [index, revision] of revisions.entries()) {
      await transaction
        .insertInto("revisions")
        .values({
          id: ids[index]!,
          document_id: id,
          number: index + 1,
          parent_id: index === 0 ? null : ids[index - 1]!,
          settles_id: null,
          saved_at: at,
          device: "",
          note: revision.note,
          body: revision.text,
          content_hash: revision.hash,
        })
        .execute();
    }
    const standardId = standard === undefined ? null : (ids[standard - 1] ?? null);
    await transaction.updateTable("documents").set({ standard_revision_id: standardId }).where("id", "=", id).execute();
  }

  async function remember(transaction: Kysely<Tables>, value: "installed" | "removed"): Promise<void> {
    await transaction
      .insertInto("housekeeping")
      .values({ key: "demo", value })
      .onConflict((conflict) => conflict.column("key").doUpdateSet({ value }))
      .execute();
  }

  function ready(demo: readonly DemoDocument[]): Result<readonly ReadyDocument[], Refusal> {
    const documents: ReadyDocument[] = [];
    for (const { id, kind, revisions, standard } of demo) {
      const goodId = readId(id, "id");
      if (!goodId.ok) return goodId;
      const accepted: ReadyDocument["revisions"][number][] = [];
      for (const { body, note = "" } of revisions) {
        const good = acceptBody(kind, body);
        if (!good.ok) return good;
        const goodNote = readText(note, "note", NOTE_LENGTH_MAX);
        if (!goodNote.ok) return goodNote;
        accepted.push({ ...good.value, note: goodNote.value });
      }
      if (accepted.length === 0) throw new RangeError(`demo document ${id} has no revision`);
      documents.push({ id: goodId.value, kind, revisions: accepted, ...(standard !== undefined && { standard }) });
    }
    return { ok: true, value: documents };
  }

  return {
    async installDemoAtFirstStart(demo: readonly DemoDocument[]): Promise<Result<DemoInstalled, Refusal>> {
      const documents = ready(demo);
      if (!documents.ok) return documents;
      const value = await database.write(async (transaction, announce): Promise<DemoInstalled> => {
        const known = await transaction.selectFrom("housekeeping").select("value").where("key", "=", "demo").executeTakeFirst();
        const anything = await transaction.selectFrom("documents").select("id").limit(1).executeTakeFirst();
        if (known !== undefined || anything !== undefined) return { installed: [], present: [] };
        return install(transaction, announce, documents.value);
      });
      return { ok: true, value };
    },

    async installDemo(demo: readonly DemoDocument[]): Promise<Result<DemoInstalled, Refusal>> {
      const documents = ready(demo);
      if (!documents.ok) return documents;
      return {
        ok: true,
        value: await database.write((transaction, announce) => install(transaction, announce, documents.value)),
      };
    },

    async removeDemo(): Promise<DemoRemoved> {
      return database.write(async (transaction, announce) => {
        const query = transaction.selectFrom("documents").select("id").where("demo", "=", 1).orderBy("id");
        const rows = await (database.dialect === "postgres" ? query.forUpdate() : query).execute();
        const removed: string[] = [];
        const kept: string[] = [];
        for (const { id } of rows) {
          if (await hasTypedDraft(transaction, id)) {
            await transaction.updateTable("documents").set({ demo: 0 }).where("id", "=", id).execute();
            kept.push(id);
          } else {
            await transaction.deleteFrom("drafts").where("document_id", "=", id).execute();
            await transaction.updateTable("documents").set({ standard_revision_id: null }).where("id", "=", id).execute();
            await transaction.deleteFrom("revisions").where("document_id", "=", id).execute();
            await transaction.deleteFrom("documents").where("id", "=", id).execute();
            removed.push(id);
          }
          announce({ type: "document-changed", id });
        }
        await remember(transaction, "removed");
        return { removed, kept };
      });
    },
  };
}

/** Whether somebody typed something that is not yet saved. */
async function hasTypedDraft(transaction: Kysely<Tables>, documentId: string): Promise<boolean> {
  const drafts = await transaction
    .selectFrom("drafts as d")
    .innerJoin("revisions as r", "r.id", "d.base_revision_id")
    .select(["d.body", "r.content_hash"])
    .where("d.document_id", "=", documentId)
    .execute();
  return drafts.some((draft) => hashText(draft.body) !== draft.content_hash);
}
