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

/**
 * The same data with every text in letters that the typefaces have. What they lack is written with what they have ("⅓" as "1/3",
 * "ﬁ" as "fi"), and where that cannot be as "?": a letter from another typeface would come out as the wrong sign.
 *
 * @param data  plain data: texts, numbers, lists and records
 */
export async function printable<T>(data: T): Promise<T> {
  registerTypefaces();
  const sets = await Promise.all([SANS, SERIF].map((families, at) => coverage(families, at === 0 ? 400 : 600)));
  const has = (sign: string) => sets.every((set) => set(sign.codePointAt(0)!));
  const written = (text: string): string => {
    let print = "";
    for (const sign of text) {
      if (has(sign)) print += sign;
      else {
        const plain = sign.normalize("NFKD").replaceAll("\u2044", "/").replaceAll(/\p{M}/gu, "");
        // "1⅓" is "1 1/3", and never "11/3".
        const gap = /\d$/.test(print) && /^\d/.test(plain) ? " " : "";
        print += plain !== "" && [...plain].every(has) ? `${gap}${plain}` : "?";
      }
    }
    return print;
  };
  return mapTexts(data, written) as T;
}

/** Which letters a family and its second file hold. */
async function coverage(families: readonly string[], fontWeight: number): Promise<(code: number) => boolean> {
  const fonts = await Promise.all(
    families.map(async (fontFamily) => {
      const descriptor = { fontFamily, fontWeight } as Parameters<typeof Font.load>[0];
      await Font.load(descriptor);
      return (Font.getFont(descriptor) as { data?: { hasGlyphForCodePoint?(code: number): boolean } } | undefined)?.data;
    }),
  );
  return (code) => fonts.some((font) => font?.hasGlyphForCodePoint?.(code) === true);
}

function mapTexts(data: unknown, change: (text: string) => string): unknown {
  if (typeof data === "string") return change(data);
  if (Array.isArray(data)) return data.map((entry) => mapTexts(entry, change));
  if (typeof data !== "object" || data === null || data instanceof Date) return data;
  return Object.fromEntries(Object.entries(data).map(([key, value]) => [key, mapTexts(value, change)]));
}

/** Pages of a PDF as this renderer writes it, with its page objects uncompressed. */
export function pageCount(bytes: Uint8Array): number {
  return (
    Buffer.from(bytes)
      .toString("latin1")
      .match(/\/Type \/Page\b(?!s)/g)?.length ?? 0
  );
}
