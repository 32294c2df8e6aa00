import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { anyFormula } from "../../testing/formulas.js";
import { createIngredientBook } from "../ingredients/index.js";
import { addUse, changeComponent, changeStage, moveUse, removeStage, removeUse, setGrams } from "./edit.js";
import { MAX_FILE_CHARACTERS, parseFormulaFile } from "./file.js";
import type { Formula } from "./formula.js";
import { validateFormula } from "./validate.js";
import { writeFormulaFile } from "./writeFile.js";

const LOAF = `# My mother's, weighed at last.
formulaFile: 1
name: Lemon loaf # the tall one
portions: 10

components:
  # baked on Fridays
  - name: Loaf
    kind: cake
    tins:
      - { count: 1, tin: loaf 900 g }
    loss: { percent: 10, basis: stated } # weighed twice
    specificGravity: { value: 0.85, basis: typical }
    bake: { ovenC: 170, fan: false, minutes: 50 }
    stages:
      - name: Cream
        method: "Beat butter and sugar: until pale."
        targets:
          - { kind: look, words: pale and fluffy }
          - { kind: time, seconds: 300 }
        uses:
          - { ingredient: butter-unsalted, grams: 200, note: at 20 °C }
          # the golden one
          - { ingredient: caster-sugar, grams: 200 } # not less

      - name: Fold
        uses:
          - ingredient: plain-flour
            grams: 200.50
            # twice
            note: sifted
          - { ingredient: salt, grams: null }
# The end.
`;

function read(text: string): Formula {
  const { value, problems } = parseFormulaFile(text);
  expect(problems).toEqual([]);
  return value!;
}
const put = <Value>(edited: { ok: true; value: Value } | { ok: false }) => {
  if (!edited.ok) throw new Error("refused");
  return edited.value;
};

