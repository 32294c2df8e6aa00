import { type ChildProcess, spawn } from "node:child_process";
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, type BrowserContext, chromium, type Page } from "playwright-core";

export const ROOT = join(dirname(fileURLToPath(import.meta.url)), "..", "..", "..");

const USUAL_PLACES = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/usr/bin/google-chrome",
  "/usr/bin/google-chrome-stable",
  "/snap/bin/chromium",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];

/** A Chromium: the one named in EVENCRUMB_CHROMIUM, the system's, or the one that npm brought. */
export async function findChromium(): Promise<string> {
  const named = process.env.EVENCRUMB_CHROMIUM;
  if (named !== undefined && named !== "") {
    if (existsSync(named)) return named;
    throw new Error(`EVENCRUMB_CHROMIUM names ${named}, which is not there.`);
  }
  const found = USUAL_PLACES.find((place) => existsSync(place));
  if (found !== undefined) return found;
  try {
    const { default: brought } = await import("@sparticuz/chromium");
    return await brought.executablePath();
  } catch (cause) {
    throw new Error("No Chromium for the browser tests: install one, or name it in EVENCRUMB_CHROMIUM.", { cause });
  }
}

export async function openBrowser(): Promise<Browser> {
  return chromium.launch({
    executablePath: await findChromium(),
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

export interface RunningBakery {
  readonly url: string;
  readonly folder: string;
  /** Ends the server and leaves the data. */
  stop(): Promise<void>;
  /** The same bakery on the same port again. */
  start(): Promise<void>;
  /** Ends the server and removes the data. */
  dispose(): Promise<void>;
}

/** The real server with a bakery of its own in a folder that goes afterwards. */
export async function startBakery(
  options: {
    readonly demo?: boolean;
    /** Opened to the network, as for the phones of tasters; it is still visited by way of the loopback. */
    readonly open?: boolean;
  } = {},
): Promise<RunningBakery> {
  if (!existsSync(join(ROOT, "packages", "web", "dist", "index.html")))
    throw new Error("The app is not built: run npm run build before the browser tests.");
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-e2e-"));
  let child: ChildProcess;
  let url: string;
  const all = [...(options.demo === false ? ["--no-demo"] : []), ...(options.open === true ? ["--host", "0.0.0.0"] : [])];
  ({ child, url } = await serve(folder, 0, all));
  const stop = async () => {
    if (child.exitCode !== null || child.signalCode !== null) return;
    const gone = new Promise((resolve) => child.once("exit", resolve));
    child.kill("SIGTERM");
    await gone;
  };
  return {
    url,
    folder,
    stop,
    async start() {
      ({ child } = await serve(folder, Number(new URL(url).port), all));
    },
    async dispose() {
      await stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

function serve(folder: string, port: number, all: readonly string[]): Promise<{ child: ChildProcess; url: string }> {
  const main = join(ROOT, "packages", "cli", "src", "main.ts");
  const child = spawn(
    process.execPath,
    [
      "--conditions=evencrumb-source",
      "--import",
      "tsx",
      main,
      "serve",
      "--port",
      String(port),
      "--data",
      folder,
      "--json",
      ...all,
    ],
    { cwd: ROOT, stdio: ["ignore", "pipe", "pipe"] },
  );
  return new Promise((resolve, reject) => {
    let said = "";
    let complaint = "";
    child.stderr?.on("data", (chunk) => {
      complaint += String(chunk);
    });
    child.stdout?.on("data", (chunk) => {
      said += String(chunk);
      const url = /"url":\s*"([^"]+)"/.exec(said)?.[1];
      if (url !== undefined) resolve({ child, url: url.replace("//0.0.0.0:", "//127.0.0.1:") });
    });
    child.once("exit", (code) => reject(new Error(`The server ended with ${code}: ${complaint}`)));
  });
}

export interface Visit {
  readonly page: Page;
  readonly context: BrowserContext;
  /** What the page complained of: it must be empty. */
  readonly complaints: readonly string[];
}

export async function visit(
  browser: Browser,
  url: string,
  options: {
    readonly width?: number;
    readonly height?: number;
    readonly theme?: "light" | "dark";
    readonly serviceWorker?: boolean;
    readonly touch?: boolean;
  } = {},
): Promise<Visit> {
  const context = await browser.newContext({
    viewport: { width: options.width ?? 1280, height: options.height ?? 800 },
    colorScheme: options.theme ?? "light",
    serviceWorkers: options.serviceWorker ? "allow" : "block",
    hasTouch: options.touch ?? false,
    locale: "en-GB",
    timezoneId: "Europe/London",
    permissions: ["clipboard-read", "clipboard-write"],
  });
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on("pageerror", (error) => complaints.push(error.stack ?? error.message));
  page.on("console", (message) => {
    // A server that is meant to be gone, and a worker that is meant to be blocked, are no complaints.
    if (message.type() === "error" && !/net::ERR|Failed to load resource/.test(message.text())) complaints.push(message.text());
  });
  await page.goto(url);
  return { page, context, complaints };
}

/** Ids of the demo formulas that the tests open (examples/demo.yaml). */
export const DEMO = {
  sandwich: "5a1d0001-0000-4000-8000-000000000001",
  ginger: "5a1d0001-0000-4000-8000-000000000003",
  cupCakes: "5a1d0001-0000-4000-8000-000000000007",
} as const;

export const sheetAddress = (url: string, id: string, view = "", query = "") =>
  `${url}/#/formula/${id}${view === "" ? "" : `/${view}`}${query}`;

/** Opens an address inside the app without loading it anew. */
export async function open(page: Page, url: string): Promise<void> {
  const hash = new URL(url).hash;
  await page.evaluate((to) => {
    location.hash = to;
  }, hash);
}

export const cell = (page: Page, component: number, stage: number | "", use: number | "", column: string) =>
  page.locator(`[data-cell="cell-${component}-${stage}-${use}-${column}"]`);
