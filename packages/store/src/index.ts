export { writeBackupFile } from "./backupFile.js";
export { BODY_BYTES_MAX, BODY_DEPTH_MAX } from "./body.js";
export { StorageError } from "./database.js";
export { DEVICE_LENGTH_MAX, NOTE_LENGTH_MAX } from "./fields.js";
export { SCHEMA_VERSION } from "./migrate.js";
export { EMBEDDED_FILE, openStore, type StoreLocation } from "./openStore.js";
export {
  type ArchiveCounts,
  type DemoDocument,
  type DemoInstalled,
  type DemoRemoved,
  type DocumentFilter,
  type DocumentHistory,
  type DocumentListing,
  type DocumentRecord,
  type Draft,
  type DraftSummary,
  type KindRules,
  type NewDocument,
  type NewDraft,
  type NewRevision,
  REFUSAL_CODES,
  type RecentFilter,
  type RecentRevision,
  type Refusal,
  type RefusalCode,
  type ReplaceOptions,
  type Restored,
  type Revision,
  type RevisionSummary,
  type SavedDocument,
  type SavedRevision,
  type Store,
  type StoreChange,
  type StoreOptions,
} from "./store.js";
