import { createHash } from "node:crypto";
import { gunzipSync, gzipSync } from "node:zlib";
import fc from "fast-check";
import { sql } from "kysely";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { packArchive, unpackArchive } from "./archive.js";
import type { Store } from "./store.js";
import { type BackEnd, backEnds, steadyOptions } from "./testing/backEnds.js";

const DEMO = [{ id: "5a1d0001-0000-4000-8000-000000000001", kind: "formula", revisions: [{ body: { name: "Demo roll" } }] }];

/** A bakery with everything in it that a store can hold. */
async function fill(store: Store): Promise<void> {
  await store.installDemoAtFirstStart(DEMO);
  const saved = await store.createDocument({
    kind: "formula",
    body: { name: "Crème 🍰", notes: "a\u0000b \ud800", n: [1e-7, 0.1 + 0.2] },
    note: "first",
    device: "bench",
  });
  if (!saved.ok) throw new Error(saved.error.detail);
  const { document, revision } = saved.value;
  const ids = [revision.id];
  for (let index = 0; index < 6; index += 1) {
    const next = await store.saveRevision({
      documentId: document.id,
      parentId: ids[index >> 1]!,
      ...(index === 5 && { settlesId: ids[1]! }),
      body: { name: `Crème ${index}` },
      note: `${index}\n\tone`,
      device: index % 2 === 0 ? "bench" : "Küche",
    });
    if (!next.ok) throw new Error(next.error.detail);
    ids.push(next.value.revision.id);
  }
  await store.setStandard(document.id, ids[3]!);
  await store.saveDraft({ documentId: document.id, device: "bench", baseRevisionId: ids[2]!, body: { name: "half ty" } });
  const tin = await store.createDocument({ kind: "tin", body: { name: "round" } });
  if (tin.ok) await store.setArchived(tin.value.document.id, "archived");
  await store.writeSettings({ units: "us", rounding: { step: 1 } });
}

/** Every cell of every table, as the database has it. */
async function everyCell({ database }: BackEnd): Promise<unknown> {
  const tables = ["documents", "revisions", "drafts", "settings", "housekeeping"] as const;
  const rows = await Promise.all(tables.map((table) => database.db.selectFrom(table).selectAll().execute()));
  return Object.fromEntries(
    tables.map((table, index) => [table, rows[index]!.map((row) => JSON.stringify(Object.entries(row).toSorted())).toSorted()]),
  );
}

