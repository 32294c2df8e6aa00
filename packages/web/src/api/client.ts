import type {
  DocumentDetail,
  DocumentKind,
  DocumentSummary,
  KeptRevision,
  ProblemDetails,
  Revision,
  RevisionSummary,
  TastingCodes,
} from "./types.js";

/** The server cannot be reached: what was to be sent is kept and sent later. */
export class OfflineError extends Error {
  override name = "OfflineError";
}

/** The server was reached and said no, in words for the baker. */
export class RefusedError extends Error {
  override name = "RefusedError";
  readonly details: ProblemDetails;
  constructor(details: ProblemDetails) {
    super(details.detail ?? details.title);
    this.details = details;
  }
}

export interface Client {
  listDocuments(kind: DocumentKind): Promise<readonly DocumentSummary[]>;
  createDocument(request: {
    readonly id: string;
    readonly revisionId: string;
    readonly kind: DocumentKind;
    readonly body: unknown;
    readonly note?: string;
    readonly device: string;
  }): Promise<void>;
  getDocument<Body>(id: string, device: string): Promise<DocumentDetail<Body>>;
  getRevision<Body>(id: string, revisionId: string): Promise<Revision<Body>>;
  keepRevision(
    id: string,
    request: {
      readonly id: string;
      readonly parentId: string;
      readonly body: unknown;
      readonly note?: string;
      readonly device: string;
    },
  ): Promise<KeptRevision>;
  putDraft(
    id: string,
    draft: { readonly device: string; readonly baseRevisionId: string; readonly body: unknown },
  ): Promise<void>;
  deleteDraft(id: string, device: string): Promise<void>;
  setStandard(id: string, revisionId: string): Promise<void>;
  archive(id: string): Promise<void>;
  unarchive(id: string): Promise<void>;
  getSettings(): Promise<Record<string, unknown>>;
  putSettings(settings: Record<string, unknown>): Promise<void>;
  addDemo(): Promise<void>;
  removeDemo(): Promise<void>;
  restoreBackup(archive: Blob): Promise<void>;
  printBatchSheet(body: unknown): Promise<Blob>;
  /** A PDF of what was worked out here: the server only sets it. */
  print(what: "label" | "write-up" | "allergens", body: unknown): Promise<Blob>;
  /** One-time codes for those who have not answered; an earlier code of the same taster ends. */
  issueTastingCodes(trialId: string, tasters?: readonly number[]): Promise<TastingCodes>;
  /** Where phones reach the server; empty while it listens to its own machine only. */
  tastingAddresses(): Promise<readonly string[]>;
}

export const BACKUP_URL = "/api/backup";

/** Talks to the server this page came from. */
export function createClient(fetcher: typeof fetch = (...request) => fetch(...request)): Client {
  const ask = async (method: string, path: string, body?: unknown, headers: Record<string, string> = {}): Promise<Response> => {
    let response: Response;
    try {
      response = await fetcher(path, {
        method,
        headers: body === undefined || body instanceof Blob ? headers : { "Content-Type": "application/json", ...headers },
        ...(body === undefined ? {} : { body: body instanceof Blob ? body : JSON.stringify(body) }),
      });
    } catch (cause) {
      throw new OfflineError("The server cannot be reached.", { cause });
    }
    if (response.ok) return response;
    // A proxy or a service worker that stands between speaks no JSON: that is the network's failure, not a refusal.
    if (response.status >= 502 && response.status <= 504) throw new OfflineError("The server cannot be reached.");
    throw new RefusedError(await problemDetails(response));
  };
  const json = async <T>(...request: Parameters<typeof ask>): Promise<T> => (await ask(...request)).json() as Promise<T>;
  const done = async (...request: Parameters<typeof ask>): Promise<void> => void (await ask(...request));
  const path = (...parts: readonly string[]) => `/api/${parts.map(encodeURIComponent).join("/")}`;

  return {
    listDocuments: async (kind) =>
      (await json<{ documents: readonly DocumentSummary[] }>("GET", `/api/documents?kind=${kind}`)).documents,
    createDocument: (request) => done("POST", path("documents"), request),
    getDocument: (id, device) => json("GET", path("documents", id), undefined, { "X-Device": encodeURIComponent(device) }),
    getRevision: async <Body>(id: string, revisionId: string) => {
      const answer = await json<Revision<Body> | { revision: Revision<Body> }>(
        "GET",
        path("documents", id, "revisions", revisionId),
      );
      return "revision" in answer ? answer.revision : answer;
    },
    keepRevision: async (id, request) => {
      const answer = await json<{ revision: RevisionSummary; alongside?: readonly RevisionSummary[] }>(
        "POST",
        path("documents", id, "revisions"),
        request,
      );
      return { revision: answer.revision, alongside: answer.alongside ?? [] };
    },
    putDraft: (id, draft) => done("PUT", path("documents", id, "draft"), draft),
    deleteDraft: (id, device) => done("DELETE", `${path("documents", id, "draft")}?device=${encodeURIComponent(device)}`),
    setStandard: (id, revisionId) => done("PUT", path("documents", id, "standard"), { revisionId }),
    archive: (id) => done("POST", path("documents", id, "archive")),
    unarchive: (id) => done("POST", path("documents", id, "restore")),
    getSettings: async () => {
      const answer = await json<Record<string, unknown>>("GET", path("settings"));
      return (answer.settings as Record<string, unknown> | undefined) ?? answer;
    },
    putSettings: (settings) => done("PUT", path("settings"), settings),
    addDemo: () => done("POST", path("demo")),
    removeDemo: () => done("DELETE", path("demo")),
    restoreBackup: (archive) => done("POST", `${path("restore")}?replace=true`, archive, { "Content-Type": "application/gzip" }),
    issueTastingCodes: (trialId, tasters) =>
      json("POST", path("tastings", trialId, "codes"), tasters === undefined ? {} : { tasters }),
    tastingAddresses: async () => (await json<{ addresses: readonly string[] }>("GET", path("tastings", "addresses"))).addresses,
    print: async (what, body) => (await ask("POST", path("print", what), body)).blob(),
    printBatchSheet: async (body) => (await ask("POST", path("print", "batch-sheet"), body)).blob(),
  };
}

async function problemDetails(response: Response): Promise<ProblemDetails> {
  const fallback = { title: response.statusText || "The server refused", status: response.status };
  try {
    return { ...fallback, ...((await response.json()) as Partial<ProblemDetails>) };
  } catch {
    return fallback; // an answer without a body still has its status
  }
}
