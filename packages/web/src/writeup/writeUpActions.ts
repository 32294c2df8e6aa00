import type { WriteUp } from "@evencrumb/core/writeup";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { download } from "../parts/download.js";
import { printPage } from "../parts/printPage.js";
import { savePdf } from "../parts/savePdf.js";

/** How a write-up is shown and saved. */
export const SHAPES = ["page", "text", "markdown", "data"] as const;
export type Shape = (typeof SHAPES)[number];
export const SHAPE_WORDS: Readonly<Record<Shape, { readonly name: string; readonly ending: string; readonly type: string }>> = {
  page: { name: "Page", ending: "html", type: "text/html" },
  text: { name: "Plain text", ending: "txt", type: "text/plain" },
  markdown: { name: "Markdown", ending: "md", type: "text/markdown" },
  data: { name: "Recipe data (schema.org)", ending: "jsonld", type: "application/ld+json" },
};

interface WriteUpContext {
  readonly house: House;
  readonly name: string;
  readonly text: WriteUp;
  readonly html: string;
  readonly shape: Shape;
  /** The write-up in the shape that is shown. */
  readonly shown: string;
  readonly say: (words: string | null) => void;
}

export const writeUpActions = defineActions<WriteUpContext>()({
  print: { label: "Print", applies: () => true, does: ({ html, name }) => printPage(html, `${name} to print`) },
  pdf: {
    label: "Save as PDF",
    applies: () => true,
    does: ({ house, name, text, say }) =>
      savePdf(
        `${name}.pdf`,
        () => house.client.print("write-up", text),
        say,
        "Print makes the same page without it, and the page, the text and the data can be saved.",
      ),
  },
  save: {
    label: "Save what is shown",
    applies: () => true,
    does: ({ name, shape, shown }) => download(`${name}.${SHAPE_WORDS[shape].ending}`, shown, SHAPE_WORDS[shape].type),
  },
  copy: {
    label: "Copy what is shown",
    applies: () => true,
    does: ({ shown, say }) => {
      navigator.clipboard.writeText(shown).then(
        () => say("Copied."),
        () => say("The browser does not let it be copied: save it instead."),
      );
    },
  },
});
