import type { Result } from "@evencrumb/core/quantities";
import type { Kysely } from "kysely";
import { type BodyText, hashText, writeBody } from "./body.js";
import type { Database } from "./database.js";
import { DEVICE_LENGTH_MAX, listName, NOTE_LENGTH_MAX, readId, readText, refuse } from "./fields.js";
import { documentFromRow, revisionFromRow, SUMMARY_COLUMNS, summaryFromRow } from "./rows.js";
import type { DocumentRow, RevisionRow, Tables } from "./schema.js";
import type {
  DocumentFilter,
  DocumentHistory,
  DocumentListing,
  DocumentRecord,
  NewDocument,
  NewRevision,
  Refusal,
  Revision,
  RevisionSummary,
  SavedDocument,
  SavedRevision,
  StoreOptions,
} from "./store.js";

/** Documents and their revisions: listing, reading, saving. */
export function documentsIn(database: Database, { kinds, now, newId }: StoreOptions) {
  const { db } = database;

  /** The body in the form it is kept in, once its kind agrees with it. */
  function acceptBody(kind: string, body: unknown): Result<BodyText & { readonly name: string }, Refusal> {
    const rules = Object.hasOwn(kinds, kind) ? kinds[kind] : undefined;
    if (rules === undefined) {
      return refuse("unknown-kind", `"${kind.slice(0, 60)}" is not a kind of document that is kept here.`, [
        {
          code: "out-of-range",
          path: ["kind"],
          expected: `one of ${Object.keys(kinds).join(", ")}`,
          found: JSON.stringify(kind.slice(0, 60)),
          remedy: "Use one of these kinds.",
        },
      ]);
    }
    const written = writeBody(body);
    if (!written.ok) return written;
    const problems = rules.check(body);
    if (problems.length > 0) {
      return refuse(
        "unusable-body",
        `The ${kind} has ${problems.length === 1 ? "a problem" : `${problems.length} problems`}.`,
        problems,
      );
    }
    return { ok: true, value: { ...written.value, name: listName(rules.nameOf(body)) } };
  }

  /** The row, locked so that nobody else adds a revision to it meanwhile. */
  async function lockDocument(transaction: Kysely<Tables>, documentId: string): Promise<DocumentRow | undefined> {
    const query = transaction.selectFrom("documents").selectAll().where("id", "=", documentId);
    return (database.dialect === "postgres" ? query.forUpdate() : query).executeTakeFirst();
  }

  return {
    acceptBody,

    async listDocuments({ kind, show = "current" }: DocumentFilter = {}): Promise<readonly DocumentListing[]> {
      return database.readTogether(async (transaction) => {
        let query = transaction.selectFrom("documents").selectAll();
        if (kind !== undefined) query = query.where("kind", "=", kind);
        if (show !== "all") query = query.where("archived_at", show === "archived" ? "is not" : "is", null);
        const rows = await query.orderBy("created_at").orderBy("id").execute();
        const newest = await transaction
          .selectFrom("revisions as r")
          .select(SUMMARY_COLUMNS.map((column) => `r.${column}` as const))
          .where("r.number", "=", (inner) =>
            inner
              .selectFrom("revisions as newer")
              .select(({ fn }) => fn.max("newer.number").as("number"))
              .whereRef("newer.document_id", "=", "r.document_id"),
          )
          .execute();
        const latest = new Map(newest.map((row) => [row.document_id, summaryFromRow(row)]));
        const drafts = await transaction
          .selectFrom("drafts")
          .select(["document_id", "device", "saved_at"])
          .orderBy("device")
          .execute();
        return rows.map((row) => ({
          ...documentFromRow(row),
          latest: latest.get(row.id)!,
          drafts: drafts
            .filter((draft) => draft.document_id === row.id)
            .map((draft) => ({ device: draft.device, savedAt: draft.saved_at })),
        }));
      });
    },

    async readDocument(documentId: string): Promise<DocumentHistory | undefined> {
      return database.readTogether(async (transaction) => {
        const row = await transaction
          .selectFrom("documents")
          .selectAll()
          .where("id", "=", documentId.toLowerCase())
          .executeTakeFirst();
        if (row === undefined) return undefined;
        const revisions = await summariesOf(transaction, row.id);
        const latest = await transaction
          .selectFrom("revisions")
          .selectAll()
          .where("id", "=", revisions.at(-1)!.id)
          .executeTakeFirstOrThrow();
        const drafts = await transaction
          .selectFrom("drafts")
          .select(["device", "saved_at"])
          .where("document_id", "=", row.id)
          .orderBy("device")
          .execute();
        return {
          document: documentFromRow(row),
          latest: revisionFromRow(latest),
          revisions,
          heads: headsOf(revisions),
          drafts: drafts.map((draft) => ({ device: draft.device, savedAt: draft.saved_at })),
        };
      });
    },

    async createDocument(request: NewDocument): Promise<Result<SavedDocument, Refusal>> {
      const body = acceptBody(request.kind, request.body);
      if (!body.ok) return body;
      const fields = readFields(request);
      if (!fields.ok) return fields;
      const id = readId(request.id ?? newId(), "id");
      if (!id.ok) return id;
      const revisionId = readId(request.revisionId ?? newId(), "revisionId");
      if (!revisionId.ok) return revisionId;
      const at = now().toISOString();
      return database.write(async (transaction, announce) => {
        const present = await lockDocument(transaction, id.value);
        if (present !== undefined) {
          const first = await transaction
            .selectFrom("revisions")
            .selectAll()
            .where("document_id", "=", id.value)
            .where("number", "=", 1)
            .executeTakeFirstOrThrow();
          const same =
            present.kind === request.kind &&
            first.content_hash === body.value.hash &&
            (request.revisionId === undefined || first.id === revisionId.value);
          if (!same) return refuse("id-taken", "There is another document with this id.");
          return { ok: true, value: { document: documentFromRow(present), revision: revisionFromRow(first), repeated: true } };
        }
        if (await isRevisionIdTaken(transaction, revisionId.value))
          return refuse("id-taken", "There is another revision with this id.");
        const document: DocumentRow = {
          id: id.value,
          kind: request.kind,
          name: body.value.name,
          created_at: at,
          archived_at: null,
          demo: 0,
          standard_revision_id: null,
        };
        const revision: RevisionRow = {
          id: revisionId.value,
          document_id: id.value,
          number: 1,
          parent_id: null,
          settles_id: null,
          saved_at: at,
          ...fields.value,
          body: body.value.text,
          content_hash: body.value.hash,
        };
        await transaction.insertInto("documents").values(document).execute();
        await transaction.insertInto("revisions").values(revision).execute();
        announce({ type: "document-changed", id: id.value, revisionId: revision.id, device: revision.device });
        return { ok: true, value: { document: documentFromRow(document), revision: revisionFromRow(revision), repeated: false } };
      });
    },

    async readRevision(documentId: string, revisionId: string): Promise<Revision | undefined> {
      const row = await db
        .selectFrom("revisions")
        .selectAll()
        .where("document_id", "=", documentId.toLowerCase())
        .where("id", "=", revisionId.toLowerCase())
        .executeTakeFirst();
      return row && revisionFromRow(row);
    },

    async saveRevision(request: NewRevision): Promise<Result<SavedRevision, Refusal>> {
      const documentId = request.documentId.toLowerCase();
      const kind = (await db.selectFrom("documents").select("kind").where("id", "=", documentId).executeTakeFirst())?.kind;
      if (kind === undefined) return refuse("no-such-document", "There is no document with this id.");
      const body = acceptBody(kind, request.body);
      if (!body.ok) return body;
      const fields = readFields(request);
      if (!fields.ok) return fields;
      const id = readId(request.id ?? newId(), "id");
      if (!id.ok) return id;
      const parentId = request.parentId.toLowerCase();
      const settlesId = request.settlesId?.toLowerCase() ?? null;
      const at = now().toISOString();
      return database.write(async (transaction, announce): Promise<Result<SavedRevision, Refusal>> => {
        const document = await lockDocument(transaction, documentId);
        if (document === undefined) return refuse("no-such-document", "There is no document with this id.");
        const revisions = await summariesOf(transaction, documentId);
        const alongside = revisions.filter((other) => other.parentId === parentId && other.id !== id.value);
        const sent = revisions.find((other) => other.id === id.value);
        if (sent !== undefined) {
          if (sent.contentHash !== body.value.hash || sent.parentId !== parentId || sent.settlesId !== settlesId) {
            return refuse("id-taken", "Another revision was saved under this id.");
          }
          return { ok: true, value: { revision: sent, alongside, isLatest: sent === revisions.at(-1), repeated: true } };
        }
        if (await isRevisionIdTaken(transaction, id.value))
          return refuse("id-taken", "Another revision was saved under this id.");
        for (const [field, wanted] of [
          ["parentId", parentId],
          ["settlesId", settlesId],
        ] as const) {
          if (wanted !== null && !revisions.some((other) => other.id === wanted)) {
            return refuse("no-such-revision", `This document has no revision with the id given as ${field}.`);
          }
        }
        const revision: RevisionRow = {
          id: id.value,
          document_id: documentId,
          number: revisions.at(-1)!.number + 1,
          parent_id: parentId,
          settles_id: settlesId,
          saved_at: at,
          ...fields.value,
          body: body.value.text,
          content_hash: body.value.hash,
        };
        await transaction.insertInto("revisions").values(revision).execute();
        // With the first revision of the baker's own a demo document is theirs.
        await transaction.updateTable("documents").set({ name: body.value.name, demo: 0 }).where("id", "=", documentId).execute();
        await dropDraftThatWasSaved(transaction, documentId, revision);
        announce({ type: "document-changed", id: documentId, revisionId: revision.id, device: revision.device });
        return { ok: true, value: { revision: summaryFromRow(revision), alongside, isLatest: true, repeated: false } };
      });
    },

    async setStandard(documentId: string, revisionId: string | null): Promise<Result<DocumentRecord, Refusal>> {
      return database.write(async (transaction, announce): Promise<Result<DocumentRecord, Refusal>> => {
        const row = await lockDocument(transaction, documentId.toLowerCase());
        if (row === undefined) return refuse("no-such-document", "There is no document with this id.");
        const wanted = revisionId?.toLowerCase() ?? null;
        if (wanted !== null && !(await summariesOf(transaction, row.id)).some((revision) => revision.id === wanted)) {
          return refuse("no-such-revision", "This document has no revision with this id.");
        }
        await transaction.updateTable("documents").set({ standard_revision_id: wanted }).where("id", "=", row.id).execute();
        announce({ type: "document-changed", id: row.id });
        return { ok: true, value: documentFromRow({ ...row, standard_revision_id: wanted }) };
      });
    },

    async setArchived(documentId: string, archived: "archived" | "current"): Promise<Result<DocumentRecord, Refusal>> {
      const at = now().toISOString();
      return database.write(async (transaction, announce): Promise<Result<DocumentRecord, Refusal>> => {
        const row = await lockDocument(transaction, documentId.toLowerCase());
        if (row === undefined) return refuse("no-such-document", "There is no document with this id.");
        const archivedAt = archived === "current" ? null : (row.archived_at ?? at);
        if (archivedAt !== row.archived_at) {
          await transaction.updateTable("documents").set({ archived_at: archivedAt }).where("id", "=", row.id).execute();
          announce({ type: "document-changed", id: row.id });
        }
        return { ok: true, value: documentFromRow({ ...row, archived_at: archivedAt }) };
      });
    },
  };
}

