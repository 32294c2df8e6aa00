import { formatMoney } from "./money.js";
import type { WaterfallBar } from "./waterfall.js";

/** Where each bar of the picture stands, in units of the drawing. */
export interface WaterfallPicture {
  readonly width: number;
  readonly height: number;
  /** Where zero stands. */
  readonly zeroX: number;
  readonly rows: readonly WaterfallRow[];
}

export interface WaterfallRow extends WaterfallBar {
  /** Of the bar, which is at least a hair wide. */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Baseline of the words of this row. */
  readonly textY: number;
  /** Where the next bar begins; a thin line leads down to it. Absent for the last two. */
  readonly linkX?: number;
  readonly money: string;
}

const [NAME_WIDTH, MONEY_WIDTH, ROW, BAR] = [112, 76, 30, 20];

/**
 * The waterfall as rows from the ingredients down to the price, drawn to one scale of money. A loss goes back to the left.
 *
 * @param width  of the whole drawing, 320 or more
 */
export function waterfallPicture(bars: readonly WaterfallBar[], currency: string, width = 720): WaterfallPicture {
  const ends = bars.flatMap(({ fromMinor, toMinor }) => [fromMinor, toMinor]);
  const [least, most] = [Math.min(0, ...ends), Math.max(1, ...ends)];
  const room = Math.max(80, width - NAME_WIDTH - MONEY_WIDTH);
  const x = (minor: number) => NAME_WIDTH + ((minor - least) / (most - least)) * room;
  return {
    width,
    height: bars.length * ROW,
    zeroX: x(0),
    rows: bars.map((bar, index) => ({
      ...bar,
      x: Math.min(x(bar.fromMinor), x(bar.toMinor)),
      y: index * ROW + (ROW - BAR) / 2,
      width: Math.max(1.5, Math.abs(x(bar.toMinor) - x(bar.fromMinor))),
      height: BAR,
      textY: index * ROW + ROW / 2 + 5,
      ...(index < bars.length - 2 ? { linkX: x(bar.toMinor) } : {}),
      money: formatMoney({ minor: bar.toMinor - bar.fromMinor, currency }),
    })),
  };
}

/** "Ingredients £3.52, labour £4.83 ... price £15.39." for those who do not see the picture. */
export const waterfallWords = (picture: Pick<WaterfallPicture, "rows">): string =>
  `The price from its parts: ${picture.rows.map(({ name, money }) => `${name} ${money}`).join(", ")}.`;

const FILLS: Readonly<Record<WaterfallBar["kind"], string>> = {
  ingredient: "#8c6f4e",
  labour: "#a98a63",
  energy: "#c2a783",
  packaging: "#d3bf9f",
  overhead: "#b9b0a2",
  fee: "#98a3a3",
  profit: "#2f6f62",
  tax: "#7d6a86",
  price: "#26221c",
};

/** The picture as an SVG document that stands by itself: title and description inside, black on white for paper. */
export function waterfallSvg(bars: readonly WaterfallBar[], currency: string, title: string): string {
  const picture = waterfallPicture(bars, currency);
  const { width, height, rows } = picture;
  const head = 30;
  const parts = rows.flatMap(({ name, kind, x, y, width: wide, height: high, textY, linkX, money }) => [
    `<text x="0" y="${round(textY + head)}">${escaped(name)}</text>`,
    `<rect x="${round(x)}" y="${round(y + head)}" width="${round(wide)}" height="${high}" fill="${FILLS[kind]}"/>`,
    ...(linkX === undefined
      ? []
      : [
          `<line x1="${round(linkX)}" x2="${round(linkX)}" y1="${round(y + high + head)}" y2="${round(y + ROW + head)}" stroke="#26221c" stroke-width="0.75"/>`,
        ]),
    `<text x="${width}" y="${round(textY + head)}" text-anchor="end">${escaped(money)}</text>`,
  ]);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height + head}" width="${width}" height="${height + head}" role="img" aria-labelledby="title words" font-family="sans-serif" font-size="14" fill="#26221c">`,
    `<title id="title">${escaped(title)}</title>`,
    `<desc id="words">${escaped(waterfallWords(picture))}</desc>`,
    `<text x="0" y="18" font-size="16" font-weight="600">${escaped(title)}</text>`,
    ...parts,
    "</svg>",
  ].join("\n");
}

const round = (value: number) => Number(value.toFixed(2));
const escaped = (text: string) =>
  text
    // Not allowed in XML even as a reference.
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, "")
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;");
