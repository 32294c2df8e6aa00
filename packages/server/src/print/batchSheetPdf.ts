import {
  type BatchSheet,
  type SheetAllergen,
  type SheetComponent,
  type SheetLine,
  type SheetStage,
  sheetGrams,
  sheetScale,
} from "@evencrumb/core/plan";
import { Document, type DocumentProps, Page, renderToBuffer, StyleSheet, Text, View } from "@react-pdf/renderer";
import { createElement as h, type ReactElement, type ReactNode } from "react";
import { MM, pageCount, printable, SANS, SERIF } from "./typefaces.js";

/** What of a print is not in the sheet. */
export interface PrintOptions {
  /** Shown as the document's author in its properties. */
  readonly bakery?: string;
  /** When the file is made; written into its properties. */
  readonly madeAt?: Date;
}

/**
 * The batch sheet as a PDF, A4, on one page where it can be (about 25 lines). Typefaces are embedded, so that it prints the same
 * everywhere. Takes the size that the sheet's length asks for and, if that is still too much, smaller ones in turn.
 *
 * @returns the file's bytes
 */
export async function renderBatchSheetPdf(words: BatchSheet, options: PrintOptions = {}): Promise<Uint8Array> {
  const sheet = await printable(words);
  let scale = Math.min(LARGEST, sheetScale(sheet) * ROOM);
  for (;;) {
    const bytes = new Uint8Array(await renderToBuffer(sheetDocument(sheet, scale, options)));
    if (pageCount(bytes) === 1 || scale === SMALLEST) return bytes;
    scale = Math.max(SMALLEST, scale * 0.94);
  }
}

/** Figtree runs narrower than what `sheetScale` counts with, so a first try may be larger. */
const ROOM = 1.12;
const [SMALLEST, LARGEST] = [0.66, 1.2];

function sheetDocument(sheet: BatchSheet, scale: number, { bakery, madeAt }: PrintOptions): ReactElement<DocumentProps> {
  const look = styles(scale);
  const { allergens } = sheet;
  const facts = [
    sheet.batch.words,
    `${sheetGrams(sheet.totalGrams)} g in all`,
    ...(sheet.portions === undefined ? [] : [`${sheet.portions} portions`]),
    ...(sheet.revision ? [`revision ${sheet.revision.number}${sheet.revision.note ? `: ${sheet.revision.note}` : ""}`] : []),
  ];
  return h(
    Document,
    {
      title: `${sheet.title}: batch sheet`,
      creator: "Evencrumb",
      producer: "Evencrumb",
      language: "en-GB",
      ...(bakery ? { author: bakery } : {}),
      ...(madeAt ? { creationDate: madeAt, modificationDate: madeAt } : {}),
    },
    h(
      Page,
      { size: "A4", style: look.page },
      h(
        View,
        { style: look.header },
        h(
          View,
          { style: look.headerLeft },
          h(Text, { style: look.title }, sheet.title),
          h(Text, { style: look.facts }, facts.join(" · ")),
        ),
        h(View, { style: look.headerRight }, openLine("Date", sheet.date, look), openLine("By", undefined, look)),
      ),
      h(
        View,
        { style: look.allergens },
        allergenLine("Contains: ", allergens.contains, look) ??
          h(Text, null, h(Text, { style: look.bold }, "Contains: "), "none of the fourteen, as far as the book knows"),
        allergenLine("May contain: ", allergens.mayContain, look),
        allergenLine("Check the packet for: ", allergens.checkSupplier, look),
        allergens.unknownIngredients.length > 0
          ? h(Text, null, h(Text, { style: look.bold }, "Not known for: "), allergens.unknownIngredients.join(", "))
          : null,
      ),
      ...sheet.components.map((component, index) => componentView(component, index, look)),
      h(
        View,
        { style: look.end, wrap: false },
        ...sheet.cautions.map(({ words }, index) =>
          h(
            View,
            { key: index, style: look.caution },
            h(View, { style: look.bullet }),
            h(Text, { style: look.cautionWords }, words),
          ),
        ),
      ),
      h(View, { style: look.notes }, h(Text, { style: look.notesTitle }, "Notes")),
      h(Text, {
        style: look.foot,
        fixed: true,
        render: ({ pageNumber, totalPages }: { pageNumber: number; totalPages?: number }) =>
          totalPages !== undefined && totalPages > 1 ? `${sheet.title}, page ${pageNumber} of ${totalPages}` : "",
      }),
    ),
  );
}

type Look = ReturnType<typeof styles>;

function openLine(label: string, filled: string | undefined, look: Look): ReactNode {
  return h(
    View,
    { style: look.openLine },
    h(Text, null, `${label} `),
    filled ? h(Text, { style: look.bold }, filled) : h(View, { style: look.rule }),
  );
}

