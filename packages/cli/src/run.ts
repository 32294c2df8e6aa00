import { Command, CommanderError } from "commander";
import { COMMANDS } from "./commandList.js";
import { type ExitStatus, FileProblem, type Io } from "./io.js";

export const VERSION = "0.1.0";

const GENERAL = `Commands:
${COMMANDS.map(({ name, summary }) => `  ${name.padEnd(13)}${summary}`).join("\n")}

F is a formula file (YAML), or "-" for the standard input. The answer goes to the standard output, problems and progress to the
standard error. --json gives the answer in a shape that other programs can rely on.
Exit status: 0 answered, 1 answered "no", 2 the input cannot be used.

Examples:
  evencrumb read list.txt > cake.yaml
  evencrumb show cake.yaml
  evencrumb scale cake.yaml --to-tins "2 round 23x5 cm"
  evencrumb sheet cake.yaml --format pdf -o cake.pdf
  evencrumb COMMAND --help`;

/**
 * Runs one command line.
 *
 * @param words  what stands after "evencrumb"
 * @returns  the exit status; nothing of the process is touched but through `io`
 */
export async function run(words: readonly string[], io: Io): Promise<ExitStatus> {
  const [name, ...rest] = words;
  if (name === undefined || name === "--help" || name === "-h" || (name === "help" && rest.length === 0)) {
    io.print(`Usage: evencrumb COMMAND [options]\n\n${GENERAL}`);
    return name === undefined ? 2 : 0;
  }
  if (name === "--version" || name === "-V") {
    io.print(VERSION);
    return 0;
  }
  if (name === "help") return run([rest[0]!, "--help"], io);
  const entry = COMMANDS.find((candidate) => candidate.name === name);
  if (!entry) {
    const near = nearest(name);
    io.say(`evencrumb has no command "${name}". ${near ? `Did you mean "${near}"?` : "evencrumb --help lists the commands."}`);
    return 2;
  }
  const command = await entry.load();
  const parser = command.describe(new Command(`evencrumb ${name}`));
  parser
    .exitOverride()
    .showSuggestionAfterError(true)
    .configureOutput({ writeOut: (text) => io.print(text.trimEnd()), writeErr: (text) => io.say(text.trimEnd()) });
  try {
    parser.parse([...rest], { from: "user" });
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    throw error;
  }
  try {
    return await command.run(parser.opts(), parser.args, io);
  } catch (error) {
    // By its name, so that nothing of the store is loaded for a command that keeps nothing.
    if (!(error instanceof FileProblem || (error instanceof Error && error.name === "StorageError"))) throw error;
    io.say(error.message);
    return 2;
  }
}

/** The command that starts alike, or has most of its letters. */
function nearest(name: string): string | undefined {
  const letters = (word: string) => new Set(word.toLowerCase());
  return COMMANDS.map((candidate) => candidate.name).find((candidate) => {
    if (candidate.startsWith(name.slice(0, 3).toLowerCase())) return true;
    const [a, b] = [letters(candidate), letters(name)];
    return (
      [...a].filter((letter) => b.has(letter)).length >= Math.max(a.size, b.size) - 1 &&
      Math.abs(candidate.length - name.length) <= 2
    );
  });
}
