import type { Problem, Result } from "@evencrumb/core/quantities";

/**
 * Everything the baker keeps: documents of any kind and their revisions, drafts, settings.
 * The embedded file and the PostgreSQL server give the same answers; the same tests run on both.
 *
 * What the baker can get wrong comes back as a `Refusal`; an exception means that the storage itself failed.
 * When a promise of a change resolves with `ok`, the change is on the disk.
 */
export interface Store {
  readonly storage: "embedded" | "postgres";

  listDocuments(filter?: DocumentFilter): Promise<readonly DocumentListing[]>;
  readDocument(documentId: string): Promise<DocumentHistory | undefined>;
  /** Creates a document with its first revision. Sending the same id with the same content again gives `repeated`. */
  createDocument(request: NewDocument): Promise<Result<SavedDocument, Refusal>>;
  readRevision(documentId: string, revisionId: string): Promise<Revision | undefined>;
  /** Saves a revision on its parent. It is kept even where another device has saved on that parent: `alongside` tells. */
  saveRevision(request: NewRevision): Promise<Result<SavedRevision, Refusal>>;
  setStandard(documentId: string, revisionId: string | null): Promise<Result<DocumentRecord, Refusal>>;
  setArchived(documentId: string, archived: "archived" | "current"): Promise<Result<DocumentRecord, Refusal>>;

  /** All revisions of a document, first to last, without their bodies. */
  listRevisions(documentId: string): Promise<readonly RevisionSummary[]>;
  /** The line that led to a revision: itself, its parent, the parent's parent, back to the first. */
  lineageOf(documentId: string, revisionId: string): Promise<readonly RevisionSummary[]>;
  /** The newest revision that had been saved by an instant (ISO 8601, UTC), that moment included. */
  revisionAt(documentId: string, instant: string): Promise<RevisionSummary | undefined>;
  /** What was saved lately in the whole bakery, newest first. */
  recentRevisions(filter?: RecentFilter): Promise<readonly RecentRevision[]>;

  readDraft(documentId: string, device: string): Promise<Draft | undefined>;
  saveDraft(request: NewDraft): Promise<Result<DraftSummary, Refusal>>;
  deleteDraft(documentId: string, device: string): Promise<void>;

  readSettings(): Promise<Readonly<Record<string, unknown>>>;
  /** Replaces all settings. */
  writeSettings(
    settings: Readonly<Record<string, unknown>>,
    device?: string,
  ): Promise<Result<Readonly<Record<string, unknown>>, Refusal>>;

  /** Puts the demo in if the store has never held anything; later calls do nothing, even after the demo was removed. */
  installDemoAtFirstStart(demo: readonly DemoDocument[]): Promise<Result<DemoInstalled, Refusal>>;
  /** Puts back the demo documents that are not there. */
  installDemo(demo: readonly DemoDocument[]): Promise<Result<DemoInstalled, Refusal>>;
  /** Removes the demo documents that the baker never worked on. The others lose their mark and stay. */
  removeDemo(): Promise<DemoRemoved>;

  /** Everything in one file, as it was at one moment. */
  backup(): Promise<Uint8Array>;
  /** Puts back exactly what a backup holds. Nothing is changed unless the whole archive is sound. */
  restore(archive: Uint8Array, replace?: ReplaceOptions): Promise<Result<Restored, Refusal>>;

  /** Looks for damage: the file's own check, every content hash, every number and parent. Empty when sound. */
  examine(): Promise<readonly string[]>;
  /** Calls the listener after each change, whoever made it. Returns the way to stop. */
  subscribe(listener: (change: StoreChange) => void): () => void;
  close(): Promise<void>;
}

export interface DocumentRecord {
  /** UUID. */
  readonly id: string;
  readonly kind: string;
  /** As the newest revision has it. */
  readonly name: string;
  /** Part of the demo bakery, and not yet worked on by the baker. */
  readonly demo: boolean;
  readonly archived: boolean;
  /** ISO 8601, UTC. */
  readonly createdAt: string;
  /** The revision that the baker currently makes. */
  readonly standardRevisionId: string | null;
}

export interface RevisionSummary {
  readonly id: string;
  readonly documentId: string;
  /** 1, 2, 3 ... in the order of saving; never used twice in a document. */
  readonly number: number;
  /** The revision that was changed to make this one; null for the first. */
  readonly parentId: string | null;
  /** Another line of work that was taken into this revision, which is thereby settled. */
  readonly settlesId: string | null;
  /** ISO 8601, UTC. */
  readonly savedAt: string;
  /** Which device saved it; "" when it did not say. */
  readonly device: string;
  /** Why it was made; "" when nothing was written. */
  readonly note: string;
  /** SHA-256 of the body's JSON text, in hexadecimal. Equal hashes mean equal content. */
  readonly contentHash: string;
}

export interface Revision extends RevisionSummary {
  readonly body: unknown;
}

export interface DraftSummary {
  readonly device: string;
  readonly savedAt: string;
}

