import { type Formula, writeFormulaFile } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import {
  answerTrial,
  type Binding,
  bestOfTrial,
  makeDesign,
  planTrial,
  type RunFormula,
  readCsv,
  readDesignWords,
  readQuestion,
  readRunSheet,
  readTrial,
  readTrialFile,
  readTrialModel,
  sayBest,
  type TrialFile,
  type TrialPlan,
  trialFileOf,
  trialFileOfDesign,
  writeRunSheet,
} from "@evencrumb/core/trials";
import { parseDocument } from "yaml";
import { defineCommand } from "../command.js";
import { readFormula } from "../formulaInput.js";
import { type ExitStatus, FileProblem, type Io, refuse } from "../io.js";
import { designAsText, exactJsonText, planAsText, readingAsJson, responseAsText, sheetAsText } from "../render/trial.js";
import { BINDING_KINDS, bindingsOf, doubtsOfRuns, runMaker } from "../trialRuns.js";
import { confirmTrial } from "./trialConfirm.js";

interface TrialOptions extends Readonly<Record<string, unknown>> {
  readonly model?: string;
  readonly out?: string;
  readonly title?: string;
  readonly allergens?: string;
  readonly csv?: boolean;
  readonly formula?: string;
  readonly bindings?: string;
  readonly run?: string;
  readonly hold?: string;
  readonly count?: string;
}

export const trialCommand = defineCommand<TrialOptions>({
  name: "trial",
  summary:
    "Plan test bakes for a question, print the run sheet, record what happened, read the results, confirm the best setting. `read` also takes any CSV with the words of a model.",
  arguments: [
    ["<action>", "plan, sheet, record, read or confirm"],
    [
      "<file>",
      "plan: question, or kind: design (YAML or JSON); sheet, record, read, confirm: kept trial; read: or a CSV with --model",
    ],
    ["[results]", "record: CSV of the filled-in sheet"],
  ],
  options: [
    ["--model <model>", "read a CSV: model as a file, or as JSON or YAML text"],
    [
      "-o, --out <file>",
      "plan, confirm: keep the trial here; record: write here instead of over the trial; sheet --run: the run's formula",
    ],
    ["--title <words>", "plan, confirm: name of the trial"],
    ["--allergens <list>", "plan: allergens of what is baked, with commas"],
    ["--csv", "sheet: as CSV for a spreadsheet"],
    [
      "--formula <file>",
      "sheet --run, plan, confirm: the standard formula that the factors are bound to; plan then names doubtful runs",
    ],
    ["--bindings <file>", "sheet --run, plan, confirm: what each factor means in the formula (YAML or JSON list)"],
    ["--run <number>", "sheet: the complete formula of one run"],
    ["--hold <what>", "with --bindings: total (default), others, or what the rebalancer holds: fat,water,total"],
    ["--count <number>", "confirm: bakes of each, 1 to 4 (2)"],
  ],
  examples: [
    "evencrumb trial plan question.yaml --title 'oil for butter' -o oil.trial.json",
    "evencrumb trial sheet oil.trial.json --csv > sheet.csv",
    "evencrumb trial record oil.trial.json sheet.csv",
    "evencrumb trial read oil.trial.json",
    "evencrumb trial confirm oil.trial.json -o oil.confirm.json",
    `evencrumb trial read data.csv --model '{"factors": ["x1","x2","x3"], "responses": ["y"], "model": "scheffe quadratic"}' --json`,
  ],
  async run(options, io) {
    const [action, file, results] = options.args as readonly [string, string, string | undefined];
    switch (action) {
      case "plan":
        return plan(file, options, io);
      case "sheet":
        return sheet(file, options, io);
      case "record":
        return record(file, results, options, io);
      case "read":
        return options.model === undefined ? readKept(file, options, io) : readTable(file, options.model, options.json, io);
      case "confirm":
        return confirm(file, options, io);
      default:
        io.say(`evencrumb trial knows plan, sheet, record, read and confirm, not "${action}".`);
        return 2;
    }
  },
});

