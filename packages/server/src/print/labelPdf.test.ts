import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import {
  allergenMatrix,
  type LabelInputs,
  type LabelLayout,
  labelFor,
  layoutLabel,
  readLabelInputs,
  sheetGrid,
  widthMm,
  X_HEIGHT_SHARE,
} from "@evencrumb/core/label";
import { expect, it } from "vitest";
import { parse } from "yaml";
import { renderAllergensPdf } from "./allergensPdf.js";
import { renderLabelPdf } from "./labelPdf.js";

const examples = new URL("../../../../examples/", import.meta.url);
const read = (file: string) => readFileSync(new URL(file, examples), "utf8");
const MM = 72 / 25.4;

function label(name: string, more: Partial<LabelInputs> = {}) {
  const formula = parseFormulaFile(read(`formulas/${name}.1.yaml`)).value!;
  const inputs = readLabelInputs(parse(read(`label/${name}.yaml`)), { place: "gb", date: "2026-11-25" }).value!;
  return labelFor(formula, createIngredientBook(formula.ingredients ?? []), { ...inputs, ...more });
}

/** What a general-purpose PDF tool says of a file; the tools are common on Linux and not everywhere. */
const hasTools = spawnSync("pdftotext", ["-v"]).error === undefined;
function withTool(bytes: Uint8Array, tool: string, words: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), "evencrumb-label-"));
  try {
    const file = join(folder, "label.pdf");
    writeFileSync(file, bytes);
    return execFileSync(tool, [...words, file, ...(tool === "pdftotext" ? ["-"] : [])], { encoding: "utf8" });
  } finally {
    rmSync(folder, { recursive: true });
  }
}

const print = (layout: LabelLayout, more: Partial<Parameters<typeof renderLabelPdf>[1]> = {}) =>
  renderLabelPdf(layout, { title: "Label", language: "en-GB", ...more });

// Peer: fontkit, a general-purpose font library, reads the advances out of the files that are embedded.
it("measures letters as the typeface's files have them", () => {
  const files = createRequire(import.meta.url);
  const pdfFiles = createRequire(files.resolve("@react-pdf/renderer"));
  const fontkit = pdfFiles("fontkit") as { openSync(path: string): FontFile };
  for (const weight of [400, 700]) {
    for (const [set, letters] of [
      ["latin", "Ingredients: wheat flour (milk), 0123456789 – ½ é ß °"],
      ["latin-ext", "ŁódźěřżšŐő"],
    ] as const) {
      const font = fontkit.openSync(files.resolve(`@fontsource/figtree/files/figtree-${set}-${weight}-normal.woff`));
      expect(font.xHeight / font.unitsPerEm).toBe(X_HEIGHT_SHARE);
      for (const letter of letters) {
        if (!font.hasGlyphForCodePoint(letter.codePointAt(0)!)) continue;
        const advance = font.glyphForCodePoint(letter.codePointAt(0)!).advanceWidth;
        expect(widthMm(letter, 1000, weight === 700), letter).toBeCloseTo((advance * 1000) / font.unitsPerEm, 0);
      }
    }
  }
});
interface FontFile {
  readonly xHeight: number;
  readonly unitsPerEm: number;
  hasGlyphForCodePoint(codePoint: number): boolean;
  glyphForCodePoint(codePoint: number): { readonly advanceWidth: number };
}

it("prints the whole label, and nothing but the label, at true size", async (context) => {
  if (!hasTools) return context.skip();
  const made = label("sandwich", { nutrition: "always" });
  const layout = layoutLabel(made, { widthMm: 100, heightMm: 75 });
  expect(layout.fits).toBe(true);
  const bytes = await print(layout);
  // Measured: the page is 100 by 75 mm to a hundredth.
  const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+) pts/.exec(withTool(bytes, "pdfinfo", []))!;
  expect(Number(width) / MM).toBeCloseTo(100, 2);
  expect(Number(height) / MM).toBeCloseTo(75, 2);
  // Extracted: every word of the layout comes out again, in any order a tool likes.
  const words = (text: string) => text.split(/\s+/).filter(Boolean).toSorted();
  const drawn = layout.items.flatMap((item) => (item.kind === "text" && !/^\d$/.test(item.text) ? [item.text] : [])).join(" ");
  const extracted = withTool(bytes, "pdftotext", ["-layout"]);
  for (const word of new Set(words(drawn))) expect(extracted, word).toContain(word);
  expect(withTool(bytes, "pdffonts", [])).toMatch(/Figtree-Bold\s+CID TrueType\s+Identity-H\s+yes/);
});

