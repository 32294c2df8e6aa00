import { existsSync } from "node:fs";
import { join } from "node:path";
import { EMBEDDED_FILE } from "@evencrumb/store";
import { dataFolder, openBakery } from "../bakery.js";
import { defineCommand } from "../command.js";
import { jsonText } from "../render/json.js";

export const backupCommand = defineCommand<{ readonly data?: string }>({
  name: "backup",
  summary:
    "Write everything that is kept (documents, all revisions, drafts, settings) into one file, as it is at one moment. The app may be running.",
  arguments: [["<archive>", "file to write"]],
  options: [["--data <folder>", "where the bakery is kept (EVENCRUMB_DATA, else .evencrumb in the home folder)"]],
  examples: ["evencrumb backup bakery-2026-05-02.evencrumb", "evencrumb backup /media/stick/bakery.evencrumb --data ./bakery"],
  async run({ args, data, json }, io) {
    const folder = dataFolder(data, io);
    if (!existsSync(join(folder, EMBEDDED_FILE))) {
      io.say(`${folder}: there is no bakery here to back up. Name its folder with --data.`);
      return 2;
    }
    const store = await openBakery(folder, io);
    try {
      const archive = await store.backup();
      await io.writeFile(args[0]!, archive);
      io.print(
        json ? jsonText("backup", { file: args[0], bytes: archive.length, data: folder }) : `${args[0]}: ${archive.length} bytes`,
      );
      return 0;
    } finally {
      await store.close();
    }
  },
});
