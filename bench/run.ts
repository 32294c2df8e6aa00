import { spawnSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { cpus } from "node:os";

// Every other file of this folder is a bench of its own: it compares with its peers in one run and prints a table.
// `npm run bench -- bake` runs those whose name holds the word.
const word = process.argv[2] ?? "";
const files = readdirSync(import.meta.dirname)
  .filter((name) => name.endsWith(".ts") && name !== "run.ts" && name.includes(word))
  .toSorted();

console.log(`Node ${process.version}, ${cpus().length} x ${cpus()[0]?.model ?? "unknown processor"}`);
let failed = 0;
for (const file of files) {
  console.log(`\n== ${file}`);
  const { status } = spawnSync(
    process.execPath,
    ["--conditions=evencrumb-source", "--import", "tsx", `${import.meta.dirname}/${file}`],
    { stdio: "inherit" },
  );
  if (status !== 0) failed += 1;
}
console.log(`\n${files.length - failed} of ${files.length} benches ran to their end`);
process.exitCode = failed > 0 ? 1 : 0;
