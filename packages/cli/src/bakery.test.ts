import { execFile } from "node:child_process";
import { mkdir, mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, beforeAll, expect, it } from "vitest";
import { processIo } from "./io.js";
import { runWords } from "./testing.js";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "evencrumb-cli-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const real = () => {
  const { readBytes, writeFile } = processIo();
  return { readBytes, writeFile };
};

it("serves the demo bakery, backs it up, and restores exactly that elsewhere", async () => {
  const data = join(folder, "one");
  let documents: unknown[] = [];
  const served = await runWords(["serve", "--port", "0", "--data", data], {
    untilStopped: async (printed) => {
      const url = /http:\S+/.exec(printed())![0];
      const answer = await fetch(`${url}/api/documents`);
      expect(answer.status).toBe(200);
      const body = (await answer.json()) as unknown;
      documents = Array.isArray(body) ? body : ((body as { documents: unknown[] }).documents ?? []);
    },
  });
  expect([served.status, served.output]).toEqual([0, expect.stringMatching(/^Evencrumb is at http:\/\/127\.0\.0\.1:\d+\n$/)]);
  expect(documents.length).toBeGreaterThanOrEqual(8);

  const archive = join(folder, "bakery.evencrumb");
  const backup = await runWords(["backup", archive, "--data", data, "--json"], { io: real() });
  expect(backup.json()).toMatchObject({ shape: "evencrumb.backup/1", bytes: (await readFile(archive)).length });

  const restored = await runWords(["restore", archive, "--json"], {
    io: real(),
    environment: { EVENCRUMB_DATA: join(folder, "two") },
  });
  expect([restored.status, restored.said]).toEqual([0, ""]);
  expect(restored.json()).toMatchObject({ replaced: "nothing", documents: documents.length });

  const again = await runWords(["restore", archive, "--data", join(folder, "two")], { io: real() });
  expect([again.status, again.said]).toEqual([2, expect.stringContaining("--replace")]);
  const replaced = await runWords(["restore", archive, "--data", join(folder, "two"), "--replace"], { io: real() });
  expect([replaced.status, replaced.said]).toEqual([0, expect.stringContaining("is kept in")]);
});

it("refuses what is no archive and changes nothing", async () => {
  const ran = await runWords(["restore", "cake.jpg", "--data", join(folder, "three")], {
    files: { "cake.jpg": "not an archive" },
  });
  expect(ran.status).toBe(2);
  expect(ran.said).toContain("cake.jpg");
});

it("says when a file stands where the bakery should be, or another program's", async () => {
  await writeFile(join(folder, "file"), "x");
  const inTheWay = await runWords(["restore", "b", "--data", join(folder, "file")], { files: { b: "x" } });
  expect([inTheWay.status, inTheWay.said]).toEqual([2, expect.stringContaining("file")]);
  await mkdir(join(folder, "six"));
  await writeFile(join(folder, "six", "evencrumb.db"), "this is not a database, whatever its name says. ".repeat(50));
  const foreign = await runWords(["backup", "b", "--data", join(folder, "six")]);
  expect(foreign.status).toBe(2);
  expect(foreign.said).not.toBe("");
});

it("says when the port is taken", async () => {
  const first = await runWords(["serve", "--port", "0", "--data", join(folder, "four"), "--no-demo"], {
    untilStopped: async (printed) => {
      const port = /:(\d+)\n/.exec(printed())![1]!;
      const second = await runWords(["serve", "--port", port, "--data", join(folder, "five"), "--no-demo"]);
      expect([second.status, second.said]).toEqual([2, expect.stringContaining("another program uses it")]);
    },
  });
  expect(first.status).toBe(0);
});

it("runs as a real process: answer, problems and exit status", async () => {
  const root = new URL("../../..", import.meta.url).pathname;
  const command = [
    "--conditions=evencrumb-source",
    "--import",
    import.meta.resolve("tsx"),
    join(root, "packages/cli/src/main.ts"),
  ];
  const ec = promisify(execFile);
  const shown = await ec(process.execPath, [...command, "show", "examples/formulas/sandwich.1.yaml", "--json"], { cwd: root });
  expect(JSON.parse(shown.stdout)).toMatchObject({ name: "Raspberry sandwich" });
  expect(shown.stderr).toBe("");
  const failed = await ec(process.execPath, [...command, "show", "nofile.yaml"], { cwd: root }).catch(
    (error: { code: number; stdout: string; stderr: string }) => error,
  );
  expect(failed).toMatchObject({ code: 2, stdout: "", stderr: "nofile.yaml: no such file.\n" });
});
