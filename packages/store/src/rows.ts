import type { DocumentRow, RevisionRow } from "./schema.js";
import type { DocumentRecord, Revision, RevisionSummary } from "./store.js";

export const SUMMARY_COLUMNS = [
  "id",
  "document_id",
  "number",
  "parent_id",
  "settles_id",
  "saved_at",
  "device",
  "note",
  "content_hash",
] as const satisfies readonly (keyof RevisionRow)[];

export const documentFromRow = (row: DocumentRow): DocumentRecord => ({
  id: row.id,
  kind: row.kind,
  name: row.name,
  demo: row.demo === 1,
  archived: row.archived_at !== null,
  createdAt: row.created_at,
  standardRevisionId: row.standard_revision_id,
});

export const summaryFromRow = (row: Omit<RevisionRow, "body">): RevisionSummary => ({
  id: row.id,
  documentId: row.document_id,
  number: row.number,
  parentId: row.parent_id,
  settlesId: row.settles_id,
  savedAt: row.saved_at,
  device: row.device,
  note: row.note,
  contentHash: row.content_hash,
});

export const revisionFromRow = (row: RevisionRow): Revision => ({
  ...summaryFromRow(row),
  body: JSON.parse(row.body) as unknown,
});
