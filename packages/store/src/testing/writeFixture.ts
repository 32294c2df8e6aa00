import { rmSync } from "node:fs";
import { sql } from "kysely";
import { hashText } from "../body.js";
import { openEmbeddedDatabase } from "../embedded.js";
import { MIGRATIONS } from "../migrations.js";

// Writes the store file of an earlier schema version, as the program of that time would have written it:
//   node --conditions=evencrumb-source --import tsx packages/store/src/testing/writeFixture.ts 1 packages/store/src/fixtures/version-1.db
// A fixture is written once, when its version is the newest, and then kept as it is.

const [version, file] = [Number(process.argv[2]), process.argv[3]!];
const instant = (day: number) => `2029-06-0${day}T05:30:00.000Z`;
const id = (label: string) => `0f1e2d3c-0000-4000-8000-${label.padStart(12, "0")}`;

const DOCUMENTS = [
  {
    id: id("d1"),
    kind: "formula",
    name: "Almond ring",
    created_at: instant(1),
    archived_at: null,
    demo: 0,
    standard_revision_id: id("a1"),
  },
  {
    id: id("d2"),
    kind: "tin",
    name: "Ring tin, 22 cm",
    created_at: instant(2),
    archived_at: instant(3),
    demo: 0,
    standard_revision_id: null,
  },
  {
    id: id("d3"),
    kind: "formula",
    name: "Demo roll",
    created_at: instant(1),
    archived_at: null,
    demo: 1,
    standard_revision_id: null,
  },
];
const REVISIONS = [
  revision("a1", "d1", 1, null, 1, "bench", "First bake.", { name: "Almond ring", grams: 180 }),
  revision("a2", "d1", 2, "a1", 2, "bench", "A little less sugar.", { name: "Almond ring", grams: 170 }),
  revision("a3", "d1", 3, "a1", 2, "office", "More almonds: crème d'amande, 20 %.", { name: "Almond ring", grams: 185 }),
  revision("b1", "d2", 1, null, 2, "", "", { name: "Ring tin, 22 cm", capacityMl: 1900 }),
  revision("c1", "d3", 1, null, 1, "", "Invented.", { name: "Demo roll", grams: 90 }),
];

function revision(
  label: string,
  document: string,
  number: number,
  parent: string | null,
  day: number,
  device: string,
  note: string,
  body: object,
) {
  const text = JSON.stringify(body);
  const parentId = parent === null ? null : id(parent);
  return {
    id: id(label),
    document_id: id(document),
    number,
    parent_id: parentId,
    saved_at: instant(day),
    device,
    note,
    body: text,
    content_hash: hashText(text),
  };
}

if (version !== 1) throw new RangeError(`no fixture is known for version ${version}`);
rmSync(file, { force: true });
const database = await openEmbeddedDatabase(file, () => new Date(instant(1)), MIGRATIONS.slice(0, version));
await database.write(async (transaction) => {
  const insert = async (table: string, rows: readonly Readonly<Record<string, string | number | null>>[]) => {
    for (const row of rows) {
      const columns = sql.join(Object.keys(row).map((column) => sql.id(column)));
      await sql`insert into ${sql.table(table)} (${columns}) values (${sql.join(Object.values(row))})`.execute(transaction);
    }
  };
  await insert("documents", DOCUMENTS);
  await insert("revisions", REVISIONS);
  await insert("drafts", [
    {
      document_id: id("d1"),
      device: "bench",
      base_revision_id: id("a2"),
      saved_at: instant(4),
      body: '{"name":"Almond ring","grams":"17' + '"}',
    },
  ]);
  await insert("settings", [{ key: "units", value: '"metric"', saved_at: instant(1) }]);
  await insert("housekeeping", [{ key: "demo", value: "installed" }]);
});
await database.close();
