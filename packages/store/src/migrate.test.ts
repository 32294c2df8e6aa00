import { createHash } from "node:crypto";
import { copyFileSync, mkdtempSync, readdirSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { sql } from "kysely";
import Libsql from "libsql";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { openEmbeddedDatabase } from "./embedded.js";
import { SCHEMA_VERSION } from "./migrate.js";
import { MIGRATIONS } from "./migrations.js";
import { EMBEDDED_FILE, openStore, storeOn } from "./openStore.js";
import { backEnds, steadyOptions } from "./testing/backEnds.js";

const FIXTURES = new URL("./fixtures/", import.meta.url).pathname;
const now = () => new Date("2030-03-01T06:00:00Z");

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "evencrumb-migrate-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

it("never edits a migration that was shipped (pinned)", () => {
  const hashes = MIGRATIONS.flatMap(({ number, statements }) =>
    (["sqlite", "postgres"] as const).map(
      (dialect) =>
        `${number} ${dialect} ${createHash("sha256").update(statements(dialect).join(";\n")).digest("hex").slice(0, 16)}`,
    ),
  );
  // A line may be added here, and none may ever change.
  expect(hashes).toMatchInlineSnapshot(`
    [
      "1 sqlite c47c5c9da889ce65",
      "1 postgres 17f4dbdacefe4510",
      "2 sqlite 5112befd4468f6c4",
      "2 postgres 5112befd4468f6c4",
    ]
  `);
});

it("numbers its migrations 1, 2, 3 ...", () => {
  expect(MIGRATIONS.map(({ number }) => number)).toEqual(MIGRATIONS.map((_, index) => index + 1));
});

describe.each(backEnds())("the schema on $name", ({ name, open }) => {
  it("is the one that was reviewed (pinned)", async () => {
    const end = await open();
    const lines =
      end.database.dialect === "sqlite"
        ? (
            await sql<{ sql: string }>`select sql from sqlite_schema where sql is not null order by type desc, name`.execute(
              end.database.db,
            )
          ).rows.map((row) => `${row.sql};`)
        : (
            await sql<{ line: string }>`
            select 'column ' || table_name || '.' || column_name || ' ' || data_type || case is_nullable when 'NO' then ' not null' else '' end as line
              from information_schema.columns where table_schema = current_schema()
            union all select 'constraint ' || conrelid::regclass || ' ' || pg_get_constraintdef(oid)
              from pg_constraint where connamespace = current_schema()::regnamespace
            union all select replace(indexdef, current_schema() || '.', '') from pg_indexes where schemaname = current_schema()
            union all select replace(pg_get_triggerdef(t.oid), current_schema() || '.', '')
              from pg_trigger t join pg_class c on c.oid = t.tgrelid where c.relnamespace = current_schema()::regnamespace and not t.tgisinternal
            union all select prosrc from pg_proc where pronamespace = current_schema()::regnamespace
            order by 1`.execute(end.database.db)
          ).rows.map((row) => row.line);
    await end.dispose();
    await expect(`${lines.join("\n")}\n`).toMatchFileSnapshot(
      `./fixtures/schema-${name === "PostgreSQL" ? "postgres.txt" : "sqlite.sql"}`,
    );
  });

  it("is the same when two programs make it at once", async () => {
    const end = await open();
    const again = await Promise.all([end.openAgain(), end.openAgain(), end.openAgain()]);
    expect(await Promise.all(again.map((store) => store.listDocuments()))).toEqual([[], [], []]);
    const versions = await end.database.db.selectFrom("schema_versions").select("number").orderBy("number").execute();
    expect(versions.map(({ number }) => number)).toEqual(MIGRATIONS.map(({ number }) => number));
    await end.dispose();
  });
});

it("has a store file of every version before the newest", () => {
  expect(readdirSync(FIXTURES).filter((file) => file.endsWith(".db"))).toEqual(
    Array.from({ length: SCHEMA_VERSION - 1 }, (_, index) => `version-${index + 1}.db`),
  );
});

it.each(MIGRATIONS.slice(0, -1))("opens a store of version $number with everything in it", async ({ number }) => {
  copyFileSync(join(FIXTURES, `version-${number}.db`), join(folder, EMBEDDED_FILE));
  const store = await openStore({ folder }, steadyOptions());
  expect(await store.examine()).toEqual([]);
  const [ring, ringTin, roll] = await store
    .listDocuments({ show: "all" })
    .then((all) => ["Almond ring", "Ring tin, 22 cm", "Demo roll"].map((name) => all.find((one) => one.name === name)!));
  expect(ring).toMatchObject({
    createdAt: "2029-06-01T05:30:00.000Z",
    standardRevisionId: "0f1e2d3c-0000-4000-8000-0000000000a1",
    demo: false,
    latest: { number: 3 },
  });
  expect(ringTin).toMatchObject({ kind: "tin", archived: true });
  expect(roll).toMatchObject({ demo: true });
  const history = (await store.readDocument(ring!.id))!;
  expect(history.revisions.map((one) => [one.number, one.device, one.note, one.settlesId])).toEqual([
    [1, "bench", "First bake.", null],
    [2, "bench", "A little less sugar.", null],
    [3, "office", "More almonds: crème d'amande, 20 %.", null],
  ]);
  expect(history.heads.map((head) => head.number)).toEqual([2, 3]);
  expect(history.latest.body).toEqual({ name: "Almond ring", grams: 185 });
  expect(await store.readDraft(ring!.id, "bench")).toMatchObject({
    savedAt: "2029-06-04T05:30:00.000Z",
    body: { name: "Almond ring", grams: "17" },
  });
  expect(await store.readSettings()).toEqual({ units: "metric" });

  // And it works on from there.
  const [two, three] = history.heads;
  const settled = await store.saveRevision({
    documentId: ring!.id,
    parentId: three!.id,
    settlesId: two!.id,
    body: { name: "Almond ring", grams: 180 },
  });
  expect(settled).toMatchObject({ ok: true, value: { revision: { number: 4 } } });
  expect(await store.removeDemo()).toEqual({ removed: [roll!.id], kept: [] });
  expect(await store.examine()).toEqual([]);
  await store.close();
});

it("leaves a store of an earlier version as it was when a step fails", async () => {
  const file = join(folder, EMBEDDED_FILE);
  copyFileSync(join(FIXTURES, "version-1.db"), file);
  const broken = {
    number: 3,
    name: "broken",
    statements: () => ["create table extra (id text)", "create table documents (id text)"],
  };
  await expect(openEmbeddedDatabase(file, now, [...MIGRATIONS, broken])).rejects.toThrow("already exists");
  const connection = new Libsql(file);
  expect(connection.prepare("select number from schema_versions").all()).toHaveLength(1);
  expect(connection.prepare("select name from sqlite_schema where name = 'extra'").all()).toEqual([]);
  connection.close();
});

it("refuses a store of a newer program, another program's file, and damage, and says what to do", async () => {
  const file = join(folder, EMBEDDED_FILE);
  const newer = { number: SCHEMA_VERSION + 1, name: "later", statements: () => [] };
  await (await openEmbeddedDatabase(file, now, [...MIGRATIONS, newer])).close();
  await expect(openStore({ folder }, steadyOptions())).rejects.toThrow(
    `written by a newer Evencrumb (schema ${SCHEMA_VERSION + 1})`,
  );

  const other = join(folder, "other.db");
  const connection = new Libsql(other);
  connection.exec("create table notes (text text)");
  connection.close();
  await expect(openEmbeddedDatabase(other, now)).rejects.toThrow("is a database of another program");

  const text = join(folder, "text.db");
  writeFileSync(text, "This is a shopping list and no database at all. ".repeat(100));
  await expect(openEmbeddedDatabase(text, now)).rejects.toThrow(
    /cannot be opened as a store .* a backup can be restored into a new folder/,
  );
  await expect(openEmbeddedDatabase(join(text, "below", "a.db"), now)).rejects.toThrow("cannot be opened as a store");
});

it("syncs every save to the disk, and leaves all of it in one file when it is closed", async () => {
  const file = join(folder, "deep", "er", EMBEDDED_FILE);
  const database = await openEmbeddedDatabase(file, now);
  const setting = async (name: string) =>
    Object.values((await sql.raw(`pragma ${name}`).execute(database.db)).rows[0] as object)[0];
  expect(await setting("journal_mode")).toBe("wal");
  expect(await setting("synchronous")).toBe(2); // 2 is "full" (SQLite manual, PRAGMA synchronous)
  expect(await setting("foreign_keys")).toBe(1);
  const store = storeOn(database, steadyOptions());
  await store.createDocument({ kind: "tin", body: { name: "round" } });
  const save = store.createDocument({ kind: "tin", body: { name: "square" } });
  await store.close(); // waits for the save
  expect(await save).toMatchObject({ ok: true });
  await expect(store.createDocument({ kind: "tin", body: { name: "late" } })).rejects.toThrow("The store is closed.");
  await expect(store.listDocuments()).rejects.toThrow("The store is closed.");
  await store.close();
  expect(statSync(`${file}-wal`, { throwIfNoEntry: false })?.size ?? 0).toBe(0);
});

it("loses nothing when the disk is full, and goes on when there is room again", async () => {
  const database = await openEmbeddedDatabase(join(folder, EMBEDDED_FILE), now);
  const store = storeOn(database, steadyOptions());
  const pages = (await sql<{ page_count: number }>`pragma page_count`.execute(database.db)).rows[0]!.page_count;
  await sql.raw(`pragma max_page_count = ${pages + 100}`).execute(database.db); // SQLite's own way to a full disk
  const saved: string[] = [];
  const save = () => store.createDocument({ kind: "formula", body: { name: "Sponge", notes: "x".repeat(20_000) } });
  await expect(
    (async () => {
      for (;;) {
        const one = await save();
        if (one.ok) saved.push(one.value.document.id);
      }
    })(),
  ).rejects.toThrow("full");
  expect(saved.length).toBeGreaterThan(5);
  expect((await store.listDocuments()).map(({ id }) => id).toSorted()).toEqual(saved.toSorted());
  expect(await store.examine()).toEqual([]);
  await sql.raw(`pragma max_page_count = ${pages + 10_000}`).execute(database.db);
  expect(await save()).toMatchObject({ ok: true });
  await store.close();
});
