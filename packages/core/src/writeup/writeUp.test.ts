import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { balanceOf } from "../composition/index.js";
import { type Formula, parseFormulaFile, readList } from "../formula/index.js";
import { createIngredientBook } from "../ingredients/index.js";
import { parseTins } from "../tins/index.js";
import { READER_MEASURES } from "./amounts.js";
import { ROUNDING_TOLERANCE } from "./roundingEffects.js";
import { type WriteUp, writeUp, writeUpBatch } from "./writeUp.js";

const folder = new URL("../../../../examples/formulas/", import.meta.url);
const demos = readdirSync(folder)
  .filter((file) => file.endsWith(".yaml"))
  .map((file) => {
    const formula = parseFormulaFile(readFileSync(new URL(file, folder), "utf8")).value!;
    return { file, formula, book: createIngredientBook(formula.ingredients ?? []) };
  });
const cases = demos.flatMap((demo) => READER_MEASURES.map((measures) => ({ ...demo, measures })));
const demo = (file: string) => demos.find((one) => one.file === file)!;
const linesOf = (text: WriteUp) => text.parts.flatMap(({ ingredients }) => ingredients);

describe("the rounded recipe still makes the cake, or it is said", () => {
  it.each(cases)("$file in $measures measures", ({ formula, book, measures }) => {
    const text = writeUp(formula, book, { measures });
    // Composed here once more from the grams that the words stand for, without the write-up's own arithmetic.
    const moved = formula.components.flatMap((component, index) => {
      if (component.kind !== "cake") return [];
      const held = text.parts[index]!.ingredients.map(({ readerGrams }) => readerGrams);
      let at = 0;
      const rounded = {
        ...component,
        stages: component.stages.map((stage) => ({
          ...stage,
          uses: stage.uses.map((use) => ({ ...use, grams: held[at++]! })),
        })),
      };
      const after = balanceOf(rounded, book).ratios;
      return balanceOf(component, book).ratios.flatMap(({ words, percent }, place) => {
        const then = after[place]!.percent;
        return percent === null || percent === 0 || then === null ? [] : [{ words, change: Math.abs(then / percent - 1) }];
      });
    });
    const beyond = moved.filter(({ change }) => change > ROUNDING_TOLERANCE);
    expect(text.rounding.map(({ ratio }) => ratio)).toEqual(beyond.map(({ words }) => words));
    expect(text.largestRoundingChange).toBeCloseTo(Math.max(0, ...moved.map(({ change }) => change)), 12);
    for (const effect of text.rounding) expect(effect.words).toContain("weigh it where you can");
    // The worst of all demo formulas is a raising agent of which a spoon holds little: 8.4 %.
    expect(text.largestRoundingChange).toBeLessThan(0.09);
    expect(text.roundingSummary === undefined).toBe(moved.length === 0);
  });

  it("in grams nothing moves beyond the tolerance", () => {
    for (const { formula, book } of demos) expect(writeUp(formula, book, { measures: "metric" }).rounding).toEqual([]);
  });

  it("prints the table that stands in docs/models/writeup.md", () => {
    const page = readFileSync(new URL("../../../../docs/models/writeup.md", import.meta.url), "utf8");
    const rows = demos.map(({ file, formula, book }) => {
      const cells = READER_MEASURES.map((measures) => {
        const text = writeUp(formula, book, { measures });
        if (text.roundingSummary === undefined) return "–";
        const said = text.rounding.map(({ ratio }) => ratio.toLowerCase()).join(", ");
        return `${(text.largestRoundingChange * 100).toFixed(1)} %${said === "" ? "" : ` (${said})`}`;
      });
      return `| ${file.replace(".yaml", "")} | ${cells.join(" | ")} |`;
    });
    expect(page).toContain(["| formula | metric | imperial | us |", "| --- | --- | --- | --- |", ...rows].join("\n"));
  });
});

