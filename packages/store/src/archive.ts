import { createHash } from "node:crypto";
import { promisify } from "node:util";
import { createGzip, gunzip } from "node:zlib";
import type { Result } from "@evencrumb/core/quantities";
import { hashText } from "./body.js";
import { refuse } from "./fields.js";
import type { DocumentRow, DraftRow, HousekeepingRow, RevisionRow, SettingRow } from "./schema.js";
import type { ArchiveCounts, Refusal } from "./store.js";

/** The format of the archive, apart from the schema of the tables: an archive outlives both back ends. */
export const ARCHIVE_FORMAT = "evencrumb-backup";
export const ARCHIVE_VERSION = 1;
/** Largest unpacked size that is written or read [bytes]: a bakery of a lifetime fits, a file made to fill the memory does not. */
export const ARCHIVE_BYTES_MAX = 2 ** 31;

/** Everything a store holds, in the order in which it can be put back. */
export interface Contents {
  readonly documents: readonly DocumentRow[];
  readonly revisions: readonly RevisionRow[];
  readonly drafts: readonly DraftRow[];
  readonly settings: readonly SettingRow[];
  readonly housekeeping: readonly HousekeepingRow[];
}

const TABLES = ["documents", "revisions", "drafts", "settings", "housekeeping"] as const satisfies readonly (keyof Contents)[];

/** Column, whether it may be null, and the type. A column that a later version adds is optional with the value it had before. */
const COLUMNS: Readonly<Record<keyof Contents, Readonly<Record<string, "text" | "text or null" | "whole number">>>> = {
  documents: {
    id: "text",
    kind: "text",
    name: "text",
    created_at: "text",
    archived_at: "text or null",
    demo: "whole number",
    standard_revision_id: "text or null",
  },
  revisions: {
    id: "text",
    document_id: "text",
    number: "whole number",
    parent_id: "text or null",
    settles_id: "text or null",
    saved_at: "text",
    device: "text",
    note: "text",
    body: "text",
    content_hash: "text",
  },
  drafts: { document_id: "text", device: "text", base_revision_id: "text", saved_at: "text", body: "text" },
  settings: { key: "text", value: "text", saved_at: "text" },
  housekeeping: { key: "text", value: "text" },
};

/**
 * Writes an archive: gzip (RFC 1952) around lines of JSON (RFC 8259) in UTF-8. The first line names the format, each following
 * line holds one row as `[table, row]`, the last one holds the counts and the SHA-256 of all lines before it.
 */
export async function packArchive(contents: Contents, madeAt: Date): Promise<Uint8Array> {
  const gzip = createGzip({ level: 6 });
  const chunks: Buffer[] = [];
  const packed = new Promise<void>((resolve, reject) => {
    gzip.on("data", (chunk: Buffer) => chunks.push(chunk));
    gzip.on("end", resolve);
    gzip.on("error", reject);
  });
  const hash = createHash("sha256");
  let bytes = 0;
  const write = async (line: unknown) => {
    const text = `${JSON.stringify(line)}\n`;
    bytes += Buffer.byteLength(text, "utf8");
    // Better no backup than one that cannot be restored.
    if (bytes > ARCHIVE_BYTES_MAX)
      throw new RangeError(`the backup would be larger than ${ARCHIVE_BYTES_MAX} bytes and could not be restored`);
    hash.update(text, "utf8");
    if (!gzip.write(text)) await new Promise((resolve) => gzip.once("drain", resolve));
  };
  await write({ format: ARCHIVE_FORMAT, version: ARCHIVE_VERSION, madeAt: madeAt.toISOString() });
  for (const table of TABLES) {
    for (const row of contents[table])
      await write([
        table,
        Object.fromEntries(
          Object.keys(COLUMNS[table]).map((column) => [column, (row as unknown as Record<string, unknown>)[column]]),
        ),
      ]);
  }
  const counts = Object.fromEntries(TABLES.map((table) => [table, contents[table].length]));
  gzip.end(`${JSON.stringify({ end: true, counts, sha256: hash.digest("hex") })}\n`);
  await packed;
  return Buffer.concat(chunks);
}

/** Reads an archive and checks all of it: the checksum of the file, the hash of every revision, every reference. */
export async function unpackArchive(
  archive: Uint8Array,
): Promise<Result<{ readonly contents: Contents; readonly madeAt: string }, Refusal>> {
  if (archive.length < 18 || archive[0] !== 0x1f || archive[1] !== 0x8b) {
    return refuse("not-an-archive", "This file is not a backup of Evencrumb. Choose a file that was made by a backup.");
  }
  let bytes: Buffer;
  try {
    bytes = await promisify<Uint8Array, { maxOutputLength: number }, Buffer>(gunzip)(archive, {
      maxOutputLength: ARCHIVE_BYTES_MAX + 10_000,
    });
  } catch (error) {
    const code = (error as { code?: string }).code;
    if (code === "ERR_BUFFER_TOO_LARGE")
      return refuse(
        "damaged-archive",
        `The backup unpacks to more than ${ARCHIVE_BYTES_MAX} bytes. It is not one of ours, or it is damaged.`,
      );
    if (code === "Z_BUF_ERROR")
      return refuse("damaged-archive", "The backup is cut off: its end is missing. Copy the file again, or take another one.");
    return refuse("damaged-archive", "The backup is damaged: it cannot be unpacked. Copy the file again, or take another one.");
  }
  return readLines(bytes);
}