async function plan(file: string, options: TrialOptions & { readonly json: boolean }, io: Io): Promise<ExitStatus> {
  const document = await readDocument(io, file);
  if (typeof document === "number") return document;
  if ((document.value as { readonly kind?: unknown } | null)?.kind === "design")
    return planDesign(document.value, file, options, io);
  const { value: question, problems } = readQuestion(document.value);
  if (question === undefined) return refuse(io, problems, file);
  const made = planTrial(question);
  if (!made.ok) return refuse(io, made.error, file);
  if (options.out !== undefined) {
    const title = options.title ?? question.kind;
    const allergens = wordsOf(options.allergens);
    const kept =
      "measure" in question
        ? trialFileOf(question, made.value, title, allergens)
        : { shape: "evencrumb.taste/1", title, ...made.value.tasting };
    await io.writeFile(options.out, `${JSON.stringify(kept, null, 2)}\n`);
    io.say(`Kept in ${options.out}.`);
  }
  const judged = options.formula !== undefined && options.bindings !== undefined && made.value.settings.length > 0;
  const doubtful = judged ? await doubtfulRuns(made.value, options, io) : [];
  if (typeof doubtful === "number") return doubtful;
  io.print(
    options.json ? exactJsonText("trial.plan", { ...made.value, ...(judged ? { doubtful } : {}) }) : planAsText(made.value),
  );
  if (!options.json) for (const { run, doubts } of doubtful) io.print(`Doubtful, run ${run}: ${doubts.join(" ")}`);
  return 0;
}

/** `kind: design`: a design by its name, for those who know which one they want. */
async function planDesign(
  document: unknown,
  file: string,
  options: TrialOptions & { readonly json: boolean },
  io: Io,
): Promise<ExitStatus> {
  const { value: request, problems } = readDesignWords(document);
  if (request === undefined) return refuse(io, problems, file);
  const made = makeDesign(request.words);
  if (!made.ok) return refuse(io, made.error, file);
  if (options.out !== undefined) {
    if (request.measure === undefined) {
      io.say(`${file}: to keep the trial, say what is measured: "measure": "height at the centre", or {name, unit}.`);
      return 2;
    }
    const kept = trialFileOfDesign(
      request.words,
      made.value,
      request.measure,
      options.title ?? request.words.design,
      wordsOf(options.allergens),
    );
    await io.writeFile(options.out, `${JSON.stringify(kept, null, 2)}\n`);
    io.say(`Kept in ${options.out}.`);
  }
  io.print(
    options.json
      ? exactJsonText("trial.design", { design: request.words.design, ...made.value })
      : designAsText(request.words.design, made.value),
  );
  return 0;
}

const wordsOf = (list: string | undefined): string[] =>
  (list ?? "")
    .split(",")
    .map((word) => word.trim())
    .filter((word) => word !== "");

async function sheet(file: string, options: TrialOptions & { readonly json: boolean }, io: Io): Promise<ExitStatus> {
  const trial = await readKeptTrial(io, file);
  if (typeof trial === "number") return trial;
  if (options.run === undefined) {
    io.print(
      options.json
        ? exactJsonText("trial.sheet", { ...trial.sheet })
        : options.csv
          ? writeRunSheet(trial.sheet)
          : sheetAsText(trial.sheet),
    );
    return 0;
  }
  const run = trial.sheet.runs.find(({ number }) => String(number) === options.run);
  if (run === undefined || options.formula === undefined || options.bindings === undefined) {
    io.say(
      run === undefined
        ? `${file}: expected a run from 1 to ${trial.sheet.runs.length}, found ${options.run}.`
        : "A run's formula needs --formula and --bindings.",
    );
    return 2;
  }
  const inputs = await readRunInputs(options, io);
  if (typeof inputs === "number") return inputs;
  const maker = await runMaker({ ...inputs, factors: trial.sheet.factors });
  if (!maker.ok) return refuse(io, maker.error);
  const made = maker.value(run.setting);
  if (!made.ok) return refuse(io, made.error, options.bindings);
  const named = { ...made.value.weighable, name: `${made.value.weighable.name}, run ${run.number}` };
  for (const caution of made.value.cautions) io.say(`Mind: ${caution}`);
  io.say(`Held: ${made.value.held.join("; ")}.`);
  const text = options.json
    ? exactJsonText("trial.run", {
        run: run.number,
        setting: run.setting,
        realised: made.value.realised,
        held: made.value.held,
        cautions: made.value.cautions,
        formula: named,
      })
    : writeFormulaFile(named);
  if (options.out !== undefined) await io.writeFile(options.out, text);
  else io.print(text);
  return 0;
}

