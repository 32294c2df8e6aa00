import { allergenSentences, factsOf, heldTogether, takeCare, type WriteUp, type WrittenPart } from "@evencrumb/core/writeup";
import { Document, type DocumentProps, Page, renderToBuffer, StyleSheet, Text, View } from "@react-pdf/renderer";
import { createElement as h, type ReactElement, type ReactNode } from "react";
import type { PrintOptions } from "./batchSheetPdf.js";
import { MM, pageCount, printable, SANS, SERIF } from "./typefaces.js";

/**
 * The write-up as a PDF, A4 (Letter for US measures): the ingredients beside the method, part by part, then how it keeps and what to
 * take care of. Typefaces are embedded. It takes the largest size that fits on one page, down to what still reads well at arm's
 * length, and runs on to a second page from there.
 *
 * @returns the file's bytes
 */
export async function renderWriteUpPdf(words: WriteUp, options: PrintOptions = {}): Promise<Uint8Array> {
  const text = await printable(words);
  const first = scaleFor(text);
  const draw = async (scale: number) => new Uint8Array(await renderToBuffer(writeUpDocument(text, scale, options)));
  const bytes = await draw(first);
  // The estimate is near; one smaller try is worth it where a line or two ran over, and only then.
  if (pageCount(bytes) === 2 && first > SMALLEST && estimatedPages(text, first) < 1.15) {
    const second = await draw(Math.max(SMALLEST, first * 0.9));
    if (pageCount(second) === 1) return second;
  }
  return bytes;
}

const [SMALLEST, LARGEST] = [0.78, 1.08];

/** Lines of text at full size that a page holds beside its heading, and characters of a line in each column. */
const LINES_PER_PAGE = 58;
const [LIST_CHARACTERS, STEP_CHARACTERS, END_CHARACTERS] = [36, 62, 58];

function estimatedPages(text: WriteUp, scale: number): number {
  const lines = (list: readonly string[], characters: number) =>
    list.reduce((sum, line) => sum + Math.ceil(line.length / (characters / scale)), 0);
  const parts = text.parts.reduce(
    (sum, part) =>
      sum +
      2.2 +
      part.tins.length +
      Math.max(
        1.15 *
          lines(
            part.ingredients.map((one) => one.text),
            LIST_CHARACTERS,
          ),
        1.15 * lines(part.steps, STEP_CHARACTERS),
      ),
    0,
  );
  const ends = 0.85 * Math.max(lines(text.storage, END_CHARACTERS), lines(takeCare(text), END_CHARACTERS)) + 2;
  const head = 5 + lines([text.intro ?? ""], 100) + lines(allergenSentences(text), 90);
  return ((parts + ends + head) * scale) / LINES_PER_PAGE;
}

/** The largest size at which it is thought to fit on one page, else the comfortable size for two. */
function scaleFor(text: WriteUp): number {
  for (let scale = LARGEST; scale >= SMALLEST; scale -= 0.03) if (estimatedPages(text, scale) <= 0.97) return scale;
  for (let scale = 1; scale >= SMALLEST; scale -= 0.05) if (estimatedPages(text, scale) <= 1.9) return scale;
  return SMALLEST;
}

function writeUpDocument(text: WriteUp, scale: number, { bakery, madeAt }: PrintOptions): ReactElement<DocumentProps> {
  const look = styles(scale);
  const author = text.author ?? bakery;
  const many = text.parts.length > 1;
  return h(
    Document,
    {
      title: text.title,
      creator: "Evencrumb",
      producer: "Evencrumb",
      language: text.measures === "us" ? "en-US" : "en-GB",
      ...(author ? { author } : {}),
      ...(madeAt ? { creationDate: madeAt, modificationDate: madeAt } : {}),
    },
    h(
      Page,
      { size: text.measures === "us" ? "LETTER" : "A4", style: look.page },
      h(Text, { style: look.title }, text.title),
      text.intro === undefined ? null : h(Text, { style: look.intro }, text.intro),
      h(Text, { style: look.facts }, heldTogether(factsOf(text).join("  ·  "))),
      h(
        View,
        { style: look.allergens },
        h(Text, null, h(Text, { style: look.bold }, "Allergens. "), heldTogether(allergenSentences(text).join(" "))),
      ),
      ...text.parts.map((part, index) => partView(part, many, index, look)),
      h(View, { style: look.ends }, endView("Keeping", text.storage, look), endView("Take care", takeCare(text), look)),
      h(Text, {
        style: look.foot,
        fixed: true,
        render: ({ pageNumber, totalPages }: { pageNumber: number; totalPages?: number }) =>
          totalPages !== undefined && totalPages > 1 ? `${text.title}, page ${pageNumber} of ${totalPages}` : "",
      }),
    ),
  );
}

