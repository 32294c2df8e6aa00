import { processIo } from "./io.js";
import { run } from "./run.js";

// A reader that closes early ("| head") is not an error.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});
process.exitCode = await run(process.argv.slice(2), processIo());
