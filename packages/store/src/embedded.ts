import { mkdirSync } from "node:fs";
import { dirname } from "node:path";
import { Kysely, SqliteDialect, type SqliteStatement, sql } from "kysely";
import Libsql from "libsql";
import { announcer } from "./announcer.js";
import { type Database, StorageError } from "./database.js";
import { migrate } from "./migrate.js";
import type { Migration } from "./migrations.js";
import type { Tables } from "./schema.js";
import type { StoreChange } from "./store.js";

/** Marks the file as ours in SQLite's own header: the letters "Evnc". */
const APPLICATION_ID = 0x45766e63;
/** How long to wait for another program that is writing [ms]. */
const BUSY_MS = 10_000;
/** How long a single statement waits in place, during which nothing else runs in this program [ms]. */
const BUSY_IN_PLACE_MS = 50;

/** How often it is looked whether another program has written, while somebody listens [ms]. */
const WATCH_MS = 1000;
/** How many statements are kept ready, and how long they may be; this package has some fifty short ones. */
const [PREPARED_MAX, PREPARED_LENGTH_MAX] = [300, 2000];

/**
 * Opens (or makes) the embedded store: one SQLite file, and its journal beside it.
 *
 * @param file  path of the database file; its folder is made if it is not there
 * @throws StorageError when the file is something else, is damaged, or was written by a newer program
 */
export async function openEmbeddedDatabase(file: string, now: () => Date, migrations?: readonly Migration[]): Promise<Database> {
  const connection = openFile(file);
  let state: "open" | "closing" | "closed" = "open";
  const atWork = new Set<Promise<unknown>>();
  const prepared = new Map<string, SqliteStatement>();
  const db = new Kysely<Tables>({
    dialect: new SqliteDialect({
      database: {
        prepare(text) {
          // The native part takes the whole program down when it is used after closing.
          if (state === "closed") throw new StorageError("The store is closed.");
          const known = prepared.get(text);
          if (known !== undefined) return known;
          const statement = connection.prepare(text) as SqliteStatement;
          // libsql keeps the memory of a statement until the connection closes: a draft each second would fill it in a day.
          // Long statements are those that list many rows; they come rarely and never twice the same.
          if (text.length <= PREPARED_LENGTH_MAX && prepared.size < PREPARED_MAX) prepared.set(text, statement);
          return statement;
        },
        close() {
          state = "closed";
          prepared.clear();
          connection.close();
        },
      },
    }),
  });
  const { announce, subscribe } = announcer();

  /** Notices that another program has written: SQLite counts the changes of others, and says nothing of what they were. */
  function watchOthers(): () => void {
    const version = connection.prepare("pragma data_version");
    const read = () => (version.get() as { data_version: number }).data_version;
    let seen = read();
    const timer = setInterval(() => {
      if (state !== "open") return clearInterval(timer);
      const now = read();
      if (now !== seen) announce({ type: "restored" });
      seen = now;
    }, WATCH_MS);
    timer.unref();
    return () => clearInterval(timer);
  }

  async function inTransaction<T>(begin: string, work: (transaction: Kysely<Tables>) => Promise<T>): Promise<T> {
    if (state !== "open") throw new StorageError("The store is closed.");
    const done = db.connection().execute(async (transaction) => {
      // Not by kysely: a prepared statement that was refused as busy stays half-run, and no commit succeeds beside it.
      await waitWhileBusy(() => connection.exec(begin));
      try {
        const value = await work(transaction);
        connection.exec("commit");
        return value;
      } catch (error) {
        // A full disk or a failed commit may have ended the transaction already.
        if (connection.inTransaction) connection.exec("rollback");
        throw error;
      }
    });
    const settled = done.catch(() => {}).finally(() => atWork.delete(settled));
    atWork.add(settled);
    return done;
  }

  const watchers = new Set<object>();
  let stopWatching: (() => void) | undefined;
  const database: Database = {
    dialect: "sqlite",
    db,
    async write(work) {
      let changes: StoreChange[] = [];
      // "immediate" takes the write lock before anything is read, so that a number or a parent cannot go stale in between.
      const value = await inTransaction("begin immediate", (transaction) => {
        changes = [];
        return work(transaction, (change) => changes.push(change));
      });
      for (const change of changes) announce(change);
      return value;
    },
    readTogether: (work) => inTransaction("begin", work),
    lockEverything: async () => {}, // "begin immediate" did it
    async checkFile() {
      const { rows } = await sql<{ integrity_check: string }>`pragma integrity_check`.execute(db);
      const orphans = await sql<{ table: string; rowid: number }>`pragma foreign_key_check`.execute(db);
      return [
        ...rows.map((row) => row.integrity_check).filter((line) => line !== "ok"),
        ...orphans.rows.map((row) => `${row.table}, row ${row.rowid}: refers to something that is not there`),
      ];
    },
    subscribe(listener) {
      const unsubscribe = subscribe(listener);
      const watcher = {};
      watchers.add(watcher);
      stopWatching ??= watchOthers();
      return () => {
        unsubscribe();
        watchers.delete(watcher); // a second call changes nothing
        if (watchers.size > 0) return;
        stopWatching?.();
        stopWatching = undefined;
      };
    },
    async close() {
      if (state !== "open") return;
      state = "closing";
      stopWatching?.();
      await Promise.all(atWork);
      // So that the one file holds everything. Another program that reads just now may prevent it, and does no harm.
      connection.exec("pragma wal_checkpoint(truncate)");
      await db.destroy();
      if (state === "closing") connection.close(); // kysely closes only what it has used
    },
  };
  try {
    await database.write((transaction) => migrate(transaction, "sqlite", now(), migrations));
  } catch (error) {
    await database.close();
    throw error;
  }
  return database;
}