/** The standard and what the factors mean in it, as --formula, --bindings and --hold say. */
async function readRunInputs(
  options: TrialOptions,
  io: Io,
): Promise<
  | {
      readonly standard: Formula;
      readonly book: IngredientBook;
      readonly bindings: readonly Binding[];
      readonly hold: string;
    }
  | ExitStatus
> {
  const input = await readFormula(io, options.formula!);
  if (typeof input === "number") return input;
  const document = await readDocument(io, options.bindings!);
  if (typeof document === "number") return document;
  const bindings = bindingsOf(document.value);
  if (bindings === undefined) {
    io.say(`${options.bindings}: expected a list of {factor, kind, component, ...}. Kinds: ${BINDING_KINDS.join(", ")}.`);
    return 2;
  }
  return { standard: input.formula, book: input.book, bindings, hold: options.hold ?? "total" };
}

/** Runs that the models doubt, by their number on the sheet; undefined when some run cannot be made at all. */
async function doubtfulRuns(
  plan: TrialPlan,
  options: TrialOptions,
  io: Io,
): Promise<readonly { readonly run: number; readonly doubts: readonly string[] }[] | ExitStatus> {
  const inputs = await readRunInputs(options, io);
  if (typeof inputs === "number") return inputs;
  const maker = await runMaker({ ...inputs, factors: plan.factors });
  if (!maker.ok) return refuse(io, maker.error);
  const made: RunFormula[] = [];
  for (const setting of plan.settings) {
    const run = maker.value(setting);
    if (!run.ok) return refuse(io, run.error, options.bindings);
    made.push(run.value);
  }
  io.say(`Held in every bake: ${made[0]?.held.join("; ") ?? "nothing"}.`);
  const doubts = doubtsOfRuns(inputs.standard, made, inputs.book);
  return plan.order.flatMap(({ runIndex }, place) =>
    doubts[runIndex]!.length === 0 ? [] : [{ run: place + 1, doubts: doubts[runIndex]! }],
  );
}

async function record(
  file: string,
  results: string | undefined,
  options: TrialOptions & { readonly json: boolean },
  io: Io,
): Promise<ExitStatus> {
  const trial = await readKeptTrial(io, file);
  if (typeof trial === "number") return trial;
  if (results === undefined) {
    io.say("evencrumb trial record TRIAL RESULTS.csv: the filled-in sheet is missing.");
    return 2;
  }
  const { value, problems } = readRunSheet(trial.sheet, await io.readText(results));
  // What fits is kept; what does not is said, and makes the exit status 1.
  if (problems.length > 0) refuse(io, problems, results);
  const next: TrialFile = { ...trial, sheet: value };
  await io.writeFile(options.out ?? file, `${JSON.stringify(next, null, 2)}\n`);
  const baked = value.runs.filter(({ state }) => state === "baked").length;
  if (options.json) io.print(exactJsonText("trial.record", { baked, runs: value.runs.length, problems }));
  else io.print(`${baked} of ${value.runs.length} runs are measured.`);
  return problems.length > 0 ? 1 : 0;
}

async function confirm(file: string, options: TrialOptions & { readonly json: boolean }, io: Io): Promise<ExitStatus> {
  const trial = await readKeptTrial(io, file);
  if (typeof trial === "number") return trial;
  const { count, out, title, json } = options;
  const inputs = options.formula === undefined || options.bindings === undefined ? undefined : await readRunInputs(options, io);
  if (typeof inputs === "number") return inputs;
  return confirmTrial(file, trial, { count, out, title, inputs, json }, io);
}

