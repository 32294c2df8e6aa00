import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { createIngredientBook, type Ingredient, type Nutrient } from "@evencrumb/core/ingredients";
import type { ModelRow, ModelVariable, OptimisationModel } from "@evencrumb/core/rebalance";

// Two hundred random mixing problems, half of them with whole pieces, solved by two independent solvers that know nothing of
// this project: coinor-cbc and glpk (Debian packages coinor-cbc and glpk-utils). Models and answers are stored, and the unit test
// of the rebalance folder solves the same models with HiGHS and compares. Run again with `npm run bench -- rebalance-peers`.
const SEED = 20_261_125;
const COUNT = 200;
const OUT = new URL("../packages/core/testing/peers/mixes.json", import.meta.url);

type Peer = { readonly status: "optimal" | "infeasible"; readonly objective?: number };

const random = mulberry32(SEED);
const between = (from: number, to: number) => from + (to - from) * random();
const digits = (value: number, places: number) => Number(value.toFixed(places));
const pool = createIngredientBook().all.filter(({ per100g }) =>
  (["fat", "water", "sugars", "protein"] as const).every((name) => per100g[name].known),
);

const problems: { model: OptimisationModel; glpk: Peer; cbc: Peer }[] = [];
const folder = mkdtempSync(join(tmpdir(), "mixes-"));
try {
  for (let index = 0; index < COUNT; index += 1) {
    const model = randomMix(index >= COUNT / 2);
    problems.push({ model, glpk: byGlpk(model), cbc: byCbc(model) });
  }
} finally {
  rmSync(folder, { recursive: true });
}
const disagree = problems.filter(
  ({ glpk, cbc }) =>
    glpk.status !== cbc.status ||
    Math.abs((glpk.objective ?? 0) - (cbc.objective ?? 0)) > 1e-6 * (1 + Math.abs(cbc.objective ?? 0)),
);
const version = (command: string, args: readonly string[]) =>
  execFileSync(command, args, { encoding: "utf8" })
    .split("\n")
    .find((line) => /\d\.\d/.test(line))
    ?.trim();
writeFileSync(
  OUT,
  `${JSON.stringify({
    about: "Random mixes and what two independent solvers found; made by bench/rebalance-peers.ts",
    seed: SEED,
    solvers: { glpk: version("glpsol", ["--version"]), cbc: "coinor-cbc (Debian)" },
    problems: problems.map(({ model, glpk, cbc }) => ({ ...packed(model), glpk, cbc })),
  })}\n`,
);
const infeasible = problems.filter(({ cbc }) => cbc.status === "infeasible").length;
console.log(`${COUNT} mixes, ${infeasible} without an answer; the two solvers disagree on ${disagree.length}`);

/** Ingredients of the larder at made-up prices, a weight to reach, and limits on what it contains around a random mix. */
function randomMix(hasPieces: boolean): OptimisationModel {
  const count = 4 + Math.floor(random() * 8);
  const chosen = Array.from({ length: count }, () => pool[Math.floor(random() * pool.length)]!);
  const inside = chosen.map(() => between(10, 300));
  const pieces = chosen.map(() => (hasPieces && random() < 0.4 ? digits(between(20, 250), 0) : 1));
  const variables = chosen.map(
    (ingredient, index): ModelVariable => ({
      name: ingredient.id,
      lower: 0,
      upper: pieces[index]! > 1 ? Math.ceil(600 / pieces[index]!) : 600,
      linear: digits(between(0.05, 3) * pieces[index]!, 4),
      ...(pieces[index]! > 1 ? { integer: true } : {}),
    }),
  );
  const row = (name: string, perGram: (ingredient: Ingredient) => number, low: number, high: number): ModelRow => {
    const terms = chosen.map((ingredient, variable) => ({
      variable,
      coefficient: digits(perGram(ingredient) * pieces[variable]!, 6),
    }));
    const at = inside.reduce((sum, grams, variable) => sum + (grams / pieces[variable]!) * terms[variable]!.coefficient, 0);
    return { name, terms, lower: digits(at * low, 4), upper: digits(at * high, 4) };
  };
  // Whole pieces leave no room for equations, and every sixth mix asks for what a mix of these cannot be.
  const slack = hasPieces ? 0.03 : 0.005;
  const rows = [row("total", () => 1, hasPieces ? 1 - slack : 1, hasPieces ? 1 + slack : 1)];
  for (const nutrient of ["fat", "water", "sugars", "protein"] as const satisfies readonly Nutrient[]) {
    if (random() < 0.35) continue;
    const off = random() < 0.08 ? between(1.5, 3) : 1;
    rows.push(row(nutrient, ({ per100g }) => figureOf(per100g[nutrient]) / 100, (1 - 4 * slack) * off, (1 + 4 * slack) * off));
  }
  return { variables, rows: rows.filter(({ terms }) => terms.some(({ coefficient }) => coefficient !== 0)) };
}

