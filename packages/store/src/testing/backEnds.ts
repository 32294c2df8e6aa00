import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Problem } from "@evencrumb/core/quantities";
import { sql } from "kysely";
import type { Database } from "../database.js";
import { openEmbeddedDatabase } from "../embedded.js";
import { EMBEDDED_FILE, storeOn } from "../openStore.js";
import { openPostgresDatabase } from "../postgres.js";
import type { KindRules, Store, StoreOptions } from "../store.js";

/** A clock that moves one second at each reading, and ids in order: two runs give the same store. */
export function steadyOptions(
  kinds: Readonly<Record<string, KindRules>> = TEST_KINDS,
): StoreOptions & { readonly startAgain: (label: number) => void } {
  let seconds = 0;
  let count = 0;
  let label = 1;
  return {
    kinds,
    now: () => new Date(Date.UTC(2030, 2, 1, 6, 0, seconds++)),
    newId: () => `0000000${label}-0000-4000-8000-${String(++count).padStart(12, "0")}`,
    startAgain: (next) => {
      label = next;
    },
  };
}

export const TEST_KINDS: Readonly<Record<string, KindRules>> = {
  formula: { check: needsName, nameOf: (body) => (body as { name: string }).name },
  tin: { check: needsName, nameOf: (body) => (body as { name: string }).name },
};

function needsName(body: unknown): readonly Problem[] {
  if (typeof (body as { name?: unknown } | null)?.name === "string") return [];
  return [{ code: "missing-field", path: ["name"], expected: "a name", found: "nothing", remedy: "Give it a name." }];
}

/** One store under test, and what is needed to look behind it. */
export interface BackEnd {
  readonly store: Store;
  readonly database: Database;
  readonly options: StoreOptions;
  /** A second program on the same store. */
  readonly openAgain: () => Promise<Store>;
  readonly dispose: () => Promise<void>;
}

export interface BackEndKind {
  readonly name: string;
  readonly open: (options?: StoreOptions) => Promise<BackEnd>;
}

const POSTGRES_URL = process.env.EVENCRUMB_TEST_POSTGRES;
let schemas = 0;

const embedded: BackEndKind = {
  name: "embedded file",
  async open(options = steadyOptions()) {
    const folder = mkdtempSync(join(tmpdir(), "evencrumb-store-"));
    const open = () => openEmbeddedDatabase(join(folder, EMBEDDED_FILE), options.now);
    return backEnd(open, options, async () => rmSync(folder, { recursive: true, force: true }));
  },
};

const postgres: BackEndKind = {
  name: "PostgreSQL",
  async open(options = steadyOptions()) {
    const schema = `test_${process.pid}_${Date.now().toString(36)}_${++schemas}`;
    const open = () => openPostgresDatabase(POSTGRES_URL!, schema, options.now);
    return backEnd(open, options, async () => {
      const last = await open();
      await sql`drop schema ${sql.id(schema)} cascade`.execute(last.db);
      await last.close();
    });
  },
};

async function backEnd(open: () => Promise<Database>, options: StoreOptions, remove: () => Promise<void>): Promise<BackEnd> {
  const database = await open();
  const opened: Store[] = [storeOn(database, options)];
  return {
    store: opened[0]!,
    database,
    options,
    async openAgain() {
      const again = storeOn(await open(), options);
      opened.push(again);
      return again;
    },
    async dispose() {
      for (const store of opened) await store.close();
      await remove();
    },
  };
}

/** Every back end that can be had here. The missing one is said aloud, once in each test file. */
export function backEnds(): readonly BackEndKind[] {
  if (POSTGRES_URL !== undefined && POSTGRES_URL !== "") return [embedded, postgres];
  console.warn(
    "\n!!! POSTGRESQL IS NOT TESTED in this run: EVENCRUMB_TEST_POSTGRES is not set.\n!!! To test it: export EVENCRUMB_TEST_POSTGRES=$(tools/startPostgres.sh)\n",
  );
  return [embedded];
}
