import { readdirSync, readFileSync } from "node:fs";
import { inflateSync } from "node:zlib";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { type BatchSheet, batchSheet } from "@evencrumb/core/plan";
import { expect, it } from "vitest";
import { renderBatchSheetPdf } from "./batchSheetPdf.js";
import { pageCount } from "./typefaces.js";

const book = createIngredientBook();
const folder = new URL("../../../../examples/formulas/", import.meta.url);
const sheetOf = (file: string) => batchSheet(parseFormulaFile(readFileSync(new URL(file, folder), "utf8")).value!, { book });
const text = (bytes: Uint8Array) => Buffer.from(bytes).toString("latin1");

/** A sheet of 25 lines in three components, as long as a busy cake gets. */
function longSheet(lines: number): BatchSheet {
  const uses = Array.from({ length: lines }, (_, index) => ({
    ingredient: index % 2 ? "plain-flour" : "caster-sugar",
    grams: 20 + index,
    note: "sifted twice",
  }));
  const third = Math.ceil(lines / 3);
  return batchSheet(
    {
      name: "A layer cake of some length",
      portions: 20,
      components: [0, 1, 2].map((part) => ({
        name: `Part ${part + 1}`,
        kind: part === 0 ? ("cake" as const) : ("filling" as const),
        ...(part === 0 ? { tins: [{ count: 2, tin: "round 20x5 cm" }], bake: { ovenC: 170, fan: false, minutes: 24 } } : {}),
        stages: [
          {
            name: "First",
            method: "Beat until pale, scraping down the bowl once.",
            uses: uses.slice(part * third, part * third + 4),
          },
          {
            name: "Then",
            targets: [{ kind: "time" as const, seconds: 300 }],
            uses: uses.slice(part * third + 4, (part + 1) * third),
          },
        ],
      })),
    },
    { book },
  );
}

it.each(readdirSync(folder).filter((file) => file.endsWith(".1.yaml")))("%s prints on one page", async (file) => {
  expect(pageCount(await renderBatchSheetPdf(sheetOf(file)))).toBe(1);
});

it("25 lines fit on one page; a hundred run on and are numbered", async () => {
  expect(pageCount(await renderBatchSheetPdf(longSheet(25)))).toBe(1);
  expect(pageCount(await renderBatchSheetPdf(longSheet(100)))).toBeGreaterThan(1);
});

it("is a PDF with its typefaces embedded and its title and language set", async () => {
  const bytes = await renderBatchSheetPdf(sheetOf("sandwich.1.yaml"), {
    bakery: "Millrace Yard",
    madeAt: new Date("2026-05-02T06:00:00Z"),
  });
  const raw = text(bytes);
  expect(raw.startsWith("%PDF-1.")).toBe(true);
  expect(raw.match(/\/FontFile2/g)?.length).toBeGreaterThanOrEqual(3);
  expect(raw).not.toMatch(/\/BaseFont \/(?:Helvetica|Times|Courier)/);
  expect(raw).toContain("/Lang (en-GB)");
});

it("prints Central European letters, which are in a second file of the typeface", async () => {
  const sheet = batchSheet(
    {
      name: "Třená bábovka",
      components: [
        {
          name: "Těsto",
          kind: "cake",
          stages: [{ name: "Třít", method: "Ušlehat do pěny, żółtko.", uses: [{ ingredient: "caster-sugar", grams: 100 }] }],
        },
      ],
    },
    { book },
  );
  const bytes = await renderBatchSheetPdf(sheet);
  // What the reader copies out of it is in the fonts' maps back to Unicode.
  const maps = [...text(bytes).matchAll(/stream\r?\n([\s\S]*?)\r?\nendstream/g)].flatMap(([, body]) => {
    try {
      return [inflateSync(Buffer.from(body!, "latin1")).toString("latin1")];
    } catch {
      return [];
    }
  });
  const unicode = maps
    .filter((map) => map.includes("beginbfrange") || map.includes("beginbfchar"))
    .join(" ")
    .toLowerCase();
  for (const letter of "ěřżš") expect(unicode).toContain(letter.codePointAt(0)!.toString(16).padStart(4, "0"));
});
