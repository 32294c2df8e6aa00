import type { Database } from "./database.js";
import { summariesOf } from "./documents.js";
import { SUMMARY_COLUMNS, summaryFromRow } from "./rows.js";
import type { RecentFilter, RecentRevision, RevisionSummary } from "./store.js";

/** Questions about the past. Instants are compared as text, which ISO 8601 in UTC is made for. */
export function historyIn({ db }: Database) {
  return {
    listRevisions: (documentId: string): Promise<readonly RevisionSummary[]> => summariesOf(db, documentId.toLowerCase()),

    async lineageOf(documentId: string, revisionId: string): Promise<readonly RevisionSummary[]> {
      const all = new Map((await summariesOf(db, documentId.toLowerCase())).map((revision) => [revision.id, revision]));
      const line: RevisionSummary[] = [];
      let revision = all.get(revisionId.toLowerCase());
      while (revision !== undefined) {
        line.push(revision);
        revision = revision.parentId === null ? undefined : all.get(revision.parentId);
      }
      return line;
    },

    async revisionAt(documentId: string, instant: string): Promise<RevisionSummary | undefined> {
      return (await summariesOf(db, documentId.toLowerCase())).findLast((revision) => revision.savedAt <= instant);
    },

    async recentRevisions({ kind, since, limit = 50 }: RecentFilter = {}): Promise<readonly RecentRevision[]> {
      let query = db
        .selectFrom("revisions as r")
        .innerJoin("documents as d", "d.id", "r.document_id")
        .select(SUMMARY_COLUMNS.map((column) => `r.${column}` as const))
        .select(["d.kind", "d.name as document_name"]);
      if (kind !== undefined) query = query.where("d.kind", "=", kind);
      if (since !== undefined) query = query.where("r.saved_at", ">=", since);
      const rows = await query
        .orderBy("r.saved_at", "desc")
        .orderBy("r.number", "desc")
        .orderBy("r.id")
        .limit(Math.min(1000, Math.max(1, Math.trunc(limit))))
        .execute();
      return rows.map((row) => ({ ...summaryFromRow(row), kind: row.kind, documentName: row.document_name }));
    },
  };
}
