import { mkdir, open, readFile, rename } from "node:fs/promises";
import { dirname } from "node:path";
import type { Problem } from "@evencrumb/core/quantities";
import { problemText } from "./render/problems.js";

/** 0 answered, 1 answered "no", 2 the input cannot be used. */
export type ExitStatus = 0 | 1 | 2;

/** All that a command touches outside itself, so that a test runs it without a process. */
export interface Io {
  /** The answer, on standard output, with a line end. */
  print(text: string): void;
  printBytes(bytes: Uint8Array): void;
  /** Whether a person reads the standard output. */
  readonly outputIsTerminal: boolean;
  /** What is not the answer, on standard error: problems, progress, where a file went. */
  say(text: string): void;
  /** Text of a file, or of the standard input for "-". @throws FileProblem with words for the user */
  readText(path: string): Promise<string>;
  readBytes(path: string): Promise<Uint8Array>;
  /** The whole file under its name or nothing. */
  writeFile(path: string, content: string | Uint8Array): Promise<void>;
  now(): Date;
  readonly environment: Readonly<Record<string, string | undefined>>;
  /** Resolves when the user asks to stop. */
  untilStopped(): Promise<void>;
}

/** A file that cannot be read or written, in words for the user. */
export class FileProblem extends Error {}

/** Says what is wrong with the input, one line each, and gives the exit status for it. */
export function refuse(io: Io, problems: readonly Problem[], where = ""): 2 {
  for (const problem of problems) io.say(problemText(problem, where));
  return 2;
}

/** The real thing. */
export function processIo(): Io {
  return {
    print: (text) => void process.stdout.write(text.endsWith("\n") ? text : `${text}\n`),
    printBytes: (bytes) => void process.stdout.write(bytes),
    outputIsTerminal: process.stdout.isTTY === true,
    say: (text) => void process.stderr.write(`${text}\n`),
    readText: async (path) => decoded(path === "-" ? await readStandardInput() : await readNamed(path), path),
    readBytes: readNamed,
    writeFile: writeSafely,
    now: () => new Date(),
    environment: process.env,
    untilStopped: () =>
      new Promise((resolve) => {
        process.once("SIGINT", () => resolve());
        process.once("SIGTERM", () => resolve());
      }),
  };
}

/** Nobody writes a formula of 20 MB; a wrong file name should not fill the memory. */
const TEXT_BYTES_MAX = 20_000_000;

async function readNamed(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (error) {
    throw new FileProblem(`${path}: ${whyNot(error)}`, { cause: error });
  }
}

async function readStandardInput(): Promise<Uint8Array> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of process.stdin) {
    size += (chunk as Buffer).length;
    if (size > TEXT_BYTES_MAX) break;
    chunks.push(chunk as Buffer);
  }
  return Buffer.concat(chunks);
}

function decoded(bytes: Uint8Array, path: string): string {
  const name = path === "-" ? "standard input" : path;
  if (bytes.length > TEXT_BYTES_MAX) throw new FileProblem(`${name}: larger than 20 MB, which no formula or list is.`);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (error) {
    throw new FileProblem(`${name}: not text in UTF-8. Save it as UTF-8 and try again.`, { cause: error });
  }
}

async function writeSafely(path: string, content: string | Uint8Array): Promise<void> {
  const part = `${path}.part`;
  try {
    await mkdir(dirname(path), { recursive: true });
    const file = await open(part, "w");
    try {
      await file.writeFile(content);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(part, path);
  } catch (error) {
    throw new FileProblem(`${path}: ${whyNot(error)}`, { cause: error });
  }
}

function whyNot(error: unknown): string {
  switch ((error as NodeJS.ErrnoException).code) {
    case "ENOENT":
      return "no such file.";
    case "EISDIR":
      return "a folder, not a file.";
    case "EACCES":
    case "EPERM":
      return "not allowed.";
    case "ENOSPC":
      return "the disk is full.";
    default:
      return error instanceof Error ? error.message : String(error);
  }
}
