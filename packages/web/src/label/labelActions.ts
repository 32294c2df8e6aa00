import type { Formula } from "@evencrumb/core/formula";
import { type Label, type LabelDocument, type LabelLayout, labelHtml, labelText, type SheetGrid } from "@evencrumb/core/label";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { download } from "../parts/download.js";
import { printPage } from "../parts/printPage.js";
import { savePdf } from "../parts/savePdf.js";
import { sheetHtml } from "./labelFiles.js";

interface LabelContext {
  readonly house: House;
  readonly formula: Formula;
  readonly label: Label;
  readonly body: LabelDocument;
  readonly layout: LabelLayout;
  readonly svg: string;
  readonly fontCss: string;
  readonly grid: SheetGrid | undefined;
  readonly skip: number;
  readonly count: number;
  readonly say: (words: string | null) => void;
}

const isSheet = (grid: SheetGrid | undefined) => grid !== undefined && grid.rows * grid.columns > 1;
const languageOf = ({ place, language }: Label) => (place === "us" ? "en-US" : language === "en" ? "en-GB" : language);

export const labelActions = defineActions<LabelContext>()({
  print: {
    label: "Print",
    applies: ({ grid }) => grid !== undefined,
    does: ({ layout, grid, fontCss, skip, count }) =>
      grid !== undefined && printPage(sheetHtml(layout, grid, { fontCss, skip, count }), "Labels to print"),
  },
  pdf: {
    label: "Save as PDF",
    applies: ({ grid }) => grid !== undefined,
    does: ({ house, formula, label, layout, grid, skip, count, say }) =>
      savePdf(
        `${formula.name} ${isSheet(grid) ? "labels" : "label"}.pdf`,
        () =>
          house.client.print("label", {
            layout,
            title: label.name,
            language: languageOf(label),
            ...(label.business === undefined ? {} : { author: label.business.name }),
            ...(isSheet(grid) ? { sheet: grid, skip, count } : {}),
          }),
        say,
        "Print makes the same label at true size without it, and the drawing, the page and the words can be saved.",
      ),
  },
  drawing: {
    label: "Save the drawing",
    applies: () => true,
    does: ({ formula, svg }) => download(`${formula.name} label.svg`, svg, "image/svg+xml"),
  },
  page: {
    label: "Save as a page",
    applies: () => true,
    does: ({ formula, label }) => download(`${formula.name} label.html`, labelHtml(label), "text/html"),
  },
  words: {
    label: "Save the words",
    applies: () => true,
    does: ({ formula, label }) => download(`${formula.name} label.txt`, labelText(label).join("\n"), "text/plain"),
  },
});