async function readKept(file: string, options: TrialOptions & { readonly json: boolean }, io: Io): Promise<ExitStatus> {
  if (/\.csv$/i.test(file)) {
    io.say(
      `${file}: a CSV is read with --model, which says what its columns mean. For example --model '{"factors": ["sugar"], "responses": ["height"]}'`,
    );
    return 2;
  }
  const trial = await readKeptTrial(io, file);
  if (typeof trial === "number") return trial;
  const answered = answerTrial(trial);
  const { answer, reading, problems, ...rest } = answered;
  refuse(io, problems, file);
  const { value: best, problems: wishProblems } = bestOfTrial(trial, answered);
  refuse(io, wishProblems, file);
  if (options.json)
    io.print(
      exactJsonText("trial.answer", {
        title: trial.title,
        kind: trial.kind,
        answer,
        ...rest,
        ...(reading === undefined ? {} : { reading: readingAsJson(reading) }),
        ...(best === undefined ? {} : { best: { ...best.best, goals: best.goals, answer: best.answer } }),
      }),
    );
  else {
    const parts = [answer.sentence, answer.certainty, ...answer.next];
    if (rest.spoiled + rest.missing > 0)
      parts.push(`${rest.baked} runs were used; ${rest.spoiled} spoiled, ${rest.missing} not measured.`);
    if (best !== undefined) parts.push(best.answer.sentence, best.answer.certainty, ...best.answer.next);
    io.print([...parts, ...(reading?.responses ?? []).map((response) => `\n${responseAsText(response)}`)].join("\n"));
  }
  return answer.verdict === "cannot tell" || answer.verdict === "not shown" ? 1 : 0;
}

async function readTable(file: string, model: string, json: boolean, io: Io): Promise<ExitStatus> {
  const { value: table, problems: tableProblems } = readCsv(await io.readText(file));
  if (table.rows.length === 0) {
    if (tableProblems.length > 0) return refuse(io, tableProblems, file);
    io.say(`${file}: expected rows of data below the names of the columns, found none.`);
    return 2;
  }
  refuse(io, tableProblems, file);
  const document = await readDocument(io, model);
  if (typeof document === "number") return document;
  const { value: words, problems: wordProblems } = readTrialModel(document.value);
  if (wordProblems.length > 0) return refuse(io, wordProblems, document.where);
  const { value: reading, problems } = readTrial(words, table.rows);
  // A row's place is better told as its line in the file.
  const placed = problems.map((problem) => {
    const line = problem.path[0] === "rows" ? table.lines[Number(problem.path[1])] : undefined;
    return line === undefined ? problem : { ...problem, position: { line, column: 1 } };
  });
  refuse(io, placed, file);
  if (reading.responses.length === 0) return 2;
  if (json) io.print(exactJsonText("trial.read", { ...readingAsJson(reading), problems: placed }));
  else {
    const parts = reading.responses.map(responseAsText);
    if (reading.best !== undefined) {
      const answer = sayBest(
        reading.best,
        words.responses.map(({ name, unit }) => ({ name, unit: unit ?? "" })),
      );
      parts.push([answer.sentence, answer.certainty, ...answer.next].join("\n"));
    }
    io.print(parts.join("\n\n"));
  }
  return 0;
}

async function readKeptTrial(io: Io, file: string): Promise<TrialFile | ExitStatus> {
  const document = await readDocument(io, file);
  if (typeof document === "number") return document;
  const { value, problems } = readTrialFile(document.value);
  return value ?? refuse(io, problems, file);
}

/** A file, or text that is itself JSON or YAML; parsed. Problems are said with line and column. */
async function readDocument(io: Io, source: string): Promise<{ readonly value: unknown; readonly where: string } | ExitStatus> {
  const inline = /[{[:\n]/.test(source) && !/\.(json|ya?ml)$/i.test(source);
  const where = inline ? "--model" : source;
  const text = inline ? source : await io.readText(source);
  if (text.length > 5_000_000) throw new FileProblem(`${where}: larger than any trial.`);
  const document = parseDocument(text, { prettyErrors: true, maxAliasCount: 100 } as Parameters<typeof parseDocument>[1]);
  const [error] = document.errors;
  if (error !== undefined) {
    io.say(`${where}: ${error.message}`);
    return 2;
  }
  try {
    return { value: document.toJS({ maxAliasCount: 100 }) as unknown, where };
  } catch (failure) {
    if (!(failure instanceof ReferenceError)) throw failure;
    io.say(`${where}: too many references to one part. Write the parts out.`);
    return 2;
  }
}
