import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { COMMANDS } from "./commandList.js";
import { runWords, shellWords } from "./testing.js";

const ec = (line: string, options?: Parameters<typeof runWords>[1]) => runWords(shellWords(line), options);
const SANDWICH = "examples/formulas/sandwich.1.yaml";

/** The parts of the answers that these tests look into. */
interface UseAnswer {
  readonly ingredient: string;
  readonly grams: number;
  readonly exactGrams: number;
  readonly batchPercent: number;
  readonly bakersPercent: number | null;
}
interface SheetAnswer {
  readonly components: readonly {
    readonly totalGrams: number;
    readonly flourGrams: number;
    readonly stages: readonly { readonly uses: readonly UseAnswer[] }[];
  }[];
}
interface ScaleAnswer extends SheetAnswer {
  readonly factor: number;
  readonly portions: number;
  readonly formula: SheetAnswer;
  readonly tins: readonly { readonly batterGrams: number }[];
}
interface PartAnswer {
  readonly name: string;
  readonly totalGrams: number;
  readonly per100g: Readonly<Record<string, number>>;
  readonly mixed: { readonly totalGrams: number };
  readonly balance?: { readonly ratios: readonly { readonly name: string; readonly percent: number }[] };
}
interface CompositionAnswer {
  readonly product: PartAnswer;
  readonly components: readonly PartAnswer[];
  readonly allergens: readonly { readonly allergen: string; readonly kind?: string }[];
}
interface ReadAnswer {
  readonly formula: SheetAnswer;
  readonly lines: readonly { readonly text: string; readonly status: string }[];
}

/** Paths of all fields with the kinds of their values: what other programs rely on. */
function shapeOf(value: unknown, path = ""): string[] {
  if (Array.isArray(value))
    return value.length === 0 ? [`${path}[]`] : [...new Set(value.flatMap((one) => shapeOf(one, `${path}[]`)))];
  if (typeof value === "object" && value !== null) {
    return Object.entries(value).flatMap(([key, one]) => shapeOf(one, path === "" ? key : `${path}.${key}`));
  }
  return [`${path}: ${value === null ? "null" : typeof value}`];
}

