import type { Command } from "commander";
import type { ExitStatus, Io } from "./io.js";

/** One word of the command line. */
export interface CommandDefinition<Options extends Readonly<Record<string, unknown>>> {
  readonly name: string;
  readonly summary: string;
  /** Arguments in order: "<file>", "[words...]". */
  readonly arguments?: readonly (readonly [pattern: string, words: string])[];
  /** Flags as commander writes them: "--to-grams <grams>". `--json` is on every command. */
  readonly options?: readonly (readonly [flags: string, words: string, fallback?: string])[];
  readonly examples: readonly string[];
  run(options: Options & { readonly json: boolean; readonly args: readonly string[] }, io: Io): Promise<ExitStatus> | ExitStatus;
}

/** A command with its options' types forgotten: what the dispatcher holds. */
export interface RunnableCommand {
  readonly name: string;
  describe(command: Command): Command;
  run(options: Readonly<Record<string, unknown>>, args: readonly string[], io: Io): Promise<ExitStatus> | ExitStatus;
}

export function defineCommand<Options extends Readonly<Record<string, unknown>>>(
  definition: CommandDefinition<Options>,
): RunnableCommand {
  return {
    name: definition.name,
    describe(command) {
      command.description(definition.summary);
      for (const [pattern, words] of definition.arguments ?? []) command.argument(pattern, words);
      for (const [flags, words, fallback] of definition.options ?? []) command.option(flags, words, fallback);
      command.option("--json", "answer as JSON");
      return command.addHelpText("after", `\nExamples:\n${definition.examples.map((example) => `  ${example}`).join("\n")}`);
    },
    run: (options, args, io) => definition.run({ ...(options as Options), json: options.json === true, args }, io),
  };
}
