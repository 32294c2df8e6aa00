import { existsSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { dataFolder, openBakery, readDemo } from "../bakery.js";
import { defineCommand } from "../command.js";
import { jsonText } from "../render/json.js";

export const serveCommand = defineCommand<{
  readonly port?: string;
  readonly host?: string;
  readonly data?: string;
  readonly demo?: boolean;
  readonly allowHost?: string;
}>({
  name: "serve",
  summary:
    "Start the app and its API on this machine; stop with Ctrl+C. An empty bakery starts with the demo, which the app can remove.",
  options: [
    ["--port <port>", "port to listen on; 0 takes a free one", "4310"],
    ["--host <address>", "address to listen on; 0.0.0.0 opens it to the local network", "127.0.0.1"],
    ["--allow-host <name>", "a name by which other machines call this one"],
    ["--data <folder>", "where the bakery is kept (EVENCRUMB_DATA, else .evencrumb in the home folder)"],
    ["--no-demo", "start an empty bakery empty"],
  ],
  examples: [
    "evencrumb serve",
    "evencrumb serve --port 8080 --data ./bakery",
    "evencrumb serve --host 0.0.0.0 --allow-host bakery.local",
  ],
  async run({ port, host, data, demo, allowHost, json }, io) {
    const number = Number(port);
    if (!(Number.isInteger(number) && number >= 0 && number <= 65_535)) {
      io.say(`--port is a whole number from 0 to 65535, not "${port}".`);
      return 2;
    }
    const folder = dataFolder(data, io);
    const { startServer } = await import("@evencrumb/server");
    const store = await openBakery(folder, io);
    try {
      const webFolder = installed("web/dist", "index.html");
      if (webFolder === undefined) io.say("The app is not built (npm run build): only the API answers.");
      const bakery = demo === false ? undefined : await readDemo(installed("../examples", "demo.yaml") ?? "");
      const running = await startServer({
        store,
        host: host!,
        port: number,
        now: io.now,
        backupFolder: join(folder, "backups"),
        report: (error) => io.say(error instanceof Error ? (error.stack ?? error.message) : String(error)),
        ...(webFolder === undefined ? {} : { webFolder }),
        ...(bakery === undefined ? {} : { demo: bakery }),
        ...(allowHost === undefined ? {} : { allowedHosts: [allowHost] }),
      });
      io.print(json ? jsonText("serve", { url: running.url, data: folder }) : `Evencrumb is at ${running.url}`);
      io.say(`The bakery is kept in ${folder}. Stop with Ctrl+C.`);
      await io.untilStopped();
      await running.close();
      return 0;
    } catch (error) {
      if (!(error instanceof Error && /cannot be used/.test(error.message))) throw error;
      io.say(error.message);
      return 2;
    } finally {
      await store.close();
    }
  },
});

/** A folder beside this package that holds a certain file. */
function installed(path: string, holds: string): string | undefined {
  // dist/commands or src/commands, then the package, then the folder of packages.
  const packages = join(dirname(fileURLToPath(import.meta.url)), "..", "..", "..");
  const folder = join(packages, path);
  return existsSync(join(folder, holds)) ? folder : undefined;
}
