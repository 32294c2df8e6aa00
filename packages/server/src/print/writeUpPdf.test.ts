import { readdirSync, readFileSync } from "node:fs";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook, standardIngredients } from "@evencrumb/core/ingredients";
import { factsOf, READER_MEASURES, takeCare, type WriteUp, writeUp } from "@evencrumb/core/writeup";
import { expect, it } from "vitest";
import { pdfText } from "../testing/pdfText.js";
import { pageCount, printable } from "./typefaces.js";
import { renderWriteUpPdf } from "./writeUpPdf.js";

const folder = new URL("../../../../examples/formulas/", import.meta.url);
const demo = (file: string) => parseFormulaFile(readFileSync(new URL(file, folder), "utf8")).value!;
const book = createIngredientBook();
/** Spaces are the renderer's own: lines are broken where they fit. */
const bare = (text: string) => text.replaceAll(/\s+/g, "");

/** Every line that a reader has to find in the print. */
const linesOf = (text: WriteUp) => [
  text.title,
  ...factsOf(text),
  ...text.parts.flatMap(({ tins, ingredients, steps }) => [
    ...tins.map((tin) => tin.slice(1)),
    ...ingredients.map((line) => line.text),
    ...steps,
  ]),
  ...text.storage,
  ...takeCare(text),
];

it.each(readdirSync(folder).filter((file) => file.endsWith(".1.yaml")))(
  "%s prints on one page, every word of it",
  async (file) => {
    for (const measures of READER_MEASURES) {
      const text = writeUp(demo(file), book, { measures, author: "Millrace Yard" });
      const bytes = await renderWriteUpPdf(text);
      expect([measures, pageCount(bytes)]).toEqual([measures, 1]);
      const printed = bare(pdfText(bytes));
      for (const line of await printable(linesOf(text))) expect(printed).toContain(bare(line));
    }
  },
);

it("runs a very long recipe on to a second page, with nothing lost", async () => {
  const ids = standardIngredients()
    .slice(0, 60)
    .map(({ id }) => id);
  const parts = [0, 1, 2].map((part) => ({
    name: `Part ${part + 1}`,
    kind: "filling" as const,
    stages: [
      {
        name: "Mix",
        method: "Beat until it just holds. ".repeat(8),
        uses: ids.slice(part * 20, part * 20 + 20).map((ingredient) => ({ ingredient, grams: 47 })),
      },
    ],
  }));
  const text = writeUp({ name: "Long", portions: 40, components: parts }, book, { measures: "us" });
  const bytes = await renderWriteUpPdf(text);
  expect(pageCount(bytes)).toBeGreaterThan(1);
  expect(pageCount(bytes)).toBeLessThan(5);
  const printed = bare(pdfText(bytes));
  for (const { ingredients } of await printable(text.parts))
    for (const line of ingredients) expect(printed).toContain(bare(line.text));
});

it("is a PDF in its reader's language and paper, with its typefaces embedded", async () => {
  const us = Buffer.from(await renderWriteUpPdf(writeUp(demo("sandwich.1.yaml"), book, { measures: "us" }))).toString("latin1");
  expect(us).toContain("/Lang (en-US)");
  expect(us).toContain("/MediaBox [0 0 612 792]");
  expect(us.match(/\/FontFile2/g)?.length).toBeGreaterThanOrEqual(3);
  expect(us).not.toMatch(/\/BaseFont \/(?:Helvetica|Times|Courier)/);
});

it("writes letters that the typefaces lack with those they have, and never as another letter", async () => {
  expect(await printable({ text: "1⅓ cups, ⅔, ⅛; ﬁne; žluť; 10 → 12; Ωmega; 🍰", count: 3, list: ["½"] })).toEqual({
    text: "1 1/3 cups, 2/3, 1/8; fine; žluť; 10 ? 12; ?mega; ?",
    count: 3,
    list: ["½"],
  });
});

it("prints hostile words as words", async () => {
  const words = [
    "</script>",
    "(evil) Tj ET",
    "\\) /JS (app.alert(1)) <<",
    "%PDF endobj stream",
    "\u202eback\u0000",
    "\ud800",
    "x".repeat(3000),
    "",
  ];
  for (const bad of words) {
    const formula = {
      name: bad,
      notes: bad,
      components: [
        {
          name: bad,
          kind: "cake" as const,
          stages: [{ name: bad, method: bad, uses: [{ ingredient: "plain-flour", grams: 100, note: bad }] }],
        },
      ],
    };
    const bytes = await renderWriteUpPdf(writeUp(formula, book, { measures: "metric", author: bad }), { bakery: bad });
    const raw = Buffer.from(bytes).toString("latin1");
    expect(raw.trimEnd().endsWith("%%EOF")).toBe(true);
    expect(raw).not.toMatch(/\/(?:JavaScript|OpenAction|Launch|EmbeddedFile)\b/);
    expect(pdfText(bytes)).toContain("100");
    expect(pageCount(bytes)).toBeGreaterThan(0);
  }
});
