import type { Problem, Result } from "@evencrumb/core/quantities";
import type { Refusal, RefusalCode } from "@evencrumb/store";
import { HTTPException } from "hono/http-exception";

/**
 * An answer that says what went wrong, in the form of RFC 9457 (Problem Details for HTTP APIs). `type` is always
 * "about:blank", so `title` is the phrase of the status; `code` tells a program which refusal it is, and `problems` tells
 * a person what to mend.
 */
export interface ProblemDetails {
  readonly type: "about:blank";
  readonly title: string;
  readonly status: number;
  readonly detail: string;
  readonly code: ProblemDetailsCode;
  readonly problems: readonly Problem[];
}

export type ProblemDetailsCode =
  | RefusalCode
  | "no-such-route"
  | "unusable-request"
  | "unusable-type"
  | "foreign-host"
  | "foreign-origin"
  | "no-backup-place"
  | "our-mistake";

export type ProblemStatus = 400 | 403 | 404 | 409 | 413 | 415 | 421 | 422 | 500;

const TITLES: Readonly<Record<ProblemStatus, string>> = {
  400: "Bad Request",
  403: "Forbidden",
  404: "Not Found",
  409: "Conflict",
  413: "Content Too Large",
  415: "Unsupported Media Type",
  421: "Misdirected Request",
  422: "Unprocessable Content",
  500: "Internal Server Error",
};

const REFUSAL_STATUS: Readonly<Record<RefusalCode, ProblemStatus>> = {
  "no-such-document": 404,
  "no-such-revision": 404,
  "unknown-kind": 422,
  "unusable-body": 422,
  "too-large": 413,
  "unusable-field": 422,
  "id-taken": 409,
  "not-empty": 409,
  "not-an-archive": 422,
  "damaged-archive": 422,
  "newer-archive": 422,
};

export function problemResponse(
  status: ProblemStatus,
  code: ProblemDetailsCode,
  detail: string,
  problems: readonly Problem[] = [],
): Response {
  const body: ProblemDetails = { type: "about:blank", title: TITLES[status], status, detail, code, problems };
  return new Response(JSON.stringify(body), { status, headers: { "content-type": "application/problem+json" } });
}

/** Ends the handling of a request with a problem. Hono's own exception, because a handler's type names only its good answers. */
export function stopWith(status: ProblemStatus, code: ProblemDetailsCode, detail: string, problems?: readonly Problem[]): never {
  throw new HTTPException(status, { res: problemResponse(status, code, detail, problems) });
}

/** The value, or the end of the request with the store's refusal. */
export function orStop<T>(result: Result<T, Refusal>): T {
  if (result.ok) return result.value;
  const { code, detail, problems } = result.error;
  return stopWith(REFUSAL_STATUS[code], code, detail, problems);
}

interface SchemaIssue {
  readonly code: string;
  readonly path: readonly PropertyKey[];
  readonly message: string;
  readonly keys?: readonly string[];
}

/** What the schema found, in the words that every other check of the project uses. */
export function problemsFromIssues(issues: readonly SchemaIssue[], input: unknown): readonly Problem[] {
  return issues.slice(0, 20).map((issue): Problem => {
    const path = issue.path.map((step) => (typeof step === "number" ? step : String(step)));
    const value = path.reduce<unknown>(
      (inner, step) =>
        typeof inner === "object" && inner !== null && Object.hasOwn(inner, step)
          ? (inner as Record<string | number, unknown>)[step]
          : undefined,
      input,
    );
    if (issue.code === "unrecognized_keys") {
      const keys = (issue.keys ?? []).map((key) => JSON.stringify(key.slice(0, 40))).join(", ");
      return {
        code: "unknown-field",
        path,
        expected: "known fields only",
        found: keys,
        remedy: "Leave these fields out, or check their spelling.",
      };
    }
    const missing = value === undefined;
    return {
      code: missing ? "missing-field" : issue.code === "too_big" || issue.code === "too_small" ? "out-of-range" : "wrong-type",
      path,
      expected: issue.message.replace(/^Invalid input: expected /, "").replace(/, received .*$/, ""),
      found: missing ? "nothing" : (JSON.stringify(value) ?? "nothing").slice(0, 60),
      remedy: missing ? "Add the field." : "Correct the field.",
    };
  });
}