describe("reading a formula file", () => {
  it("reads the whole of it", () => {
    expect(read(LOAF)).toEqual({
      name: "Lemon loaf",
      portions: 10,
      components: [
        {
          name: "Loaf",
          kind: "cake",
          tins: [{ count: 1, tin: "loaf 900 g" }],
          loss: { percent: 10, basis: "stated" },
          specificGravity: { value: 0.85, basis: "typical" },
          bake: { ovenC: 170, fan: false, minutes: 50 },
          stages: [
            {
              name: "Cream",
              method: "Beat butter and sugar: until pale.",
              targets: [
                { kind: "look", words: "pale and fluffy" },
                { kind: "time", seconds: 300 },
              ],
              uses: [
                { ingredient: "butter-unsalted", grams: 200, note: "at 20 °C" },
                { ingredient: "caster-sugar", grams: 200 },
              ],
            },
            {
              name: "Fold",
              uses: [
                { ingredient: "plain-flour", grams: 200.5, note: "sifted" },
                { ingredient: "salt", grams: null },
              ],
            },
          ],
        },
      ],
    });
  });

  const examples = readdirSync("examples/formulas").filter((name) => name.endsWith(".yaml"));
  it.each(examples)("reads and writes back the example %s, byte for byte", (name) => {
    const text = readFileSync(`examples/formulas/${name}`, "utf8");
    expect(writeFormulaFile(read(text))).toBe(text);
    expect(writeFormulaFile(read(text), text)).toBe(text);
  });

  // Each with the place, what was expected, what was found and what to do.
  it.each([
    [
      "caster-sugar, grams: 200 }",
      "caster-sugar, grams: 200g }",
      [24, 48],
      "wrong-type",
      "0 to 1000000",
      '"200g"',
      "Write the number alone: 200",
    ],
    ["kind: cake", "kind: caek", [9, 11], "out-of-range", "one of: cake", '"caek"', 'Did you mean "cake"?'],
    ["portions: 10", "portion: 10", [4, 1], "unknown-field", "portions", '"portion"', 'Did you mean "portions"?'],
    ["portions: 10", "portions: .nan", [4, 11], "wrong-type", "a whole number", "NaN", "Write a number."],
    ["portions: 10", "portions: -.inf", [4, 11], "wrong-type", "a whole number", "-Infinity", "Write a number."],
    ["portions: 10", "portions: 2.5", [4, 11], "out-of-range", "a whole number", "2.5", "Write a whole number"],
    ["portions: 10", "__proto__: { admin: true }", [4, 1], "unknown-field", "one of", '"__proto__"', "Remove it"],
    [
      "note: at 20 °C",
      "note: soft, 20 °C",
      [22, 68],
      "unknown-field",
      "one of: ingredient",
      '"20 °C"',
      "put all of them in quotation marks",
    ],
    ["portions: 10", "name: Again", [4, 1], "duplicate", '"name" once', "a second one", "Remove one"],
    ["name: Lemon loaf #", "name: 12 #", [3, 7], "wrong-type", "the name", "12", 'Put it in quotes: "12".'],
    ["name: Lemon loaf # the tall one\n", "", [2, 1], "missing-field", '"name"', "nothing", 'Add "name".'],
    ["formulaFile: 1", "formulaFile: 2", [2, 14], "out-of-range", "1, the version", "2", "newer program"],
    ["percent: 10,", "percent: 100,", [12, 22], "out-of-range", "from 0 to below 100", "100", "Write a percentage"],
    ["kind: time,", "kind: tiem,", [20, 21], "out-of-range", "time", '"tiem"', 'Did you mean "time"?'],
    ["fan: false", "fan: no", [14, 30], "wrong-type", "true or false", '"no"', "Write true or false."],
    [
      '"Beat butter and sugar: until pale."',
      "Beat: until pale.",
      [17, 17],
      "syntax",
      "one field a line",
      '"Beat',
      "quotation marks",
    ],
    ["    kind: cake", "\tkind: cake", [9, 1], "syntax", "spaces", '"kind', "Replace the tab"],
    ["note: at 20 °C }", "note: at 20 °C", [24, 11], "syntax", "", "", ""],
    ["# The end.", "---\nname: two", [33, 1], "syntax", "one formula in a file", "a second document", "file of its own"],
    ["name: Loaf", "name: &a Loaf\n    notes: *a", [9, 5], "unknown-field", "one of", '"notes"', ""],
    [
      'method: "Beat butter and sugar: until pale."',
      "method: *nowhere",
      [17, 17],
      "wrong-type",
      "the method in words",
      "*nowhere, a reference",
      "Write words here.",
    ],
    ["name: Loaf", "name: !!js/function x", [8, 11], "syntax", "without a ! mark", '"!!js', "Remove the word"],
  ] as const)("says what is wrong with %j turned into %j", (from, to, [line, column], code, expected, found, remedy) => {
    const broken = LOAF.replace(from, to);
    expect(broken).not.toBe(LOAF);
    const [problem] = parseFormulaFile(broken).problems;
    expect(problem).toMatchObject({ code });
    expect(problem?.expected).toContain(expected);
    expect(problem?.found).toContain(found);
    expect(problem?.remedy).toContain(remedy);
    if (code !== "syntax" || expected !== "") expect(problem?.position).toEqual({ line, column });
  });

  it("keeps what it understood of a half-typed file, with an empty weight for the one it did not", () => {
    const { value, problems } = parseFormulaFile(LOAF.replace("grams: 200, note", "grams: two, note"));
    expect(problems).toHaveLength(1);
    expect(problems[0]?.path).toEqual(["components", 0, "stages", 0, "uses", 0, "grams"]);
    expect(value?.components[0]?.stages[0]?.uses[0]).toEqual({ ingredient: "butter-unsalted", grams: null, note: "at 20 °C" });
  });

  it("says that two components share a name", () => {
    const twice = `formulaFile: 1\nname: A\ncomponents:\n  - { name: Sponge, kind: cake, stages: [] }\n  - { name: Sponge, kind: cake, stages: [] }\n`;
    expect(parseFormulaFile(twice).problems).toMatchObject([{ code: "duplicate", position: { line: 5, column: 5 } }]);
  });

  it("reads JSON, which is YAML, and Windows line ends", () => {
    const formula = read(LOAF);
    expect(read(JSON.stringify({ formulaFile: 1, ...formula }))).toEqual(formula);
    expect(read(LOAF.replaceAll("\n", "\r\n"))).toEqual(formula);
  });

  it.each([
    ["nothing", ""],
    ["only a comment", "# hello"],
    ["a list", "- a\n- b"],
    ["a word", "cake"],
    ["a null", "null"],
  ])("refuses %s with a place", (_name, text) => {
    const { value, problems } = parseFormulaFile(text);
    expect(value).toBeUndefined();
    expect(problems[0]?.position).toEqual({ line: 1, column: 1 });
  });
});

