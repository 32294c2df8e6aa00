import { randomUUID } from "node:crypto";
import { homedir } from "node:os";
import { join, resolve } from "node:path";
import type { DemoDocument, Store } from "@evencrumb/store";
import { FileProblem, type Io } from "./io.js";

/** Where the bakery is kept: --data, else EVENCRUMB_DATA, else .evencrumb in the home folder. */
export function dataFolder(option: string | undefined, io: Io): string {
  return resolve(option ?? io.environment.EVENCRUMB_DATA ?? join(homedir(), ".evencrumb"));
}

/** Opens the bakery's store, making it where there is none. Close it after use. */
export async function openBakery(folder: string, io: Io): Promise<Store> {
  const [{ openStore }, { bakeryKinds }] = await Promise.all([import("@evencrumb/store"), import("@evencrumb/server")]);
  const { mkdir } = await import("node:fs/promises");
  await mkdir(folder, { recursive: true }).catch((error: NodeJS.ErrnoException) => {
    const why =
      error.code === "EEXIST" || error.code === "ENOTDIR" ? "a file stands where the bakery's folder should be." : error.message;
    throw new FileProblem(`${folder}: ${why}`, { cause: error });
  });
  return openStore({ folder }, { kinds: bakeryKinds(), now: io.now, newId: randomUUID });
}

/** The demo bakery from a folder with `demo.yaml`; undefined where it was not installed with the program. */
export async function readDemo(folder: string): Promise<readonly DemoDocument[] | undefined> {
  const [{ parse }, { parseFormulaFile }, { readFile }] = await Promise.all([
    import("yaml"),
    import("@evencrumb/core/formula"),
    import("node:fs/promises"),
  ]);
  const text = await readFile(join(folder, "demo.yaml"), "utf8").catch(() => undefined);
  if (text === undefined) return undefined;
  const listed = parse(text) as { readonly documents: readonly DemoEntry[] };
  return Promise.all(
    listed.documents.map(async ({ revisions, ...document }) => ({
      ...document,
      revisions: await Promise.all(
        revisions.map(async ({ file, body, note }) => {
          if (file === undefined) return { body, note: note ?? "" };
          if (document.kind !== "formula")
            return { body: await demoBody(document.kind, await readFile(join(folder, file), "utf8"), file), note: note ?? "" };
          const { value, problems } = parseFormulaFile(await readFile(join(folder, file), "utf8"));
          if (value === undefined || problems.length > 0) throw new Error(`the demo bakery's ${file} is not usable`);
          return { body: value, note: note ?? "" };
        }),
      ),
    })),
  );
}

/** A price list from its CSV, a price from its YAML. */
async function demoBody(kind: string, text: string, file: string): Promise<unknown> {
  if (kind !== "priceList") {
    const { parse } = await import("yaml");
    // In a bakery prices are those of the day on which they are looked at.
    const { date: _date, ...body } = parse(text) as Readonly<Record<string, unknown>>;
    return body;
  }
  const [{ createIngredientBook }, { readPriceList }] = await Promise.all([
    import("@evencrumb/core/ingredients"),
    import("@evencrumb/core/price"),
  ]);
  const { value, problems } = readPriceList(text, createIngredientBook());
  if (problems.length > 0) throw new Error(`the demo bakery's ${file} is not usable`);
  return { name: "Prices of the demo bakery", entries: value };
}

interface DemoEntry {
  readonly id: string;
  readonly kind: string;
  readonly standard?: number;
  readonly revisions: readonly { readonly file?: string; readonly body?: unknown; readonly note?: string }[];
}
