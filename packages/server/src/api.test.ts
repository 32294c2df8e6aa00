import fc from "fast-check";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { type Bakery, DEMO, formula, openBakery } from "./testing/bakery.js";

const UNKNOWN = "5a1d0009-0000-4000-8000-00000000000a";
const ID = "5a1d0007-0000-4000-8000-00000000000a";

let bakery: Bakery;
let kept: { name: string; archive: Uint8Array }[];
beforeEach(async () => {
  kept = [];
  bakery = await openBakery({
    demo: DEMO,
    keepBackup: async (name, archive) => {
      kept.push({ name, archive });
      return name;
    },
  });
});
afterEach(() => bakery.dispose());

const create = async (body: unknown = formula("Plain sponge")) =>
  (await bakery.call("POST", "/api/documents", { kind: "formula", body, device: "bench" })).json;

describe("documents", () => {
  it("says that it is up, and on what", async () => {
    expect(await bakery.call("GET", "/api/health")).toMatchObject({
      status: 200,
      json: { name: "evencrumb", version: "0.1.0", storage: "embedded" },
    });
  });

  it("creates a document, lists it and gives it back", async () => {
    const created = await bakery.call("POST", "/api/documents", {
      id: ID,
      kind: "formula",
      body: formula("Plain sponge"),
      note: "first",
      device: "bench",
    });
    expect(created.status).toBe(201);
    const { document, revision } = created.json;
    expect(document).toEqual({
      id: ID,
      kind: "formula",
      name: "Plain sponge",
      demo: false,
      archived: false,
      createdAt: "2030-03-01T06:00:00.000Z",
      standardRevisionId: null,
    });
    expect(revision).toMatchObject({
      documentId: ID,
      number: 1,
      parentId: null,
      savedAt: "2030-03-01T06:00:00.000Z",
      device: "bench",
      note: "first",
      body: formula("Plain sponge"),
    });

    const { body, ...summary } = revision;
    expect((await bakery.call("GET", "/api/documents?kind=formula")).json).toEqual({
      documents: [{ ...document, latest: summary, drafts: [] }],
    });
    expect((await bakery.call("GET", "/api/documents?kind=tin")).json).toEqual({ documents: [] });
    expect((await bakery.call("GET", `/api/documents/${ID}`)).json).toEqual({
      document,
      latest: revision,
      revisions: [summary],
      heads: [summary],
      drafts: [],
    });
    const again = await bakery.call("GET", `/api/documents/${ID}/revisions/${revision.id}`);
    expect(again.json).toEqual({ ...summary, body });
    expect(again.headers.get("cache-control")).toBe("private, max-age=31536000, immutable");
    expect((await bakery.call("GET", "/api/revisions?limit=1&since=2030-01-01T00:00:00Z")).json.revisions).toEqual([
      { ...summary, kind: "formula", documentName: "Plain sponge" },
    ]);
    expect((await bakery.call("POST", "/api/documents", { id: ID, kind: "formula", body: formula("Plain sponge") })).status).toBe(
      200,
    );
    expect(await bakery.call("POST", "/api/documents", { id: ID, kind: "formula", body: formula("Other") })).toMatchObject({
      status: 409,
      json: { code: "id-taken" },
    });
  });

  it("keeps two saves on one parent and tells the second; a repeated save is one save", async () => {
    const { document, revision } = await create();
    const path = `/api/documents/${document.id}/revisions`;
    const bench = { id: ID, parentId: revision.id, body: formula("Plain sponge", 210), note: "richer", device: "bench" };
    const first = await bakery.call("POST", path, bench);
    expect(first).toMatchObject({ status: 201, json: { alongside: [], isLatest: true, revision: { number: 2 } } });
    expect(await bakery.call("POST", path, bench)).toMatchObject({
      status: 200,
      json: { repeated: true, revision: first.json.revision },
    });
    const second = await bakery.call("POST", path, {
      parentId: revision.id,
      body: formula("Plain sponge", 190),
      device: "office",
    });
    expect(second).toMatchObject({ status: 201, json: { alongside: [first.json.revision], revision: { number: 3 } } });
    expect(await bakery.call("POST", path, { ...bench, body: formula("Plain sponge", 1) })).toMatchObject({
      status: 409,
      json: { code: "id-taken" },
    });
    const settled = await bakery.call("POST", path, {
      parentId: second.json.revision.id,
      settlesId: ID,
      body: formula("Plain sponge", 200),
    });
    expect((await bakery.call("GET", `/api/documents/${document.id}`)).json.heads).toEqual([settled.json.revision]);
  });

  it("keeps all of many saves sent at once", async () => {
    const { document, revision } = await create();
    const answers = await Promise.all(
      Array.from({ length: 30 }, (_, index) =>
        bakery.call("POST", `/api/documents/${document.id}/revisions`, {
          parentId: revision.id,
          body: formula("Plain sponge", index),
        }),
      ),
    );
    expect(answers.map(({ status }) => status)).toEqual(Array(30).fill(201));
    const { revisions } = (await bakery.call("GET", `/api/documents/${document.id}`)).json;
    expect(revisions.map(({ number }: { number: number }) => number)).toEqual(
      Array.from({ length: 31 }, (_, index) => index + 1),
    );
  });

  it("keeps a draft of each device and gives it to that device only", async () => {
    const { document, revision } = await create();
    const path = `/api/documents/${document.id}/draft`;
    expect(
      (await bakery.call("PUT", path, { device: "Küche 1", baseRevisionId: revision.id, body: { half: "typed" } })).status,
    ).toBe(204);
    const asked = await bakery.call("GET", `/api/documents/${document.id}`, undefined, {
      "x-device": encodeURIComponent("Küche 1"),
    });
    expect(asked.json.draft).toEqual({
      device: "Küche 1",
      savedAt: "2030-03-01T06:00:00.000Z",
      baseRevisionId: revision.id,
      body: { half: "typed" },
    });
    const other = await bakery.call("GET", `/api/documents/${document.id}`, undefined, { "x-device": "50%" });
    expect(other.json.draft).toBeUndefined();
    expect(other.json.drafts).toHaveLength(1);
    expect((await bakery.call("DELETE", `${path}?device=${encodeURIComponent("Küche 1")}`)).status).toBe(204);
    expect((await bakery.call("GET", "/api/documents")).json.documents[0].drafts).toEqual([]);
  });

  it("sets the standard, archives and restores", async () => {
    const { document, revision } = await create();
    const path = `/api/documents/${document.id}`;
    expect((await bakery.call("PUT", `${path}/standard`, { revisionId: revision.id })).json.document.standardRevisionId).toBe(
      revision.id,
    );
    expect(await bakery.call("PUT", `${path}/standard`, { revisionId: UNKNOWN })).toMatchObject({
      status: 404,
      json: { code: "no-such-revision" },
    });
    expect((await bakery.call("POST", `${path}/archive`)).json.document.archived).toBe(true);
    expect((await bakery.call("GET", "/api/documents")).json.documents).toEqual([]);
    expect((await bakery.call("GET", "/api/documents?archived=true")).json.documents).toHaveLength(1);
    expect((await bakery.call("POST", `${path}/restore`)).json.document.archived).toBe(false);
  });
});