function readLines(bytes: Buffer): Result<{ readonly contents: Contents; readonly madeAt: string }, Refusal> {
  const lines = linesOf(bytes);
  const first = parseLine(lines[0]);
  if (!isRecord(first) || first.format !== ARCHIVE_FORMAT) {
    return refuse("not-an-archive", "This file is not a backup of Evencrumb. Choose a file that was made by a backup.");
  }
  if (typeof first.version !== "number" || typeof first.madeAt !== "string") return damaged(1, "the first line is not complete");
  if (first.version > ARCHIVE_VERSION) {
    return refuse(
      "newer-archive",
      `The backup was made by a newer Evencrumb (format ${first.version}); this one reads formats up to ${ARCHIVE_VERSION}.`,
    );
  }
  const last = lines.at(-1);
  const end = parseLine(last);
  if (last === undefined || !isRecord(end) || end.end !== true) return damaged(lines.length, "its end is missing");
  const before = lines.slice(0, -1);
  const sha256 = createHash("sha256")
    .update(bytes.subarray(0, bytes.length - last.length - 1))
    .digest("hex");
  if (sha256 !== end.sha256) return damaged(lines.length, "its checksum does not fit its content");

  const rows: Record<keyof Contents, Record<string, unknown>[]> = {
    documents: [],
    revisions: [],
    drafts: [],
    settings: [],
    housekeeping: [],
  };
  for (const [index, line] of before.entries()) {
    if (index === 0) continue;
    const entry = parseLine(line);
    const table = Array.isArray(entry) ? TABLES.find((name) => name === entry[0]) : undefined;
    const row = table === undefined ? undefined : (entry as unknown[])[1];
    if (table === undefined || !isRecord(row)) return damaged(index + 1, "it is not a row of a table");
    for (const [column, type] of Object.entries(COLUMNS[table])) {
      const value = row[column];
      const fits =
        type === "whole number"
          ? Number.isSafeInteger(value)
          : typeof value === "string" || (type === "text or null" && value === null);
      if (!fits) return damaged(index + 1, `${table}.${column} is not ${type}`);
    }
    rows[table].push(Object.fromEntries(Object.keys(COLUMNS[table]).map((column) => [column, row[column]])));
  }
  const contents = rows as unknown as Contents;
  const counts = isRecord(end.counts) ? end.counts : {};
  for (const table of TABLES) {
    if (counts[table] !== contents[table].length)
      return damaged(lines.length, `it should hold ${String(counts[table])} ${table} and holds ${contents[table].length}`);
  }
  const flaw = findFlaw(contents);
  if (flaw !== undefined) return refuse("damaged-archive", `The backup does not hold together: ${flaw}. Take another one.`);
  return { ok: true, value: { contents, madeAt: first.madeAt } };
}

/** What the checksum cannot know: whether the archive was sound when it was made. */
export function findFlaw({ documents, revisions, drafts, settings }: Contents): string | undefined {
  const known = new Map(documents.map((document) => [document.id, new Set<string>()]));
  if (known.size !== documents.length) return "two documents have the same id";
  const last = new Map<string, number>();
  const all = new Set<string>();
  for (const revision of revisions) {
    const where = `revision ${revision.number} of document ${revision.document_id}`;
    const siblings = known.get(revision.document_id);
    if (siblings === undefined) return `${where} belongs to no document`;
    if (all.has(revision.id)) return `${where} has the id of another one`;
    if (revision.number !== (last.get(revision.document_id) ?? 0) + 1) return `${where} is out of order`;
    if (revision.number === 1 ? revision.parent_id !== null : revision.parent_id === null || !siblings.has(revision.parent_id))
      return `${where} has no parent`;
    if (revision.settles_id !== null && !siblings.has(revision.settles_id))
      return `${where} settles a revision that is not there`;
    if (hashText(revision.body) !== revision.content_hash) return `the content of ${where} does not fit its hash`;
    if (!isJson(revision.body)) return `the content of ${where} is not JSON`;
    siblings.add(revision.id);
    all.add(revision.id);
    last.set(revision.document_id, revision.number);
  }
  for (const document of documents) {
    if (!last.has(document.id)) return `document ${document.id} has no revision`;
    const standard = document.standard_revision_id;
    if (standard !== null && !known.get(document.id)!.has(standard))
      return `the standard of document ${document.id} is not there`;
  }
  for (const draft of drafts) {
    if (!known.get(draft.document_id)?.has(draft.base_revision_id) || !isJson(draft.body))
      return `a draft of document ${draft.document_id} does not fit it`;
  }
  for (const setting of settings) if (!isJson(setting.value)) return `the setting ${setting.key} is not JSON`;
  return undefined;
}

export const countOf = ({ documents, revisions, drafts, settings }: Contents): ArchiveCounts => ({
  documents: documents.length,
  revisions: revisions.length,
  drafts: drafts.length,
  settings: settings.length,
});

const damaged = (line: number, why: string) =>
  refuse("damaged-archive", `The backup is damaged at line ${line}: ${why}. Copy the file again, or take another one.`);

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** The complete lines, each without its end. Views of the same bytes: a large archive would not fit into one string. */
function linesOf(bytes: Buffer): readonly Buffer[] {
  const lines: Buffer[] = [];
  let from = 0;
  for (let to = bytes.indexOf(0x0a); to !== -1; to = bytes.indexOf(0x0a, from)) {
    lines.push(bytes.subarray(from, to));
    from = to + 1;
  }
  return lines;
}

const utf8 = new TextDecoder("utf-8", { fatal: true });

function parseLine(line: Buffer | undefined): unknown {
  try {
    return JSON.parse(utf8.decode(line)) as unknown;
  } catch {
    return undefined; // the caller names the line
  }
}

function isJson(text: string): boolean {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
}
