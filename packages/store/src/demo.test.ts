import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { DemoDocument } from "./store.js";
import { type BackEnd, backEnds } from "./testing/backEnds.js";

const id = (last: number) => `5a1d0001-0000-4000-8000-00000000000${last}`;
const DEMO: readonly DemoDocument[] = [
  {
    id: id(1),
    kind: "formula",
    standard: 2,
    revisions: [{ body: { name: "Sandwich", grams: 1 }, note: "as ever" }, { body: { name: "Sandwich", grams: 2 } }],
  },
  { id: id(2), kind: "formula", revisions: [{ body: { name: "Roll" } }] },
  { id: id(3), kind: "tin", revisions: [{ body: { name: "Round tin" } }] },
];

describe.each(backEnds())("the demo bakery on $name", ({ open }) => {
  let end: BackEnd;
  beforeEach(async () => {
    end = await open();
  });
  afterEach(() => end.dispose());

  it("is there at the first start, with revisions, notes and standards", async () => {
    expect(await end.store.installDemoAtFirstStart(DEMO)).toEqual({
      ok: true,
      value: { installed: [id(1), id(2), id(3)], present: [] },
    });
    const { document, revisions, latest } = (await end.store.readDocument(id(1)))!;
    expect(revisions.map(({ number, note, parentId }) => [number, note, parentId])).toEqual([
      [1, "as ever", null],
      [2, "", revisions[0]!.id],
    ]);
    expect(document).toMatchObject({ demo: true, name: "Sandwich", standardRevisionId: latest.id });
    expect(await end.store.installDemoAtFirstStart(DEMO)).toMatchObject({ value: { installed: [] } });
    expect(await end.store.examine()).toEqual([]);
  });

  it("does not come where there is work already, nor come back once it was removed", async () => {
    await end.store.createDocument({ kind: "tin", body: { name: "mine" } });
    expect(await end.store.installDemoAtFirstStart(DEMO)).toMatchObject({ value: { installed: [] } });
    await end.store.installDemo(DEMO);
    expect(await end.store.removeDemo()).toEqual({ removed: [id(1), id(2), id(3)], kept: [] });
    expect(await end.store.installDemoAtFirstStart(DEMO)).toMatchObject({ value: { installed: [] } });
    expect((await end.store.listDocuments()).map(({ name }) => name)).toEqual(["mine"]);
  });

  it("is removed without what the baker saved or typed, and comes back beside it", async () => {
    await end.store.installDemoAtFirstStart(DEMO);
    const [one, two, three] = await Promise.all(DEMO.map((document) => end.store.readDocument(document.id)));
    await end.store.saveRevision({ documentId: id(1), parentId: one!.latest.id, body: { name: "My sandwich" } });
    await end.store.saveDraft({ documentId: id(2), device: "bench", baseRevisionId: two!.latest.id, body: { name: "Rol" } });
    await end.store.saveDraft({
      documentId: id(3),
      device: "bench",
      baseRevisionId: three!.latest.id,
      body: { name: "Round tin" },
    }); // opened, not changed
    expect(await end.store.removeDemo()).toEqual({ removed: [id(3)], kept: [id(2)] });
    expect((await end.store.listDocuments()).map(({ name, demo }) => [name, demo]).toSorted()).toEqual([
      ["My sandwich", false],
      ["Roll", false],
    ]);
    expect(await end.store.readDraft(id(2), "bench")).toMatchObject({ body: { name: "Rol" } });
    expect(await end.store.installDemo(DEMO)).toEqual({ ok: true, value: { installed: [id(3)], present: [id(1), id(2)] } });
    expect(await end.store.removeDemo()).toEqual({ removed: [id(3)], kept: [] });
    expect(await end.store.examine()).toEqual([]);
  });

  it("passes the same checks as the baker's own documents, or none of it is put in", async () => {
    const broken = [...DEMO, { id: id(4), kind: "formula", revisions: [{ body: {} }] }];
    expect(await end.store.installDemo(broken)).toMatchObject({ ok: false, error: { code: "unusable-body" } });
    expect(await end.store.listDocuments()).toEqual([]);
    await expect(end.store.installDemo([{ id: id(5), kind: "tin", revisions: [] }])).rejects.toThrow("has no revision");
  });
});