/** Work that was typed and not yet saved as a revision. One for each document and device; overwritten freely. */
export interface Draft extends DraftSummary {
  readonly baseRevisionId: string;
  readonly body: unknown;
}

export interface DocumentFilter {
  readonly kind?: string;
  /** "current" (the default) leaves out what was archived. */
  readonly show?: "current" | "archived" | "all";
}

export interface DocumentListing extends DocumentRecord {
  readonly latest: RevisionSummary;
  readonly drafts: readonly DraftSummary[];
}

export interface DocumentHistory {
  readonly document: DocumentRecord;
  /** The one with the highest number. */
  readonly latest: Revision;
  readonly revisions: readonly RevisionSummary[];
  /** The ends of the lines of work: revisions that no other one was made from or has settled. One, unless devices diverged. */
  readonly heads: readonly RevisionSummary[];
  readonly drafts: readonly DraftSummary[];
}

export interface NewDocument {
  readonly id?: string;
  readonly revisionId?: string;
  readonly kind: string;
  readonly body: unknown;
  readonly note?: string;
  readonly device?: string;
}

export interface SavedDocument {
  readonly document: DocumentRecord;
  readonly revision: Revision;
  /** The same request had been saved before, and its answer was probably lost. */
  readonly repeated: boolean;
}

export interface NewRevision {
  readonly documentId: string;
  readonly id?: string;
  readonly parentId: string;
  readonly settlesId?: string | null;
  readonly body: unknown;
  readonly note?: string;
  readonly device?: string;
}

export interface SavedRevision {
  readonly revision: RevisionSummary;
  /** Other revisions made from the same parent: both are kept, and a person settles the difference. */
  readonly alongside: readonly RevisionSummary[];
  /** Whether this is the newest revision of the document. */
  readonly isLatest: boolean;
  readonly repeated: boolean;
}

export interface RecentFilter {
  readonly kind?: string;
  /** ISO 8601, UTC: only what was saved at or after this. */
  readonly since?: string;
  /** 1 to 1000; 50 when not given. */
  readonly limit?: number;
}

export interface RecentRevision extends RevisionSummary {
  readonly kind: string;
  readonly documentName: string;
}

export interface NewDraft {
  readonly documentId: string;
  readonly device: string;
  readonly baseRevisionId: string;
  readonly body: unknown;
}

export interface DemoDocument {
  readonly id: string;
  readonly kind: string;
  readonly revisions: readonly { readonly body: unknown; readonly note?: string }[];
  /** Number of the revision that is the standard, counted from 1. */
  readonly standard?: number;
}

export interface DemoInstalled {
  readonly installed: readonly string[];
  /** Were there already, and were left as they are. */
  readonly present: readonly string[];
}

export interface DemoRemoved {
  readonly removed: readonly string[];
  /** The baker had begun to work on them: now they are the baker's. */
  readonly kept: readonly string[];
}

/** To replace what is there, one has to say where the backup of it goes. */
export interface ReplaceOptions {
  /** Has to resolve only once the archive is safely kept; if it rejects, nothing is replaced. */
  readonly keepBackup: (archive: Uint8Array) => Promise<void>;
}

export interface ArchiveCounts {
  readonly documents: number;
  readonly revisions: number;
  readonly drafts: number;
  readonly settings: number;
}

export interface Restored extends ArchiveCounts {
  /** When the backup was made; ISO 8601, UTC. */
  readonly madeAt: string;
  readonly replaced: "nothing" | "everything";
}

export type StoreChange =
  | { readonly type: "document-changed"; readonly id: string; readonly revisionId?: string; readonly device?: string }
  | { readonly type: "settings-changed"; readonly device?: string }
  /** Anything may have changed: after a restore, after the line to PostgreSQL was cut, or when another program wrote to the file. */
  | { readonly type: "restored" };

export const REFUSAL_CODES = [
  "no-such-document",
  "no-such-revision",
  "unknown-kind",
  "unusable-body",
  "too-large",
  "unusable-field",
  "id-taken",
  "not-empty",
  "not-an-archive",
  "damaged-archive",
  "newer-archive",
] as const;
export type RefusalCode = (typeof REFUSAL_CODES)[number];

/** Why the store did not do it. Nothing was changed. */
export interface Refusal {
  readonly code: RefusalCode;
  /** A sentence for the baker. */
  readonly detail: string;
  readonly problems: readonly Problem[];
}

/** What the store has to know about one kind of document. */
export interface KindRules {
  /** What is wrong with a body; empty when it may be saved. */
  readonly check: (body: unknown) => readonly Problem[];
  /** The name to list it under. */
  readonly nameOf: (body: unknown) => string;
}

/** What the store is told from outside, so that a test decides the time and the ids. */
export interface StoreOptions {
  /** The kinds of document that may be kept. A kind that is not here is refused. */
  readonly kinds: Readonly<Record<string, KindRules>>;
  readonly now: () => Date;
  /** A new UUID. */
  readonly newId: () => string;
}
