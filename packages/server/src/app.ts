import { readFileSync } from "node:fs";
import type { DemoDocument, Store } from "@evencrumb/store";
import { OpenAPIHono } from "@hono/zod-openapi";
import { bodyLimit } from "hono/body-limit";
import { compress } from "hono/compress";
import { HTTPException } from "hono/http-exception";
import { LOOPBACK_HOSTS, refuseStrangers, securityHeaders } from "./guard.js";
import { problemResponse, problemsFromIssues } from "./problem.js";
import { addCopyRoutes, type KeepBackup } from "./routes/copy.js";
import { addDocumentRoutes } from "./routes/documents.js";
import { addEventRoute } from "./routes/events.js";
import { addHouseRoutes } from "./routes/house.js";
import { addPrintRoutes } from "./routes/print.js";
import { addTastingRoutes } from "./routes/tasting.js";
import { webFiles } from "./webFiles.js";

/** A body of 1 000 000 bytes, the rest of the request, and room for letters that were sent as escapes. */
export const REQUEST_BYTES_MAX = 4_000_000;
/** An archive of a large bakery. */
export const ARCHIVE_REQUEST_BYTES_MAX = 256_000_000;

export const VERSION = (
  JSON.parse(readFileSync(new URL("../package.json", import.meta.url), "utf8")) as { readonly version: string }
).version;

export interface AppOptions {
  readonly store: Store;
  /** The built web app; without it there is only the API. */
  readonly webFolder?: string;
  /** The demo bakery that the baker can have back. */
  readonly demo?: readonly DemoDocument[];
  /** Names by which this server may be called, beside those of the loopback. */
  readonly allowedHosts?: readonly string[];
  readonly now: () => Date;
  /** Where other machines on the local network reach this server; none while it listens to this machine only. */
  readonly addresses?: () => readonly string[];
  /** Where the backup goes that is made before a restore replaces everything. */
  readonly keepBackup?: KeepBackup;
  /** Ends the streams of events. */
  readonly stop?: AbortSignal;
  /** Hears of our own mistakes. */
  readonly report?: (error: unknown) => void;
}

/** All routes, without a port: a test calls `app.request`. */
export function createApp({
  store,
  webFolder,
  demo = [],
  allowedHosts = [],
  addresses = () => [],
  now,
  keepBackup,
  stop = new AbortController().signal,
  report = console.error,
}: AppOptions): OpenAPIHono {
  const app = new OpenAPIHono({
    async defaultHook(result, context) {
      if (result.success) return undefined;
      const input: unknown = result.target === "json" ? await context.req.json() : context.req.param();
      return problemResponse(
        400,
        "unusable-request",
        `The ${WHERE[result.target] ?? "request"} is not as it should be.`,
        problemsFromIssues(result.error.issues, input),
      );
    },
  });

  app.use(securityHeaders());
  app.use(refuseStrangers([...LOOPBACK_HOSTS, ...allowedHosts]));
  app.use("/api/*", compress());
  const limit = (maxSize: number) =>
    bodyLimit({ maxSize, onError: () => problemResponse(413, "too-large", `The request is larger than ${maxSize} bytes.`) });
  const [usual, large] = [limit(REQUEST_BYTES_MAX), limit(ARCHIVE_REQUEST_BYTES_MAX)];
  app.use((context, next) => (context.req.path === "/api/restore" ? large : usual)(context, next));
  app.use("/api/*", async (context, next) => {
    const { method, path } = context.req;
    const type = context.req.header("content-type");
    // A form of another page can send text or form fields without asking; JSON it cannot.
    if (method !== "GET" && type !== undefined && path !== "/api/restore" && !/^application\/json\s*(;|$)/i.test(type)) {
      return problemResponse(415, "unusable-type", "Send JSON, with the content type application/json.");
    }
    return next();
  });

  addHouseRoutes(app, store, demo, VERSION);
  addDocumentRoutes(app, store);
  addCopyRoutes(app, store, now, keepBackup);
  addPrintRoutes(app, now);
  addTastingRoutes(app, store, now, addresses);
  addEventRoute(app, store, stop);
  app.get("/api/openapi.json", (context) =>
    context.json(
      app.getOpenAPI31Document({
        openapi: "3.1.0",
        info: { title: "Evencrumb", version: VERSION, license: { name: "MIT" } },
      }),
    ),
  );

  if (webFolder !== undefined) app.use(webFiles(webFolder));
  app.notFound(() => problemResponse(404, "no-such-route", "There is nothing at this address."));
  app.onError((error) => {
    if (error instanceof HTTPException) {
      if (error.res !== undefined) return error.res;
      if (error.status === 413) return problemResponse(413, "too-large", "The request is too large.");
      if (error.status === 415) return problemResponse(415, "unusable-type", "Send the content as JSON, with its content type.");
      return problemResponse(400, "unusable-request", "The content cannot be read: it is not well-formed.");
    }
    report(error);
    return problemResponse(
      500,
      "our-mistake",
      "Something went wrong in the program. Nothing of this request was saved unless a save was confirmed.",
    );
  });
  return app;
}

const WHERE: Readonly<Record<string, string>> = { json: "content", param: "address", query: "query", header: "header" };