describe("JSON that other tools rely on", () => {
  it("show", async () => {
    const { status, json, said } = await ec(`show ${SANDWICH} --json`);
    expect([status, said]).toEqual([0, ""]);
    expect(shapeOf(json())).toEqual(
      expect.arrayContaining([
        "shape: string",
        "name: string",
        "totalGrams: number",
        "components[].name: string",
        "components[].totalGrams: number",
        "components[].flourGrams: number",
        "components[].stages[].name: string",
        "components[].stages[].uses[].ingredient: string",
        "components[].stages[].uses[].grams: number",
        "components[].stages[].uses[].batchPercent: number",
        "components[].stages[].uses[].bakersPercent: number",
        "components[].stages[].uses[].bakersPercent: null",
        "components[].stages[].uses[].groupSharePercent: number",
      ]),
    );
    expect(json()).toMatchObject({ shape: "evencrumb.show/1", name: "Raspberry sandwich", totalGrams: 1370 });
    const { components } = json<SheetAnswer>();
    expect(components[0]).toMatchObject({ name: "Sponge", totalGrams: 936, flourGrams: 225 });
    expect(components[0]!.stages[0]!.uses[0]).toMatchObject({
      ingredient: "butter-unsalted",
      grams: 225,
      bakersPercent: 100,
      groupSharePercent: 100,
    });
  });

  it("the equal-weights formula: 25 % of each (common practice, no source)", async () => {
    const pound =
      "formulaFile: 1\nname: Pound\ncomponents:\n  - name: Cake\n    kind: cake\n    stages:\n      - name: All\n        uses:\n" +
      ["butter-unsalted", "caster-sugar", "egg-whole-uk", "self-raising-flour"]
        .map((id) => `          - { ingredient: ${id}, grams: 250 }\n`)
        .join("");
    const { json } = await ec("show pound.yaml --json", { files: { "pound.yaml": pound } });
    expect(json<SheetAnswer>().components[0]!.stages[0]!.uses.map((use) => [use.batchPercent, use.bakersPercent])).toEqual([
      [25, 100],
      [25, 100],
      [25, 100],
      [25, 100],
    ]);
  });

  it("composition", async () => {
    const { status, json } = await ec(`composition ${SANDWICH} --json`);
    expect(status).toBe(0);
    const fields = [
      "waterGrams",
      "fatGrams",
      "saturatesGrams",
      "proteinGrams",
      "sugarsGrams",
      "starchGrams",
      "fibreGrams",
      "saltGrams",
      "energyKj",
      "energyKcal",
    ];
    const { product, components, allergens } = json<CompositionAnswer>();
    for (const part of [product, ...components]) {
      expect(Object.keys(part)).toEqual(expect.arrayContaining(["totalGrams", "per100g", "missing"]));
      for (const field of fields) expect(part.per100g[field], `${part.name} ${field}`).toEqual(expect.any(Number));
    }
    // Where the cake stands in each range; a filling has none.
    expect(components.map(({ balance }) => balance?.ratios.length)).toEqual([expect.any(Number), undefined, undefined]);
    expect(components[0]!.balance!.ratios[0]).toMatchObject({
      name: "sugar-to-flour",
      percent: expect.closeTo((100 * 220) / 225, 6),
    });
    // 936 g less 9 %, and two components that lose nothing.
    expect(product.totalGrams).toBeCloseTo(936 * 0.91 + 428 + 6, 5);
    expect(product.mixed.totalGrams).toBeCloseTo(1370, 6);
    expect(allergens.map(({ allergen, kind }) => kind ?? allergen)).toEqual(["wheat", "eggs", "milk"]);
  });

  it.each([
    ['--to-tins "2 round 23x5 cm"', 1.3225, 2],
    ["--to-grams 1500", 1500 / 1370, 2],
    ["--to-portions 20", 2, 4],
    ["--factor 1.5", 1.5, 3],
    ["--to-eggs 6 --egg 46", 1.2, 2],
    ['--left "480 g double cream"', 2, 4],
  ])("scale %s", async (how, factor, tinCount) => {
    const { status, json } = await ec(`scale ${SANDWICH} ${how} --json`);
    expect(status).toBe(0);
    const answer = json<ScaleAnswer>();
    expect(answer.factor).toBeCloseTo(factor, 4);
    expect(answer.tins).toHaveLength(tinCount);
    for (const tin of answer.tins)
      expect(tin).toMatchObject({
        capacityMl: expect.any(Number),
        batterGrams: expect.any(Number),
        fillShare: expect.any(Number),
        depthMm: expect.any(Number),
      });
    // Conserved: the sponge is in the tins, and every rounded weight is within a step of the exact one.
    const sponge = answer.formula.components[0]!.stages.flatMap((stage) => stage.uses).reduce((sum, use) => sum + use.grams, 0);
    expect(Math.abs(answer.tins.reduce((sum, tin) => sum + tin.batterGrams, 0) - sponge)).toBeLessThan(1);
    for (const use of answer.components.flatMap((component) => component.stages.flatMap((stage) => stage.uses))) {
      expect(Math.abs(use.grams - use.exactGrams)).toBeLessThan(1);
    }
  });

  it("scale, one component only", async () => {
    const { json } = await ec(`scale ${SANDWICH} --to-grams 1872 --component sponge --json`);
    expect(json()).toMatchObject({ factor: 2, portions: 10 });
    expect(json<ScaleAnswer>().components.map((component) => component.totalGrams)).toEqual([1872, 428, 6]);
  });

  it("read", async () => {
    const list = "For the sponge\n225 g butter\n2 large eggs\n1 glorp of zibble\n";
    const { status, json, said } = await ec("read list.txt --eggs uk-large --json", { files: { "list.txt": list } });
    expect(status).toBe(0);
    const { formula, lines } = json<ReadAnswer>();
    expect(lines.map((line) => line.text)).toEqual(list.trim().split("\n"));
    for (const line of lines) expect(["understood", "doubtful", "not-understood"]).toContain(line.status);
    expect(lines[1]).toMatchObject({ ingredient: expect.stringContaining("butter"), grams: 225 });
    expect(lines[3]!.status).not.toBe("understood");
    expect(formula.components.length).toBeGreaterThan(0);
    expect(said).toContain("glorp");
  });

  it.each<[string, string[]]>([
    [
      `compare ${SANDWICH} examples/formulas/sandwich.3.yaml --json`,
      ["same: boolean", "summary[]: string", "components[].ingredients[].changeGrams: number", "totalGrams.before: number"],
    ],
    [`check ${SANDWICH} --json`, ["verdict: string", "problems[]"]],
    [
      `sheet ${SANDWICH} --json`,
      [
        "title: string",
        "allergens.contains[].name: string",
        "components[].stages[].lines[].grams: number",
        "components[].tins[].gramsEach: number",
        "cautions[].words: string",
      ],
    ],
    ["ingredients butter --json", ["ingredients[].id: string", "ingredients[].name: string", "ingredients[].score: number"]],
    ["ingredients --show honey --json", ["ingredient.id: string", "ingredient.per100g.water.value: number"]],
    ['tins "round 20x5 cm" --json', ["tins[].capacityMl: number", "tins[].tin: string"]],
  ])("%s", async (line, fields) => {
    const { status, json } = await ec(line);
    expect(status).toBe(0);
    expect(json<{ readonly shape: string }>().shape).toMatch(/^evencrumb\.[a-z]+\/1$/);
    expect(shapeOf(json())).toEqual(expect.arrayContaining(fields));
  });
});