export async function summariesOf(transaction: Kysely<Tables>, documentId: string): Promise<readonly RevisionSummary[]> {
  const rows = await transaction
    .selectFrom("revisions")
    .select(SUMMARY_COLUMNS)
    .where("document_id", "=", documentId)
    .orderBy("number")
    .execute();
  return rows.map(summaryFromRow);
}

function headsOf(revisions: readonly RevisionSummary[]): readonly RevisionSummary[] {
  const goneOn = new Set(revisions.flatMap(({ parentId, settlesId }) => [parentId, settlesId]));
  return revisions.filter(({ id }) => !goneOn.has(id));
}

const isRevisionIdTaken = async (transaction: Kysely<Tables>, id: string) =>
  (await transaction.selectFrom("revisions").select("id").where("id", "=", id).executeTakeFirst()) !== undefined;

/** The draft has become the revision. One that was typed on in the meantime is more than the revision, and stays. */
async function dropDraftThatWasSaved(transaction: Kysely<Tables>, documentId: string, revision: RevisionRow): Promise<void> {
  const draft = await transaction
    .selectFrom("drafts")
    .select("body")
    .where("document_id", "=", documentId)
    .where("device", "=", revision.device)
    .executeTakeFirst();
  if (draft !== undefined && hashText(draft.body) === revision.content_hash) {
    await transaction.deleteFrom("drafts").where("document_id", "=", documentId).where("device", "=", revision.device).execute();
  }
}

function readFields({
  note = "",
  device = "",
}: {
  readonly note?: string;
  readonly device?: string;
}): Result<{ note: string; device: string }, Refusal> {
  const noteText = readText(note, "note", NOTE_LENGTH_MAX);
  if (!noteText.ok) return noteText;
  const deviceText = readText(device, "device", DEVICE_LENGTH_MAX);
  if (!deviceText.ok) return deviceText;
  return { ok: true, value: { note: noteText.value, device: deviceText.value } };
}
