// The tables as kysely sees them. The truth is in migrations.ts; a test compares the two through every query.
// Instants are ISO 8601 text and bodies are JSON text on both back ends, so that a backup gives back every byte.

export interface DocumentRow {
  id: string;
  kind: string;
  name: string;
  created_at: string;
  archived_at: string | null;
  demo: number;
  standard_revision_id: string | null;
}

export interface RevisionRow {
  id: string;
  document_id: string;
  number: number;
  parent_id: string | null;
  settles_id: string | null;
  saved_at: string;
  device: string;
  note: string;
  body: string;
  content_hash: string;
}

export interface DraftRow {
  document_id: string;
  device: string;
  base_revision_id: string;
  saved_at: string;
  body: string;
}

export interface SettingRow {
  key: string;
  value: string;
  saved_at: string;
}

export interface HousekeepingRow {
  key: string;
  value: string;
}

export interface SchemaVersionRow {
  number: number;
  name: string;
  applied_at: string;
}

export interface Tables {
  documents: DocumentRow;
  revisions: RevisionRow;
  drafts: DraftRow;
  settings: SettingRow;
  housekeeping: HousekeepingRow;
  schema_versions: SchemaVersionRow;
}