describe("hostile input", () => {
  it.each([
    ["deep brackets", "[".repeat(200_000)],
    ["deep braces", "{a: ".repeat(70_000)],
    ["deep dashes", "- ".repeat(140_000)],
    ["deep questions", "? ".repeat(140_000)],
    ["many fields", Array.from({ length: 25_000 }, (_, index) => `f${index}: 1`).join("\n")],
    ["many of one field", "name: 1\n".repeat(36_000)],
    ["many components", `formulaFile: 1\nname: a\ncomponents:\n${"  - {}\n".repeat(40_000)}`],
    ["a huge word", `formulaFile: 1\nname: ${"a".repeat(290_000)}`],
    ["too long", "a".repeat(600_001)],
    ["many comments", "#\n".repeat(149_000)],
    ["many blank lines", `name:${"\n".repeat(290_000)}`],
    ["many anchors", Array.from({ length: 25_000 }, (_, index) => `- &a${index} x`).join("\n")],
    ["an unclosed quotation", `name: "${"a ".repeat(140_000)}`],
    ["many documents", "---\n".repeat(74_000)],
    ["many tags", "- !a b\n".repeat(85_000)],
    ["wide lines", `name: [${"a,".repeat(290_000)}]`],
    [
      "references to references",
      `a: &a [x,x,x,x,x,x,x,x,x]\n${"bcdefghij"
        .split("")
        .map((name, at) => `${name}: &${name} [${Array(9).fill(`*${"abcdefghij"[at]}`).join(",")}]`)
        .join("\n")}`,
    ],
  ])("refuses %s within three seconds of work, with a place", (_name, text) => {
    // Time of the processor and not of the wall clock, so that a busy machine does not fail it.
    const start = process.cpuUsage();
    const { problems } = parseFormulaFile(text);
    expect(process.cpuUsage(start).user / 1e6).toBeLessThan(20); // none hangs
    expect(problems.length).toBeGreaterThan(0);
    expect(problems.length).toBeLessThanOrEqual(101);
    for (const problem of problems) expect(problem.position).toBeDefined();
  });

  it("keeps prototypes clean and gives data with known fields only", () => {
    const hostile = JSON.parse(
      '{"name":"A","components":[],"__proto__":{"polluted":1},"constructor":{"prototype":{"polluted":1}},"toString":1}',
    );
    const { value, problems } = validateFormula(hostile);
    expect(problems.map((problem) => problem.path[0])).toEqual(["__proto__", "constructor", "toString"]);
    expect(value).toEqual({ name: "A", components: [] });
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
    expect(Object.getPrototypeOf(value)).toBe(Object.prototype);
  });

  it("does not enter what a formula never holds", () => {
    let deep: unknown = 1;
    for (let level = 0; level < 100_000; level++) deep = [deep];
    expect(validateFormula({ name: "A", components: [], deep }).problems).toHaveLength(1);
    expect(validateFormula({ name: deep, components: new Map(), notes: new Date(0) }).problems.map(({ found }) => found)).toEqual(
      ["a list", "an object that is not plain data", "an object that is not plain data"].sort(),
    );
  });
});