describe("settings, demo, backup", () => {
  it("keeps settings, checks those it knows, and keeps those it does not", async () => {
    const settings = {
      units: "metric",
      names: "british",
      rounding: { fineBelow: 10, fineStep: 0.1, step: 1 },
      currency: "GBP",
      somethingNew: [1],
    };
    expect(await bakery.call("PUT", "/api/settings", settings)).toMatchObject({ status: 200, json: settings });
    expect((await bakery.call("GET", "/api/settings")).json).toEqual(settings);
    const bad = await bakery.call("PUT", "/api/settings", {
      units: "stones",
      rounding: { fineBelow: -1, fineStep: 0.1, step: 1, stp: 1 },
      currency: "pounds",
    });
    expect(bad.status).toBe(400);
    expect(bad.json.problems.map(({ path, code }: { path: string[]; code: string }) => [path.join("."), code])).toEqual([
      ["units", "wrong-type"],
      ["rounding.fineBelow", "out-of-range"],
      ["rounding", "unknown-field"],
      ["currency", "wrong-type"],
    ]);
  });

  it("puts the demo back, and removes it without touching what the baker changed", async () => {
    expect((await bakery.call("POST", "/api/demo")).json.installed).toHaveLength(2);
    const first = (await bakery.call("GET", `/api/documents/${DEMO[0]!.id}`)).json;
    expect(first.document).toMatchObject({ demo: true, name: "Demo sandwich", standardRevisionId: first.revisions[0].id });
    expect(first.latest).toMatchObject({ number: 2, parentId: first.revisions[0].id, body: formula("Demo sandwich", 90) });
    await bakery.call("POST", `/api/documents/${DEMO[0]!.id}/revisions`, {
      parentId: first.latest.id,
      body: formula("My sandwich", 80),
    });
    expect((await bakery.call("DELETE", "/api/demo")).json).toEqual({ removed: [DEMO[1]!.id], kept: [] });
    expect((await bakery.call("GET", "/api/documents")).json.documents).toMatchObject([
      { id: DEMO[0]!.id, demo: false, name: "My sandwich" },
    ]);
    expect((await bakery.call("POST", "/api/demo")).json).toEqual({ installed: [DEMO[1]!.id], present: [DEMO[0]!.id] });
  });

  it("downloads a backup and restores it, raw or as a form, replacing only when asked and after a backup", async () => {
    const { document } = await create();
    const before = (await bakery.call("GET", `/api/documents/${document.id}`)).json;
    const download = await bakery.app.request("/api/backup", { headers: { "accept-encoding": "gzip" } });
    expect(download.headers.get("content-type")).toBe("application/gzip");
    expect(download.headers.get("content-encoding")).toBeNull();
    expect(download.headers.get("content-disposition")).toBe(
      'attachment; filename="evencrumb-backup-2030-03-01T06-00-00-000Z.evencrumb"',
    );
    const archive = new Uint8Array(await download.arrayBuffer());
    await create(formula("Made after the backup"));

    const restore = (query: string, body: string | FormData | Uint8Array<ArrayBuffer>, type?: string) =>
      bakery.app.request(`/api/restore${query}`, { method: "POST", body, ...(type && { headers: { "content-type": type } }) });
    const refused = await restore("", archive, "application/gzip");
    expect([refused.status, ((await refused.json()) as { code: string }).code]).toEqual([409, "not-empty"]);
    const done = await restore("?replace=true", archive, "application/gzip");
    expect([done.status, await done.json()]).toEqual([
      200,
      {
        documents: 1,
        revisions: 1,
        drafts: 0,
        settings: 0,
        madeAt: "2030-03-01T06:00:00.000Z",
        replaced: "everything",
        backupName: kept[0]!.name,
      },
    ]);
    expect((await bakery.call("GET", "/api/documents")).json.documents).toHaveLength(1);
    expect((await bakery.call("GET", `/api/documents/${document.id}`)).json).toEqual(before);

    const form = new FormData();
    form.set("archive", new File([kept[0]!.archive as Uint8Array<ArrayBuffer>], "before.evencrumb"));
    expect((await restore("?replace=true", form)).status).toBe(200);
    expect((await bakery.call("GET", "/api/documents")).json.documents).toHaveLength(2);

    for (const [body, code] of [
      [archive.slice(0, -20), "damaged-archive"],
      [new TextEncoder().encode("name: sponge, and some more words"), "not-an-archive"],
      [new Uint8Array(), "not-an-archive"],
    ] as const) {
      const bad = await restore("?replace=true", body, "application/gzip");
      expect([bad.status, ((await bad.json()) as { code: string }).code]).toEqual([422, code]);
    }
    expect((await restore("?replace=true", "a form it is not", "multipart/form-data; boundary=x")).status).toBe(400);
    expect((await restore("?replace=true", new FormData())).status).toBe(400);
    expect((await bakery.call("GET", "/api/documents")).json.documents).toHaveLength(2);
  });

  it("serves an OpenAPI 3.1 document that names every route", async () => {
    const { json } = await bakery.call("GET", "/api/openapi.json");
    expect(json.openapi).toBe("3.1.0");
    const named = Object.entries(json.paths).flatMap(([path, methods]) =>
      Object.keys(methods as object).map((method) => `${method.toUpperCase()} ${path}`),
    );
    const routed = bakery.app.routes
      .filter(({ method, path }) => method !== "ALL" && path.startsWith("/api/") && path !== "/api/openapi.json")
      .map(({ method, path }) => `${method} ${path.replace(/:(\w+)/g, "{$1}")}`);
    expect([...new Set(routed)].toSorted()).toEqual(named.toSorted());
    expect(named).toContain("POST /api/documents/{id}/revisions");
  });
});

