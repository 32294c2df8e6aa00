import type { Server } from "node:http";
import { hostname, networkInterfaces } from "node:os";
import { basename } from "node:path";
import { type DemoDocument, type Store, writeBackupFile } from "@evencrumb/store";
import { createAdaptorServer } from "@hono/node-server";
import { createApp } from "./app.js";

/** How long an answer may take to finish while the server closes [ms]. */
const GRACE_MS = 2000;

export interface ServerOptions {
  readonly store: Store;
  readonly webFolder?: string;
  /** Address to listen on. The loopback unless told otherwise; "0.0.0.0" opens the server to the local network. */
  readonly host?: string;
  /** 0 takes any free port. */
  readonly port: number;
  /** Put into an empty store at its first start. */
  readonly demo?: readonly DemoDocument[];
  readonly now: () => Date;
  /** Folder for the backup that is made before a restore replaces everything. */
  readonly backupFolder?: string;
  /** Names by which other machines call this one, when it is opened to them: "bakery.local". */
  readonly allowedHosts?: readonly string[];
  readonly report?: (error: unknown) => void;
}

export interface RunningServer {
  /** "http://127.0.0.1:8417" */
  readonly url: string;
  /** Stops answering, ends what is open, and leaves the store open. */
  close(): Promise<void>;
}

/**
 * Starts the server.
 *
 * @throws Error when the port is taken or may not be used; the message says which
 */
export async function startServer({
  store,
  webFolder,
  host = "127.0.0.1",
  port,
  demo,
  now,
  backupFolder,
  allowedHosts = [],
  report,
}: ServerOptions): Promise<RunningServer> {
  if (demo !== undefined) {
    const installed = await store.installDemoAtFirstStart(demo);
    if (!installed.ok)
      throw new Error(
        `The demo bakery is not usable: ${installed.error.detail} ${JSON.stringify(installed.error.problems[0] ?? "")}`,
      );
  }
  const stop = new AbortController();
  let actualPort = port;
  const app = createApp({
    store,
    now,
    stop: stop.signal,
    allowedHosts: [...allowedHosts, ...ownNames(host)],
    addresses: () => networkAddresses(host).map((address) => `http://${address}:${actualPort}`),
    ...(webFolder !== undefined && { webFolder }),
    ...(demo !== undefined && { demo }),
    ...(report !== undefined && { report }),
    ...(backupFolder !== undefined && {
      keepBackup: (name: string, archive: Uint8Array) =>
        writeBackupFile(backupFolder, name, archive).then((path) => basename(path)),
    }),
  });
  const server = createAdaptorServer({ fetch: app.fetch }) as Server;
  await listen(server, host, port);
  const address = server.address();
  actualPort = typeof address === "object" && address !== null ? address.port : port;
  return { url: `http://${host.includes(":") ? `[${host}]` : host}:${actualPort}`, close: () => closeServer(server, stop) };
}

function listen(server: Server, host: string, port: number): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once("error", (error: NodeJS.ErrnoException) => {
      const why =
        error.code === "EADDRINUSE"
          ? "another program uses it; choose another port"
          : error.code === "EACCES"
            ? "this user may not use it; choose a port above 1023"
            : error.message;
      reject(new Error(`Port ${port} on ${host} cannot be used: ${why}.`, { cause: error }));
    });
    server.listen(port, host, resolve);
  });
}

async function closeServer(server: Server, stop: AbortController): Promise<void> {
  stop.abort();
  const closed = new Promise<void>((resolve) => server.close(() => resolve()));
  // A connection is idle only once its last answer has gone out, so they are looked for again and again.
  const idle = setInterval(() => server.closeIdleConnections(), 20);
  const timer = setTimeout(() => server.closeAllConnections(), GRACE_MS);
  await closed;
  clearInterval(idle);
  clearTimeout(timer);
}

/** Where a phone on the same network finds this machine: its addresses of IPv4, which are the ones that can be typed. */
function networkAddresses(host: string): readonly string[] {
  if (host !== "0.0.0.0" && host !== "::") return isLoopback(host) ? [] : [host.includes(":") ? `[${host}]` : host];
  return Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter(({ family, internal }) => family === "IPv4" && !internal)
    .map(({ address }) => address);
}

const isLoopback = (host: string): boolean => host === "localhost" || host === "::1" || host.startsWith("127.");

/** What this machine is called from outside, when the server listens there. An address of our own cannot be rebound to. */
function ownNames(host: string): readonly string[] {
  const bracketed = (address: string) => (address.includes(":") ? `[${address.replace(/%.*$/, "")}]` : address);
  if (host !== "0.0.0.0" && host !== "::") return [bracketed(host)];
  const addresses = Object.values(networkInterfaces()).flatMap((list) => list ?? []);
  const name = hostname().toLowerCase();
  return [...addresses.map(({ address }) => bracketed(address)), name, `${name}.local`];
}
