import { describe, expect, it } from "vitest";
import { type Client, OfflineError, RefusedError } from "../api/client.js";
import type { RevisionSummary } from "../api/types.js";
import { memoryStorage } from "./memoryStorage.js";
import { type Change, Outbox } from "./outbox.js";

interface Heard {
  readonly calls: string[];
  network: "there" | "gone";
  refuse: boolean;
  alongside: readonly RevisionSummary[];
}

function fakeClient(): { client: Client; heard: Heard } {
  const heard: Heard = { calls: [], network: "there", refuse: false, alongside: [] };
  const hear = async (call: string) => {
    if (heard.network === "gone") throw new OfflineError("gone");
    heard.calls.push(call);
    if (heard.refuse) throw new RefusedError({ title: "Not usable", status: 400, detail: "The formula has no name." });
  };
  const revision = (id: string): RevisionSummary => ({
    id,
    documentId: "a",
    number: 2,
    parentId: "r1",
    savedAt: "2030-01-01T00:00:00Z",
    device: "Tablet",
    note: "",
  });
  const client = {
    createDocument: ({ id }: { id: string }) => hear(`create ${id}`),
    keepRevision: async (id: string, request: { id: string }) => {
      await hear(`keep ${id} ${request.id}`);
      return { revision: revision(request.id), alongside: heard.alongside };
    },
    putDraft: (id: string, draft: { body: unknown }) => hear(`draft ${id} ${String(draft.body)}`),
    deleteDraft: (id: string) => hear(`drop ${id}`),
    setStandard: (id: string, revisionId: string) => hear(`standard ${id} ${revisionId}`),
    archive: (id: string) => hear(`archive ${id}`),
    putSettings: (body: Record<string, unknown>) => hear(`settings ${JSON.stringify(body)}`),
  } as unknown as Client;
  return { client, heard };
}

const draft = (body: string, documentId = "a"): Change => ({ does: "draft", documentId, baseRevisionId: "r1", body });
const keep = (revisionId: string): Change => ({
  does: "keep",
  documentId: "a",
  revisionId,
  parentId: "r1",
  body: {},
  note: "",
  madeAt: 0,
});

describe("what waits to be sent", () => {
  it("goes in order, and a later draft takes the place of an earlier one", async () => {
    const { client, heard } = fakeClient();
    const outbox = new Outbox(client, () => "Tablet", memoryStorage());
    outbox.add({ does: "create", documentId: "a", revisionId: "r1", kind: "formula", body: {}, note: "", madeAt: 0 }, 1e6);
    outbox.add(draft("first"), 1e6);
    outbox.add(draft("second"), 1e6);
    outbox.add(draft("other", "b"), 1e6);
    await outbox.send();
    expect(heard.calls).toEqual(["create a", "draft a second", "draft b other"]);
    expect(outbox.state()).toMatchObject({ waiting: 0, reachable: true, refused: [] });
  });

  it("drops a draft that a kept revision makes moot", async () => {
    const { client, heard } = fakeClient();
    const outbox = new Outbox(client, () => "Tablet", memoryStorage());
    outbox.add(draft("half"), 1e6);
    outbox.add(keep("r2"), 1e6);
    await outbox.send();
    expect(heard.calls).toEqual(["keep a r2"]);
  });

  it("stays without a network, survives a reload, and goes when the network is back", async () => {
    const { client, heard } = fakeClient();
    const storage = memoryStorage();
    heard.network = "gone";
    const before = new Outbox(client, () => "Tablet", storage);
    before.add(draft("typed at the bench"), 1e6);
    before.add(keep("r2"), 1e6);
    before.add(draft("and a little more"), 1e6);
    await before.send();
    expect(before.state()).toMatchObject({ waiting: 2, reachable: false });
    const after = new Outbox(client, () => "Tablet", storage);
    expect(after.state().waiting).toBe(2);
    heard.network = "there";
    await after.send();
    expect(heard.calls).toEqual(["keep a r2", "draft a and a little more"]);
    expect(after.state()).toMatchObject({ waiting: 0, reachable: true });
  });

  it("keeps what the server refuses, with its reason, and goes on with the rest", async () => {
    const { client, heard } = fakeClient();
    const outbox = new Outbox(client, () => "Tablet", memoryStorage());
    heard.refuse = true;
    outbox.add(draft("nameless"), 1e6);
    await outbox.send();
    expect(outbox.state().refused).toEqual([{ change: draft("nameless"), why: "The formula has no name." }]);
    heard.refuse = false;
    outbox.add(draft("named", "b"), 1e6);
    await outbox.send();
    expect(heard.calls.at(-1)).toBe("draft b named");
    outbox.forgetRefused();
    expect(outbox.state().refused).toEqual([]);
  });

  it("tells when another device kept a revision on the same parent", async () => {
    const { client, heard } = fakeClient();
    const theirs: RevisionSummary = {
      id: "r9",
      documentId: "a",
      number: 4,
      parentId: "r1",
      savedAt: "",
      device: "Laptop",
      note: "",
    };
    heard.alongside = [theirs];
    const outbox = new Outbox(client, () => "Tablet", memoryStorage());
    const told: unknown[] = [];
    outbox.onAlongside = (alongside) => told.push(alongside);
    outbox.add(keep("r2"), 1e6);
    await outbox.send();
    expect(told).toMatchObject([{ documentId: "a", mine: { id: "r2" }, theirs: [theirs] }]);
  });

  it("does not lose a draft that was changed while an earlier one was on its way", async () => {
    const { client, heard } = fakeClient();
    const outbox = new Outbox(client, () => "Tablet", memoryStorage());
    outbox.add(draft("one"), 1e6);
    const sending = outbox.send();
    outbox.add(draft("two"), 1e6);
    await sending;
    await outbox.send();
    expect(heard.calls).toEqual(["draft a one", "draft a two"]);
    expect(outbox.state().waiting).toBe(0);
  });
});
