import {
  ALLERGEN_CAUTION,
  analyseDiscrimination,
  analyseLiking,
  analysePreference,
  countAnswers,
  DISCRIMINATION_METHODS,
  type DiscriminationMethod,
  pageTest,
  planTasting,
  rankingTest,
  readCsv,
  sayDiscrimination,
  sayPreference,
  sayRanking,
  type TasterAnswer,
  type TastingMethod,
  type TastingPlan,
} from "@evencrumb/core/trials";
import { defineCommand } from "../command.js";
import { type ExitStatus, FileProblem, type Io, refuse } from "../io.js";
import { discriminationAsText, exactJsonText, tastingAsText } from "../render/trial.js";

interface TasteOptions extends Readonly<Record<string, unknown>> {
  readonly method?: string;
  readonly products?: string;
  readonly tasters?: string;
  readonly seed?: string;
  readonly allergens?: string;
  readonly mayContain?: string;
  readonly property?: string;
  readonly out?: string;
  readonly correct?: string;
  readonly forSecond?: string;
  readonly alpha?: string;
}

const METHODS: readonly TastingMethod[] = [...DISCRIMINATION_METHODS, "paired preference", "ranking", "liking"];

export const tasteCommand = defineCommand<TasteOptions>({
  name: "taste",
  summary: `Plan a tasting (who is served what, in which order, under which code), and read its answers. Methods: ${METHODS.join(", ")}.`,
  arguments: [
    ["<action>", "plan or read"],
    ["[file]", "read: the kept plan, or a CSV of ranks or marks (one column a product, one line a taster)"],
    [
      "[answers]",
      "read: CSV of answers with columns taster, answer (codes with spaces; or one column a code for marks), declined",
    ],
  ],
  options: [
    ["--method <method>", "kind of test"],
    ["--products <list>", "names of the products, with commas"],
    ["--tasters <number>", "how many tasters"],
    ["--seed <number>", "draws the same orders again", "1"],
    ["--allergens <list>", "allergens of all products together, with commas; said to every taster first"],
    ["--may-contain <list>", "what may be contained, with commas"],
    ["--property <words>", "2-AFC and 3-AFC: what is asked for"],
    ["-o, --out <file>", "plan: keep it here"],
    ["--correct <number>", "read: right answers, without a file"],
    ["--for-second <number>", "read: how many preferred the second, without a file"],
    ["--alpha <number>", "chance of a false alarm", "0.05"],
  ],
  examples: [
    'evencrumb taste plan --method triangle --products "standard,with oil" --tasters 18 --allergens "eggs,milk,wheat" -o oil.tasting.json',
    "evencrumb taste read oil.tasting.json answers.csv",
    "evencrumb taste read --method triangle --correct 10 --tasters 18 --json",
    "evencrumb taste read --method ranking ranks.csv",
  ],
  async run(options, io) {
    const [action, file, answers] = options.args as readonly [string, string | undefined, string | undefined];
    if (options.method !== undefined && !METHODS.includes(options.method as TastingMethod)) {
      io.say(`--method: expected ${METHODS.join(", ")}, found ${options.method}.`);
      return 2;
    }
    if (action === "plan") return plan(options, io);
    if (action === "read") return read(options, file, answers, io);
    io.say(`evencrumb taste knows plan and read, not "${action}".`);
    return 2;
  },
});

async function plan(options: TasteOptions & { readonly json: boolean }, io: Io): Promise<ExitStatus> {
  const products = listOf(options.products);
  const tasterCount = numberOf(io, "--tasters", options.tasters, 1, 2000);
  const seed = numberOf(io, "--seed", options.seed, 0, 0xffffffff);
  if (tasterCount === undefined || seed === undefined) return 2;
  const method = options.method as TastingMethod | undefined;
  if (method === undefined) {
    io.say(`taste plan needs --method: ${METHODS.join(", ")}.`);
    return 2;
  }
  if (options.allergens === undefined) {
    io.say('taste plan needs --allergens: what the products contain, with commas, or --allergens "" when there are none.');
    return 2;
  }
  const many = method === "ranking" || method === "liking";
  if (many ? products.length < 2 : products.length !== 2) {
    io.say(`--products: ${method} takes ${many ? "two products or more" : "two products"}, found ${products.length}.`);
    return 2;
  }
  const mayContain = listOf(options.mayContain);
  const made = planTasting({
    method,
    products,
    tasterCount,
    seed,
    allergens: listOf(options.allergens),
    ...(mayContain.length > 0 ? { mayContain } : {}),
    ...(options.property === undefined ? {} : { property: options.property }),
  });
  if (options.out !== undefined) {
    await io.writeFile(options.out, `${JSON.stringify({ shape: "evencrumb.taste/1", ...made }, null, 2)}\n`);
    io.say(`Kept in ${options.out}.`);
  }
  for (const advice of made.advice) io.say(advice);
  io.print(options.json ? exactJsonText("taste.plan", { caution: ALLERGEN_CAUTION, ...made }) : tastingAsText(made));
  return 0;
}