// Peer: the reader of pasted lists, which has its own arithmetic and its own densities for American ingredients, reads every line back.
it.each(cases)("$file in $measures measures reads back as it was meant", ({ formula, book, measures }) => {
  const text = writeUp(formula, book, { measures, gramsBeside: false });
  for (const line of linesOf(text)) {
    // "1 stick + 1½ tbsp" is read as a stick and asked about: the list reader knows no such pair.
    if (/stick.* \+ /.test(line.text)) continue;
    const { lines } = readList(`Ingredients:\n${line.text}`, book, {
      measures: measures === "us" ? "us" : "metric",
      eggGrade: text.egg,
    });
    const [read] = lines.filter(({ kind }) => kind === "ingredient");
    expect([line.text, read?.status === "not-understood"]).toEqual([line.text, false]);
    // A spoon of spice weighs a tenth more or less by the teaspoon than by the tablespoon of the same table, and packed fruit more than loose.
    const within = Math.max(0.3, 0.14 * line.readerGrams!);
    expect([line.text, Math.abs(read!.grams! - line.readerGrams!) <= within]).toEqual([line.text, true]);
    const role = book.get(line.ingredient)!.role;
    expect([line.text, book.get(read!.ingredient!)?.role]).toEqual([line.text, role]);
  }
});

it("reads as a baker in Leeds and one in Ohio would write it", () => {
  const { formula, book } = demo("sandwich.1.yaml");
  const leeds = writeUp(formula, book, { measures: "metric" });
  expect(leeds.parts[0]!.tins).toEqual(["20 x 5 cm (8 x 2 in) round tin, 2 of them"]);
  expect(linesOf(leeds).map(({ text }) => text)).toContain("225 g self-raising flour, sifted");
  expect(leeds.parts[0]!.steps.at(-1)).toBe(
    "Bake at 170 °C, fan 150 °C, gas mark 3 (340 °F), about 24 min, until a skewer comes out clean.",
  );
  const ohio = writeUp(formula, book, { measures: "us" });
  expect(ohio.names).toBe("us");
  expect(linesOf(ohio).map(({ text }) => text)).toEqual(
    expect.arrayContaining([
      "2 sticks (1 cup, 225 g) unsalted butter, at 19 °C (66 °F)",
      "2 tbsp + 1 tsp (18 g) confectioners' sugar",
    ]),
  );
  expect(ohio.cautions.join(" ")).toContain("5 °C (41 °F) (FDA Food Code");
  expect(ohio.cautions.join(" ")).not.toContain("England");
});

it("takes the egg that the formula counts out, one for the whole recipe", () => {
  const { formula, book } = demo("courgette-oil-cake.1.yaml");
  expect(linesOf(writeUp(formula, book, { measures: "metric" }))[0]!.text).toBe("4 medium eggs (207 g without shells)");
  const { text } = linesOf(writeUp(formula, book, { measures: "metric", egg: { scheme: "uk", grade: "L" } }))[0]!;
  expect(text).toBe("205 g beaten egg (about 3¼ large eggs)");
});

it("shows a predicted bake with its band in place of the formula's own minutes", () => {
  const { formula, book } = demo("lemon-loaf.1.yaml");
  const text = writeUp(formula, book, { measures: "metric", bakeSeconds: { Loaf: { likely: 3300, from: 3060, to: 3540 } } });
  expect(text.parts[0]!.steps.at(-1)).toContain(", 51 to 59 min (predicted), until a skewer comes out clean.");
});