it("prints letters of the height that was checked, where the layout has them", async (context) => {
  if (!hasTools) return context.skip();
  const layout = layoutLabel(label("sandwich", { nutrition: "always" }), { widthMm: 100, heightMm: 75 });
  const boxes = [
    ...withTool(await print(layout), "pdftotext", ["-bbox"]).matchAll(
      /<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)</g,
    ),
  ].map(([, xMin, yMin, xMax, yMax, word]) => ({
    xMin: Number(xMin),
    yMin: Number(yMin),
    xMax: Number(xMax),
    yMax: Number(yMax),
    word: word!,
  }));
  const found = boxes.find(({ word }) => word === "Ingredients:")!;
  const item = layout.items.find((one) => one.kind === "text" && one.text.startsWith("Ingredients:"))!;
  // The tool's box is ascender and descender of the font, 0.95 + 0.25 of the letter size.
  const sizeMm = (found.yMax - found.yMin) / MM / 1.2;
  expect(sizeMm).toBeCloseTo(layout.sizeMm, 1);
  expect(sizeMm * X_HEIGHT_SHARE).toBeGreaterThanOrEqual(layout.leastXHeightMm - 0.02);
  expect(item.kind === "text" && found.xMin / MM).toBeCloseTo(item.xMm, 1);
  // Kerning only narrows: no word is wider than it was measured, nor more than 3 % narrower.
  const measured = widthMm("Ingredients:", layout.sizeMm, false);
  expect((found.xMax - found.xMin) / MM).toBeLessThan(measured * 1.005);
  expect((found.xMax - found.xMin) / MM).toBeGreaterThan(measured * 0.97);
  for (const { xMax, yMax } of boxes) expect([xMax / MM < 100, yMax / MM < 75.5]).toEqual([true, true]);
});

it("fills sheets, skips what is taken, and runs on to the next", async (context) => {
  const layout = layoutLabel(label("courgette-oil-cake"), { widthMm: 99, heightMm: 67 });
  const sheet = sheetGrid({ rows: 4, columns: 2, labelWidthMm: 99, labelHeightMm: 67 });
  await expect(print({ ...layout, heightMm: 70 }, { sheet })).rejects.toThrow("those of the sheet are 99 × 67 mm");
  await expect(print(layout, { sheet, count: 5000 })).rejects.toThrow("not from 1 to 2000");
  if (!hasTools) return context.skip();
  const text = withTool(await print(layout, { sheet, skip: 3, count: 9 }), "pdftotext", []);
  expect(text.match(/^Ingredients:/gm)).toHaveLength(9);
  expect(
    text
      .split("\f")
      .filter((page) => page.trim() !== "")
      .map((page) => page.match(/^Ingredients:/gm)!.length),
  ).toEqual([5, 4]);
});

// A hostile name is printed or left out, and the file stays one that a general-purpose tool reads.
it("prints whatever is called whatever", async (context) => {
  if (!hasTools) return context.skip();
  for (const words of [
    "<script>alert(1)</script>",
    "(\\)) Tj ET /JS (app.alert(1))",
    "\u202Egnp.exe",
    "日本語 🎂",
    "\uD800",
    "a".repeat(300),
    "%PDF-1.7 endobj",
  ]) {
    const made = label("sandwich", { name: words, description: words, business: { name: words, address: words } });
    const layout = layoutLabel(made, { widthMm: 100, heightMm: 120 });
    const bytes = await print(layout, { title: words, author: words });
    expect(withTool(bytes, "pdfinfo", [])).toMatch(/JavaScript:\s+no/);
    expect(withTool(bytes, "pdftotext", [])).toContain("Ingredients:");
  }
});

it("prints the allergens of all products with the head on every page", async (context) => {
  if (!hasTools) return context.skip();
  const names = ["sandwich", "hazelnut-torte", "tea-fruit-cake", "lemon-loaf"];
  const products = Array.from({ length: 40 }, (_, index) => ({
    id: `${index}`,
    formula: parseFormulaFile(read(`formulas/${names[index % 4]}.1.yaml`)).value!,
    revision: `revision ${index + 1}`,
  }));
  const bytes = await renderAllergensPdf(
    allergenMatrix(products, createIngredientBook(), { date: "2026-11-25", bakery: "Millrace Yard" }),
  );
  const pages = withTool(bytes, "pdftotext", ["-layout"])
    .split("\f")
    .filter((page) => page.trim() !== "");
  expect(pages.length).toBeGreaterThan(1);
  for (const page of pages) expect(page).toContain("Molluscs");
  expect(pages.join("").match(/revision \d+/g)).toHaveLength(40);
  expect(pages[0]).toMatch(/Millrace Yard, 2026-11-25/);
});