async function read(
  options: TasteOptions & { readonly json: boolean },
  file: string | undefined,
  answers: string | undefined,
  io: Io,
): Promise<ExitStatus> {
  const alpha = Number(options.alpha);
  if (!(alpha > 0 && alpha < 0.5)) {
    io.say(`--alpha: expected a number above 0 and below 0.5, found ${options.alpha}.`);
    return 2;
  }
  if (options.correct !== undefined || options.forSecond !== undefined) {
    const tasters = numberOf(io, "--tasters", options.tasters, 1, 100_000);
    if (tasters === undefined) return 2;
    const flag = options.correct === undefined ? "--for-second" : "--correct";
    const count = numberOf(io, flag, options.correct ?? options.forSecond, 0, tasters);
    if (count === undefined) return 2;
    if (options.correct === undefined)
      return preference(count, tasters, ["the first", "the second"], alpha, options.json, {}, io);
    const method = (options.method ?? "triangle") as DiscriminationMethod;
    if (!DISCRIMINATION_METHODS.includes(method)) {
      io.say(`--method: expected ${DISCRIMINATION_METHODS.join(", ")} for right answers, found ${method}.`);
      return 2;
    }
    return discrimination(method, count, tasters, alpha, options.json, {}, io);
  }
  if (file === undefined) {
    io.say("taste read needs a kept plan and its answers, a CSV of ranks or marks, or --correct with --tasters.");
    return 2;
  }
  if (answers === undefined) return readTable(file, options, alpha, io);
  const tasting = readPlan(await io.readText(file), file);
  const { value: table, problems } = readCsv(await io.readText(answers));
  refuse(io, problems, answers);
  const count = countAnswers(
    tasting,
    table.rows.map((row) => answerOf(row, tasting.words.method)),
  );
  for (const { taster, expected, found } of count.unusable)
    io.say(`${answers}: taster ${taster}: expected ${expected}, found ${found}. Left out.`);
  if (count.answered === 0) {
    io.say(`${answers}: no answer could be used.`);
    return 2;
  }
  const { method, products } = tasting.words;
  const counted = { answered: count.answered, declined: count.declined, unusable: count.unusable };
  if (count.rows !== undefined && method === "liking") return liking(count.rows, products, options.json, counted, io);
  if (count.rows !== undefined) return ranking(count.rows, products, alpha, options.json, counted, io);
  if (count.chosen !== undefined) return preference(count.chosen[1]!, count.answered, products, alpha, options.json, counted, io);
  return discrimination(method as DiscriminationMethod, count.correct!, count.answered, alpha, options.json, counted, io);
}

/** A plain table: one column a product, one line a taster. */
async function readTable(
  file: string,
  options: TasteOptions & { readonly json: boolean },
  alpha: number,
  io: Io,
): Promise<ExitStatus> {
  const { value: table, problems } = readCsv(await io.readText(file));
  if (problems.length > 0) return refuse(io, problems, file);
  const products = table.columns.filter((name) => name.toLowerCase() !== "taster");
  const rows = table.rows.map((row) => products.map((name) => row[name]));
  if (rows.length < 2 || products.length < 2 || rows.some((row) => row.some((value) => typeof value !== "number"))) {
    io.say(`${file}: expected a number for every taster and product, at least two of each.`);
    return 2;
  }
  const numbers = rows as number[][];
  if (options.method === "liking") return liking(numbers, products, options.json, {}, io);
  const ranks = numbers;
  const expected = (products.length * (products.length + 1)) / 2;
  const wrong = ranks.findIndex((row) => Math.abs(row.reduce((sum, rank) => sum + rank, 0) - expected) > 1e-9);
  if (wrong >= 0) {
    io.say(
      `${file}:${table.lines[wrong]}: expected ranks that add to ${expected}, tied products sharing the mean of their ranks; for marks use --method liking.`,
    );
    return 2;
  }
  return ranking(ranks, products, alpha, options.json, {}, io);
}

type Counted = Readonly<Record<string, unknown>>;

