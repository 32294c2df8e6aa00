import { FIGTREE_ADVANCES } from "./figtreeMetrics.js";
import type { TextRun } from "./textRuns.js";

/** Which file of the typeface has a letter. */
export type FontSet = "latin" | "more";

interface Glyph {
  readonly set: FontSet;
  /** Thousandths of the letter size. */
  readonly advance: number;
}

function readAdvances(weight: "regular" | "bold"): ReadonlyMap<number, Glyph> {
  const glyphs = new Map<number, Glyph>();
  // Latin last, so that a letter that is in both files is taken from the first, as a page does.
  for (const set of ["more", "latin"] as const) {
    for (const run of FIGTREE_ADVANCES[weight][set].split(" ")) {
      const [first, widths] = run.split(":") as [string, string];
      for (const [index, advance] of widths.split(",").entries())
        glyphs.set(Number.parseInt(first, 16) + index, { set, advance: Number(advance) });
    }
  }
  return glyphs;
}

let tables: { readonly regular: ReadonlyMap<number, Glyph>; readonly bold: ReadonlyMap<number, Glyph> } | undefined;
const glyphOf = (letter: string, isBold: boolean): Glyph | undefined => {
  tables ??= { regular: readAdvances("regular"), bold: readAdvances("bold") };
  return (isBold ? tables.bold : tables.regular).get(letter.codePointAt(0)!);
};

/** Width of a letter that the typeface does not have: as wide as the widest, so that nothing runs over. */
const UNKNOWN_ADVANCE = 1000;

/** Width of a text [mm] without kerning, which would only make it narrower. @param sizeMm letter size [mm] */
export function widthMm(text: string, sizeMm: number, isBold: boolean): number {
  let sum = 0;
  for (const letter of text) sum += glyphOf(letter, isBold)?.advance ?? UNKNOWN_ADVANCE;
  return (sum * sizeMm) / 1000;
}

/** Letters that the typeface does not have: they would print as boxes. */
export function unprintable(text: string): readonly string[] {
  return [...new Set([...text].filter((letter) => glyphOf(letter, false) === undefined))];
}

/** A text in pieces that each come from one file of the typeface, with where each begins [mm from the start]. */
export function fontPieces(
  text: string,
  sizeMm: number,
  isBold: boolean,
): readonly { readonly text: string; readonly set: FontSet; readonly xMm: number }[] {
  const pieces: { text: string; set: FontSet; xMm: number }[] = [];
  let xMm = 0;
  for (const letter of text) {
    const glyph = glyphOf(letter, isBold);
    const set = glyph?.set ?? "latin";
    const last = pieces.at(-1);
    if (last !== undefined && last.set === set) last.text += letter;
    else pieces.push({ text: letter, set, xMm });
    xMm += ((glyph?.advance ?? UNKNOWN_ADVANCE) * sizeMm) / 1000;
  }
  return pieces;
}

/** One run of a line and where it begins. */
export interface PlacedRun {
  readonly text: string;
  readonly isBold: boolean;
  readonly xMm: number;
}

/**
 * Runs broken into lines no wider than `limitMm`, at spaces; a word that is wider than a line is cut. Spaces at line ends go.
 *
 * @param isBold  whether runs that do not stand out are bold too
 */
export function breakLines(
  runs: readonly TextRun[],
  limitMm: number,
  sizeMm: number,
  isBold = false,
): readonly (readonly PlacedRun[])[] {
  const lines: PlacedRun[][] = [[]];
  let xMm = 0;
  let pendingSpaceMm = 0;
  const put = (text: string, bold: boolean, width: number) => {
    const line = lines.at(-1)!;
    const last = line.at(-1);
    if (last !== undefined && last.isBold === bold && pendingSpaceMm > 0)
      line[line.length - 1] = { ...last, text: `${last.text} ${text}` };
    else if (last !== undefined && last.isBold === bold) line[line.length - 1] = { ...last, text: last.text + text };
    else line.push({ text, isBold: bold, xMm: xMm + pendingSpaceMm });
    xMm += pendingSpaceMm + width;
    pendingSpaceMm = 0;
  };
  const newLine = () => {
    lines.push([]);
    [xMm, pendingSpaceMm] = [0, 0];
  };
  for (const word of wordsOfRuns(runs, isBold)) {
    const width = word.pieces.reduce((sum, piece) => sum + widthMm(piece.text, sizeMm, piece.isBold), 0);
    if (xMm > 0 && xMm + pendingSpaceMm + width > limitMm + 1e-9) newLine();
    for (const piece of word.pieces) {
      const whole = widthMm(piece.text, sizeMm, piece.isBold);
      if (xMm + pendingSpaceMm + whole <= limitMm + 1e-9) {
        put(piece.text, piece.isBold, whole);
        continue;
      }
      for (const letter of piece.text) {
        const one = widthMm(letter, sizeMm, piece.isBold);
        if (xMm > 0 && xMm + pendingSpaceMm + one > limitMm + 1e-9) newLine();
        put(letter, piece.isBold, one);
      }
    }
    if (word.hasSpaceAfter && xMm > 0) pendingSpaceMm = widthMm(" ", sizeMm, word.pieces.at(-1)?.isBold ?? false);
  }
  return lines.filter((line) => line.length > 0);
}

interface Word {
  readonly pieces: readonly { readonly text: string; readonly isBold: boolean }[];
  readonly hasSpaceAfter: boolean;
}

/** Words may be made of several runs: "(" and a bold "milk" and "),". */
function wordsOfRuns(runs: readonly TextRun[], isBold: boolean): readonly Word[] {
  const words: Word[] = [];
  let pieces: { text: string; isBold: boolean }[] = [];
  const end = (hasSpaceAfter: boolean) => {
    if (pieces.length > 0) words.push({ pieces, hasSpaceAfter });
    pieces = [];
  };
  for (const { text, emphasised } of runs) {
    for (const part of text.split(/( +)/)) {
      if (part === "") continue;
      if (part.trim() === "") end(true);
      else pieces.push({ text: part, isBold: isBold || emphasised });
    }
  }
  end(false);
  return words;
}
