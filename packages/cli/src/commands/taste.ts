import {
  ALLERGEN_CAUTION,
  analyseDiscrimination,
  analyseLiking,
  analysePreference,
  answerTasting,
  DISCRIMINATION_METHODS,
  type DiscriminationMethod,
  pageTest,
  planTasting,
  rankingTest,
  readAnswers,
  readCsv,
  sayDiscrimination,
  sayPreference,
  sayRanking,
  type TastingMethod,
  type TastingPlan,
  type TastingReadingWords,
  type TastingResult,
  whyNoLiking,
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
  readonly warnings?: string;
  readonly property?: string;
  readonly either?: boolean;
  readonly expected?: string;
  readonly matters?: string;
  readonly likeness?: string;
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
    ["--warnings <list>", "what else every taster is told, with commas: raw egg, alcohol"],
    ["--property <words>", "2-AFC and 3-AFC: what is asked for"],
    ["--either", "2-AFC: it may be either that has more; without it only the second is looked for"],
    ["--expected <list>", "ranking: the order that is expected, the best first, with commas"],
    ["--matters <points>", "liking: difference in mean marks that would change what is baked"],
    ["--likeness <percent>", "tests with a right answer: to show that at most so many people notice"],
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
  const warnings = listOf(options.warnings);
  const reading = readingOf(options, method, products, io);
  if (reading === undefined) return 2;
  const made = planTasting({
    method,
    products,
    tasterCount,
    seed,
    allergens: listOf(options.allergens),
    ...(mayContain.length > 0 ? { mayContain } : {}),
    ...(warnings.length > 0 ? { warnings } : {}),
    ...(options.property === undefined ? {} : { property: options.property }),
    ...(Object.keys(reading).length === 0 ? {} : { reading }),
  });
  if (options.out !== undefined) {
    await io.writeFile(options.out, `${JSON.stringify({ shape: "evencrumb.taste/1", ...made }, null, 2)}\n`);
    io.say(`Kept in ${options.out}.`);
  }
  for (const advice of made.advice) io.say(advice);
  io.print(options.json ? exactJsonText("taste.plan", { caution: ALLERGEN_CAUTION, ...made }) : tastingAsText(made));
  return 0;
}

/** How the answers are to be read, said before anything is tasted; undefined when something in it cannot be used. */
function readingOf(
  options: TasteOptions,
  method: TastingMethod,
  products: readonly string[],
  io: Io,
): TastingReadingWords | undefined {
  const reading: { -readonly [Key in keyof TastingReadingWords]: TastingReadingWords[Key] } = {};
  const refused = (flag: string, expected: string, found: string) => {
    io.say(`${flag}: expected ${expected}, found ${found}.`);
    return undefined;
  };
  if (options.either === true) {
    if (method !== "2-AFC") return refused("--either", "--method 2-AFC with it", method);
    reading.side = "either";
  }
  if (options.expected !== undefined) {
    const expected = listOf(options.expected);
    if (
      method !== "ranking" ||
      products.length < 3 ||
      expected.length !== products.length ||
      products.some((name) => !expected.includes(name))
    )
      return refused("--expected", `for a ranking of three or more, each of ${products.join(", ")} once`, options.expected);
    reading.expected = expected;
  }
  if (options.matters !== undefined) {
    const matters = Number(options.matters);
    if (method !== "liking" || !(matters > 0 && matters <= 8))
      return refused("--matters", "for liking, points above 0", options.matters);
    reading.matters = matters;
  }
  if (options.likeness !== undefined) {
    const share = Number(options.likeness) / 100;
    if (!DISCRIMINATION_METHODS.some((name) => name === method) || !(share > 0 && share < 1))
      return refused("--likeness", "for a test with a right answer, a percentage between 0 and 100", options.likeness);
    reading.aim = "likeness";
    reading.share = share;
  }
  return reading;
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
  const planned: TastingPlan = {
    ...tasting,
    words: { ...tasting.words, reading: { ...tasting.words.reading, ...(alpha === 0.05 ? {} : { alpha }) } },
  };
  const { value: given, problems } = readAnswers(planned, await io.readText(answers));
  const { count, result } = answerTasting(planned, given);
  for (const { position, expected, found } of problems)
    io.say(`${answers}:${position?.line ?? 1}: expected ${expected}, found ${found}. Left out.`);
  if (count.answered === 0) {
    io.say(`${answers}: no answer could be used.`);
    return 2;
  }
  const { products } = tasting.words;
  return said(
    result,
    products,
    options.json,
    { answered: count.answered, declined: count.declined, unusable: count.unusable },
    io,
  );
}

/** The answer of a kept tasting, each kind in its own shape. */
function said(result: TastingResult, products: readonly string[], json: boolean, counted: Counted, io: Io): ExitStatus {
  if (result.kind === "too few") {
    io.say(`It cannot be told yet: ${result.why}.`);
    return 2;
  }
  const { answer } = result;
  const { verdict, sentence, certainty, next } = answer;
  const lines = [sentence, certainty, ...next];
  switch (result.kind) {
    case "discrimination":
      if (json) io.print(exactJsonText("taste.discrimination", { answer, ...counted, ...result.discrimination }));
      else io.print([...lines, "", discriminationAsText(result.discrimination)].join("\n"));
      return verdict === "yes" || verdict === "same" ? 0 : 1;
    case "choice":
      if (json)
        io.print(exactJsonText("taste.preference", { answer, ...counted, asked: result.asked, products, ...result.preference }));
      else io.print(lines.join("\n"));
      return verdict === "not shown" ? 1 : 0;
    case "ranking":
      if (json)
        io.print(
          exactJsonText("taste.ranking", {
            answer,
            ...counted,
            products,
            ...result.ranking,
            ...(result.page === undefined ? {} : { page: result.page }),
          }),
        );
      else io.print(lines.join("\n"));
      return verdict === "yes" ? 0 : 1;
    case "liking": {
      const { answer: _answer, analysis: _analysis, ...figures } = result.liking;
      if (json) io.print(exactJsonText("taste.liking", { answer, ...counted, products, ...figures }));
      else io.print(lines.join("\n"));
      return verdict === "yes" || verdict === "same" ? 0 : 1;
    }
  }
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
  const rows = table.rows.map((row) => products.map((name) => row[name] ?? null));
  const marked = options.method === "liking";
  const usable = (value: number | string | null) => typeof value === "number" || (marked && value === null);
  if (rows.length < 2 || products.length < 2 || rows.some((row) => !row.every(usable))) {
    io.say(`${file}: expected a number for every taster and product, at least two of each.`);
    return 2;
  }
  if (marked) return liking(rows as (number | null)[][], products, options, io);
  const ranks = rows as number[][];
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
  marks: readonly (readonly (number | null)[])[],
  products: readonly string[],
  options: TasteOptions & { readonly json: boolean },
  io: Io,
): ExitStatus {
  const why = whyNoLiking(marks, products);
  if (why !== undefined) {
    io.say(`It cannot be told yet: ${why}.`);
    return 2;
  }
  const matters = Number(options.matters ?? Number.NaN);
  const found = analyseLiking(marks, products, 1 - Number(options.alpha), matters > 0 ? { matters } : {});
  return said({ kind: "liking", liking: found, answer: found.answer }, products, options.json, {}, io);
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