describe("any batch", () => {
  const { formula, book } = demo("sandwich.1.yaml");

  it("tins: the weights follow, and what scaling says of them is said", () => {
    const request = { by: "tins", tins: parseTins("1 round 25x8 cm").value } as const;
    const result = writeUpBatch(formula, request, book, { measures: "us" });
    expect(result.ok).toBe(true);
    if (!result.ok) return;
    expect(result.value.parts[0]!.tins).toEqual(["10 x 3¼ in (25 x 8 cm) round pan"]);
    // By the capacity of the tins at the same depth: (25/20)² over two tins.
    expect(linesOf(result.value)[0]!.formulaGrams).toBeCloseTo((225 * (25 / 20) ** 2) / 2, 6);
    expect(result.value.cautions[0]).toMatch(/full|deep/);
  });

  it("portions, and a clear no where it cannot be", () => {
    const twice = writeUpBatch(formula, { by: "portions", portions: 20 }, book, { measures: "metric" });
    expect(twice.ok && [twice.value.portions, linesOf(twice.value)[0]!.formulaGrams]).toEqual([20, 450]);
    const none = writeUpBatch(formula, { by: "portions", portions: -1 }, book, { measures: "metric" });
    expect(none.ok).toBe(false);
  });
});

it("says what the method's own weights are after scaling", () => {
  const { formula, book } = demo("sandwich.1.yaml");
  const [first, ...others] = formula.components;
  const stages = first!.stages.map((stage, at) => (at === 0 ? { ...stage, method: "Keep back 50 g of the sugar." } : stage));
  const own: Formula = { ...formula, components: [{ ...first!, stages }, ...others] };
  const said = "The method names 50 g: written for the formula as it is kept. This batch is 2 times that.";
  const twice = writeUpBatch(own, { by: "factor", factor: 2 }, book, { measures: "metric" });
  expect(twice.ok && twice.value.cautions).toContain(said);
  const once = writeUpBatch(own, { by: "factor", factor: 1 }, book, { measures: "metric" });
  expect(once.ok && once.value.cautions.some((words) => words.includes("The method names"))).toBe(false);
});

it("tells an American what is not sold there, and puts nothing else in", () => {
  const { formula, book } = demo("sandwich.1.yaml");
  const text = writeUp(formula, book, { measures: "us" });
  expect(text.cautions).toContain(
    "Double cream (48 % fat) is seldom sold in the US. The nearest is heavy cream (36 % fat): it makes a cake that was not tested here.",
  );
  expect(linesOf(text).some((line) => line.what === "double cream, from the chiller")).toBe(true);
  expect(writeUp(formula, book, { measures: "metric" }).cautions.join(" ")).not.toContain("sold in the US");
});

it("gives each line in two columns too", () => {
  for (const { formula, book, measures } of cases) {
    for (const { amount, what, text } of linesOf(writeUp(formula, book, { measures }))) expect(`${amount} ${what}`).toBe(text);
  }
  const { formula, book } = demo("sandwich.3.yaml");
  const egg = linesOf(writeUp(formula, book, { measures: "us" })).find(({ ingredient }) => ingredient === "egg-whole-uk")!;
  expect([egg.amount, egg.what]).toEqual(["8 oz", "beaten egg (230 g, about 4½ large eggs), at 20 °C (68 °F)"]);
});

it("keeps what it does not know: unknown ingredients, no weight, unread tins, a name that is only an id", () => {
  const odd: Formula = {
    name: "Odd",
    components: [
      {
        name: "Part",
        kind: "other",
        tins: [{ count: 2, tin: "grandmother's mould" }],
        stages: [
          {
            name: "Mix",
            uses: [
              { ingredient: "moon-dust", grams: 100 },
              { ingredient: "salt", grams: null },
              { ingredient: "vanilla-extract", grams: null, note: "a few drops" },
            ],
          },
        ],
      },
    ],
  };
  const text = writeUp(odd, createIngredientBook(), { measures: "us" });
  expect(text.parts[0]!.tins).toEqual(["grandmother's mould, 2 of them"]);
  expect(linesOf(text).map((line) => line.text)).toEqual([
    "3½ oz (100 g) moon-dust",
    "salt, to taste",
    "vanilla extract, a few drops",
  ]);
  expect(text.cautions.join(" ")).toContain("Not in the book: moon-dust");
  expect(text.roundingSummary).toBeUndefined();
});

// Processor time, which does not grow when others use the machine; bench/writeup.ts has the clock too.
