import type { Result } from "@evencrumb/core/quantities";
import { type Kysely, sql } from "kysely";
import { type Contents, countOf, findFlaw, packArchive, unpackArchive } from "./archive.js";
import type { Database } from "./database.js";
import { refuse } from "./fields.js";
import { GUARDS } from "./migrations.js";
import type { Tables } from "./schema.js";
import type { Refusal, ReplaceOptions, Restored, StoreOptions } from "./store.js";

/** How many rows go into one statement: PostgreSQL takes 65 535 values in one, and a revision has ten. */
const ROWS_TOGETHER = 500;

/** Everything out into one file, and everything back. */
export function copyIn(database: Database, { now }: StoreOptions) {
  const backup = async (): Promise<Uint8Array> => packArchive(await database.readTogether(readEverything), now());

  return {
    backup,

    async restore(archive: Uint8Array, replace?: ReplaceOptions): Promise<Result<Restored, Refusal>> {
      const unpacked = await unpackArchive(archive);
      if (!unpacked.ok) return unpacked;
      const { contents, madeAt } = unpacked.value;
      if (!replace && !(await isEmpty(database.db))) return NOT_EMPTY;
      if (replace) await replace.keepBackup(await backup());
      return database.write(async (transaction, announce): Promise<Result<Restored, Refusal>> => {
        await database.lockEverything(transaction);
        const empty = await isEmpty(transaction);
        if (!replace && !empty) return NOT_EMPTY;
        await replaceEverything(transaction, database, contents);
        announce({ type: "restored" });
        return { ok: true, value: { ...countOf(contents), madeAt, replaced: empty ? "nothing" : "everything" } };
      });
    },

    async examine(): Promise<readonly string[]> {
      const flaw = findFlaw(await database.readTogether(readEverything));
      return [...(await database.checkFile()), ...(flaw === undefined ? [] : [flaw])];
    },
  };
}

const NOT_EMPTY = refuse(
  "not-empty",
  "There are documents or settings here already. Restoring would replace all of them: ask for that, and a backup of them is made first.",
);

async function isEmpty(transaction: Kysely<Tables>): Promise<boolean> {
  const document = await transaction.selectFrom("documents").select("id").limit(1).executeTakeFirst();
  const setting = await transaction.selectFrom("settings").select("key").limit(1).executeTakeFirst();
  return document === undefined && setting === undefined;
}

async function readEverything(transaction: Kysely<Tables>): Promise<Contents> {
  const contents = {
    documents: await transaction.selectFrom("documents").selectAll().execute(),
    revisions: await transaction.selectFrom("revisions").selectAll().execute(),
    drafts: await transaction.selectFrom("drafts").selectAll().execute(),
    settings: await transaction.selectFrom("settings").selectAll().execute(),
    housekeeping: await transaction.selectFrom("housekeeping").selectAll().execute(),
  };
  // Sorted here and not by the database, whose idea of the order of letters depends on the server's language.
  const byKey = <Row>(rows: readonly Row[], ...keys: readonly (keyof Row)[]) =>
    rows.toSorted(
      (a, b) => keys.map((key) => (a[key] < b[key] ? -1 : a[key] > b[key] ? 1 : 0)).find((order) => order !== 0) ?? 0,
    );
  return {
    documents: byKey(contents.documents, "id"),
    revisions: byKey(contents.revisions, "document_id", "number"),
    drafts: byKey(contents.drafts, "document_id", "device"),
    settings: byKey(contents.settings, "key"),
    housekeeping: byKey(contents.housekeeping, "key"),
  };
}

async function replaceEverything(transaction: Kysely<Tables>, { dialect }: Database, contents: Contents): Promise<void> {
  for (const guard of GUARDS[dialect]) for (const statement of guard.drop) await sql.raw(statement).execute(transaction);
  await transaction.deleteFrom("drafts").execute();
  await transaction.updateTable("documents").set({ standard_revision_id: null }).execute();
  await transaction.deleteFrom("revisions").execute();
  await transaction.deleteFrom("documents").execute();
  await transaction.deleteFrom("settings").execute();
  await transaction.deleteFrom("housekeeping").execute();
  // A document points to its standard and a revision to its document: the first is checked at the end of the transaction.
  for (const rows of together(contents.documents)) await transaction.insertInto("documents").values(rows).execute();
  for (const rows of together(contents.revisions)) await transaction.insertInto("revisions").values(rows).execute();
  for (const rows of together(contents.drafts)) await transaction.insertInto("drafts").values(rows).execute();
  for (const rows of together(contents.settings)) await transaction.insertInto("settings").values(rows).execute();
  for (const rows of together(contents.housekeeping)) await transaction.insertInto("housekeeping").values(rows).execute();
  for (const guard of GUARDS[dialect]) for (const statement of guard.create) await sql.raw(statement).execute(transaction);
}

function* together<Row>(rows: readonly Row[]): Generator<readonly Row[]> {
  for (let from = 0; from < rows.length; from += ROWS_TOGETHER) yield rows.slice(from, from + ROWS_TOGETHER);
}
