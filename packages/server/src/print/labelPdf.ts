import { createRequire } from "node:module";
import { fontPieces, type LabelLayout, type LayoutItem, type SheetGrid, sheetPlaces } from "@evencrumb/core/label";
import { Document, type DocumentProps, Font, G, Page, Path, renderToBuffer, Svg, Text } from "@react-pdf/renderer";
import { createElement as h, type ReactElement, type ReactNode } from "react";

export interface LabelPrintOptions {
  readonly title: string;
  readonly language: string;
  readonly author?: string;
  /** When the file is made; written into its properties. */
  readonly madeAt?: Date;
  /** A whole sheet of the same label instead of one a page. */
  readonly sheet?: SheetGrid;
  /** Labels already taken from the sheet. */
  readonly skip?: number;
  /** How many labels; as many as one sheet holds, or one, when left out. */
  readonly count?: number;
}

/** More would be a job for a printing house. */
const LABELS_MAX = 2000;

/**
 * A label as PDF at true size, with the typeface embedded: one label a page, or sheets of rows and columns.
 *
 * @throws RangeError for a count that is not from 1 to 2000, and for a label that is not the size of the sheet's
 */
export async function renderLabelPdf(layout: LabelLayout, options: LabelPrintOptions): Promise<Uint8Array> {
  registerTypeface();
  const { sheet } = options;
  if (sheet !== undefined && (layout.widthMm > sheet.labelWidthMm + 1e-6 || layout.heightMm > sheet.labelHeightMm + 1e-6))
    throw new RangeError(
      `renderLabelPdf: the label takes ${layout.widthMm} × ${layout.heightMm} mm, and those of the sheet are ${sheet.labelWidthMm} × ${sheet.labelHeightMm} mm`,
    );
  const first = sheet === undefined ? 1 : sheetPlaces(sheet, options.skip ?? 0).length;
  const count = options.count ?? first;
  if (!(Number.isInteger(count) && count >= 1 && count <= LABELS_MAX))
    throw new RangeError(`renderLabelPdf: ${count} labels are not from 1 to ${LABELS_MAX}`);
  return new Uint8Array(await renderToBuffer(labelDocument(layout, options, count)));
}

const MM = 72 / 25.4;
const files = createRequire(import.meta.url);
const FAMILY = { latin: "Figtree label", more: "Figtree label more" } as const;
let registered = false;
function registerTypeface(): void {
  if (registered) return;
  registered = true;
  for (const [family, set] of [
    [FAMILY.latin, "latin"],
    [FAMILY.more, "latin-ext"],
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

function labelDocument(layout: LabelLayout, options: LabelPrintOptions, count: number): ReactElement<DocumentProps> {
  const { sheet, madeAt } = options;
  const places = sheet === undefined ? [{ xMm: 0, yMm: 0 }] : sheetPlaces(sheet);
  const size = sheet === undefined ? layout : { widthMm: sheet.pageWidthMm, heightMm: sheet.pageHeightMm };
  const [width, height] = [size.widthMm * MM, size.heightMm * MM];
  const pages: ReactNode[] = [];
  // A drawing as high as its page is taken for higher by a rounding of the layout engine, which then complains.
  const drawnHeight = height - 0.1;
  let taken = options.skip ?? 0;
  for (let left = count; left > 0; taken = 0) {
    const here = places.slice(taken, taken + left);
    if (here.length === 0) break;
    left -= here.length;
    pages.push(
      h(
        Page,
        { key: pages.length, size: [width, height], style: { fontFamily: FAMILY.latin } },
        h(
          Svg,
          {
            style: { position: "absolute", top: 0, left: 0 },
            width,
            height: drawnHeight,
            viewBox: `0 0 ${width} ${drawnHeight}`,
          },
          ...here.map(({ xMm, yMm }, index) =>
            h(
              G,
              { key: index },
              ...boxes(layout.items, xMm, yMm),
              ...layout.items.map((item, at) => letters(item, xMm, yMm, at)),
            ),
          ),
        ),
      ),
    );
  }
  return h(
    Document,
    {
      title: options.title,
      creator: "Evencrumb",
      producer: "Evencrumb",
      language: options.language,
      ...(options.author ? { author: options.author } : {}),
      ...(madeAt ? { creationDate: madeAt, modificationDate: madeAt } : {}),
    },
    ...pages,
  );
}

/** Boxes of one colour are one path: the bars of a symbol would be thirty nodes to lay out. Colour before ink, as in the layout. */
function boxes(items: readonly LayoutItem[], xMm: number, yMm: number): readonly ReactNode[] {
  const byFill = new Map<string, string[]>();
  for (const item of items) {
    if (item.kind !== "box") continue;
    const [x, y, width, height] = [item.xMm + xMm, item.yMm + yMm, item.widthMm, item.heightMm].map((mm) => (mm * MM).toFixed(3));
    byFill.set(item.fill, [...(byFill.get(item.fill) ?? []), `M${x} ${y}h${width}v${height}h-${width}z`]);
  }
  return [...byFill].map(([fill, paths]) => h(Path, { key: `b${fill}`, d: paths.join(""), fill }));
}

function letters(item: LayoutItem, xMm: number, yMm: number, key: number): ReactNode {
  if (item.kind === "box") return null;
  return fontPieces(item.text, item.sizeMm, item.isBold).map((piece, at) =>
    h(
      Text,
      {
        key: `${key}.${at}`,
        x: (item.xMm + piece.xMm + xMm) * MM,
        y: (item.baselineMm + yMm) * MM,
        style: { fontFamily: FAMILY[piece.set], fontWeight: item.isBold ? 700 : 400, fontSize: item.sizeMm * MM },
      },
      piece.text,
    ),
  );
}