describe("what is printed", () => {
  it("read prints a formula file that show reads", async () => {
    const { output } = await ec("read - --name Tea", { input: "200 g plain flour\n100 g caster sugar\n" });
    const shown = await ec("show -", { input: output });
    expect(shown.status).toBe(0);
    expect(shown.output).toContain("Plain flour");
  });
  it("numbers stand under each other by their decimal point", async () => {
    const { output } = await ec(`show ${SANDWICH}`);
    const points = output
      .split("\n")
      .filter((line) => /^ {4}\S/.test(line))
      .map((line) => line.indexOf(".", 30));
    expect(new Set(points).size).toBe(1);
  });
  it("show --basis shows one percent only", async () => {
    const { output } = await ec(`show ${SANDWICH} --basis bakers`);
    expect(output).toContain("flour %");
    expect(output).not.toContain("batch %");
  });
  it("scale prints a formula file with the comments kept, and says the tins aside", async () => {
    const file =
      "# our best cake\nformulaFile: 1\nname: A\ncomponents:\n  - name: Cake # deep\n    kind: cake\n    tins: [{ count: 1, tin: round 20x5 cm }]\n    stages:\n      - name: Mix\n        uses:\n          - { ingredient: plain-flour, grams: 100 }\n";
    const { output, said } = await ec("scale a.yaml --factor 2", { files: { "a.yaml": file } });
    expect(output).toContain("# our best cake");
    expect(output).toContain("grams: 200");
    expect(said).toContain("2 × round 20x5 cm: 100 g each");
    expect((await ec("check -", { input: output })).status).toBe(0);
  });
  it("scale says when the old bake time does not hold and takes it out", async () => {
    const { output, said } = await ec(`scale ${SANDWICH} --to-tins "1 round 18x9 cm" --fill 0.6`);
    expect(said).toContain("The old 24 min does not hold");
    expect(output).not.toContain("minutes: 24");
  });
  it("composition --sources unfolds a total", async () => {
    const { output } = await ec(`composition ${SANDWICH} --sources`);
    expect(output).toMatch(/Fat g, whole batch: [\d.]+\n\s+Sponge, Unsalted butter\s+[\d.]+\s+\S/);
  });
  it("the sheet has the allergens before the first weight, in text and HTML", async () => {
    for (const format of ["text", "html"]) {
      const { output } = await ec(`sheet ${SANDWICH} --format ${format}`);
      expect(output.search(/contains:/i)).toBeGreaterThan(0);
      expect(output.search(/contains:/i)).toBeLessThan(output.indexOf("Cream"));
    }
  });
  it("the sheet goes into a file, whose name tells the format", async () => {
    const { status, written, output, said } = await ec(`sheet ${SANDWICH} --to-portions 24 -o out.html`);
    expect([status, output]).toEqual([0, ""]);
    expect(written.get("out.html")).toContain("24 portions");
    expect(said).toContain("out.html");
  });
  it("a PDF goes into a file or a pipe, not to the screen", async () => {
    const refused = await ec(`sheet ${SANDWICH} --format pdf`, { outputIsTerminal: true });
    expect([refused.status, refused.said]).toEqual([2, expect.stringContaining("-o")]);
    const piped = await ec(`sheet ${SANDWICH} --format pdf`);
    expect(Buffer.from(piped.bytes.slice(0, 5)).toString()).toBe("%PDF-");
  });
});

