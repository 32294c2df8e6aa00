import { readFile } from "node:fs/promises";
import { join } from "node:path";
import { FileProblem, type Io } from "./io.js";
import { run } from "./run.js";

/** What a command line gave. */
export interface Ran {
  readonly status: number;
  readonly output: string;
  readonly said: string;
  readonly bytes: Uint8Array;
  readonly written: ReadonlyMap<string, string | Uint8Array>;
  /** The answer as JSON, taken at its word to be of that shape; throws where it is no JSON. */
  json<Answer>(): Answer;
}

export interface RunOptions {
  /** Files that are there besides those of the examples. */
  readonly files?: Readonly<Record<string, string | Uint8Array>>;
  readonly input?: string;
  readonly environment?: Readonly<Record<string, string>>;
  readonly outputIsTerminal?: boolean;
  readonly untilStopped?: (said: () => string) => Promise<void>;
  readonly io?: Partial<Io>;
}

const ROOT = new URL("../../..", import.meta.url).pathname;

/** Runs a command line without a process: "examples/..." is read from the repository, everything else from `files`. */
export async function runWords(words: readonly string[], options: RunOptions = {}): Promise<Ran> {
  let output = "";
  let said = "";
  let bytes: Uint8Array = new Uint8Array();
  const written = new Map<string, string | Uint8Array>();
  const find = async (path: string): Promise<string | Uint8Array> => {
    if (path === "-") return options.input ?? "";
    const given = options.files?.[path] ?? written.get(path);
    if (given !== undefined) return given;
    if (path.startsWith("examples/")) return readFile(join(ROOT, path));
    throw new FileProblem(`${path}: no such file.`);
  };
  const status = await run(words, {
    print: (text) => {
      output += text.endsWith("\n") ? text : `${text}\n`;
    },
    printBytes: (chunk) => {
      bytes = chunk;
    },
    outputIsTerminal: options.outputIsTerminal ?? false,
    say: (text) => {
      said += `${text}\n`;
    },
    readText: async (path) => {
      const content = await find(path);
      return typeof content === "string" ? content : new TextDecoder().decode(content);
    },
    readBytes: async (path) => {
      const content = await find(path);
      return typeof content === "string" ? new TextEncoder().encode(content) : content;
    },
    writeFile: async (path, content) => void written.set(path, content),
    now: () => new Date("2026-05-02T06:00:00Z"),
    environment: options.environment ?? {},
    untilStopped: async () => options.untilStopped?.(() => output),
    ...options.io,
  });
  return { status, output, said, bytes, written, json: <Answer>() => JSON.parse(output) as Answer };
}

/** A command line cut into words as a shell would: double quotes hold words together. */
export function shellWords(line: string): string[] {
  return [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain!);
}
