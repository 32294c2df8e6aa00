import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, it } from "vitest";
import { anyFormula } from "../../testing/formulas.js";
import { parseFormulaFile } from "./file.js";
import { validateFormula } from "./validate.js";
import { writeFormulaFile } from "./writeFile.js";

const SEED = 20_260_301;
const COUNT = 20_000;

/** A small generator with a fixed seed (mulberry32), so that a failure is found again by its number. */
function randomFrom(seed: number): (below: number) => number {
  let state = seed >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) % below;
  };
}

const SHARP = [
  ..."{}[]:,-?&*!|>'\"%@`#~<\t\n\r\\ ",
  "\n\n",
  "  ",
  ": ",
  "- ",
  "? ",
  "<<: ",
  "&a ",
  "*a",
  "!!js/function ",
  "!!binary ",
  "---\n",
  "...\n",
  "%YAML 1.1\n",
  "\u0000",
  "\ufeff",
  "\u2028",
  "\ud800",
  "__proto__: ",
  "constructor: ",
  "prototype: ",
  ".nan",
  ".inf",
  "-.inf",
  "0x",
  "1e999",
  "null",
  "true",
  "grams: ",
  "name: ",
  "[[[[[[[[",
  "{{{{{{{{",
  "- - - - - - ",
  "🍰",
  "½",
] as const;

function mutateText(text: string, random: (below: number) => number): string {
  let next = text;
  for (let times = 1 + random(4); times > 0; times--) {
    const at = random(next.length + 1);
    const length = random(12);
    const sharp = SHARP[random(SHARP.length)]!;
    const from = random(next.length + 1);
    switch (random(6)) {
      case 0:
        next = next.slice(0, at) + next.slice(at + length);
        break;
      case 1:
        next = next.slice(0, at) + sharp + next.slice(at);
        break;
      case 2:
        next = next.slice(0, at) + sharp + next.slice(at + length);
        break;
      case 3:
        next = next.slice(0, at) + next.slice(from, from + length * 8) + next.slice(at);
        break;
      case 4:
        next = next.slice(0, at);
        break;
      default: {
        const lines = next.split("\n");
        const line = random(lines.length);
        lines.splice(random(lines.length), 0, ...lines.splice(line, 1 + random(3)));
        next = lines.join("\n");
      }
    }
  }
  return next;
}

it(`reads ${COUNT} generated and broken files without crash, hang or harm (seed ${SEED})`, { timeout: 120_000 }, () => {
  const random = randomFrom(SEED);
  const examples = readdirSync("examples/formulas").map((name) => readFileSync(`examples/formulas/${name}`, "utf8"));
  const generated = fc.sample(anyFormula(), { seed: SEED, numRuns: 400 }).map((formula) => writeFormulaFile(formula));
  // Short texts come more often: they fail in more ways a second.
  const texts = [
    ...examples.map((text) => text.slice(0, 900)),
    ...examples.slice(0, 3),
    ...generated.filter((text) => text.length < 1500),
  ];
  const before = [Object.getOwnPropertyNames(Object.prototype).length, Object.getOwnPropertyNames(Array.prototype).length];
  const counts = { clean: 0, refused: 0, nothing: 0 };
  let slowestMs = 0;
  for (let run = 0; run < COUNT; run++) {
    const text = mutateText(texts[random(texts.length)]!, random);
    const start = process.cpuUsage();
    const { value, problems } = parseFormulaFile(text);
    slowestMs = Math.max(slowestMs, process.cpuUsage(start).user / 1000);
    const place = `run ${run}: ${JSON.stringify(text)}`;
    if (value === undefined) {
      counts.nothing++;
      expect(problems.length, place).toBeGreaterThan(0);
    }
    for (const { position, expected, found, remedy } of problems) {
      if (position === undefined || !(position.line >= 1 && position.column >= 1)) expect.fail(`no place in ${place}`);
      if (expected === "" || found === "" || remedy === "") expect.fail(`no words in ${place}`);
    }
    if (problems.length > 0) counts.refused++;
    else {
      counts.clean++;
      // What was read without a problem is a formula by every other reading too, and survives being written.
      expect(validateFormula(value).problems, place).toEqual([]);
      if (run % 20 === 0) expect(parseFormulaFile(writeFormulaFile(value!, text)), place).toEqual({ value, problems: [] });
    }
  }
  console.log(`formula files, seed ${SEED}: ${JSON.stringify(counts)}, slowest ${slowestMs.toFixed(0)} ms`);
  expect([Object.getOwnPropertyNames(Object.prototype).length, Object.getOwnPropertyNames(Array.prototype).length]).toEqual(
    before,
  );
  expect(({} as Record<string, unknown>).admin).toBeUndefined();
  expect(counts.clean).toBeGreaterThan(500);
  expect(counts.refused).toBeGreaterThan(5000);
  expect(slowestMs).toBeLessThan(20_000); // none hangs
});

it(`refuses or reads ${2000} values of any make without crash or harm (seed ${SEED})`, () => {
  fc.assert(
    fc.property(
      fc.anything({
        withMap: true,
        withSet: true,
        withDate: true,
        withNullPrototype: true,
        withSparseArray: true,
        withBigInt: true,
        withTypedArray: true,
      }),
      (value) => {
        const { problems } = validateFormula(value);
        expect(problems.length).toBeGreaterThan(0);
        const inside = validateFormula({
          name: value,
          components: [{ name: "A", kind: "cake", stages: value }],
          __proto__: value,
        });
        expect(inside.problems.length).toBeGreaterThan(0);
      },
    ),
    { seed: SEED, numRuns: 2000 },
  );
});