function discrimination(
  method: DiscriminationMethod,
  correct: number,
  tasters: number,
  alpha: number,
  json: boolean,
  counted: Counted,
  io: Io,
): ExitStatus {
  const result = analyseDiscrimination(method, correct, tasters);
  const answer = sayDiscrimination(result, alpha);
  if (json) io.print(exactJsonText("taste.discrimination", { answer, ...counted, ...result }));
  else io.print([answer.sentence, answer.certainty, ...answer.next, "", discriminationAsText(result)].join("\n"));
  return answer.verdict === "yes" ? 0 : 1;
}

function preference(
  forSecond: number,
  tasters: number,
  products: readonly string[],
  alpha: number,
  json: boolean,
  counted: Counted,
  io: Io,
): ExitStatus {
  const result = analysePreference(forSecond, tasters);
  const answer = sayPreference(result, products[0]!, products[1]!, alpha);
  if (json) io.print(exactJsonText("taste.preference", { answer, ...counted, products, ...result }));
  else io.print([answer.sentence, answer.certainty, ...answer.next].join("\n"));
  return answer.verdict === "not shown" ? 1 : 0;
}

function ranking(
  ranks: readonly (readonly number[])[],
  products: readonly string[],
  alpha: number,
  json: boolean,
  counted: Counted,
  io: Io,
): ExitStatus {
  const result = rankingTest(ranks, alpha);
  const answer = sayRanking(result, products, alpha);
  const page = products.length > 2 ? pageTest(ranks) : undefined;
  if (json)
    io.print(
      exactJsonText("taste.ranking", { answer, ...counted, products, ...result, ...(page === undefined ? {} : { page }) }),
    );
  else io.print([answer.sentence, answer.certainty, ...answer.next].join("\n"));
  return answer.verdict === "yes" ? 0 : 1;
}

function liking(
  marks: readonly (readonly number[])[],
  products: readonly string[],
  json: boolean,
  counted: Counted,
  io: Io,
): ExitStatus {
  if (marks.length < 2 || marks.flat().every((mark) => mark === marks[0]![0])) {
    io.say("Expected marks of two tasters or more that are not all the same.");
    return 2;
  }
  const { answer, analysis: _analysis, ...result } = analyseLiking(marks, products);
  if (json) io.print(exactJsonText("taste.liking", { answer, ...counted, products, ...result }));
  else io.print([answer.sentence, answer.certainty, ...answer.next].join("\n"));
  return answer.verdict === "yes" ? 0 : 1;
}

function readPlan(text: string, file: string): TastingPlan {
  let document: unknown;
  try {
    document = JSON.parse(text);
  } catch (error) {
    throw new FileProblem(`${file}: not a kept tasting; take the file that taste plan wrote.`, { cause: error });
  }
  const plan = document as Partial<TastingPlan> & { readonly shape?: unknown };
  if (
    typeof plan !== "object" ||
    plan === null ||
    plan.shape !== "evencrumb.taste/1" ||
    plan.words === undefined ||
    !METHODS.includes(plan.words.method)
  ) {
    throw new FileProblem(`${file}: expected a tasting kept by taste plan (evencrumb.taste/1).`);
  }
  // Drawn again from its seed rather than trusted: codes and right answers are those of the plan and not of an edited file.
  return planTasting(plan.words);
}

function answerOf(row: Readonly<Record<string, number | string | null>>, method: TastingMethod): TasterAnswer {
  const taster = Number(row.taster);
  const declined = ["yes", "true", "1", "x"].includes(String(row.declined ?? "").toLowerCase());
  if (declined) return { taster, declined };
  if (method === "liking") {
    const marks = Object.fromEntries(
      Object.entries(row).filter(([name, value]) => /^\d{3}$/.test(name) && typeof value === "number"),
    ) as Record<string, number>;
    if (Object.keys(marks).length > 0) return { taster, marks };
    const pairs = String(row.answer ?? "")
      .split(/[\s,;]+/)
      .map((pair) => pair.split(/[=:]/));
    return {
      taster,
      marks: Object.fromEntries(pairs.filter(([code, mark]) => code && mark).map(([code, mark]) => [code!, Number(mark)])),
    };
  }
  return {
    taster,
    codes: String(row.answer ?? "")
      .split(/[\s,;]+/)
      .filter((code) => code !== ""),
  };
}

const listOf = (words: string | undefined): string[] =>
  (words ?? "")
    .split(",")
    .map((word) => word.trim())
    .filter((word) => word !== "");

function numberOf(io: Io, flag: string, text: string | undefined, low: number, high: number): number | undefined {
  const value = text === undefined || text.trim() === "" ? Number.NaN : Number(text);
  if (Number.isInteger(value) && value >= low && value <= high) return value;
  io.say(`${flag}: expected a whole number from ${low} to ${high}, found ${text ?? "nothing"}.`);
  return undefined;
}