function allergenLine(label: string, list: readonly SheetAllergen[], look: Look): ReactNode {
  if (list.length === 0) return null;
  return h(
    Text,
    null,
    h(Text, { style: look.bold }, label),
    ...list.flatMap(({ name, from }, index) => [
      h(Text, { key: `n${index}`, style: look.bold }, name),
      h(Text, { key: `f${index}`, style: look.small }, ` (${from.join(", ")})${index < list.length - 1 ? ", " : ""}`),
    ]),
  );
}

function componentView(component: SheetComponent, index: number, look: Look): ReactNode {
  const facts = [
    ...(component.bake ? [component.bake] : []),
    ...(component.finishedGrams === undefined ? [] : [`about ${sheetGrams(component.finishedGrams)} g after`]),
  ];
  const [first, ...rest] = component.stages;
  return h(
    View,
    { key: index, style: look.component },
    // A heading stays with its first stage.
    h(
      View,
      { wrap: false },
      h(
        View,
        { style: look.componentHead },
        h(Text, { style: look.componentName }, component.name),
        h(Text, { style: look.bold }, `${sheetGrams(component.totalGrams)} g`),
      ),
      component.tins.length + facts.length > 0
        ? h(
            View,
            { style: look.tins },
            ...component.tins.map((tin, at) =>
              h(
                Text,
                { key: at, style: look.tin },
                h(Text, { style: look.bold }, `${tin.count} × ${tin.tin}: ${sheetGrams(tin.gramsEach)} g`),
                ` in each${tin.gramsPerCup === undefined ? "" : `, ${sheetGrams(tin.gramsPerCup)} g a cup`} (${Math.round(tin.fillShare * 100)} % full, ${Math.round(tin.depthMm)} mm deep)`,
              ),
            ),
            ...facts.map((fact, at) => h(Text, { key: `f${at}`, style: look.tin }, fact)),
          )
        : null,
      first ? stageView(first, 0, look) : null,
    ),
    ...rest.map((stage, at) => stageView(stage, at + 1, look)),
    component.measure.length > 0
      ? h(
          View,
          { style: look.measures, wrap: false },
          ...component.measure.map(({ label, unit }, at) =>
            h(
              View,
              { key: at, style: look.measure },
              h(Text, { style: look.measureLabel }, label),
              h(Text, { style: look.measureUnit }, unit ?? ""),
            ),
          ),
        )
      : null,
  );
}

function stageView(stage: SheetStage, index: number, look: Look): ReactNode {
  const several = stage.lines.filter((line) => line.grams !== null).length > 1;
  return h(
    View,
    { key: index, style: look.stage, wrap: false },
    h(
      View,
      { style: look.how },
      h(Text, { style: look.stageName }, stage.name),
      stage.targets.length > 0 ? h(Text, { style: look.targets }, stage.targets.join(" · ")) : null,
      stage.method ? h(Text, { style: look.method }, stage.method) : null,
    ),
    h(
      View,
      { style: look.lines },
      several
        ? h(
            View,
            { style: look.heads },
            h(View, { style: look.heads }, h(View, { style: look.tickGap })),
            h(Text, { style: look.gramsHead }, "grams"),
            h(View, { style: look.decimals }),
            h(View, { style: look.name }),
            h(Text, { style: look.readsHead }, "scale reads"),
          )
        : null,
      ...stage.lines.map((line, at) => lineView(line, several, at, look)),
    ),
  );
}

function lineView(line: SheetLine, several: boolean, index: number, look: Look): ReactNode {
  const [whole, decimals] =
    line.grams === null ? ["to taste", undefined] : (sheetGrams(line.grams).split(".") as [string, string?]);
  return h(
    View,
    { key: index, style: look.line },
    h(View, { style: look.tickColumn }, h(View, { style: look.tick })),
    // Two columns meet at the decimal point: digits of this typeface differ in width, so text cannot align them.
    h(Text, { style: line.grams === null ? look.toTaste : look.grams }, whole),
    h(Text, { style: look.decimals }, decimals === undefined ? "" : `.${decimals}`),
    h(
      Text,
      { style: look.name },
      line.bringsAllergen ? h(Text, { style: look.bold }, line.name) : line.name,
      line.note ? h(Text, { style: look.small }, ` ${line.note}`) : null,
    ),
    h(Text, { style: look.reads }, several && line.scaleReadsGrams !== null ? sheetGrams(line.scaleReadsGrams) : ""),
  );
}

