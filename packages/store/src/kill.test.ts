import { type ChildProcess, spawn } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "vite";
import { afterAll, beforeAll, expect, it } from "vitest";
import { openStore } from "./openStore.js";
import { TEST_KINDS } from "./testing/backEnds.js";

// SIGKILL leaves the operating system's cache as it is: this proves the order of writing and the recovery, not the disk.
// For a power cut it is `synchronous = full` that speaks, which migrate.test.ts reads back.

const KILLS = 50;
const SOURCE = fileURLToPath(new URL("./testing/saveUntilKilled.ts", import.meta.url));
// Inside node_modules, so that the program finds the libraries; built, so that fifty of them start quickly.
const BUILT = fileURLToPath(new URL(`../../../node_modules/.evencrumb-kill-test-${process.pid}`, import.meta.url));
const PROGRAM = join(BUILT, "saveUntilKilled.js");

beforeAll(async () => {
  await build({
    configFile: false,
    logLevel: "error",
    resolve: { conditions: ["evencrumb-source"] },
    ssr: { noExternal: [/^@evencrumb\//], resolve: { conditions: ["evencrumb-source"] } },
    build: { ssr: SOURCE, outDir: BUILT, emptyOutDir: true, rollupOptions: { output: { entryFileNames: "[name].js" } } },
  });
  writeFileSync(join(BUILT, "package.json"), '{"type":"module"}');
}, 60_000);
afterAll(() => rmSync(BUILT, { recursive: true, force: true }));

interface Acknowledged {
  readonly revisions: Map<string, { readonly document: string; readonly hash: string }>;
  /** The last one of each document; a later draft may be there instead, an earlier one may not. */
  readonly drafts: Map<string, { readonly pid: number; readonly draft: number }>;
  settings: { readonly pid: number; readonly count: number } | undefined;
}

it(`loses no acknowledged save in ${KILLS} kills, and finds its file sound after each`, { timeout: 180_000 }, async () => {
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-kill-"));
  const acknowledged: Acknowledged = { revisions: new Map(), drafts: new Map(), settings: undefined };
  let random = 20300301;
  const nextRandom = () => {
    random = (random * 1103515245 + 12345) % 2 ** 31;
    return random / 2 ** 31;
  };
  const waiting = [start(), start()]; // loading while the ones before them are killed
  const counts: number[] = [];
  try {
    for (let kill = 0; kill < KILLS; kill += 1) {
      const saver = waiting.shift()!;
      if (kill + waiting.length + 1 < KILLS) waiting.push(start());
      await saver.ready;
      const before = acknowledged.revisions.size;
      await saver.killAfter(folder, 20 + nextRandom() * 280);
      for (const line of saver.lines()) note(acknowledged, line);
      counts.push(acknowledged.revisions.size - before);
      await check(folder, acknowledged, kill);
    }
  } finally {
    for (const saver of waiting) saver.process.kill("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  }
  console.log(
    `${KILLS} kills, ${acknowledged.revisions.size} acknowledged revisions, ${Math.min(...counts)} to ${Math.max(...counts)} a life`,
  );
  expect(Math.min(...counts)).toBeGreaterThan(0); // each one was killed at work, not before it
});

function start() {
  const process_ = spawn(process.execPath, [PROGRAM], {
    stdio: ["pipe", "pipe", "pipe"],
    env: { ...process.env, NODE_OPTIONS: "" },
  });
  let output = "";
  let errors = "";
  process_.stdout.on("data", (data: Buffer) => {
    output += data.toString();
  });
  process_.stderr.on("data", (data: Buffer) => {
    errors += data.toString();
  });
  return {
    process: process_ as ChildProcess,
    ready: new Promise<void>((resolve) => process_.once("spawn", () => resolve())),
    /** From the first acknowledgement on, so that every life saves something. */
    async killAfter(folder: string, ms: number): Promise<void> {
      const ended = new Promise<NodeJS.Signals | null>((resolve) => process_.once("close", (_code, signal) => resolve(signal)));
      const first = new Promise<void>((resolve) => process_.stdout.once("data", () => resolve()));
      process_.stdin.write(`${folder}\n`);
      await Promise.race([first, ended]);
      await new Promise((resolve) => setTimeout(resolve, ms));
      process_.kill("SIGKILL");
      const signal = await ended;
      if (signal !== "SIGKILL") throw new Error(`the saver ended by itself: ${errors}`);
    },
    /** Complete lines only: half a line was no acknowledgement. */
    lines: () => output.split("\n").slice(0, -1),
  };
}

function note(acknowledged: Acknowledged, line: string): void {
  const fact = JSON.parse(line) as {
    document?: string;
    revision?: string;
    hash?: string;
    draft?: number;
    settings?: number;
    pid?: number;
  };
  if (fact.revision !== undefined) acknowledged.revisions.set(fact.revision, { document: fact.document!, hash: fact.hash! });
  else if (fact.draft !== undefined) acknowledged.drafts.set(fact.document!, { pid: fact.pid!, draft: fact.draft });
  else if (fact.settings !== undefined) acknowledged.settings = { pid: fact.pid!, count: fact.settings };
}

async function check(folder: string, acknowledged: Acknowledged, kill: number): Promise<void> {
  const store = await openStore({ folder }, { kinds: TEST_KINDS, now: () => new Date(), newId: () => crypto.randomUUID() });
  try {
    // `examine` runs SQLite's integrity_check and foreign_key_check, and hashes every body anew.
    expect([kill, await store.examine()]).toEqual([kill, []]);
    const present = new Map<string, string>();
    for (const { id } of await store.listDocuments())
      for (const revision of await store.listRevisions(id)) present.set(revision.id, revision.contentHash);
    const lost = [...acknowledged.revisions].filter(([id, { hash }]) => present.get(id) !== hash).map(([id]) => id);
    expect([kill, lost]).toEqual([kill, []]);
    for (const [document, { pid, draft }] of acknowledged.drafts) {
      const body = (await store.readDraft(document, "killed"))?.body as { pid: number; draft: number } | undefined;
      expect(body?.pid !== pid || body.draft >= draft).toBe(true);
      expect(body).toBeDefined();
    }
    const settings = (await store.readSettings()) as { pid?: number; count?: number };
    if (acknowledged.settings !== undefined && settings.pid === acknowledged.settings.pid)
      expect(settings.count).toBeGreaterThanOrEqual(acknowledged.settings.count);
  } finally {
    await store.close();
  }
}
