import type { TasterAnswer } from "@evencrumb/core/trials";
import type { Store } from "@evencrumb/store";
import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import type { Context } from "hono";
import { orStop, stopWith } from "../problem.js";
import { Id } from "../schemas.js";
import {
  allergenPage,
  answerFrom,
  codePage,
  declinedPage,
  questionPage,
  thanksPage,
  tooOftenPage,
  unknownCodePage,
  whatIsMissing,
} from "../tastePage.js";
import { misfit, readTastingDocument } from "../tasting.js";
import { type IssuedCode, shownCode, TastingCodes } from "../tastingCodes.js";
import { json, jsonBody, problem } from "./parts.js";

const CodesRequestSchema = z
  .strictObject({
    tasters: z
      .array(z.int().min(1).max(2000))
      .min(1)
      .max(2000)
      .optional()
      .openapi({ description: "Which tasters get a code; without it, everyone who has not answered" }),
  })
  .openapi("TastingCodesRequest");

const CodesSchema = z
  .object({
    codes: z.array(z.object({ taster: z.int(), code: z.string(), path: z.string() })).readonly(),
    endsAt: z.string().openapi({ format: "date-time" }),
    addresses: z.array(z.string()).readonly().openapi({
      description: "Where phones on the local network reach this server; empty while it listens to this machine only",
    }),
  })
  .openapi("TastingCodes");

const AddressesSchema = z.object({ addresses: z.array(z.string()).readonly() }).openapi("TastingAddresses");

/** Who saved a revision that holds a new answer. */
const DEVICE = "A taster's phone";
const TRIES = 5;

/**
 * Tastings on phones: codes for the baker to hand out, and the page behind each.
 *
 * @param addresses  where other machines reach this server
 */
export function addTastingRoutes(app: OpenAPIHono, store: Store, now: () => Date, addresses: () => readonly string[]): void {
  const codes = new TastingCodes(now);
  const waiting = new Map<string, Promise<unknown>>();

  app.openapi(
    createRoute({
      method: "post",
      path: "/api/tastings/{trialId}/codes",
      summary: "One-time codes for tasters who have not answered; an earlier code of the same taster ends",
      request: { params: z.object({ trialId: Id }), body: jsonBody(CodesRequestSchema) },
      responses: { 200: json("The codes; they cannot be asked for again", CodesSchema), default: problem },
    }),
    async (context) => {
      const { trialId } = context.req.valid("param");
      const tasting = await readTasting(store, trialId);
      if (tasting === undefined) return stopWith(404, "no-such-document", "There is no tasting with this id.");
      const answered = new Set(tasting.answers.map(({ taster }) => taster));
      const wanted = context.req.valid("json").tasters;
      const tasters = tasting.plan.sheets
        .map(({ taster }) => taster)
        .filter((taster) => !answered.has(taster) && (wanted === undefined || wanted.includes(taster)));
      let endsAtMs = now().getTime();
      const issued = tasters.map((taster) => {
        const made = codes.issue(trialId, taster);
        if (made === undefined) return stopWith(409, "unusable-request", "Too many codes are open. Wait until some have ended.");
        endsAtMs = made.endsAtMs;
        return { taster, code: shownCode(made.code), path: `/taste/${shownCode(made.code)}` };
      });
      return context.json({ codes: issued, endsAt: new Date(endsAtMs).toISOString(), addresses: addresses() }, 200);
    },
  );

  app.openapi(
    createRoute({
      method: "get",
      path: "/api/tastings/addresses",
      summary: "Where the phones of tasters reach this server; none while it listens to its own machine only",
      responses: { 200: json("The addresses", AddressesSchema), default: problem },
    }),
    (context) => context.json({ addresses: addresses() }, 200),
  );

  app.get("/taste", (context) => {
    const code = context.req.query("code");
    if (code === undefined) return context.html(codePage());
    return context.redirect(`/taste/${encodeURIComponent(code.slice(0, 40))}`, 303);
  });

  app.get("/taste/:code", async (context) => {
    const found = await sheetBehind(context);
    if (found instanceof Response) return found;
    const { issued, words, sheet, path } = found;
    if (issued.answered) return context.html(thanksPage());
    return context.html(context.req.query("ready") === "yes" ? questionPage(words, sheet, path) : allergenPage(words, path));
  });

  app.post("/taste/:code", async (context) => {
    const found = await sheetBehind(context);
    if (found instanceof Response) return found;
    const { issued, words, sheet, path, plan } = found;
    if (issued.answered) return context.html(thanksPage());
    const form = (await context.req.parseBody({ all: true })) as Record<string, string | string[]>;
    const answer = answerFrom(form, words, sheet);
    const why = whatIsMissing(form, words, sheet) ?? misfit(plan, answer);
    if (why !== undefined) return context.html(questionPage(words, sheet, path, { why, form }), 422);
    // One after the other, so that no answer is written over another one.
    const before = waiting.get(issued.trialId) ?? Promise.resolve();
    const saving = before.catch(() => {}).then(() => addAnswer(store, issued.trialId, answer));
    waiting.set(issued.trialId, saving);
    try {
      await saving;
    } finally {
      if (waiting.get(issued.trialId) === saving) waiting.delete(issued.trialId);
    }
    codes.markAnswered(context.req.param("code"));
    return context.html(answer.declined === true ? declinedPage() : thanksPage());
  });

  async function sheetBehind(context: Context) {
    context.header("cache-control", "no-store");
    const code = context.req.param("code") ?? "";
    const issued: IssuedCode | "unknown" | "too often" = codes.find(code, addressOf(context));
    if (issued === "too often") return context.html(tooOftenPage(), 429);
    const tasting = issued === "unknown" ? undefined : await readTasting(store, issued.trialId);
    const sheet = issued === "unknown" ? undefined : tasting?.plan.sheets.find(({ taster }) => taster === issued.taster);
    if (issued === "unknown" || tasting === undefined || sheet === undefined) return context.html(unknownCodePage(), 404);
    const answered = issued.answered || tasting.answers.some(({ taster }) => taster === issued.taster);
    return {
      issued: { ...issued, answered },
      words: tasting.words,
      plan: tasting.plan,
      sheet,
      path: `/taste/${encodeURIComponent(code)}`,
    };
  }
}

async function readTasting(store: Store, trialId: string) {
  const history = await store.readDocument(trialId);
  if (history === undefined || history.document.archived) return undefined;
  return readTastingDocument(history.latest.body).value;
}

/** Writes one answer into the newest revision; again, where another device saved at the same moment. */
async function addAnswer(store: Store, trialId: string, answer: TasterAnswer): Promise<void> {
  for (let attempt = 0; attempt < TRIES; attempt++) {
    const history = await store.readDocument(trialId);
    if (history === undefined) return stopWith(404, "no-such-document", "There is no tasting with this id.");
    const { latest } = history;
    const body = latest.body as { readonly answers: readonly TasterAnswer[] };
    if (body.answers.some(({ taster }) => taster === answer.taster)) return;
    const saved = orStop(
      await store.saveRevision({
        documentId: trialId,
        parentId: latest.id,
        body: { ...body, answers: [...body.answers, answer] },
        device: DEVICE,
      }),
    );
    if (saved.alongside.length === 0) return;
  }
}

/** The address that asks, as far as the server can tell; tests have none. */
function addressOf(context: Context): string {
  const env = context.env as { readonly incoming?: { readonly socket?: { readonly remoteAddress?: string } } } | undefined;
  return env?.incoming?.socket?.remoteAddress ?? "unknown";
}
