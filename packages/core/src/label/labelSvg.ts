import type { LabelLayout } from "./layout.js";
import { escapeXml } from "./plainText.js";
import { widthMm } from "./typeset.js";

export interface SvgOptions {
  /** Style rules that bring the typeface along (`@font-face` with data in it), so that letters are as measured everywhere. */
  readonly fontCss?: string;
  readonly title?: string;
}

/**
 * A label as SVG at true size (its width and height are in millimetres). Each text carries its length, so that another typeface
 * is squeezed to the same width; only the embedded one has the x-height that was checked.
 */
export function labelSvg(layout: LabelLayout, options: SvgOptions = {}): string {
  const mm = (value: number) => String(Number(value.toFixed(3)));
  const body = layout.items.map((item) =>
    item.kind === "box"
      ? `<rect x="${mm(item.xMm)}" y="${mm(item.yMm)}" width="${mm(item.widthMm)}" height="${mm(item.heightMm)}" fill="${escapeXml(item.fill)}"/>`
      : `<text x="${mm(item.xMm)}" y="${mm(item.baselineMm)}" font-size="${mm(item.sizeMm)}"${item.isBold ? ' font-weight="700"' : ""} textLength="${mm(widthMm(item.text, item.sizeMm, item.isBold))}" lengthAdjust="spacingAndGlyphs">${escapeXml(item.text)}</text>`,
  );
  // A style element may not be ended from inside.
  const css = (options.fontCss ?? "").replace(/[^\P{Cc}\n]|\p{Cs}|[<&\uFFFE\uFFFF]/gu, "");
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${mm(layout.widthMm)}mm" height="${mm(layout.heightMm)}mm" viewBox="0 0 ${mm(layout.widthMm)} ${mm(layout.heightMm)}" font-family="Figtree, sans-serif" fill="#000">`,
    ...(options.title === undefined ? [] : [`<title>${escapeXml(options.title)}</title>`]),
    ...(css === "" ? [] : [`<style>${css}</style>`]),
    `<rect width="100%" height="100%" fill="#fff"/>`,
    ...body,
    "</svg>",
    "",
  ].join("\n");
}
