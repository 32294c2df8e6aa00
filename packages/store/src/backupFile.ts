import { mkdir, open, unlink } from "node:fs/promises";
import { join, parse } from "node:path";

/**
 * Writes a backup into a folder and waits until it is on the disk. A file that is there already is never written over: the name
 * then gets a number.
 *
 * @param name  "evencrumb-backup-2030-03-01.evencrumb"
 * @returns the path that was written
 * @throws the file system's error; what was begun is removed
 */
export async function writeBackupFile(folder: string, name: string, archive: Uint8Array): Promise<string> {
  await mkdir(folder, { recursive: true });
  const { path, file } = await openFree(folder, name);
  try {
    await file.writeFile(archive);
    await file.sync();
    await file.close();
  } catch (error) {
    await file.close();
    await unlink(path);
    throw error;
  }
  if (process.platform === "win32") return path; // a folder cannot be opened there, and keeps its names by itself
  const parent = await open(folder, "r");
  try {
    await parent.sync(); // the name, too
  } finally {
    await parent.close();
  }
  return path;
}

async function openFree(folder: string, name: string) {
  const { name: stem, ext } = parse(name);
  for (let count = 1; ; count += 1) {
    const path = join(folder, count === 1 ? name : `${stem}-${count}${ext}`);
    try {
      return { path, file: await open(path, "wx") };
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== "EEXIST") throw error;
    }
  }
}