function styles(scale: number) {
  const mm = (value: number) => value * MM * scale;
  const pt = (value: number) => value * scale;
  return StyleSheet.create({
    page: { padding: 11 * MM, paddingBottom: 10 * MM, fontFamily: SANS, fontSize: pt(12), lineHeight: 1.25, color: "#111" },
    bold: { fontWeight: 700 },
    small: { fontSize: pt(9.6), color: "#444" },
    header: {
      flexDirection: "row",
      justifyContent: "space-between",
      borderBottomWidth: 1.7,
      borderColor: "#111",
      paddingBottom: mm(1.5),
    },
    headerLeft: { flexGrow: 1, flexShrink: 1, flexBasis: 0, paddingRight: mm(6) },
    title: { fontFamily: SERIF, fontWeight: 600, fontSize: pt(25), lineHeight: 1.12 },
    facts: { marginTop: mm(0.5) },
    headerRight: { width: 46 * MM, fontSize: pt(11.4), paddingTop: mm(1) },
    openLine: { flexDirection: "row", justifyContent: "flex-end", alignItems: "flex-end", marginBottom: mm(1.5) },
    rule: { width: 34 * MM, borderBottomWidth: 0.6, borderColor: "#111", marginBottom: 2 },
    allergens: { borderWidth: 2, borderColor: "#111", paddingHorizontal: mm(2), paddingVertical: mm(1.1), marginTop: mm(2) },
    component: { marginTop: mm(2.6) },
    componentHead: {
      flexDirection: "row",
      justifyContent: "space-between",
      alignItems: "flex-end",
      borderBottomWidth: 0.9,
      borderColor: "#111",
      fontSize: pt(13.5),
      paddingBottom: mm(0.4),
    },
    componentName: { fontFamily: SERIF, fontWeight: 600, fontSize: pt(16.5), lineHeight: 1.2 },
    tins: { flexDirection: "row", flexWrap: "wrap", paddingVertical: mm(0.6) },
    tin: { marginRight: mm(6) },
    stage: { flexDirection: "row", borderBottomWidth: 0.4, borderColor: "#999", paddingVertical: mm(0.7) },
    how: { width: "33%", paddingRight: mm(4) },
    stageName: { fontWeight: 700, fontSize: pt(12.2) },
    targets: { fontWeight: 700, fontSize: pt(10.6), lineHeight: 1.22 },
    method: { fontSize: pt(10), lineHeight: 1.22 },
    lines: { width: "67%" },
    line: { flexDirection: "row", alignItems: "center", minHeight: mm(6.2) },
    heads: { flexDirection: "row", alignItems: "flex-end", minHeight: mm(2.4) },
    tickColumn: { width: mm(7), justifyContent: "center" },
    tickGap: { width: mm(7) },
    tick: { width: mm(4), height: mm(4), borderWidth: 1, borderColor: "#111" },
    gramsHead: { width: mm(17), textAlign: "right", fontSize: pt(7.4), color: "#555", lineHeight: 1.1 },
    readsHead: { width: mm(21), textAlign: "right", fontSize: pt(7.4), color: "#555", lineHeight: 1.1 },
    grams: { width: mm(17), textAlign: "right", fontWeight: 700, fontSize: pt(14.6), lineHeight: 1.1 },
    toTaste: { width: mm(17), textAlign: "right", fontSize: pt(10) },
    decimals: { width: mm(6.5), fontWeight: 700, fontSize: pt(14.6), lineHeight: 1.1 },
    name: { flexGrow: 1, flexShrink: 1, flexBasis: 0 },
    reads: { width: mm(21), textAlign: "right", color: "#555", fontSize: pt(10.4) },
    measures: { flexDirection: "row", paddingTop: mm(1) },
    measure: {
      flexGrow: 1,
      flexBasis: 0,
      height: mm(10),
      borderBottomWidth: 0.6,
      borderColor: "#111",
      marginRight: mm(2),
      justifyContent: "space-between",
    },
    measureLabel: { fontSize: pt(7.4), lineHeight: 1.1 },
    measureUnit: { fontSize: pt(8.6), textAlign: "right", lineHeight: 1.1 },
    end: { marginTop: mm(2.4) },
    caution: { flexDirection: "row" },
    bullet: { width: 2.4, height: 2.4, borderRadius: 1.2, backgroundColor: "#111", marginTop: pt(4.4), marginRight: 5 },
    cautionWords: { flexGrow: 1, flexShrink: 1, flexBasis: 0, fontSize: pt(9.6), lineHeight: 1.24 },
    notes: {
      flexGrow: 1,
      minHeight: 14 * MM,
      marginTop: mm(1.6),
      borderWidth: 0.6,
      borderColor: "#999",
      paddingHorizontal: 6,
      paddingVertical: 3,
    },
    notesTitle: { fontSize: pt(9.6), fontWeight: 700 },
    foot: { position: "absolute", bottom: 4 * MM, left: 0, right: 0, textAlign: "center", fontSize: 7.5, color: "#555" },
  });
}
