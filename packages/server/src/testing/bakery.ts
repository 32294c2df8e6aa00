import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type DemoDocument, openStore, type Store } from "@evencrumb/store";
import { type AppOptions, createApp } from "../app.js";
import { bakeryKinds } from "../kinds.js";

/** A formula that passes every check. */
export const formula = (name: string, grams = 200) => ({
  name,
  components: [{ name: "sponge", kind: "cake", stages: [{ name: "cream", uses: [{ ingredient: "butter-unsalted", grams }] }] }],
});

export const DEMO: readonly DemoDocument[] = [
  {
    id: "5a1d0001-0000-4000-8000-000000000001",
    kind: "formula",
    standard: 1,
    revisions: [{ body: formula("Demo sandwich", 100), note: "As it has always been." }, { body: formula("Demo sandwich", 90) }],
  },
  { id: "5a1d0001-0000-4000-8000-000000000002", kind: "formula", revisions: [{ body: formula("Demo roll") }] },
];

export interface Bakery {
  readonly store: Store;
  readonly folder: string;
  readonly app: ReturnType<typeof createApp>;
  /** Sends JSON and gives back status, headers and the JSON of the answer. */
  readonly call: (method: string, path: string, body?: unknown, headers?: Record<string, string>) => Promise<Answer>;
  readonly dispose: () => Promise<void>;
}

export interface Answer {
  readonly status: number;
  readonly headers: Headers;
  // biome-ignore lint/suspicious/noExplicitAny: a test looks into any answer
  readonly json: any;
}

/** A server on a store of its own, with a clock that stands still. */
export async function openBakery(options: Partial<AppOptions> = {}): Promise<Bakery> {
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-server-"));
  const now = () => new Date("2030-03-01T06:00:00Z");
  const store = await openStore({ folder }, { kinds: bakeryKinds(), now, newId: () => crypto.randomUUID() });
  const app = createApp({ store, now, ...options });
  return {
    store,
    folder,
    app,
    async call(method, path, body, headers = {}) {
      const answer = await app.request(path, {
        method,
        headers: { ...(body !== undefined && { "content-type": "application/json" }), ...headers },
        ...(body !== undefined && { body: typeof body === "string" ? body : JSON.stringify(body) }),
      });
      const text = await answer.text();
      return {
        status: answer.status,
        headers: answer.headers,
        json: answer.headers.get("content-type")?.includes("json") ? JSON.parse(text) : text,
      };
    },
    async dispose() {
      await store.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
