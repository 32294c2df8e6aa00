import type { MiddlewareHandler } from "hono";
import { problemResponse } from "./problem.js";

/** Names by which a machine calls itself. */
export const LOOPBACK_HOSTS = ["localhost", "127.0.0.1", "[::1]"] as const;

/**
 * Answers only those who know the server by one of its names, and only pages that came from it.
 *
 * A page of a stranger can make the baker's browser call 127.0.0.1. If it calls by a name of its own (DNS rebinding), the Host
 * header gives it away; if it calls us directly, the Origin header does, or Sec-Fetch-Site where a browser sends no Origin.
 */
export function refuseStrangers(allowedHosts: readonly string[]): MiddlewareHandler {
  const allowed = new Set(allowedHosts.map((host) => hostNameOf(host)));
  return async (context, next) => {
    const host = context.req.header("host") ?? new URL(context.req.url).host;
    if (!allowed.has(hostNameOf(host))) {
      return problemResponse(
        421,
        "foreign-host",
        `This server does not answer to the name ${JSON.stringify(host.slice(0, 100))}. Start it with that name allowed, if it is yours.`,
      );
    }
    const origin = context.req.header("origin");
    if (origin !== undefined && originHost(origin) !== host.toLowerCase()) {
      return problemResponse(403, "foreign-origin", "Only pages of this server may use it.");
    }
    const site = context.req.header("sec-fetch-site");
    const isPage =
      context.req.method === "GET" &&
      context.req.header("sec-fetch-mode") === "navigate" &&
      !context.req.path.startsWith("/api/");
    if (origin === undefined && (site === "cross-site" || site === "same-site") && !isPage) {
      return problemResponse(403, "foreign-origin", "Only pages of this server may use it.");
    }
    return next();
  };
}

/** Headers that narrow what a page of ours can be made to do, should something slip into it. */
export function securityHeaders(): MiddlewareHandler {
  const policy = [
    "default-src 'self'",
    "script-src 'self' 'wasm-unsafe-eval'", // the solver is WebAssembly
    "style-src 'self' 'unsafe-inline'", // sizes of drawings and of columns are set in place
    "img-src 'self' data: blob:",
    "font-src 'self' data:",
    "connect-src 'self'",
    "worker-src 'self' blob:",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join("; ");
  const headers: Readonly<Record<string, string>> = {
    "content-security-policy": policy,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
  };
  return async (context, next) => {
    await next();
    for (const [name, value] of Object.entries(headers)) context.res.headers.set(name, value);
    if (context.req.path.startsWith("/api/") && !context.res.headers.has("cache-control"))
      context.res.headers.set("cache-control", "no-store");
  };
}

/** "Bakery.local.:8417" -> "bakery.local"; "[::1]:8417" -> "[::1]". */
function hostNameOf(host: string): string {
  const lower = host.trim().toLowerCase();
  const name = lower.startsWith("[") ? lower.slice(0, lower.indexOf("]") + 1) : lower.replace(/:\d*$/, "");
  return name.replace(/\.$/, "");
}

function originHost(origin: string): string | undefined {
  try {
    const url = new URL(origin);
    return url.protocol === "http:" || url.protocol === "https:" ? url.host : undefined;
  } catch {
    return undefined; // "null", or nonsense: a stranger either way
  }
}