describe("exit status and what is said", () => {
  const broken =
    "formulaFile: 1\nname: A\ncomponents:\n  - name: Cake\n    kind: cake\n    stages:\n      - name: Mix\n        uses:\n          - { ingredient: plain-flour, grams: 25O }\n";
  const strange = broken.replace("25O", "250").replace("plain-flour", "moon-flour");
  it.each<[string, number, string | RegExp, Parameters<typeof runWords>[1]?]>([
    ["", 2, ""],
    ["shwo a", 2, 'Did you mean "show"?'],
    ["show", 2, "missing required argument"],
    ["show nofile.yaml", 2, "nofile.yaml: no such file."],
    ["show broken.yaml", 2, /broken\.yaml:9:\d+: expected/, { files: { "broken.yaml": broken } }],
    ["show -", 2, "standard input", { input: "not: [a formula" }],
    ["show strange.yaml", 0, '"moon-flour" is not in the book', { files: { "strange.yaml": strange } }],
    ["check strange.yaml", 1, "expected an ingredient of the book", { files: { "strange.yaml": strange } }],
    ["check broken.yaml", 1, /broken\.yaml:9:\d+/, { files: { "broken.yaml": broken } }],
    ["check -", 2, "expected", { input: "just words" }],
    [
      "check tin.yaml",
      1,
      "components[0].tins[0].tin",
      {
        files: {
          "tin.yaml": strange
            .replace("moon-flour", "plain-flour")
            .replace("    stages:", "    tins: [{ count: 1, tin: heart 20 cm }]\n    stages:"),
        },
      },
    ],
    [`show ${SANDWICH} --basis none`, 2, "batch, bakers or group"],
    [`scale ${SANDWICH}`, 2, "Say one of"],
    [`scale ${SANDWICH} --factor 2 --to-grams 100`, 2, "not several"],
    [`scale ${SANDWICH} --factor 0`, 2, "a factor above 0"],
    [`scale ${SANDWICH} --factor 1e3`, 2, "a factor above 0"],
    [`scale ${SANDWICH} --to-grams many`, 2, "a weight above 0"],
    [`scale ${SANDWICH} --to-tins heart`, 2, "Add the shape"],
    [`scale ${SANDWICH} --to-tins "round 20x5 cm, heart"`, 2, "Add the shape"],
    [`scale ${SANDWICH} --to-tins "round 20x5 cm" --fill 2`, 2, "fill share"],
    [`scale ${SANDWICH} --factor 2 --fill 0.5`, 2, "--fill goes with --to-tins"],
    [`scale ${SANDWICH} --factor 2 --component Custard`, 2, 'one of: "Sponge", "Filling", "Top"'],
    [`scale ${SANDWICH} --left "320 g saffron"`, 2, "weighed in the formula"],
    [`scale ${SANDWICH} --left cream`, 2, "a weight and an ingredient"],
    [`scale ${SANDWICH} --to-eggs 6 --egg 5`, 2, "without its shell"],
    ["read empty.txt", 2, "no line reads as an ingredient", { files: { "empty.txt": "\n" } }],
    ["read - --measures nautical", 2, "--measures is metric"],
    ["ingredients --show unobtainium", 1, "No ingredient has the id"],
    ["ingredients qqqqqqq", 1, "Nothing is called like"],
    ["ingredients --limit 0", 2, "--limit is a whole number"],
    ['tins "banana"', 2, "Add the shape"],
    [`sheet ${SANDWICH} --format docx`, 2, "text, html or pdf"],
    ["backup b.evencrumb --data /nonexistent-bakery", 2, "no bakery here"],
    ["serve --port seventy", 2, "--port is a whole number"],
    ["show a --nosuch", 2, "unknown option"],
  ])("evencrumb %s: %i", async (line, status, said, options) => {
    const ran = await ec(line, options);
    expect(ran.status).toBe(status);
    expect(ran.said).toMatch(said);
    if (status === 2) expect(line === "" ? "" : ran.output).toBe("");
  });
  it("scale says which of the formula's tins it cannot read, and goes on", async () => {
    const named = strange
      .replace("moon-flour", "plain-flour")
      .replace("    stages:", "    tins: [{ count: 1, tin: Grandmother's }]\n    stages:");
    const { status, said, output } = await ec("scale tin.yaml --factor 2", { files: { "tin.yaml": named } });
    expect([status, output]).toEqual([0, expect.stringContaining("grams: 500")]);
    expect(said).toMatch(/^Cake, tins: expected a tin such as .* found Grandmother's\. /);
  });
  it("every command has help with examples, on the standard output", async () => {
    for (const name of [
      "read",
      "show",
      "composition",
      "scale",
      "tins",
      "compare",
      "sheet",
      "ingredients",
      "check",
      "serve",
      "backup",
      "restore",
    ]) {
      const { status, output, said } = await ec(`${name} --help`);
      expect([name, status, said]).toEqual([name, 0, ""]);
      expect(output).toContain(`Usage: evencrumb ${name}`);
      expect(output).toContain(`Examples:\n  evencrumb ${name}`.trimEnd().slice(0, 12));
      expect(output).toContain("--json");
    }
    expect((await ec("--help")).output).toContain("Exit status");
    expect((await ec("help scale")).output).toContain("--to-tins");
    expect((await ec("--version")).output).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});

it("property: whatever is typed, the answer is 0, 1 or 2, and nothing is thrown", async () => {
  const word = fc.oneof(
    fc.constantFrom(...COMMANDS.map(({ name }) => name).filter((name) => !["serve", "backup", "restore"].includes(name))),
    fc.constantFrom(
      SANDWICH,
      "-",
      "--json",
      "--help",
      "--to-tins",
      "--to-grams",
      "--factor",
      "--fill",
      "--left",
      "--component",
      "--basis",
      "--format",
      "-o",
      "--show",
      "--for",
      "--",
    ),
    fc.constantFrom("2 round 20x5 cm", "1.5", "0", "-1", "1e400", "Sponge", "html", "320 g double cream", "NaN", ""),
    fc.string({ maxLength: 12 }),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(word, { maxLength: 6 }), fc.string({ maxLength: 40 }), async (words, input) => {
      const { status } = await runWords(words, { input });
      return [0, 1, 2].includes(status);
    }),
    { numRuns: 300, seed: 20260502 },
  );
});