describe("what is refused", () => {
  it("answers every refusal with problem details of RFC 9457", async () => {
    const { document, revision } = await create();
    const revisions = `/api/documents/${document.id}/revisions`;
    const cases: readonly [string, string, unknown, number, string][] = [
      ["GET", "/api/nothing", undefined, 404, "no-such-route"],
      ["GET", `/api/documents/${UNKNOWN}`, undefined, 404, "no-such-document"],
      ["GET", "/api/documents/../etc", undefined, 404, "no-such-route"],
      ["GET", "/api/documents/17", undefined, 400, "unusable-request"],
      ["GET", `${revisions}/${UNKNOWN}`, undefined, 404, "no-such-revision"],
      ["GET", "/api/documents?archived=perhaps", undefined, 400, "unusable-request"],
      ["GET", "/api/revisions?limit=many", undefined, 400, "unusable-request"],
      ["POST", "/api/documents", "{", 400, "unusable-request"],
      ["POST", "/api/documents", "[]", 400, "unusable-request"],
      ["POST", "/api/documents", { kind: "formula" }, 400, "unusable-request"],
      ["POST", "/api/documents", { kind: "formula", body: null }, 422, "unusable-body"],
      ["POST", "/api/documents", { kind: "cat", body: {} }, 422, "unknown-kind"],
      ["POST", "/api/documents", { kind: "__proto__", body: {} }, 422, "unknown-kind"],
      ["POST", "/api/documents", { kind: "formula", body: { name: "a", flour: 1 } }, 422, "unusable-body"],
      ["POST", "/api/documents", { kind: "oven", body: { name: " " } }, 422, "unusable-body"],
      ["POST", "/api/print/batch-sheet", { title: "Sponge" }, 400, "unusable-request"],
      ["POST", "/api/print/label", { title: "Sponge" }, 400, "unusable-request"],
      ["POST", "/api/print/write-up", { title: "Sponge" }, 400, "unusable-request"],
      ["POST", "/api/print/allergens", { date: "2026-11-25" }, 400, "unusable-request"],
      ["POST", "/api/documents", { kind: "formula", body: formula("a"), nots: "x" }, 400, "unusable-request"],
      ["POST", revisions, { parentId: UNKNOWN, body: formula("a") }, 404, "no-such-revision"],
      ["POST", revisions, { parentId: revision.id, body: formula("x".repeat(1_000_001)) }, 413, "too-large"],
      [
        "PUT",
        `/api/documents/${document.id}/draft`,
        { device: "", baseRevisionId: revision.id, body: {} },
        400,
        "unusable-request",
      ],
      ["PUT", "/api/settings", "1", 400, "unusable-request"],
      ["DELETE", `/api/documents/${document.id}/draft`, undefined, 400, "unusable-request"],
      ["DELETE", `/api/documents/${document.id}`, undefined, 404, "no-such-route"],
    ];
    for (const [method, path, body, status, code] of cases) {
      const answer = await bakery.call(method, path, body);
      expect([method, path, answer.status, answer.json.code]).toEqual([method, path, status, code]);
      expect(answer.headers.get("content-type")).toBe("application/problem+json");
      expect(answer.json).toMatchObject({
        type: "about:blank",
        status,
        title: expect.any(String),
        detail: expect.stringMatching(/\.$/),
        problems: expect.any(Array),
      });
    }
  });

  it("names the place in the formula, what was expected and what to do", async () => {
    const bad = formula("Plain sponge");
    const answer = await bakery.call("POST", "/api/documents", {
      kind: "formula",
      body: {
        ...bad,
        components: [{ ...bad.components[0], stages: [{ name: "cream", uses: [{ ingredient: "butter-unsalted", grams: -1 }] }] }],
      },
    });
    expect(answer.status).toBe(422);
    expect(answer.json.problems).toMatchObject([
      { path: ["components", 0, "stages", 0, "uses", 0, "grams"], code: "out-of-range" },
    ]);
    expect(answer.json.problems[0].remedy).not.toBe("");
  });

  it("takes JSON only where JSON is expected, and no more than it said", async () => {
    const send = (body: string, type: string) =>
      bakery.app.request("/api/documents", { method: "POST", body, headers: { "content-type": type } });
    expect((await send("kind=formula", "application/x-www-form-urlencoded")).status).toBe(415);
    expect((await send(JSON.stringify({ kind: "formula", body: formula("a") }), "text/plain")).status).toBe(415);
    expect((await send(`"${"x".repeat(4_000_001)}"`, "application/json")).status).toBe(413);
    const endless = new ReadableStream({ pull: (controller) => controller.enqueue(new Uint8Array(100_000)) });
    const streamed = await bakery.app.request("/api/settings", {
      method: "PUT",
      body: endless,
      headers: { "content-type": "application/json" },
      duplex: "half",
    } as RequestInit);
    expect(streamed.status).toBe(413);
  });

  it.each([
    ["a name that was rebound to this machine", { host: "evil.example:8417" }, 421],
    ["a name that only begins like ours", { host: "localhost.evil.example" }, 421],
    ["a page of a stranger", { host: "127.0.0.1:8417", origin: "https://evil.example" }, 403],
    ["a page of another port", { host: "127.0.0.1:8417", origin: "http://127.0.0.1:9999" }, 403],
    ["a page without an origin", { host: "127.0.0.1:8417", origin: "null" }, 403],
    [
      "a picture on a stranger's page",
      { host: "127.0.0.1:8417", "sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors" },
      403,
    ],
    ["our own page", { host: "127.0.0.1:8417", origin: "http://127.0.0.1:8417", "sec-fetch-site": "same-origin" }, 200],
    ["our own page by name", { host: "localhost:8417", origin: "http://localhost:8417" }, 200],
    ["our own page by IPv6", { host: "[::1]:8417", origin: "http://[::1]:8417" }, 200],
    ["a program without a page", { host: "LOCALHOST.:8417" }, 200],
  ])("treats %s as it deserves", async (_who, headers, status) => {
    expect((await bakery.call("GET", "/api/backup", undefined, headers)).status).toBe(status);
    const saved = await bakery.call("POST", "/api/documents", { kind: "formula", body: formula("a") }, headers);
    expect(saved.status).toBe(status === 200 ? 201 : status);
    expect(await bakery.store.listDocuments()).toHaveLength(status === 200 ? 1 : 0);
    expect(saved.headers.get("access-control-allow-origin")).toBeNull();
  });

  it("answers to another name only when told to", async () => {
    const open = await openBakery({ allowedHosts: ["bakery.local"] });
    expect((await open.call("GET", "/api/health", undefined, { host: "bakery.local:8417" })).status).toBe(200);
    expect((await open.call("GET", "/api/health", undefined, { host: "other.local:8417" })).status).toBe(421);
    await open.dispose();
  });

  it("sends the headers that keep a page in its bounds with every answer", async () => {
    for (const path of ["/api/health", "/api/nothing", "/"]) {
      const { headers } = await bakery.call("GET", path);
      expect(headers.get("content-security-policy")).toMatch(/default-src 'self'.*object-src 'none'.*frame-ancestors 'none'/);
      expect(headers.get("x-content-type-options")).toBe("nosniff");
      expect(headers.get("referrer-policy")).toBe("no-referrer");
    }
    expect((await bakery.call("GET", "/api/settings")).headers.get("cache-control")).toBe("no-store");
  });

  it("never answers a made-up request with a mistake of its own (property)", async () => {
    const { document, revision } = await create();
    const id = fc.constantFrom(document.id, revision.id, UNKNOWN, "17", "%00", "..%2f..", "constructor", "__proto__");
    const path = fc.oneof(
      fc.constantFrom(
        "/api/documents",
        "/api/settings",
        "/api/demo",
        "/api/restore",
        "/api/restore?replace=true",
        "/api/revisions?limit=2",
        "/api/health",
        "/api/openapi.json",
      ),
      fc
        .tuple(id, fc.constantFrom("", "/revisions", "/draft", "/draft?device=x", "/standard", "/archive", "/restore"))
        .map(([one, tail]) => `/api/documents/${one}${tail}`),
      fc.tuple(id, id).map(([one, two]) => `/api/documents/${one}/revisions/${two}`),
      fc.webPath().map((tail) => `/api${tail}`),
    );
    const nearly = fc.record(
      {
        id: fc.oneof(id, fc.anything()),
        kind: fc.oneof(fc.constantFrom("formula", "tin", "ingredient"), fc.anything()),
        parentId: fc.constant(revision.id),
        baseRevisionId: fc.constant(revision.id),
        revisionId: id,
        device: fc.oneof(fc.string(), fc.anything()),
        note: fc.string({ unit: "binary" }),
        body: fc.oneof(fc.anything(), fc.record({ name: fc.string({ unit: "binary" }), components: fc.anything() })),
        units: fc.anything(),
      },
      { requiredKeys: [] },
    );
    const body = fc.oneof(
      fc.json(),
      fc.string(),
      nearly.map((value) => JSON.stringify(value, (_key, inner) => (typeof inner === "bigint" ? String(inner) : inner))),
    );
    const type = fc.constantFrom(
      "application/json",
      "application/json; charset=utf-8",
      "text/plain",
      "multipart/form-data",
      "application/gzip",
    );
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom("GET", "POST", "PUT", "DELETE", "PATCH"),
        path,
        body,
        type,
        fc.boolean(),
        async (method, where, sent, kind, demo) => {
          if (!demo && where === "/api/demo") return;
          const answer = await bakery.app.request(where, {
            method,
            ...(method !== "GET" && { body: sent, headers: { "content-type": kind } }),
          });
          expect(answer.status).toBeLessThan(500);
          if (answer.status >= 400) expect(answer.headers.get("content-type")).toBe("application/problem+json");
          await answer.arrayBuffer();
        },
      ),
      { numRuns: 1500, seed: 20300301 },
    );
    expect(({} as Record<string, unknown>).x).toBeUndefined();
    expect(await bakery.store.examine()).toEqual([]);
  });
});