function figureOf(figure: Ingredient["per100g"]["fat"]): number {
  return figure.known ? figure.value : 0;
}

/** Free MPS, written apart from the LP text that HiGHS reads, so that a slip in one does not hide in the other. */
function mps({ variables, rows }: OptimisationModel): string {
  const lines = ["NAME mix FREE", "ROWS", " N cost"];
  const plain = rows.flatMap(({ terms, lower, upper }, index) =>
    lower === upper
      ? [{ name: `e${index}`, kind: "E", terms, right: lower }]
      : [
          { name: `g${index}`, kind: "G", terms, right: lower },
          { name: `l${index}`, kind: "L", terms, right: upper },
        ],
  );
  for (const { name, kind } of plain) lines.push(` ${kind} ${name}`);
  lines.push("COLUMNS");
  let marker = 0;
  variables.forEach(({ linear, integer }, index) => {
    if (integer) lines.push(` M${marker++} 'MARKER' 'INTORG'`);
    lines.push(` x${index} cost ${linear}`);
    for (const { name, terms } of plain) {
      const coefficient = terms.reduce((sum, term) => sum + (term.variable === index ? term.coefficient : 0), 0);
      if (coefficient !== 0) lines.push(` x${index} ${name} ${digits(coefficient, 6)}`);
    }
    if (integer) lines.push(` M${marker++} 'MARKER' 'INTEND'`);
  });
  lines.push("RHS", ...plain.map(({ name, right }) => ` RHS ${name} ${right}`), "BOUNDS");
  // Every lower bound is 0, which MPS takes for granted.
  for (const [index, { upper }] of variables.entries()) lines.push(` UP BND x${index} ${upper}`);
  return [...lines, "ENDATA", ""].join("\n");
}

function byGlpk(model: OptimisationModel): Peer {
  const [from, to] = [join(folder, "mix.mps"), join(folder, "glpk.txt")];
  writeFileSync(from, mps(model));
  const isInteger = model.variables.some(({ integer }) => integer);
  execFileSync("glpsol", ["--freemps", from, "--write", to], { stdio: "ignore" });
  const words = readFileSync(to, "utf8")
    .split("\n")
    .find((line) => line.startsWith("s "))!
    .split(" ");
  // "s bas rows columns primal dual objective" or "s mip rows columns status objective"
  const status = isInteger ? words[4] : `${words[4]}${words[5]}`;
  if (status === "o" || status === "ff") return { status: "optimal", objective: Number(words.at(-1)) };
  return { status: "infeasible" };
}

function byCbc(model: OptimisationModel): Peer {
  const [from, to] = [join(folder, "mix.mps"), join(folder, "cbc.txt")];
  writeFileSync(from, mps(model));
  // What presolve finds impossible leaves no solution file, only words.
  rmSync(to, { force: true });
  const said = execFileSync("cbc", [from, "-ratioGap", "0", "-allowableGap", "0", "-solve", "-solution", to], {
    encoding: "utf8",
  });
  const first = existsSync(to) ? readFileSync(to, "utf8").split("\n")[0]! : said;
  const found = /^Optimal.*objective value\s+(\S+)/.exec(first);
  if (found) return { status: "optimal", objective: Number(found[1]) };
  if (/infeasible/i.test(first)) return { status: "infeasible" };
  throw new Error(`cbc answered "${first}"`);
}

/** One line a model: names of the ingredients are left out, zeros too. */
function packed({ variables, rows }: OptimisationModel) {
  return {
    variables: variables.map(({ upper, linear, integer }) => [linear, upper, integer ? 1 : 0]),
    rows: rows.map(({ terms, lower, upper }) => [lower, upper, ...terms.map(({ coefficient }) => coefficient)]),
  };
}

/** Small seeded generator; good enough to draw test cases. */
function mulberry32(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
