import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type BackEnd, backEnds } from "./testing/backEnds.js";

const sponge = (grams: number) => ({ name: "Plain sponge", components: [{ name: "sponge", grams }] });
const ID = "5a1d0001-0000-4000-8000-00000000000a";

describe.each(backEnds())("documents and revisions on $name", ({ open }) => {
  let end: BackEnd;
  beforeEach(async () => {
    end = await open();
  });
  afterEach(() => end.dispose());

  const create = async (body: unknown = sponge(100), id?: string) => {
    const saved = await end.store.createDocument({
      kind: "formula",
      body,
      note: "first",
      device: "bench",
      ...(id !== undefined && { id }),
    });
    if (!saved.ok) throw new Error(saved.error.detail);
    return saved.value;
  };

  it("gives back what was saved, with its number, time, device and note", async () => {
    const { document, revision } = await create();
    expect(document).toEqual({
      id: "00000001-0000-4000-8000-000000000001",
      kind: "formula",
      name: "Plain sponge",
      demo: false,
      archived: false,
      createdAt: "2030-03-01T06:00:01.000Z",
      standardRevisionId: null,
    });
    expect(await end.store.readRevision(document.id, revision.id)).toEqual(revision);
    expect(revision).toMatchObject({
      number: 1,
      parentId: null,
      settlesId: null,
      device: "bench",
      note: "first",
      body: sponge(100),
    });
    expect((await end.store.readDocument(document.id))?.latest).toEqual(revision);
  });

  it("hashes the JSON text of the body", async () => {
    // Published: the SHA-256 of this text, by the coreutils program sha256sum.
    const { revision } = await create({ name: "a" });
    expect(revision.contentHash).toBe("d9d719b27480b55cd4918020e7473e716ed3569c8adafe926cf9b10b4f8ef064");
  });

  it("keeps both revisions when two devices save on the same parent, and tells the second", async () => {
    const { document, revision: first } = await create();
    const bench = await end.store.saveRevision({
      documentId: document.id,
      parentId: first.id,
      body: sponge(110),
      device: "bench",
    });
    const office = await end.store.saveRevision({
      documentId: document.id,
      parentId: first.id,
      body: sponge(120),
      device: "office",
    });
    if (!bench.ok || !office.ok) throw new Error("refused");
    expect(bench.value).toMatchObject({ alongside: [], isLatest: true, revision: { number: 2 } });
    expect(office.value.alongside).toEqual([bench.value.revision]);
    expect(office.value.revision.number).toBe(3);
    const history = (await end.store.readDocument(document.id))!;
    expect(history.heads).toEqual([bench.value.revision, office.value.revision]);
    expect(await end.store.readRevision(document.id, bench.value.revision.id)).toMatchObject({ body: sponge(110) });

    // A person settles it: the new revision goes on from one line and takes in the other.
    const settled = await end.store.saveRevision({
      documentId: document.id,
      parentId: office.value.revision.id,
      settlesId: bench.value.revision.id,
      body: sponge(115),
    });
    if (!settled.ok) throw new Error("refused");
    expect((await end.store.readDocument(document.id))!.heads).toEqual([settled.value.revision]);
  });

  it("keeps every one of many saves made at once from two programs", async () => {
    const { document, revision: first } = await create();
    const other = await end.openAgain();
    const saves = await Promise.all(
      Array.from({ length: 20 }, (_, index) =>
        (index % 2 === 0 ? end.store : other).saveRevision({
          documentId: document.id,
          parentId: first.id,
          body: sponge(index),
          device: `d${index}`,
        }),
      ),
    );
    expect(saves.every((save) => save.ok)).toBe(true);
    const numbers = (await end.store.listRevisions(document.id)).map(({ number }) => number);
    expect(numbers).toEqual(Array.from({ length: 21 }, (_, index) => index + 1));
    const told = saves.map((save) => (save.ok ? save.value.alongside.length : -1)).toSorted((a, b) => a - b);
    expect(told).toEqual(Array.from({ length: 20 }, (_, index) => index)); // each saw exactly those before it
  });

  it("takes the same save twice as one, and refuses another one under the same id", async () => {
    const { document, revision: first } = await create();
    const request = { documentId: document.id, id: ID, parentId: first.id, body: sponge(110), note: "more" };
    const once = await end.store.saveRevision(request);
    const again = await end.store.saveRevision({ ...request, id: ID.toUpperCase() });
    expect(once.ok && again.ok && again.value).toMatchObject({ repeated: true, isLatest: true });
    expect(once.ok && again.ok && again.value.revision).toEqual(once.ok && once.value.revision);
    const other = await end.store.saveRevision({ ...request, body: sponge(111) });
    expect(other).toMatchObject({ ok: false, error: { code: "id-taken" } });
    const elsewhere = await create(sponge(1));
    expect(
      await end.store.saveRevision({ ...request, documentId: elsewhere.document.id, parentId: elsewhere.revision.id }),
    ).toMatchObject({
      error: { code: "id-taken" },
    });
    expect(await end.store.listRevisions(document.id)).toHaveLength(2);
  });

  it("takes the same new document twice as one", async () => {
    const once = await create(sponge(1), ID);
    const again = await create(sponge(1), ID);
    expect(again).toEqual({ ...once, repeated: true });
    expect(await end.store.createDocument({ kind: "formula", body: sponge(2), id: ID })).toMatchObject({
      error: { code: "id-taken" },
    });
    const both = await Promise.all(
      [1, 2].map(() => end.store.createDocument({ kind: "tin", body: { name: "round" }, id: ID.replace("a", "b") })),
    );
    expect(both.map((save) => save.ok && save.value.repeated).toSorted()).toEqual([false, true]);
  });

  it("refuses what is not fit to be kept, and says why", async () => {
    const { document, revision } = await create();
    const save = (change: object) =>
      end.store.saveRevision({ documentId: document.id, parentId: revision.id, body: sponge(1), ...change });
    expect(await end.store.createDocument({ kind: "cat", body: {} })).toMatchObject({
      error: { code: "unknown-kind", problems: [{ expected: "one of formula, tin" }] },
    });
    expect(await end.store.createDocument({ kind: "constructor", body: {} })).toMatchObject({ error: { code: "unknown-kind" } });
    expect(await save({ body: { grams: 1 } })).toMatchObject({
      error: { code: "unusable-body", problems: [{ path: ["name"] }] },
    });
    expect(await save({ body: { name: "a", grams: Number.NaN } })).toMatchObject({
      error: { problems: [{ path: ["grams"], found: "NaN" }] },
    });
    expect(await save({ body: { name: "a", when: new Date(0) } })).toMatchObject({ error: { problems: [{ path: ["when"] }] } });
    expect(await save({ body: { name: "x".repeat(1_000_001) } })).toMatchObject({ error: { code: "too-large" } });
    expect(await save({ note: "x".repeat(10_001) })).toMatchObject({ error: { code: "too-large" } });
    expect(await save({ id: "1' or '1'='1" })).toMatchObject({ error: { code: "unusable-field" } });
    expect(await save({ parentId: ID })).toMatchObject({ error: { code: "no-such-revision" } });
    expect(await save({ settlesId: ID })).toMatchObject({ error: { code: "no-such-revision" } });
    expect(await save({ documentId: ID })).toMatchObject({ error: { code: "no-such-document" } });
    let deep: unknown = 1;
    for (let depth = 0; depth < 5000; depth += 1) deep = [deep];
    expect(await save({ body: { name: "a", deep } })).toMatchObject({ error: { code: "unusable-body" } });
    expect(await end.store.listRevisions(document.id)).toHaveLength(1);
  });

  it("gives back odd text exactly", async () => {
    const body = JSON.parse(
      '{"name":"crème brûlée 🍰","notes":"a\\u0000b\\ud800 \\u2028","__proto__":{"x":1},"10":1,"2":2,"n":[1e-7,-0,9007199254740993]}',
    ) as unknown;
    const { document, revision } = await create(body);
    const read = await end.store.readRevision(document.id, revision.id);
    expect(JSON.stringify(read?.body)).toBe(JSON.stringify(body));
    expect(({} as { x?: number }).x).toBeUndefined();
    expect(await create({ name: "nul \u0000 half \ud800" })).toMatchObject({ document: { name: "nul half \ufffd" } });
    expect(await create({ name: "   " })).toMatchObject({ document: { name: "(no name)" } });
  });

  it("follows the newest revision's name, and keeps the standard where the baker put it", async () => {
    const { document, revision } = await create();
    expect(await end.store.setStandard(document.id, revision.id)).toMatchObject({
      ok: true,
      value: { standardRevisionId: revision.id },
    });
    await end.store.saveRevision({ documentId: document.id, parentId: revision.id, body: { name: "Lemon sponge" } });
    expect((await end.store.listDocuments())[0]).toMatchObject({
      name: "Lemon sponge",
      standardRevisionId: revision.id,
      latest: { number: 2 },
    });
    const other = await create(sponge(1));
    expect(await end.store.setStandard(document.id, other.revision.id)).toMatchObject({ error: { code: "no-such-revision" } });
    expect(await end.store.setStandard(document.id, null)).toMatchObject({ value: { standardRevisionId: null } });
  });

  it("lists by kind, and leaves out what was archived until it is brought back", async () => {
    const { document } = await create();
    await end.store.createDocument({ kind: "tin", body: { name: "round 20 cm" } });
    expect((await end.store.listDocuments({ kind: "tin" })).map(({ name }) => name)).toEqual(["round 20 cm"]);
    await end.store.setArchived(document.id, "archived");
    expect((await end.store.listDocuments()).map(({ name }) => name)).toEqual(["round 20 cm"]);
    expect((await end.store.listDocuments({ show: "archived" })).map(({ name }) => name)).toEqual(["Plain sponge"]);
    expect(await end.store.listDocuments({ show: "all" })).toHaveLength(2);
    await end.store.setArchived(document.id, "current");
    expect(await end.store.listDocuments()).toHaveLength(2);
    expect(await end.store.setArchived(ID, "archived")).toMatchObject({ error: { code: "no-such-document" } });
  });

  it("answers questions about the past", async () => {
    const { document, revision: one } = await create();
    const save = async (parentId: string, grams: number) => {
      const saved = await end.store.saveRevision({ documentId: document.id, parentId, body: sponge(grams) });
      if (!saved.ok) throw new Error(saved.error.detail);
      return saved.value.revision;
    };
    const two = await save(one.id, 2);
    const three = await save(one.id, 3);
    const four = await save(two.id, 4);
    expect((await end.store.lineageOf(document.id, four.id)).map(({ number }) => number)).toEqual([4, 2, 1]);
    expect(await end.store.lineageOf(document.id, ID)).toEqual([]);
    expect(await end.store.revisionAt(document.id, three.savedAt)).toEqual(three);
    expect(await end.store.revisionAt(document.id, "2029-01-01T00:00:00.000Z")).toBeUndefined();
    await end.store.createDocument({ kind: "tin", body: { name: "round" } });
    expect(
      (await end.store.recentRevisions({ kind: "formula", since: two.savedAt, limit: 2 })).map(({ number }) => number),
    ).toEqual([4, 3]);
    expect((await end.store.recentRevisions({ limit: 1 }))[0]).toMatchObject({ kind: "tin", documentName: "round", number: 1 });
  });

  it("keeps one draft for each document and device, even half-typed, until it is saved or dropped", async () => {
    const { document, revision } = await create();
    const draft = { documentId: document.id, baseRevisionId: revision.id };
    expect(await end.store.saveDraft({ ...draft, device: "bench", body: { name: 12, half: "ty" } })).toMatchObject({ ok: true });
    expect(await end.store.saveDraft({ ...draft, device: "bench", body: sponge(130) })).toMatchObject({ ok: true });
    expect(await end.store.saveDraft({ ...draft, device: "office", body: sponge(140) })).toMatchObject({ ok: true });
    expect(await end.store.readDraft(document.id, "bench")).toMatchObject({ baseRevisionId: revision.id, body: sponge(130) });
    expect((await end.store.listDocuments())[0]!.drafts.map(({ device }) => device)).toEqual(["bench", "office"]);

    // Saved on the bench: its draft has become the revision. What the office typed stays.
    await end.store.saveRevision({ documentId: document.id, parentId: revision.id, body: sponge(130), device: "bench" });
    await end.store.saveRevision({ documentId: document.id, parentId: revision.id, body: sponge(139), device: "office" });
    expect(await end.store.readDraft(document.id, "bench")).toBeUndefined();
    expect(await end.store.readDraft(document.id, "office")).toMatchObject({ body: sponge(140) });
    await end.store.deleteDraft(document.id, "office");
    expect((await end.store.readDocument(document.id))!.drafts).toEqual([]);

    expect(await end.store.saveDraft({ ...draft, device: "", body: {} })).toMatchObject({ error: { code: "unusable-field" } });
    expect(await end.store.saveDraft({ ...draft, documentId: ID, device: "a", body: {} })).toMatchObject({
      error: { code: "no-such-document" },
    });
    expect(await end.store.saveDraft({ ...draft, baseRevisionId: ID, device: "a", body: {} })).toMatchObject({
      error: { code: "no-such-revision" },
    });
    expect(await end.store.saveDraft({ ...draft, device: "a", body: "x".repeat(1_000_000) })).toMatchObject({
      error: { code: "too-large" },
    });
  });

  it("keeps settings as one object", async () => {
    expect(await end.store.readSettings()).toEqual({});
    await end.store.writeSettings({ units: "metric", rounding: { fineBelow: 10 }, "a\u0000": 1 });
    expect(await end.store.readSettings()).toEqual({ units: "metric", rounding: { fineBelow: 10 }, a: 1 });
    await end.store.writeSettings({ units: "us" });
    expect(await end.store.readSettings()).toEqual({ units: "us" });
    const many = Object.fromEntries(Array.from({ length: 40_000 }, (_, index) => [`k${index}`, 1]));
    expect(await end.store.writeSettings(many)).toMatchObject({ error: { code: "too-large" } });
    expect(await end.store.writeSettings({ large: "x".repeat(1_000_000) })).toMatchObject({ error: { code: "too-large" } });
    await end.store.writeSettings(Object.fromEntries(Object.entries(many).slice(0, 1000)));
    expect(Object.keys(await end.store.readSettings())).toHaveLength(1000);
    await end.store.writeSettings({});
    expect(await end.store.readSettings()).toEqual({});
  });

  it("tells every program of a change", async () => {
    const other = await end.openAgain();
    const heard: unknown[] = [];
    const elsewhere: unknown[] = [];
    const stop = end.store.subscribe((change) => heard.push(change));
    other.subscribe((change) => elsewhere.push(change));
    const { document, revision } = await create();
    await end.store.writeSettings({ units: "us" }, "office");
    await expect
      .poll(() => heard, { timeout: 5000 })
      .toEqual([
        { type: "document-changed", id: document.id, revisionId: revision.id, device: "bench" },
        { type: "settings-changed", device: "office" },
      ]);
    // PostgreSQL tells the others what changed, the file only that something did.
    const expected = end.store.storage === "postgres" ? heard : [{ type: "restored" }];
    await expect.poll(() => elsewhere, { timeout: 5000 }).toEqual(expected);
    stop();
    await create();
    expect(heard).toHaveLength(2);
  });
});
