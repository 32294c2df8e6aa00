import { processIo } from "./io.js";
import { run } from "./run.js";

// A reader that closes early ("| head") is not an error.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});
/** Ours to mend, and not one of the answers 0, 1 and 2. */
const OUR_FAULT = 70;
try {
  process.exitCode = await run(process.argv.slice(2), processIo());
} catch (error) {
  process.stderr.write(
    `This is a mistake in Evencrumb, not in what you gave it.\n${error instanceof Error ? error.stack : String(error)}\n`,
  );
  process.exitCode = OUR_FAULT;
}
