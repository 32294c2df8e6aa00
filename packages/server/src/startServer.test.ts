import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { request } from "node:http";
import { connect } from "node:net";
import { networkInterfaces, tmpdir } from "node:os";
import { join } from "node:path";
import { brotliDecompressSync, gunzipSync } from "node:zlib";
import { openStore, type Store } from "@evencrumb/store";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { bakeryKinds } from "./kinds.js";
import { type RunningServer, startServer } from "./startServer.js";
import { DEMO, formula } from "./testing/bakery.js";

const now = () => new Date("2030-03-01T06:00:00Z");
const SCRIPT = `${"export const crumb = 'even';\n".repeat(4000)}`;
const PAGE = `<!doctype html><title>Evencrumb</title>${"<p>flour</p>".repeat(200)}`;

let folder: string;
let store: Store;
let server: RunningServer;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "evencrumb-live-"));
  mkdirSync(join(folder, "web", "assets"), { recursive: true });
  writeFileSync(join(folder, "web", "index.html"), PAGE);
  writeFileSync(join(folder, "web", "assets", "app-Ab3dE_9x.js"), SCRIPT);
  writeFileSync(join(folder, "web", "icon.svg"), "<svg/>");
  writeFileSync(join(folder, "secret.txt"), "the till's code");
  store = await openStore({ folder: join(folder, "store") }, { kinds: bakeryKinds(), now, newId: () => crypto.randomUUID() });
  server = await startServer({
    store,
    port: 0,
    now,
    demo: DEMO,
    webFolder: join(folder, "web"),
    backupFolder: join(folder, "backups"),
  });
});
afterEach(async () => {
  await server.close();
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Without the help of fetch, which packs, unpacks and corrects. */
function raw(
  path: string,
  headers: Record<string, string> = {},
  method = "GET",
): Promise<{ status: number; headers: Record<string, string | string[] | undefined>; bytes: Buffer }> {
  const { hostname, port } = new URL(server.url);
  return new Promise((resolve, reject) => {
    const sent = request({ hostname, port, path, method, headers }, (answer) => {
      const chunks: Buffer[] = [];
      answer.on("data", (chunk: Buffer) => chunks.push(chunk));
      answer.on("end", () => resolve({ status: answer.statusCode!, headers: answer.headers, bytes: Buffer.concat(chunks) }));
    });
    sent.on("error", reject);
    sent.end();
  });
}

it("listens on the loopback only, and puts the demo in at the first start", async () => {
  expect(server.url).toMatch(/^http:\/\/127\.0\.0\.1:\d+$/);
  const listed = (await (await fetch(`${server.url}/api/documents`)).json()) as { documents: { name: string }[] };
  expect(listed.documents.map(({ name }) => name).toSorted()).toEqual(["Demo roll", "Demo sandwich"]);
  const outside = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .find(({ internal, family }) => !internal && family === "IPv4");
  if (outside !== undefined)
    await expect(fetch(`http://${outside.address}:${new URL(server.url).port}/api/health`)).rejects.toThrow();
});

it("answers on the network when it is told to, by the machine's own addresses and the names given", async () => {
  const open = await startServer({ store, port: 0, now, host: "0.0.0.0", allowedHosts: ["bakery.example"] });
  const { port } = new URL(open.url);
  const ask = (host: string) =>
    new Promise<number>((resolve) => {
      request({ hostname: "127.0.0.1", port, path: "/api/health", headers: { host } }, (answer) => {
        answer.resume();
        resolve(answer.statusCode!);
      }).end();
    });
  const own = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter(({ family }) => family === "IPv4");
  for (const { address } of own) expect(await ask(`${address}:${port}`)).toBe(200);
  expect(await ask(`bakery.example:${port}`)).toBe(200);
  expect(await ask(`evil.example:${port}`)).toBe(421);
  await open.close();
});

it("says why a port cannot be used", async () => {
  const { port } = new URL(server.url);
  await expect(startServer({ store, port: Number(port), now })).rejects.toThrow(
    `Port ${port} on 127.0.0.1 cannot be used: another program uses it`,
  );
});

it("refuses a demo that its own checks would refuse", async () => {
  const broken = [{ id: DEMO[0]!.id, kind: "formula", revisions: [{ body: { name: 1 } }] }];
  await expect(startServer({ store, port: 0, now, demo: broken })).rejects.toThrow("The demo bakery is not usable");
});

describe("the web app's files", () => {
  it("go packed over the wire, hashed ones for good and the page to be asked for anew", async () => {
    const script = await raw("/assets/app-Ab3dE_9x.js", { "accept-encoding": "gzip, deflate, br" });
    expect(script.headers).toMatchObject({
      "content-encoding": "br",
      "cache-control": "public, max-age=31536000, immutable",
      "content-type": "text/javascript; charset=utf-8",
    });
    expect(brotliDecompressSync(script.bytes).toString()).toBe(SCRIPT);
    expect(script.bytes.length).toBeLessThan(SCRIPT.length / 50);
    const page = await raw("/", { "accept-encoding": "gzip" });
    expect(page.headers).toMatchObject({ "content-encoding": "gzip", "cache-control": "no-cache", vary: "accept-encoding" });
    expect(gunzipSync(page.bytes).toString()).toBe(PAGE);
    const plain = await raw("/", { "accept-encoding": "br;q=0, identity" });
    expect([plain.headers["content-encoding"], plain.bytes.toString()]).toEqual([undefined, PAGE]);
    const again = await raw("/", { "accept-encoding": "gzip", "if-none-match": String(page.headers.etag) });
    expect([again.status, again.bytes.length]).toEqual([304, 0]);
    const head = await raw("/", { "accept-encoding": "gzip" }, "HEAD");
    expect([head.status, head.headers["content-length"], head.bytes.length]).toEqual([200, String(page.bytes.length), 0]);
  });

  it("give the page for any address inside the app, and never for the API or a file that is missing", async () => {
    expect((await raw("/formulas/5a1d/compare")).bytes.toString()).toBe(PAGE);
    expect((await raw("/icon.svg")).headers["content-type"]).toBe("image/svg+xml");
    for (const path of ["/api/nothing", "/api", "/assets/gone-12345678.js", "/favicon.ico"]) {
      const answer = await raw(path);
      expect([path, answer.status, answer.headers["content-type"]]).toEqual([path, 404, "application/problem+json"]);
    }
    writeFileSync(join(folder, "web", "index.html"), "a new build");
    expect((await raw("/")).bytes.toString()).toBe("a new build");
  });

  it("stay inside their folder", async () => {
    for (const path of [
      "/../secret.txt",
      "/..%2fsecret.txt",
      "/%2e%2e/secret.txt",
      "/assets/..%2f..%2fsecret.txt",
      "/..%5csecret.txt",
      "/secret.txt%00.js",
      "/assets/%",
      "//etc/passwd.txt",
    ]) {
      const answer = await raw(path);
      expect([path, answer.status >= 400 && !answer.bytes.includes("till")]).toEqual([path, true]);
    }
  });
});

it("sends changes as they happen, and ends the stream when it closes", async () => {
  const stream = await fetch(`${server.url}/api/events`);
  expect(stream.headers.get("content-type")).toBe("text/event-stream");
  const reader = stream.body!.pipeThrough(new TextDecoderStream()).getReader();
  let heard = "";
  const listening = (async () => {
    for (let part = await reader.read(); !part.done; part = await reader.read()) heard += part.value;
  })();
  await expect.poll(() => heard).toContain("retry: 2000");
  const saved = await fetch(`${server.url}/api/documents`, {
    method: "POST",
    headers: { "content-type": "application/json" },
    body: JSON.stringify({ kind: "formula", body: formula("Sponge"), device: "bench" }),
  });
  const { document, revision } = (await saved.json()) as { document: { id: string }; revision: { id: string } };
  await fetch(`${server.url}/api/settings`, {
    method: "PUT",
    headers: { "content-type": "application/json", "x-device": "bench" },
    body: "{}",
  });
  await expect
    .poll(() => heard)
    .toContain(
      `data: ${JSON.stringify({ type: "document-changed", id: document.id, revisionId: revision.id, device: "bench" })}\n\n`,
    );
  await expect.poll(() => heard).toContain('data: {"type":"settings-changed","device":"bench"}\n\n');
  const started = performance.now();
  await server.close();
  await listening;
  expect(performance.now() - started).toBeLessThan(1500);
});

it("keeps the backup that is made before a restore as a whole file, and never over another one", async () => {
  const archive = await (await fetch(`${server.url}/api/backup`)).arrayBuffer();
  const before = await store.backup();
  const restored = await fetch(`${server.url}/api/restore?replace=true`, { method: "POST", body: archive });
  const { backupName } = (await restored.json()) as { backupName: string };
  expect(readdirSync(join(folder, "backups"))).toEqual([backupName]);
  expect(gunzipSync(readFileSync(join(folder, "backups", backupName)))).toEqual(gunzipSync(before));

  // This clock stands still, so the next backup would have the same name.
  await store.writeSettings({ units: "us" });
  expect((await fetch(`${server.url}/api/restore?replace=true`, { method: "POST", body: archive })).status).toBe(200);
  expect(readdirSync(join(folder, "backups"))).toHaveLength(2);
  expect(gunzipSync(readFileSync(join(folder, "backups", backupName)))).toEqual(gunzipSync(before));
});

it("prints a batch sheet as a PDF", async () => {
  const sheet = {
    title: "Sponge",
    batch: { factor: 1, words: "as written" },
    allergens: { contains: [{ name: "milk", from: ["butter"] }], mayContain: [], checkSupplier: [], unknownIngredients: [] },
    components: [
      {
        name: "sponge",
        kind: "cake",
        totalGrams: 200,
        tins: [],
        stages: [
          {
            name: "cream",
            targets: [],
            totalGrams: 200,
            lines: [{ ingredient: "butter-unsalted", name: "butter", grams: 200, scaleReadsGrams: 200, bringsAllergen: true }],
          },
        ],
        measure: [],
      },
    ],
    totalGrams: 200,
    cautions: [],
  };
  const print = (body: object) =>
    fetch(`${server.url}/api/print/batch-sheet`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body: JSON.stringify(body),
    });
  const printed = await print(sheet);
  expect([printed.status, printed.headers.get("content-type")]).toEqual([200, "application/pdf"]);
  expect(
    Buffer.from(await printed.arrayBuffer())
      .subarray(0, 5)
      .toString(),
  ).toBe("%PDF-");
  const bad = await print({ ...sheet, totalGrams: -1 });
  expect([bad.status, ((await bad.json()) as { problems: { path: unknown }[] }).problems[0]!.path]).toEqual([
    400,
    ["totalGrams"],
  ]);
});

it("survives a caller that speaks no HTTP and one that hangs up", async () => {
  const { port } = new URL(server.url);
  for (const words of [
    "butter 250 g\r\n\r\n",
    'POST /api/documents HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: 500\r\n\r\n{"kind":',
    "GET / HTTP/1.1\r\n\r\n",
  ]) {
    await new Promise<void>((resolve) => {
      const socket = connect(Number(port), "127.0.0.1", () => {
        socket.write(words);
        setTimeout(() => socket.destroy(), 50);
      });
      socket.on("error", () => {}); // being thrown out is one of the right answers
      socket.on("close", () => resolve());
      socket.resume();
    });
  }
  expect((await fetch(`${server.url}/api/health`)).status).toBe(200);
});