/** Waits without holding up everything else that this program does. */
async function waitWhileBusy(begin: () => unknown): Promise<void> {
  for (let waitedMs = 0, waitMs = 1; ; waitedMs += waitMs, waitMs = Math.min(50, waitMs * 2)) {
    try {
      begin();
      return;
    } catch (error) {
      if (!String((error as { code?: unknown }).code).startsWith("SQLITE_BUSY") || waitedMs > BUSY_MS) throw error;
      await new Promise((resolve) => setTimeout(resolve, waitMs));
    }
  }
}

function openFile(file: string): InstanceType<typeof Libsql> {
  let connection: InstanceType<typeof Libsql> | undefined;
  try {
    mkdirSync(dirname(file), { recursive: true });
    connection = new Libsql(file);
    connection.exec(`pragma busy_timeout = ${BUSY_MS}`);
    const id = pragma(connection, "application_id");
    const tables = (connection.prepare("select count(*) as count from sqlite_schema").get() as { count: number }).count;
    if (id !== APPLICATION_ID && !(id === 0 && tables === 0)) {
      throw new StorageError(`${file} is a database of another program. Choose another folder.`);
    }
    // Every acknowledged save is synced to the disk: full, not normal, which in this mode may lose the last ones at a power cut.
    connection.exec("pragma journal_mode = wal");
    connection.exec("pragma synchronous = full");
    connection.exec("pragma fullfsync = on"); // on macOS a plain sync stops at the disk's own cache
    connection.exec("pragma checkpoint_fullfsync = on");
    connection.exec("pragma foreign_keys = on");
    connection.exec("pragma recursive_triggers = on");
    connection.exec("pragma trusted_schema = off");
    if (id === 0) connection.exec(`pragma application_id = ${APPLICATION_ID}`);
    if (pragma(connection, "journal_mode") !== "wal" || pragma(connection, "synchronous") !== 2) {
      throw new StorageError(`${file} cannot be written safely here: the file system does not offer what the store needs.`);
    }
    connection.exec(`pragma busy_timeout = ${BUSY_IN_PLACE_MS}`);
    return connection;
  } catch (error) {
    connection?.close();
    if (error instanceof StorageError) throw error;
    const words = error instanceof Error ? error.message : String(error);
    throw new StorageError(
      `${file} cannot be opened as a store (${words}). Check that the folder can be written and that the file is not damaged; a backup can be restored into a new folder.`,
      {
        cause: error,
      },
    );
  }
}

const pragma = (connection: InstanceType<typeof Libsql>, name: string): unknown =>
  Object.entries(connection.prepare(`pragma ${name}`).get() as object).find(([key]) => key !== "_metadata")?.[1];