type Look = ReturnType<typeof styles>;

function partView(part: WrittenPart, named: boolean, index: number, look: Look): ReactNode {
  const head = [
    named ? h(Text, { key: "name", style: look.partName }, part.name) : null,
    ...part.tins.map((tin, at) => h(Text, { key: at, style: look.tin }, tin.charAt(0).toUpperCase() + tin.slice(1))),
  ];
  const columns = h(
    View,
    { style: look.columns },
    h(
      View,
      { style: look.list },
      ...part.ingredients.map((line, at) => h(Text, { key: at, style: look.ingredient, wrap: false }, heldTogether(line.text))),
    ),
    h(
      View,
      { style: look.steps },
      ...part.steps.map((step, at) =>
        h(
          View,
          { key: at, style: look.step, wrap: false },
          h(Text, { style: look.number }, `${at + 1}`),
          h(Text, { style: look.stepWords }, heldTogether(step)),
        ),
      ),
    ),
  );
  // A part of usual length stays on one page; a very long one may run on.
  const isLong = part.ingredients.length > 25 || part.steps.length > 16;
  return h(View, { key: index, style: look.part, wrap: isLong }, ...head, columns);
}

function endView(heading: string, lines: readonly string[], look: Look): ReactNode {
  return h(
    View,
    { style: look.end },
    h(Text, { style: look.endName }, heading),
    ...lines.map((line, at) =>
      h(
        View,
        { key: at, style: look.point, wrap: false },
        h(View, { style: look.bullet }),
        h(Text, { style: look.pointWords }, heldTogether(line)),
      ),
    ),
  );
}

function styles(scale: number) {
  const mm = (value: number) => value * MM * scale;
  const pt = (value: number) => value * scale;
  return StyleSheet.create({
    page: { padding: 15 * MM, paddingBottom: 13 * MM, fontFamily: SANS, fontSize: pt(10.6), lineHeight: 1.32, color: "#111" },
    bold: { fontWeight: 700 },
    title: { fontFamily: SERIF, fontWeight: 600, fontSize: pt(26), lineHeight: 1.12 },
    intro: { marginTop: mm(1), fontSize: pt(11.4) },
    facts: { marginTop: mm(1), color: "#444", fontSize: pt(9.8) },
    allergens: { borderLeftWidth: 2.4, borderColor: "#111", paddingLeft: mm(2.4), marginTop: mm(2.6) },
    part: { marginTop: mm(4) },
    partName: { fontFamily: SERIF, fontWeight: 600, fontSize: pt(15.5), lineHeight: 1.2 },
    tin: { color: "#444", fontSize: pt(9.8) },
    columns: { flexDirection: "row", borderTopWidth: 0.8, borderColor: "#111", paddingTop: mm(1.4), marginTop: mm(0.8) },
    list: { width: "38%", paddingRight: mm(6) },
    ingredient: { borderBottomWidth: 0.4, borderColor: "#999", paddingVertical: mm(0.5) },
    steps: { width: "62%" },
    step: { flexDirection: "row", paddingVertical: mm(0.5), paddingBottom: mm(0.9) },
    number: { width: mm(5.5), fontWeight: 700 },
    stepWords: { flexGrow: 1, flexShrink: 1, flexBasis: 0 },
    ends: { flexDirection: "row", marginTop: mm(5), borderTopWidth: 0.8, borderColor: "#111", paddingTop: mm(1.6) },
    end: { width: "50%", paddingRight: mm(5), fontSize: pt(9.2), lineHeight: 1.28 },
    endName: { fontFamily: SERIF, fontWeight: 600, fontSize: pt(12.6), lineHeight: 1.2, marginBottom: mm(0.6) },
    point: { flexDirection: "row", marginBottom: mm(0.6) },
    bullet: { width: 2.2, height: 2.2, borderRadius: 1.1, backgroundColor: "#111", marginTop: pt(4.6), marginRight: 5 },
    pointWords: { flexGrow: 1, flexShrink: 1, flexBasis: 0 },
    foot: { position: "absolute", bottom: 6 * MM, left: 0, right: 0, textAlign: "center", fontSize: 7.5, color: "#555" },
  });
}
