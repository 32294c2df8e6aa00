import { type Kysely, sql } from "kysely";
import { StorageError } from "./database.js";
import { type Dialect, MIGRATIONS, type Migration } from "./migrations.js";
import type { Tables } from "./schema.js";

/** The schema version that this program writes. */
export const SCHEMA_VERSION = MIGRATIONS.at(-1)!.number;

/**
 * Brings the tables up to date, inside the transaction that is handed in: all steps or none.
 *
 * @throws StorageError when the store was written by a newer program
 */
export async function migrate(
  transaction: Kysely<Tables>,
  dialect: Dialect,
  now: Date,
  migrations: readonly Migration[] = MIGRATIONS,
) {
  await sql
    .raw(
      `create table if not exists schema_versions (number integer not null primary key, name text not null, applied_at text not null)${dialect === "sqlite" ? " strict" : ""}`,
    )
    .execute(transaction);
  const done = await transaction.selectFrom("schema_versions").select("number").execute();
  const reached = Math.max(0, ...done.map((row) => row.number));
  const newest = migrations.at(-1)!.number;
  if (reached > newest) {
    throw new StorageError(
      `This store was written by a newer Evencrumb (schema ${reached}); this one knows schemas up to ${newest}. Use the newer program, or restore a backup into a new folder.`,
    );
  }
  for (const migration of migrations.filter(({ number }) => number > reached)) {
    for (const statement of migration.statements(dialect)) await sql.raw(statement).execute(transaction);
    await transaction
      .insertInto("schema_versions")
      .values({ number: migration.number, name: migration.name, applied_at: now.toISOString() })
      .execute();
  }
}
