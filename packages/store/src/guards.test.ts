import { sql } from "kysely";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type BackEnd, backEnds } from "./testing/backEnds.js";

const DEMO_ID = "5a1d0001-0000-4000-8000-000000000001";

describe.each(backEnds())("what the database itself refuses on $name", ({ open }) => {
  let end: BackEnd;
  beforeEach(async () => {
    end = await open();
    await end.store.createDocument({ kind: "formula", body: { name: "Plain sponge" } });
    await end.store.installDemo([{ id: DEMO_ID, kind: "formula", revisions: [{ body: { name: "Demo roll" } }] }]);
  });
  afterEach(() => end.dispose());

  it.each([
    ["altering a body", "update revisions set body = '{}'", "a revision is never altered"],
    ["altering a note", "update revisions set note = 'I never wrote this'", "a revision is never altered"],
    [
      "altering a demo revision",
      `update revisions set number = 7 where document_id = '${DEMO_ID}'`,
      "a revision is never altered",
    ],
    ["deleting a revision", `delete from revisions where document_id <> '${DEMO_ID}'`, "a revision is never deleted"],
    ["deleting a document", `delete from documents where id <> '${DEMO_ID}'`, "a document is never deleted, only archived"],
    ["making a document deletable", "update documents set demo = 1", "does not become a demo"],
    ["changing an id", "update documents set id = 'x'", "keeps its id and its kind"],
    ["changing a kind", "update documents set kind = 'tin'", "keeps its id and its kind"],
    [
      "a number that is used twice",
      "insert into revisions select 'x', document_id, number, parent_id, saved_at, device, note, content_hash, body, settles_id from revisions",
      /replaced|duplicate|UNIQUE/i,
    ],
    [
      "a revision of no document",
      "insert into revisions select 'x', 'y', 1, null, saved_at, device, note, content_hash, body, null from revisions limit 1",
      /foreign key/i,
    ],
    [
      "a parent of another document",
      "insert into revisions select 'x', a.document_id, 2, b.id, a.saved_at, '', '', a.content_hash, a.body, null from revisions a join revisions b on a.id <> b.id limit 1",
      /foreign key/i,
    ],
    [
      "a standard of another document",
      `update documents set standard_revision_id = (select id from revisions where document_id <> '${DEMO_ID}') where id = '${DEMO_ID}'`,
      /foreign key/i,
    ],
  ])("refuses %s", async (_what, statement, words) => {
    const before = await end.store.backup();
    await expect(
      end.database.write(async (transaction) => {
        await sql.raw(statement).execute(transaction);
      }),
    ).rejects.toThrow(words);
    expect(before.length).toBeGreaterThan(0);
    expect(await end.store.examine()).toEqual([]);
    expect((await end.store.listDocuments()).map(({ name }) => name).toSorted()).toEqual(["Demo roll", "Plain sponge"]);
  });

  it("refuses to replace or to empty, in the words of each database", async () => {
    const statements =
      end.database.dialect === "sqlite"
        ? [
            "insert or replace into revisions select * from revisions",
            "insert or replace into documents select * from documents",
            "update or replace revisions set number = 1",
          ]
        : [
            "truncate revisions cascade",
            "truncate documents cascade",
            "insert into revisions select * from revisions on conflict (id) do update set note = 'x'",
          ];
    for (const statement of statements) {
      await expect(
        end.database.write(async (transaction) => void (await sql.raw(statement).execute(transaction))),
      ).rejects.toThrow(/never/);
    }
    expect(await end.store.examine()).toEqual([]);
  });
});
