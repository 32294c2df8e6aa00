import { readFile, stat } from "node:fs/promises";
import { extname, join, normalize, sep } from "node:path";
import { promisify } from "node:util";
import { brotliCompress, constants, gzip } from "node:zlib";
import type { MiddlewareHandler } from "hono";
import { problemResponse } from "./problem.js";

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json",
  ".map": "application/json",
  ".webmanifest": "application/manifest+json",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".jpg": "image/jpeg",
  ".webp": "image/webp",
  ".ico": "image/x-icon",
  ".wasm": "application/wasm",
  ".woff2": "font/woff2",
  ".ttf": "font/ttf",
  ".txt": "text/plain; charset=utf-8",
};
const PACKED_ALREADY = [".png", ".jpg", ".webp", ".woff2", ".ico"];
/** Smaller than a packet: packing gains nothing. */
const PACK_BYTES_MIN = 1024;

interface WebFile {
  readonly bytes: Buffer;
  readonly changedMs: number;
  readonly tag: string;
  readonly packed: Map<"br" | "gzip", Buffer>;
}

/**
 * Serves the built web app: its files, and its page for every other address that a person may type or bookmark.
 * Files are packed once and kept, so that the first load is as small on the wire as the build promises.
 */
export function webFiles(folder: string): MiddlewareHandler {
  const root = normalize(folder + sep);
  const kept = new Map<string, WebFile>();

  async function read(path: string): Promise<WebFile | undefined> {
    const file = normalize(join(root, path));
    if (!file.startsWith(root) || path.includes("\0")) return undefined;
    try {
      const found = await stat(file);
      if (!found.isFile()) return undefined;
      const known = kept.get(file);
      if (known?.changedMs === found.mtimeMs && known.bytes.length === found.size) return known;
      const bytes = await readFile(file);
      const fresh: WebFile = {
        bytes,
        changedMs: found.mtimeMs,
        tag: `${bytes.length.toString(36)}-${Math.round(found.mtimeMs).toString(36)}`,
        packed: new Map(),
      };
      kept.set(file, fresh);
      return fresh;
    } catch (error) {
      if (["ENOENT", "ENOTDIR", "ENAMETOOLONG"].includes((error as NodeJS.ErrnoException).code ?? "")) return undefined;
      throw error;
    }
  }

  return async (context, next) => {
    const { method, path } = context.req;
    if ((method !== "GET" && method !== "HEAD") || path === "/api" || path.startsWith("/api/")) return next();
    let asked: string;
    try {
      asked = decodeURIComponent(path);
    } catch {
      return problemResponse(400, "unusable-request", "The address is not well-formed.");
    }
    let name = asked.endsWith("/") ? `${asked}index.html` : asked;
    let file = await read(name);
    if (file === undefined && extname(asked) === "") {
      name = "/index.html"; // an address inside the app
      file = await read(name);
    }
    if (file === undefined) return next();

    const type = TYPES[extname(name).toLowerCase()] ?? "application/octet-stream";
    // The build writes a hash of the content into these names: another content has another name.
    const isHashed = /^\/assets\/.*-[\w-]{8,}\.\w+$/.test(name);
    const encoding =
      file.bytes.length < PACK_BYTES_MIN || PACKED_ALREADY.includes(extname(name))
        ? undefined
        : chooseEncoding(context.req.header("accept-encoding"));
    const tag = `"${file.tag}${encoding === undefined ? "" : `-${encoding}`}"`;
    const headers: Record<string, string> = {
      "content-type": type,
      "cache-control": isHashed ? "public, max-age=31536000, immutable" : "no-cache",
      etag: tag,
      vary: "accept-encoding",
    };
    if (
      context.req
        .header("if-none-match")
        ?.split(/\s*,\s*/)
        .includes(tag)
    )
      return new Response(null, { status: 304, headers });
    const bytes = encoding === undefined ? file.bytes : await pack(file, encoding);
    if (encoding !== undefined) headers["content-encoding"] = encoding;
    headers["content-length"] = String(bytes.length);
    return new Response(method === "HEAD" ? null : new Uint8Array(bytes), { status: 200, headers });
  };
}

async function pack(file: WebFile, encoding: "br" | "gzip"): Promise<Buffer> {
  const known = file.packed.get(encoding);
  if (known !== undefined) return known;
  const packed =
    encoding === "br"
      ? await promisify(brotliCompress)(file.bytes, {
          params: { [constants.BROTLI_PARAM_QUALITY]: 9, [constants.BROTLI_PARAM_SIZE_HINT]: file.bytes.length },
        })
      : await promisify<Buffer, { level: number }, Buffer>(gzip)(file.bytes, { level: 9 });
  file.packed.set(encoding, packed);
  return packed;
}

/** The better packing of the two that the browser takes (RFC 9110, section 12.5.3). */
function chooseEncoding(header: string | undefined): "br" | "gzip" | undefined {
  const accepted = new Map(
    (header ?? "").split(",").map((part) => {
      const [name = "", ...parameters] = part
        .trim()
        .toLowerCase()
        .split(/\s*;\s*/);
      const q = parameters.find((parameter) => parameter.startsWith("q="));
      return [name, q === undefined ? 1 : Number(q.slice(2))] as const;
    }),
  );
  return (["br", "gzip"] as const).find((name) => (accepted.get(name) ?? accepted.get("*") ?? 0) > 0);
}
