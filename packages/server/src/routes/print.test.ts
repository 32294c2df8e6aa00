import { readFileSync } from "node:fs";
import { parseFormulaFile } from "@evencrumb/core/formula";
import { createIngredientBook } from "@evencrumb/core/ingredients";
import { allergenMatrix, labelFor, layoutLabel, sheetGrid } from "@evencrumb/core/label";
import { writeUp } from "@evencrumb/core/writeup";
import { afterAll, beforeAll, expect, it } from "vitest";
import { pageCount } from "../print/typefaces.js";
import { type Bakery, openBakery } from "../testing/bakery.js";
import { pdfText } from "../testing/pdfText.js";

let bakery: Bakery;
beforeAll(async () => {
  bakery = await openBakery();
});
afterAll(async () => {
  await bakery?.dispose();
});

const book = createIngredientBook();
const formula = parseFormulaFile(readFileSync(new URL("../../../../examples/formulas/sandwich.1.yaml", import.meta.url), "utf8"))
  .value!;
const label = labelFor(formula, book, { place: "gb", mode: "prepacked", date: "2026-11-25", packs: 1 });
const layout = layoutLabel(label, { widthMm: 100, heightMm: 120 });

/** What comes back for a body, as JSON would carry it. */
async function print(name: string, body: unknown): Promise<Uint8Array> {
  const answer = await bakery.app.request(`/api/print/${name}`, {
    method: "POST",
    headers: { "content-type": "application/json", host: "localhost" },
    body: JSON.stringify(body),
  });
  expect([answer.status, answer.headers.get("content-type")]).toEqual([200, "application/pdf"]);
  return new Uint8Array(await answer.arrayBuffer());
}
const refused = async (name: string, body: unknown) => {
  const answer = await bakery.call("POST", `/api/print/${name}`, body);
  expect([answer.status, answer.json.code]).toEqual([400, "unusable-request"]);
  return JSON.stringify(answer.json.problems);
};

it("prints a label that the app has set, at its size, alone and on sheets", async () => {
  const alone = await print("label", { layout, title: label.name, language: "en-GB" });
  expect(Buffer.from(alone).toString("latin1")).toMatch(/\/MediaBox \[0 0 283\.46\d* 340\.15\d*\]/); // 100 × 120 mm in points
  expect(pdfText(alone)).toContain("Ingredients");
  const sheet = sheetGrid({ rows: 2, columns: 2, labelWidthMm: 100, labelHeightMm: 120 });
  const many = await print("label", { layout, title: label.name, language: "en-GB", sheet, skip: 1, count: 5 });
  expect(pageCount(many)).toBe(2);
  expect(pdfText(many).match(/Ingredients/g)).toHaveLength(5);
});

it("prints a write-up and the allergens as they were worked out", async () => {
  const text = writeUp(formula, book, { measures: "us", author: "Millrace Yard" });
  expect(pdfText(await print("write-up", text))).toContain("Millrace Yard");
  const matrix = allergenMatrix([{ id: "1", formula, revision: "revision 2" }], book, { date: "2026-11-25" });
  const words = pdfText(await print("allergens", matrix));
  for (const word of ["2026-11-25", "revision 2", "Molluscs"]) expect(words).toContain(word);
});

it("refuses what is not a label, and what would take long to draw", async () => {
  const body = { layout, title: "Label", language: "en-GB" };
  const text = layout.items.find(({ kind }) => kind === "text")!;
  expect(await refused("label", { ...body, layout: { ...layout, widthMm: 5 } })).toContain("widthMm");
  const box = { kind: "box", xMm: 0, yMm: 0, widthMm: 1, heightMm: 1, fill: "red;} url(x)" };
  expect(await refused("label", { ...body, layout: { ...layout, items: [box] } })).toContain("fill");
  expect(await refused("label", { ...body, layout: { ...layout, items: Array.from({ length: 3001 }, () => text) } })).toContain(
    "items",
  );
  const sheet = sheetGrid({ rows: 2, columns: 2, labelWidthMm: 100, labelHeightMm: 120 });
  expect(await refused("label", { ...body, sheet: { ...sheet, labelWidthMm: 90 } })).toContain("100");
  expect(await refused("label", { ...body, sheet: { ...sheet, columns: 3 } })).toContain("across");
  expect(await refused("label", { ...body, sheet, skip: 4 })).toContain("skip");
  expect(await refused("label", { ...body, count: 501 })).toContain("count");
  expect(await refused("write-up", { title: "Cake" })).toContain("parts");
  expect(await refused("allergens", { date: "2026-11-25", rows: [{ id: "1", name: "a", cells: [] }], words: "" })).toContain(
    "cells",
  );
});

// Published: PDF 1.7 (ISO 32000-1), 12.6.4: what could run or open something in a reader goes by these names.
it("prints hostile words as words, and nothing that runs", async () => {
  const words = [
    "</script><script>alert(1)</script>",
    "\\) /JS (app.alert(1)) << /OpenAction",
    "\u202eback",
    "%PDF endobj stream",
  ];
  for (const bad of words) {
    const hostile = { ...formula, name: bad, notes: bad };
    const made = labelFor(hostile, book, {
      place: "gb",
      mode: "prepacked",
      date: "2026-11-25",
      packs: 1,
      business: { name: bad, address: bad },
    });
    const pdfs = [
      await print("label", {
        layout: layoutLabel(made, { widthMm: 100, heightMm: 120 }),
        title: bad,
        language: "en-GB",
        author: bad,
      }),
      await print("write-up", writeUp(hostile, book, { measures: "metric", author: bad })),
      await print("allergens", allergenMatrix([{ id: bad, formula: hostile, revision: bad }], book, { date: bad, bakery: bad })),
    ];
    for (const pdf of pdfs) {
      const raw = Buffer.from(pdf).toString("latin1");
      expect(raw.trimEnd().endsWith("%%EOF")).toBe(true);
      expect(raw.replaceAll(/\((?:\\.|[^\\)])*\)/gs, "")).not.toMatch(/\/(?:JavaScript|JS|OpenAction|Launch|EmbeddedFile)\b/);
      expect(pageCount(pdf)).toBeGreaterThan(0);
    }
  }
});
