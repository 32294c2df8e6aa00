import type { DemoDocument, Store } from "@evencrumb/store";
import { createRoute, type OpenAPIHono } from "@hono/zod-openapi";
import { orStop } from "../problem.js";
import { DemoInstalledSchema, DemoRemovedSchema, HealthSchema, SettingsSchema } from "../schemas.js";
import { deviceOf, json, jsonBody, problem } from "./parts.js";

/** The server itself, its settings and the demo bakery. */
export function addHouseRoutes(app: OpenAPIHono, store: Store, demo: readonly DemoDocument[], version: string): void {
  app.openapi(
    createRoute({
      method: "get",
      path: "/api/health",
      summary: "Whether the server is up, and what it keeps its data in",
      responses: { 200: json("It is", HealthSchema), default: problem },
    }),
    (context) => context.json({ name: "evencrumb" as const, version, storage: store.storage }, 200),
  );

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/settings",
      summary: "All settings",
      responses: { 200: json("The settings", SettingsSchema), default: problem },
    }),
    async (context) => context.json({ ...(await store.readSettings()) }, 200),
  );

  app.openapi(
    createRoute({
      method: "put",
      path: "/api/settings",
      summary: "Replace all settings",
      request: { body: jsonBody(SettingsSchema) },
      responses: { 200: json("The settings as they are kept", SettingsSchema), default: problem },
    }),
    async (context) => context.json({ ...orStop(await store.writeSettings(context.req.valid("json"), deviceOf(context))) }, 200),
  );

  app.openapi(
    createRoute({
      method: "post",
      path: "/api/demo",
      summary: "Put back the demo documents that are not there",
      responses: { 200: json("What was put back, and what was there", DemoInstalledSchema), default: problem },
    }),
    async (context) => context.json(orStop(await store.installDemo(demo)), 200),
  );

  app.openapi(
    createRoute({
      method: "delete",
      path: "/api/demo",
      summary: "Remove the demo documents that the baker has not worked on",
      responses: { 200: json("What was removed, and what now belongs to the baker", DemoRemovedSchema), default: problem },
    }),
    async (context) => context.json(await store.removeDemo(), 200),
  );
}
