import { join } from "node:path";
import { dataFolder, openBakery } from "../bakery.js";
import { defineCommand } from "../command.js";
import { jsonText } from "../render/json.js";
import { problemText } from "../render/problems.js";

export const restoreCommand = defineCommand<{ readonly data?: string; readonly replace?: boolean }>({
  name: "restore",
  summary:
    "Put back exactly what a backup holds. Nothing is changed unless the whole archive is sound; what is there is replaced only with --replace, after a backup of it.",
  arguments: [["<archive>", "file that evencrumb backup, or the app, wrote"]],
  options: [
    ["--data <folder>", "where the bakery is to be kept (EVENCRUMB_DATA, else .evencrumb in the home folder)"],
    ["--replace", "replace a bakery that is there"],
  ],
  examples: ["evencrumb restore bakery-2026-05-02.evencrumb --data ./bakery", "evencrumb restore bakery.evencrumb --replace"],
  async run({ args, data, replace, json }, io) {
    const archive = await io.readBytes(args[0]!);
    const folder = dataFolder(data, io);
    const store = await openBakery(folder, io);
    try {
      const kept = join(folder, "backups", `evencrumb-before-restore-${io.now().toISOString().replace(/[:.]/g, "-")}.evencrumb`);
      const result = await store.restore(
        archive,
        replace
          ? {
              keepBackup: async (bytes) => {
                await io.writeFile(kept, bytes);
                io.say(`What was there is kept in ${kept}`);
              },
            }
          : undefined,
      );
      if (!result.ok) {
        io.say(`${args[0]}: ${result.error.detail}`);
        for (const problem of result.error.problems) io.say(problemText(problem));
        // A bakery that is already there is an answer ("no, not without --replace"); a broken archive is not usable.
        if (!replace && /replace|empty/i.test(result.error.detail)) io.say("Add --replace to replace it, after a backup of it.");
        return 2;
      }
      const { documents, revisions, madeAt } = result.value;
      io.print(
        json
          ? jsonText("restore", { ...result.value, data: folder })
          : `${documents} documents with ${revisions} revisions, as of ${madeAt}, are in ${folder}`,
      );
      return 0;
    } finally {
      await store.close();
    }
  },
});
