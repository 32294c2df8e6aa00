import type { Store } from "@evencrumb/store";
import type { OpenAPIHono } from "@hono/zod-openapi";
import { streamSSE } from "hono/streaming";

/** Often enough that no proxy on the way thinks the line is dead. */
const HEARTBEAT_MS = 20_000;

/**
 * Tells every open page of each change, as server-sent events: `{ type: "document-changed" | "settings-changed" | "restored", ... }`.
 *
 * @param stop  ends all streams, so that the server can close
 */
export function addEventRoute(app: OpenAPIHono, store: Store, stop: AbortSignal): void {
  app.openAPIRegistry.registerPath({
    method: "get",
    path: "/api/events",
    summary: "Changes as they happen, as server-sent events",
    responses: {
      200: { description: "One JSON object for each change", content: { "text/event-stream": { schema: { type: "string" } } } },
    },
  });
  app.get("/api/events", (context) => {
    // No buffering by a proxy on the way.
    context.header("x-accel-buffering", "no");
    return streamSSE(context, async (stream) => {
      await new Promise<void>((resolve) => {
        const send = (data: string) => void stream.writeSSE({ data }).catch(() => resolve());
        const unsubscribe = store.subscribe((change) => send(JSON.stringify(change)));
        const heartbeat = setInterval(() => void stream.write(": still here\n\n").catch(() => resolve()), HEARTBEAT_MS);
        const end = () => {
          clearInterval(heartbeat);
          unsubscribe();
          stop.removeEventListener("abort", end);
          resolve();
        };
        stream.onAbort(end);
        stop.addEventListener("abort", end);
        if (stop.aborted) end();
        // The first words open the stream for the browser, and tell it how soon to come back.
        void stream.write("retry: 2000\n\n");
      });
    });
  });
}