describe.each(backEnds())("backup and restore on $name", ({ open }) => {
  let end: BackEnd;
  let other: BackEnd;
  beforeEach(async () => {
    end = await open();
    other = await open(steadyOptions());
    await fill(end.store);
  });
  afterEach(async () => {
    await end.dispose();
    await other.dispose();
  });

  it("gives back exactly what was there: every cell of every table", async () => {
    const archive = await end.store.backup();
    const restored = await other.store.restore(archive);
    expect(restored).toMatchObject({
      ok: true,
      value: { documents: 3, revisions: 9, drafts: 1, settings: 2, replaced: "nothing" },
    });
    expect(await everyCell(other)).toEqual(await everyCell(end));
    expect(await other.store.examine()).toEqual([]);
    // The backup of the restored store holds the same rows.
    const rows = (bytes: Uint8Array) => gunzipSync(bytes).toString().split("\n").slice(1);
    expect(rows(await other.store.backup()).slice(0, -2)).toEqual(rows(archive).slice(0, -2));
    // The guards are back, and the work goes on.
    await expect(
      other.database.write(async (transaction) => void (await sql`update revisions set note = ''`.execute(transaction))),
    ).rejects.toThrow("never altered");
    expect(await other.store.installDemoAtFirstStart(DEMO)).toMatchObject({ value: { installed: [] } });
    expect(
      await other.store.createDocument({
        kind: "tin",
        id: "00000009-0000-4000-8000-000000000001",
        revisionId: "00000009-0000-4000-8000-000000000002",
        body: { name: "new" },
      }),
    ).toMatchObject({ ok: true });
  });

  it("goes between the two back ends", async () => {
    const archive = await end.store.backup();
    for (const kind of backEnds()) {
      const there = await kind.open();
      await there.store.restore(archive);
      expect(await everyCell(there)).toEqual(await everyCell(end));
      await there.dispose();
    }
  });

  it("is refused where there is work already, unless asked, and then keeps a backup first", async () => {
    await other.store.createDocument({ kind: "tin", body: { name: "mine" } });
    const before = await everyCell(other);
    const archive = await end.store.backup();
    expect(await other.store.restore(archive)).toMatchObject({ ok: false, error: { code: "not-empty" } });
    await expect(
      other.store.restore(archive, { keepBackup: () => Promise.reject(new Error("the disk is full")) }),
    ).rejects.toThrow("the disk is full");
    expect(await everyCell(other)).toEqual(before);

    let kept: Uint8Array | undefined;
    const keepBackup = async (bytes: Uint8Array) => {
      kept = bytes;
      expect(await everyCell(other)).toEqual(before);
    };
    expect(await other.store.restore(archive, { keepBackup })).toMatchObject({ ok: true, value: { replaced: "everything" } });
    expect(await everyCell(other)).toEqual(await everyCell(end));
    expect(await other.store.restore(kept!, { keepBackup: async () => {} })).toMatchObject({ ok: true });
    expect(await everyCell(other)).toEqual(before);
  });

  it("refuses a cut or damaged archive, says so, and loses nothing", async () => {
    const archive = await end.store.backup();
    const before = await everyCell(end);
    const keepBackup = async () => {};
    const cuts = Array.from({ length: 40 }, (_, index) => archive.slice(0, Math.floor((archive.length * index) / 40)));
    for (const cut of cuts) {
      const refused = await end.store.restore(cut, { keepBackup });
      expect(refused).toMatchObject({ ok: false, error: { code: cut.length < 18 ? "not-an-archive" : "damaged-archive" } });
    }
    await fc.assert(
      fc.asyncProperty(fc.nat(archive.length - 1), fc.integer({ min: 1, max: 255 }), async (at, change) => {
        const damaged = Uint8Array.from(archive);
        damaged[at] = damaged[at]! ^ change;
        const read = await unpackArchive(damaged);
        // Bytes 4 to 9 of a gzip file hold a time and flags that do not touch the content (RFC 1952, section 2.3).
        if (read.ok) expect(at >= 3 && at <= 9).toBe(true);
      }),
      { numRuns: 300, seed: 20300301 },
    );
    expect(await everyCell(end)).toEqual(before);
  });

  it("refuses an archive that is whole but makes no sense", async () => {
    const lines = gunzipSync(await end.store.backup())
      .toString()
      .trimEnd()
      .split("\n")
      .slice(0, -1);
    const counts = { documents: 3, revisions: 9, drafts: 1, settings: 2, housekeeping: 1 };
    const pack = (all: readonly string[], given: object = counts) => {
      const text = `${all.join("\n")}\n`;
      return gzipSync(
        `${text}${JSON.stringify({ end: true, counts: given, sha256: createHash("sha256").update(text).digest("hex") })}\n`,
      );
    };
    const packBytes = (all: readonly string[], extra: Uint8Array) => {
      const bytes = Buffer.concat([Buffer.from(`${all.join("\n")}\n`), extra, Buffer.from("\n")]);
      const sha256 = createHash("sha256").update(bytes).digest("hex");
      return gzipSync(Buffer.concat([bytes, Buffer.from(`${JSON.stringify({ end: true, counts, sha256 })}\n`)]));
    };
    expect(await unpackArchive(pack(lines))).toMatchObject({ ok: true });
    const change = (pattern: RegExp, replacement: string) => lines.map((line) => line.replace(pattern, replacement));
    for (const [what, archive, words] of [
      ["another format", gzipSync('{"format":"something"}\n'), /not a backup of Evencrumb/],
      ["a newer format", pack(change(/"version":1/, '"version":2')), /made by a newer Evencrumb \(format 2\)/],
      ["an altered body", pack(change(/half ty|Crème 3/g, "Crème 4")), /content of revision .* does not fit its hash/],
      ["a missing row", pack(lines.filter((line) => !line.includes('"number":2,'))), /should hold 9 revisions and holds 8/],
      [
        "a lost parent",
        pack(
          lines.filter((line) => !line.includes('"number":2,')),
          { ...counts, revisions: 8 },
        ),
        /is out of order/,
      ],
      [
        "a lost document",
        pack(
          lines.filter((line) => !/^\["documents".*tin/.test(line)),
          { ...counts, documents: 2 },
        ),
        /belongs to no document/,
      ],
      ["a wrong type", pack(change(/"number":2,/, '"number":"2",')), /revisions.number is not whole number/],
      ["a foreign row", pack([...lines, '["cats",{}]']), /not a row of a table/],
      ["half a letter", packBytes(lines, Buffer.from([0x22, 0xc3, 0x22])), /not a row of a table/],
      ["no rows at all", gzipSync("\n"), /not a backup of Evencrumb/],
      ["a missing end", gzipSync(`${lines.join("\n")}\n`), /its end is missing/],
    ] as const) {
      const refused = await end.store.restore(archive, { keepBackup: async () => {} });
      expect([what, refused.ok ? "" : refused.error.detail]).toEqual([what, expect.stringMatching(words)]);
    }
    expect(await end.store.listDocuments({ show: "all" })).toHaveLength(3);
  });

  it("writes a backup of one moment while others save", async () => {
    const [document] = await end.store.listDocuments({ kind: "formula" });
    const [first] = await end.store.listRevisions(document!.id);
    const second = await end.openAgain();
    const saves = Array.from({ length: 20 }, (_, index) =>
      second.saveRevision({ documentId: document!.id, parentId: first!.id, body: { name: `${index}` } }),
    );
    const backups = await Promise.all(Array.from({ length: 5 }, () => end.store.backup()));
    await Promise.all(saves);
    for (const backup of backups) expect(await unpackArchive(backup)).toMatchObject({ ok: true });
  });
});

it("packs a bakery of 5000 revisions into one file and reads it back", async () => {
  const text = JSON.stringify({ name: "Sponge", notes: "x".repeat(2000) });
  const hash = createHash("sha256").update(text).digest("hex");
  const revisions = Array.from({ length: 5000 }, (_, index) => ({
    id: `r${index}`,
    document_id: "d",
    number: index + 1,
    parent_id: index === 0 ? null : `r${index - 1}`,
    settles_id: null,
    saved_at: "2030-01-01T00:00:00.000Z",
    device: "",
    note: "",
    body: text,
    content_hash: hash,
  }));
  const documents = [
    {
      id: "d",
      kind: "formula",
      name: "Sponge",
      created_at: "2030-01-01T00:00:00.000Z",
      archived_at: null,
      demo: 0,
      standard_revision_id: null,
    },
  ];
  const contents = { documents, revisions, drafts: [], settings: [], housekeeping: [] };
  const archive = await packArchive(contents, new Date(0));
  expect(await unpackArchive(archive)).toEqual({ ok: true, value: { contents, madeAt: "1970-01-01T00:00:00.000Z" } });
});
