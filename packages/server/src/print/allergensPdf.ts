import { createRequire } from "node:module";
import { ALLERGENS } from "@evencrumb/core/ingredients";
import { type AllergenMatrix, MATRIX_HEADS, matrixWord } from "@evencrumb/core/label";
import { Document, type DocumentProps, Font, Page, renderToBuffer, StyleSheet, Text, View } from "@react-pdf/renderer";
import { createElement as h, type ReactElement } from "react";

/** The allergens of all products as a PDF, A4 across, rows kept whole and the head on every page. */
export async function renderAllergensPdf(matrix: AllergenMatrix, options: { readonly madeAt?: Date } = {}): Promise<Uint8Array> {
  registerTypeface();
  return new Uint8Array(await renderToBuffer(matrixDocument(matrix, options)));
}

const files = createRequire(import.meta.url);
let registered = false;
function registerTypeface(): void {
  if (registered) return;
  registered = true;
  for (const [family, set] of [
    ["Figtree matrix", "latin"],
    ["Figtree matrix more", "latin-ext"],
  ] as const) {
    Font.register({
      family,
      fonts: [400, 700].map((fontWeight) => ({
        src: files.resolve(`@fontsource/figtree/files/figtree-${set}-${fontWeight}-normal.woff`),
        fontWeight,
      })),
    });
  }
  // No word of a label or a table is broken.
  Font.registerHyphenationCallback((word) => [word]);
}

const LOOK = StyleSheet.create({
  page: { padding: 28, fontFamily: ["Figtree matrix", "Figtree matrix more"], fontSize: 8.5, lineHeight: 1.25, color: "#111" },
  title: { fontSize: 18, fontWeight: 700, lineHeight: 1.2 },
  row: { flexDirection: "row", borderBottomWidth: 0.5, borderColor: "#888", minHeight: 20 },
  head: { borderBottomWidth: 1.2, borderColor: "#111", marginTop: 8 },
  name: { width: "20%", padding: 3, fontWeight: 700, borderRightWidth: 0.5, borderColor: "#888" },
  small: { fontWeight: 400, fontSize: 7, color: "#444" },
  cell: { width: `${80 / 14}%`, padding: 2, textAlign: "center", fontSize: 7, borderRightWidth: 0.5, borderColor: "#888" },
  headCell: { width: `${80 / 14}%`, padding: 2, textAlign: "center", fontSize: 7, fontWeight: 700 },
  contains: { backgroundColor: "#111", color: "#fff", fontWeight: 700 },
  doubtful: { backgroundColor: "#e4e4e4" },
  foot: { marginTop: 10, fontSize: 7.5 },
});

function matrixDocument(matrix: AllergenMatrix, { madeAt }: { readonly madeAt?: Date }): ReactElement<DocumentProps> {
  return h(
    Document,
    {
      title: "Allergens of all products",
      creator: "Evencrumb",
      producer: "Evencrumb",
      language: "en-GB",
      ...(matrix.bakery ? { author: matrix.bakery } : {}),
      ...(madeAt ? { creationDate: madeAt, modificationDate: madeAt } : {}),
    },
    h(
      Page,
      { size: "A4", orientation: "landscape", style: LOOK.page },
      h(Text, { style: LOOK.title }, "Allergens"),
      h(Text, null, [matrix.bakery, matrix.date].filter((one) => one !== undefined && one !== "").join(", ")),
      h(
        View,
        { style: [LOOK.row, LOOK.head], fixed: true },
        h(Text, { style: LOOK.name }, "Product"),
        ...ALLERGENS.map((one) => h(Text, { key: one, style: LOOK.headCell }, MATRIX_HEADS[one])),
      ),
      ...matrix.rows.map((row, index) =>
        h(
          View,
          { key: index, style: LOOK.row, wrap: false },
          h(
            View,
            { style: LOOK.name },
            h(Text, null, row.name),
            row.revision === undefined ? null : h(Text, { style: LOOK.small }, row.revision),
            row.unknownIngredients.length === 0
              ? null
              : h(Text, { style: LOOK.small }, `not in the book: ${row.unknownIngredients.join(", ")}`),
          ),
          ...row.cells.map((cell) =>
            h(
              Text,
              {
                key: cell.allergen,
                style: [LOOK.cell, cell.state === "contains" ? LOOK.contains : cell.state === "none" ? {} : LOOK.doubtful],
              },
              matrixWord(cell),
            ),
          ),
        ),
      ),
      h(Text, { style: LOOK.foot }, matrix.words),
    ),
  );
}
