import type { Kysely } from "kysely";
import type { Dialect } from "./migrations.js";
import type { Tables } from "./schema.js";
import type { StoreChange } from "./store.js";

/** A connection to one store, whichever the back end: what the rest of this package is written against. */
export interface Database {
  readonly dialect: Dialect;
  /** Single statements that read. */
  readonly db: Kysely<Tables>;
  /**
   * Runs the work as one transaction that sees nobody else's half-done changes, and resolves once it is on the disk.
   * The work may be run again from the start when two devices met, so it must not have effects of its own.
   */
  write<T>(work: (transaction: Kysely<Tables>, announce: (change: StoreChange) => void) => Promise<T>): Promise<T>;
  /** Runs several reads that all see the same moment. */
  readTogether<T>(work: (transaction: Kysely<Tables>) => Promise<T>): Promise<T>;
  /** Lets nobody else write until the transaction ends. */
  lockEverything(transaction: Kysely<Tables>): Promise<void>;
  /** What the back end itself finds wrong with its file. */
  checkFile(): Promise<readonly string[]>;
  subscribe(listener: (change: StoreChange) => void): () => void;
  close(): Promise<void>;
}

/** The storage cannot be used at all: wrong file, no right to write, a newer schema. The message is for the person who starts it. */
export class StorageError extends Error {
  override readonly name = "StorageError";
}
