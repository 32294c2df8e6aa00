/**
 * Digits, speed and design search of the trials folder, against certified data and its own long search.
 * Run from the root: npm run bench -- trials. Writes its tables into docs/models/trials.md between their marks.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { performance } from "node:perf_hooks";
import {
  type AnalysisRun,
  analyse,
  buildModel,
  candidateBlends,
  createRandom,
  type Factor,
  regionPoints,
  searchBlends,
  type Term,
  termsOf,
} from "@evencrumb/core/trials";

const DOCUMENT = "docs/models/trials.md";
const fixtures = JSON.parse(readFileSync("packages/core/src/trials/fixtures/trials.json", "utf8")) as {
  nist_strd: {
    linear_regression: Record<
      string,
      { parameters?: { estimate: string; sd: string }[]; residual_sd?: string; residual_ss?: number; data?: number[][] }
    >;
    anova: Record<string, { rows: number[][]; certified: { between: { ss: string; F: string }; within: { ss: string } } }>;
  };
};

const digits = (found: number, certified: number): number =>
  found === certified ? 15 : Math.min(15, -Math.log10(Math.abs(found - certified) / (certified === 0 ? 1 : Math.abs(certified))));
const amount = (name: string): Factor => ({ kind: "amount", name, low: -1, high: 1 });
const powers = (degree: number): Term[] => Array.from({ length: degree + 1 }, (_, power) => Array<string>(power).fill("x"));
const write = (mark: string, lines: readonly string[]) => {
  console.log(lines.join("\n"));
  const text = readFileSync(DOCUMENT, "utf8");
  const [before, rest] = text.split(`<!-- ${mark} -->\n`);
  const after = rest?.split(`<!-- end of ${mark} -->`)[1];
  if (before === undefined || after === undefined) throw new Error(`${DOCUMENT} has no marks for ${mark}`);
  writeFileSync(DOCUMENT, `${before}<!-- ${mark} -->\n${lines.join("\n")}\n<!-- end of ${mark} -->${after}`);
};

// ---- digits ----
const sets = fixtures.nist_strd.linear_regression;
const longley = ["x1", "x2", "x3", "x4", "x5", "x6"];
const models: readonly [string, readonly Term[], readonly Factor[]][] = [
  ["Norris", powers(1), [amount("x")]],
  ["Noint1", [["x"]], [amount("x")]],
  ["Longley", [[], ...longley.map((name) => [name])], longley.map(amount)],
  ["Filip", powers(10), [amount("x")]],
  ["Wampler3", powers(5), [amount("x")]],
  ["Wampler4", powers(5), [amount("x")]],
];
const lines = ["| set | coefficients | their errors | residual |", "| --- | --- | --- | --- |"];
for (const [name, terms, factors] of models) {
  const set = sets[name]!;
  const runs: AnalysisRun[] = set.data!.map(([response, ...values]) => ({ values, response: response! }));
  const fit = analyse({ responseName: name, factors, terms, runs });
  const least = (values: number[]) => Math.min(...values).toFixed(1);
  lines.push(
    `| ${name} | ${least(set.parameters!.map(({ estimate }, index) => digits(fit.coefficients[index]!.estimate, Number(estimate))))} | ${least(set.parameters!.map(({ sd }, index) => digits(fit.coefficients[index]!.standardError!, Number(sd))))} | ${least([set.residual_sd === undefined ? digits(fit.anova.residual.sumOfSquares, set.residual_ss!) : digits(fit.residualSd!, Number(set.residual_sd))])} |`,
  );
}
const xs = Array.from({ length: 21 }, (_, x) => x);
for (const [name, base] of [
  ["Wampler1", 1],
  ["Wampler2", 0.1],
] as const) {
  const runs = xs.map((x) => ({
    values: [x],
    response: [0, 1, 2, 3, 4, 5].reduce((sum, k) => sum + Math.round(1e5 * base ** k) * x ** k, 0) / 1e5,
  }));
  const fit = analyse({ responseName: "y", factors: [amount("x")], terms: powers(5), runs });
  lines.push(
    `| ${name} (generated) | ${Math.min(...fit.coefficients.map(({ estimate }, k) => digits(estimate, base ** k))).toFixed(1)} | certified 0 | certified 0 |`,
  );
}
const truth = (x: number) => xs.slice(0, 6).reduce((sum, k) => sum + x ** k, 0);
const wampler5 = analyse({
  responseName: "y",
  factors: [amount("x")],
  terms: powers(5),
  runs: sets.Wampler3!.data!.map(([y, x]) => ({ values: [x!], response: truth(x!) + 10_000 * (y! - truth(x!)) })),
});
lines.push(
  `| Wampler5 (generated) | ${Math.min(...wampler5.coefficients.map(({ estimate }) => digits(estimate, 1))).toFixed(1)} | ${Math.min(...wampler5.coefficients.map(({ standardError }, index) => digits(standardError!, 1e4 * Number(sets.Wampler3!.parameters![index]!.sd)))).toFixed(1)} | - |`,
);
lines.push("", "| set | between and within, F |", "| --- | --- |");
for (const [name, raised] of [
  ["SiRstv", 0],
  ["SmLs01", 0],
  ["SmLs04", 0],
  ["SmLs01", 1e12],
] as const) {
  const set = fixtures.nist_strd.anova[name]!;
  const levels = [...new Set(set.rows.map(([level]) => String(level)))];
  const fit = analyse({
    responseName: "y",
    factors: [{ kind: "choice", name: "treatment", levels }],
    terms: [[], ["treatment"]],
    runs: set.rows.map(([level, y]) => ({ values: [levels.indexOf(String(level))], response: y! + raised })),
  });
  const { between, within } = set.certified;
  const least = Math.min(
    digits(fit.anova.model.sumOfSquares, Number(between.ss)),
    digits(fit.anova.residual.sumOfSquares, Number(within.ss)),
    digits(fit.anova.model.f!, Number(between.F)),
  );
  lines.push(`| ${raised === 0 ? name : "SmLs07 (SmLs01 raised by 10^12)"} | ${least.toFixed(1)} |`);
}
write("digits", lines);

// ---- speed ----
const random = createRandom(5);
const six = [1, 2, 3, 4, 5, 6].map((k): Factor => ({ kind: "share", name: `x${k}`, lower: 0, upper: 1 }));
const runs = Array.from({ length: 60 }, () => {
  const parts = six.map(() => -Math.log(random.uniform()));
  const sum = parts.reduce((a, b) => a + b, 0);
  return { values: parts.map((part) => part / sum), response: 10 + random.normal() };
});
const quadratic = termsOf({ model: "scheffe quadratic" }, six);
const median = (times: number[]) => times.toSorted((a, b) => a - b)[Math.floor(times.length / 2)]!;
const timed = (count: number, work: () => void) => {
  const first = performance.now();
  work();
  const cold = performance.now() - first;
  const times = Array.from({ length: count }, () => {
    const from = performance.now();
    work();
    return performance.now() - from;
  });
  return { cold, warm: median(times) };
};
const analysis = timed(40, () => void analyse({ responseName: "y", factors: six, terms: quadratic, runs }));

// ---- design search ----
const region = { lower: [0.1, 0.05, 0.05, 0, 0, 0.02], upper: [0.5, 0.4, 0.35, 0.3, 0.25, 0.2] };
const blends = candidateBlends(region);
const speed = [
  "| what | bar | measured |",
  "| --- | --- | --- |",
  `| analysis of 60 runs and 21 terms | under 20 ms | ${analysis.warm.toFixed(1)} ms (first time ${analysis.cold.toFixed(1)} ms) |`,
];
const shares = six.map(
  (factor, index): Factor => ({ ...factor, lower: region.lower[index]!, upper: region.upper[index]! }) as Factor,
);
const names = shares.map(({ name }) => name);
const pairs = quadratic.filter((term) => term.length === 2);
const searches: readonly [string, readonly Term[], number][] = [
  ["linear blending (6 terms), 20 runs", termsOf({ model: "scheffe linear" }, shares), 20],
  ["linear and 9 of the 15 pairs (15 terms), 20 runs", [...names.map((name) => [name]), ...pairs.slice(0, 9)], 20],
  ["linear and 14 of the 15 pairs (20 terms), 20 runs", [...names.map((name) => [name]), ...pairs.slice(0, 14)], 20],
  ["all of the quadratic model (21 terms), 26 runs", quadratic, 26],
];
const toEnd = (search: Parameters<typeof searchBlends>[0]) => {
  const steps = searchBlends(search);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
};
for (const [what, terms, runCount] of searches) {
  const model = buildModel(shares, terms);
  // Processor time, because the machine of the bench may be busy with other things; one thread.
  const from = process.cpuUsage();
  const quick = toEnd({ model, region, runCount, seed: 7 });
  const { user, system } = process.cpuUsage(from);
  const seconds = (user + system) / 1e6;
  // "Long": 200 starts, every one of them refined off the candidate list until nothing helps.
  const long = toEnd({ model, region, runCount, seed: 1234, starts: 200, refined: 200, shakes: 0 });
  const efficiency = Math.exp((quick.logDet - long.logDet) / terms.length);
  speed.push(
    `| D-optimal, 6 constrained components, ${what} | under 2 s, 0.99 of the best of 200 | ${seconds.toFixed(2)} s of processor time, ${efficiency.toFixed(4)} |`,
  );
}
speed.push(
  "",
  `The region has ${regionPoints(region).vertices.length} corners; ${blends.length} candidates: corners, edge middles, side centres, centre, half-way points.`,
);
write("speed", speed);