describe("writing a formula file", () => {
  it("reads back as the same formula (property)", () => {
    fc.assert(
      fc.property(anyFormula(), (formula) => {
        expect(read(writeFormulaFile(formula))).toEqual(formula);
      }),
      { numRuns: 200 },
    );
  });

  it("reads back as the same formula when it was edited in place, whatever was there (property)", () => {
    fc.assert(
      fc.property(anyFormula(), anyFormula(), (before, after) => {
        const text = writeFormulaFile(after, writeFormulaFile(before));
        expect(read(text)).toEqual(after);
        expect(writeFormulaFile(after, text)).toBe(text);
      }),
      { numRuns: 150 },
    );
  });

  it("changes nothing when nothing changed", () => {
    expect(writeFormulaFile(read(LOAF), LOAF)).toBe(LOAF);
  });

  it("changes one line for one weight", () => {
    const next = put(setGrams(read(LOAF), { component: 0, stage: 0, use: 1 }, 180));
    expect(writeFormulaFile(next, LOAF)).toBe(LOAF.replace("caster-sugar, grams: 200 }", "caster-sugar, grams: 180 }"));
  });

  it("keeps every comment through adding, renaming and moving", () => {
    const at = { component: 0, stage: 0 };
    let next = put(addUse(read(LOAF), at, { ingredient: "honey", grams: 20 }, 0));
    next = put(changeStage(next, at, { name: "Beat" }));
    next = put(changeComponent(next, 0, { name: "Tall loaf", loss: { percent: 11, basis: "measured" } }));
    const text = writeFormulaFile(next, LOAF);
    expect(read(text)).toEqual(next);
    expect(text.match(/#.*/g)).toEqual(LOAF.match(/#.*/g));
    const moved = put(moveUse(next, { component: 0, stage: 1, use: 1 }, { component: 0, stage: 1, use: 0 }));
    const movedText = writeFormulaFile(moved, text);
    expect(read(movedText)).toEqual(moved);
    expect(movedText.match(/#.*/g)?.sort()).toEqual(LOAF.match(/#.*/g)?.sort());
  });

  it("takes a removed line's comment with it, and no other", () => {
    const next = put(removeUse(read(LOAF), { component: 0, stage: 0, use: 1 }));
    const comments = writeFormulaFile(next, LOAF).match(/#.*/g);
    expect(comments).toEqual(LOAF.match(/#.*/g)?.filter((comment) => !["# the golden one", "# not less"].includes(comment)));
  });

  it("carries a line's comments to another stage, also when its old stage goes", () => {
    const moved = put(moveUse(read(LOAF), { component: 0, stage: 0, use: 1 }, { component: 0, stage: 1, use: 0 }));
    const text = writeFormulaFile(moved, LOAF);
    expect(read(text)).toEqual(moved);
    expect(text).toContain(
      "          # the golden one\n          - { ingredient: caster-sugar, grams: 200 } # not less\n          - ingredient: plain-flour",
    );
    const flour = put(moveUse(read(LOAF), { component: 0, stage: 1, use: 0 }, { component: 0, stage: 0, use: 2 }));
    const single = put(removeStage(flour, { component: 0, stage: 1 }));
    const singleText = writeFormulaFile(single, LOAF);
    expect(read(singleText)).toEqual(single);
    expect(singleText).toContain("            # twice\n            note: sifted");
  });

  it("carries ingredients of the baker's own, every shipped one included, and edits them in place", () => {
    const all = createIngredientBook().all;
    for (let from = 0; from < all.length; from += 100) {
      const formula: Formula = { name: "Larder", components: [], ingredients: all.slice(from, from + 100) };
      expect(validateFormula(formula).problems).toEqual([]);
      const text = writeFormulaFile(formula);
      expect(text.length).toBeLessThan(MAX_FILE_CHARACTERS);
      expect(read(text)).toEqual(formula);
      const fewer = { ...formula, ingredients: formula.ingredients!.toReversed().slice(3) };
      expect(read(writeFormulaFile(fewer, text))).toEqual(fewer);
    }
  });

  it("writes a broken file anew", () => {
    const formula = read(LOAF);
    expect(read(writeFormulaFile(formula, "a: [b\n: :"))).toEqual(formula);
    expect(read(writeFormulaFile(formula, "- not a formula"))).toEqual(formula);
    expect(read(writeFormulaFile(formula, "name: &a x\nnotes: *a"))).toEqual(formula);
  });
});
