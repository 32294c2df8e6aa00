import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it } from "vitest";
import { writeBackupFile } from "./backupFile.js";

it("writes a backup, and never over another one", async () => {
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-backup-"));
  const write = (byte: number) => writeBackupFile(join(folder, "new", "folder"), "kept.evencrumb", Uint8Array.of(byte));
  const paths = await Promise.all([write(1), write(1), write(1)]);
  expect(readdirSync(join(folder, "new", "folder"))).toEqual(["kept-2.evencrumb", "kept-3.evencrumb", "kept.evencrumb"]);
  expect(new Set(paths).size).toBe(3);
  expect([...readFileSync(paths[2]!)]).toEqual([1]);
  rmSync(folder, { recursive: true });
});

it("says so when it cannot", async () => {
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-backup-"));
  writeFileSync(join(folder, "file"), "");
  chmodSync(join(folder, "file"), 0o444);
  await expect(writeBackupFile(join(folder, "file"), "a.evencrumb", Uint8Array.of(1))).rejects.toThrow();
  rmSync(folder, { recursive: true });
});
