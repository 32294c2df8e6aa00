import { createRequire } from "node:module";
import { Font } from "@react-pdf/renderer";

/** What every print is set in; the second file of each holds the letters of Central Europe. */
export const SANS = ["Figtree", "Figtree more"];
export const SERIF = ["Brygada", "Brygada more"];
export const MM = 72 / 25.4;

const files = createRequire(import.meta.url);
let registered = false;

/** Registers the typefaces once, so that they are embedded in every PDF. */
export function registerTypefaces(): void {
  if (registered) return;
  registered = true;
  // Two files of each weight: Western letters, and those of Central Europe. A letter is taken from the first that has it.
  for (const [family, set] of [
    ["Figtree", "latin"],
    ["Figtree more", "latin-ext"],
  ] as const) {
    Font.register({
      family,
      fonts: [400, 700].map((fontWeight) => ({
        src: files.resolve(`@fontsource/figtree/files/figtree-${set}-${fontWeight}-normal.woff`),
        fontWeight,
      })),
    });
  }
  for (const [family, set] of [
    ["Brygada", "latin"],
    ["Brygada more", "latin-ext"],
  ] as const) {
    Font.register({
      family,
      fonts: [600].map((fontWeight) => ({
        src: files.resolve(`@fontsource/brygada-1918/files/brygada-1918-${set}-${fontWeight}-normal.woff`),
        fontWeight,
      })),
    });
  }
  // A baker's "self-raising" is never broken into "self-rais-ing".
  Font.registerHyphenationCallback((word) => [word]);
}

/** Pages of a PDF as this renderer writes it, with its page objects uncompressed. */
export function pageCount(bytes: Uint8Array): number {
  return (
    Buffer.from(bytes)
      .toString("latin1")
      .match(/\/Type \/Page\b(?!s)/g)?.length ?? 0
  );
}
