import { ean13Modules } from "./barcode.js";
import { X_HEIGHT_SHARE } from "./figtreeMetrics.js";
import type { FrontOfPackBand, FrontOfPackLine } from "./frontOfPack.js";
import type { Label } from "./labelFor.js";
import { decimalsOf, type LabelLanguage, labelWords } from "./languages.js";
import { leastXHeightMm } from "./netQuantity.js";
import type { NutritionCell, NutritionRow } from "./nutritionLines.js";
import type { TextRun } from "./textRuns.js";
import { breakLines, unprintable, widthMm } from "./typeset.js";

/** What is drawn, in millimetres from the upper left corner. */
export type LayoutItem =
  | {
      readonly kind: "text";
      readonly xMm: number;
      readonly baselineMm: number;
      readonly sizeMm: number;
      readonly isBold: boolean;
      readonly text: string;
    }
  | {
      readonly kind: "box";
      readonly xMm: number;
      readonly yMm: number;
      readonly widthMm: number;
      readonly heightMm: number;
      readonly fill: string;
    };

export interface LabelLayout {
  readonly widthMm: number;
  /** As asked, or higher where all of it does not fit; see `fits`. */
  readonly heightMm: number;
  readonly items: readonly LayoutItem[];
  /** Letter size of the text and its x-height [mm]. */
  readonly sizeMm: number;
  readonly xHeightMm: number;
  /** What the rule asks for on this size [mm]. */
  readonly leastXHeightMm: number;
  readonly fits: boolean;
  readonly problems: readonly string[];
}

export interface LayoutOptions {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly marginMm?: number;
  /** Leave out the line that says what is missing. */
  readonly hidesDraftMark?: boolean;
}

/** Largest x-height tried [mm]: beyond it a label looks like a poster. */
const LARGEST_X_HEIGHT = 1.75;
/** US information panel: letters of a sixteenth of an inch by the small o (21 CFR 101.2(c), from memory). */
const US_X_HEIGHT = 25.4 / 16;
const LINE = 1.22;
/** A column narrower than this reads badly [mm]. */
const LEAST_COLUMN_MM = 24;
const INK = "#000";

/**
 * A label set on paper at true size, with the widths of the typeface that is embedded.
 *
 * Takes the largest letters that fit, never smaller than the rule asks; nutrition as a table beside or under the text, and only where
 * no letters let a table fit (Article 34(2)) as a line. What does not fit makes the label higher and is said.
 *
 * @throws RangeError for a size that is not within 15 to 600 mm
 */
export function layoutLabel(label: Label, options: LayoutOptions): LabelLayout {
  const { widthMm: width, heightMm: height } = options;
  for (const side of [width, height])
    if (!(side >= 15 && side <= 600)) throw new RangeError(`layoutLabel: a side of ${side} mm is not within 15 to 600 mm`);
  const margin = options.marginMm ?? Math.min(3, Math.max(1.5, Math.min(width, height) / 20));
  // It is the surface of the pack that lets letters be smaller, not that of the label: without it the rule for large ones holds.
  const least = label.place === "us" ? US_X_HEIGHT : leastXHeightMm(label.surfaceCm2 ?? Number.POSITIVE_INFINITY);
  let smallest: Drawn | undefined;
  // A table where space permits (Article 34(2)): a line of larger letters does not stand in for one of smaller.
  for (const arrangements of arrangementsOf(label)) {
    for (let xHeight = LARGEST_X_HEIGHT; ; xHeight = Math.max(least, xHeight - 0.05)) {
      for (const arrangement of arrangements) {
        const drawn = draw(label, arrangement, xHeight / X_HEIGHT_SHARE, width - 2 * margin);
        if (drawn !== undefined && drawn.heightMm <= height - 2 * margin + 1e-9)
          return finish(label, drawn, { width, height, margin, least, xHeight, options, fits: true });
        if (drawn !== undefined && xHeight <= least + 1e-9 && (smallest === undefined || drawn.heightMm < smallest.heightMm))
          smallest = drawn;
      }
      if (xHeight <= least + 1e-9) break;
    }
  }
  if (smallest === undefined) throw new RangeError(`layoutLabel: nothing can be set on ${width} mm`);
  const needed = Math.ceil(smallest.heightMm + 2 * margin);
  return finish(label, smallest, { width, height: needed, margin, least, xHeight: least, options, fits: false });
}

interface Drawn {
  readonly items: readonly LayoutItem[];
  readonly heightMm: number;
}
type Arrangement = "beside" | "under" | "line";

/** What is tried first, at every size of letters, and what only when none of it fits. */
function arrangementsOf(label: Label): readonly (readonly Arrangement[])[] {
  if (label.nutrition === undefined) return [["under"]];
  return label.place === "us" ? [["beside", "under"]] : [["beside", "under"], ["line"]];
}

function finish(
  label: Label,
  drawn: Drawn,
  at: { width: number; height: number; margin: number; least: number; xHeight: number; options: LayoutOptions; fits: boolean },
): LabelLayout {
  const { width, height, margin } = at;
  const moved = drawn.items.map((item) => shifted(item, margin, margin));
  const lost = unprintable(drawn.items.map((item) => (item.kind === "text" ? item.text : "")).join(""));
  const isDraft = label.missing.length > 0 && at.options.hidesDraftMark !== true;
  const draft: LayoutItem[] = isDraft
    ? [
        {
          kind: "text",
          xMm: margin,
          baselineMm: height - margin * 0.25,
          sizeMm: Math.min(1.8, margin * 0.75),
          isBold: true,
          text: `DRAFT: ${label.missing.length} ${label.missing.length === 1 ? "thing is" : "things are"} missing`,
        },
      ]
    : [];
  return {
    widthMm: width,
    heightMm: height,
    items: [...moved, ...draft],
    sizeMm: at.xHeight / X_HEIGHT_SHARE,
    xHeightMm: at.xHeight,
    leastXHeightMm: at.least,
    fits: at.fits,
    problems: [
      ...(at.fits
        ? []
        : [
            `At the least letters (${at.least.toFixed(1)} mm x-height) it needs ${width} × ${height} mm, not ${width} × ${at.options.heightMm}: take a larger label, or put the parts that the rules let stand elsewhere on another.`,
          ]),
      ...(lost.length > 0
        ? [`These letters are not in the typeface and would print as boxes: ${lost.slice(0, 20).join(" ")}`]
        : []),
    ],
  };
}

const shifted = (item: LayoutItem, xMm: number, yMm: number): LayoutItem =>
  item.kind === "text"
    ? { ...item, xMm: item.xMm + xMm, baselineMm: item.baselineMm + yMm }
    : { ...item, xMm: item.xMm + xMm, yMm: item.yMm + yMm };

/** Something with a height, drawn from its upper left corner. */
interface Block extends Drawn {
  /** Space above it, left out at the top. */
  readonly gapMm: number;
}

/** @returns undefined where the arrangement has no room across */
function draw(label: Label, arrangement: Arrangement, size: number, width: number): Drawn | undefined {
  const nutrition =
    label.nutrition === undefined || arrangement === "line"
      ? undefined
      : nutritionBlock(label, size, arrangement === "beside" ? undefined : width);
  if (nutrition !== undefined && nutrition.widthMm > width + 1e-9) return undefined;
  const bars = label.gtin === undefined ? undefined : barcodeBlock(label.gtin, width);
  const gutter = size * 1.2;
  if (arrangement === "beside" && nutrition !== undefined) {
    const sideWidth = Math.max(nutrition.widthMm, bars?.widthMm ?? 0);
    const textWidth = width - sideWidth - gutter;
    if (textWidth < Math.max(LEAST_COLUMN_MM, width * 0.36)) return undefined;
    const left = stacked([...headBlocks(label, size, textWidth, false), ...tailBlocks(label, size, textWidth)]);
    const right = stacked([nutrition, ...(bars === undefined ? [] : [bars])]);
    return {
      items: [...left.items, ...right.items.map((item) => shifted(item, textWidth + gutter, 0))],
      heightMm: Math.max(left.heightMm, right.heightMm),
    };
  }
  if (bars !== undefined && bars.widthMm > width + 1e-9) return undefined;
  const head = headBlocks(label, size, width, arrangement === "line");
  const panel = nutrition === undefined ? [] : [nutrition];
  const besideBars = bars === undefined ? 0 : width - bars.widthMm - gutter;
  if (bars === undefined || besideBars < LEAST_COLUMN_MM)
    return stacked([...head, ...tailBlocks(label, size, width), ...panel, ...(bars === undefined ? [] : [bars])]);
  const tail = stacked(tailBlocks(label, size, besideBars));
  const foot: Block = {
    gapMm: size * 0.6,
    heightMm: Math.max(tail.heightMm, bars.heightMm),
    items: [...tail.items, ...bars.items.map((item) => shifted(item, besideBars + gutter, 0))],
  };
  return stacked([...head, ...panel, foot]);
}

function stacked(blocks: readonly Block[]): Drawn {
  const items: LayoutItem[] = [];
  let y = 0;
  for (const [index, block] of blocks.entries()) {
    if (index > 0) y += block.gapMm;
    items.push(...block.items.map((item) => shifted(item, 0, y)));
    y += block.heightMm;
  }
  return { items, heightMm: y };
}

const plain = (text: string): readonly TextRun[] => [{ text, emphasised: false }];
const bold = (text: string): TextRun => ({ text, emphasised: true });

function paragraph(runs: readonly TextRun[], size: number, width: number, gapMm: number, isBold = false): Block {
  const lines = breakLines(runs, width, size, isBold);
  return {
    gapMm,
    heightMm: lines.length * size * LINE,
    items: lines.flatMap((line, index) =>
      line.map(
        (run): LayoutItem => ({
          kind: "text",
          xMm: run.xMm,
          // Ascender 0.78 of the letter size, the rest of the line shared above and below.
          baselineMm: (index + 0.8) * size * LINE,
          sizeMm: size,
          isBold: run.isBold,
          text: run.text,
        }),
      ),
    ),
  };
}

/** Name, list and what belongs to them. */
function headBlocks(label: Label, size: number, width: number, hasLine: boolean): readonly Block[] {
  const gap = size * 0.45;
  const small = (text: string) => paragraph(plain(text), size, width, gap);
  const { list } = label;
  const isListed = label.mode !== "loose";
  const allergens = isListed ? undefined : looseAllergens(label);
  return [
    paragraph(plain(label.name), size * 1.6, width, 0, true),
    ...(label.description === undefined ? [] : [small(label.description)]),
    ...(isListed && list.items.length > 0 ? [paragraph(list.runs, size, width, gap)] : []),
    ...(allergens === undefined ? [] : [paragraph(allergens, size, width, gap)]),
    ...(list.contains === undefined || !isListed ? [] : [paragraph([bold(list.contains)], size, width, gap)]),
    ...(list.mayContain === undefined ? [] : [small(list.mayContain)]),
    ...(label.alcohol === undefined ? [] : [small(`${label.alcohol}.`)]),
    ...(hasLine && label.nutrition !== undefined ? [small(nutritionLine(label))] : []),
    ...(label.frontOfPack === undefined
      ? []
      : [bandsBlock(label, label.frontOfPack, size, width, gap), paragraph(plain(bandsWords(label)), size, width, size * 0.2)]),
  ];
}

/** What the bands speak of, and whose intake the percentages are of (Article 32(5)). */
function bandsWords(label: Label): string {
  const words = labelWords(label.language);
  const grams = label.portionGrams;
  return `${grams === undefined ? words.per100g : `${words.perPortion} (${Math.round(grams)}\u00a0g)`}. ${words.referenceIntake}`;
}

/** Date, weight, storage, business: they may stand beside the bars. */
function tailBlocks(label: Label, size: number, width: number): readonly Block[] {
  const gap = size * 0.45;
  const small = (text: string) => paragraph(plain(text), size, width, gap);
  return [
    ...(label.durability.text === "" ? [] : [paragraph([bold(label.durability.text)], size, width, gap)]),
    ...(label.netQuantity === undefined ? [] : [paragraph([bold(label.netQuantity.text)], size, width, gap / 2)]),
    small([label.storage, label.instructions].filter((one) => one !== undefined).join(" ")),
    ...(label.business === undefined
      ? []
      : [
          small(
            `${label.place === "us" ? "Made by " : ""}${label.business.name}${label.business.address === "" ? "" : `, ${label.business.address}`}`,
          ),
        ]),
  ];
}

/** Without a list the allergens are said on their own (Article 21(1), last subparagraph). */
function looseAllergens(label: Label): readonly TextRun[] {
  const named = [
    ...new Set(label.list.items.flatMap(({ runs }) => runs.flatMap((run) => (run.emphasised ? [run.text.toLowerCase()] : [])))),
  ];
  if (label.list.contains !== undefined) return [bold(label.list.contains)];
  if (named.length === 0) return [];
  return [
    { text: `${labelWords(label.language).contains}: `, emphasised: false },
    ...named.flatMap((name, index): TextRun[] => [
      bold(name),
      { text: index < named.length - 1 ? ", " : ".", emphasised: false },
    ]),
  ];
}

/** A figure as printed; a dash stands where it is not known, and the label says that it is a draft. */
const shown = (cell: NutritionCell | undefined, language: LabelLanguage = "en") =>
  cell === undefined ? "" : cell.known ? decimalsOf(cell.declared.text.replace("<", "< "), language) : "–";
const withUnit = (row: NutritionRow, cell: NutritionCell | undefined, language: LabelLanguage = "en") =>
  row.id === "energyKj" ? `${shown(cell)} kJ` : row.id === "energyKcal" ? `${shown(cell)} kcal` : shown(cell, language);

/** "Nutrition per 100 g: Energy 1509 kJ, 362 kcal; Fat 21 g, of which saturates 6.1 g; ..." */
function nutritionLine(label: Label): string {
  const words = labelWords(label.language);
  const { rows } = label.nutrition!;
  const parts = rows
    .filter(({ id }) => id !== "energyKcal")
    .map((row) =>
      row.id === "energyKj"
        ? `${row.name} ${withUnit(row, row.per100g)}/${withUnit(rows.find(({ id }) => id === "energyKcal")!, rows.find(({ id }) => id === "energyKcal")!.per100g)}`
        : `${row.name} ${shown(row.per100g, label.language)}`,
    );
  // A figure is not parted from its unit at a line end.
  return `${words.nutrition} ${words.per100g}: ${parts.join(", ")}.`.replace(/(\d) (g|kJ|kcal)\b/g, "$1\u00a0$2");
}

function nutritionBlock(label: Label, size: number, width: number | undefined): Block & { readonly widthMm: number } {
  return label.place === "us" ? usPanel(label, size, width) : table(label, size);
}

const text = (xMm: number, baselineMm: number, sizeMm: number, isBold: boolean, words: string): LayoutItem => ({
  kind: "text",
  xMm,
  baselineMm,
  sizeMm,
  isBold,
  text: words,
});
const ruleAt = (yMm: number, width: number, thick = 0.15): LayoutItem => ({
  kind: "box",
  xMm: 0,
  yMm,
  widthMm: width,
  heightMm: thick,
  fill: INK,
});

/** Names to the left, figures to the right, thin rules between. */
function table(label: Label, size: number): Block & { readonly widthMm: number } {
  const words = labelWords(label.language);
  const { rows, portionGrams } = label.nutrition!;
  const columns = [
    { head: words.per100g, cell: (row: NutritionRow) => withUnit(row, row.per100g, label.language) },
    ...(portionGrams === undefined
      ? []
      : [
          {
            head: `${words.perPortion} (${Math.round(portionGrams)} g)`,
            cell: (row: NutritionRow) => withUnit(row, row.perPortion, label.language),
          },
        ]),
  ];
  const nameOf = (row: NutritionRow) => (row.id === "energyKcal" ? "" : row.name);
  const indent = (row: NutritionRow) => (row.indented ? size * 0.7 : 0);
  const nameWidth = Math.max(
    widthMm(words.nutrition, size, true),
    ...rows.map((row) => indent(row) + widthMm(nameOf(row), size, false)),
  );
  const widths = columns.map(({ head, cell }) =>
    Math.max(widthMm(head, size, true), ...rows.map((row) => widthMm(cell(row), size, false))),
  );
  const gap = size * 0.8;
  const total = nameWidth + widths.reduce((sum, one) => sum + one + gap, 0);
  const step = size * 1.28;
  const items: LayoutItem[] = [text(0, step * 0.78, size, true, words.nutrition), ruleAt(step, total, 0.3)];
  const right = (index: number) => nameWidth + widths.slice(0, index + 1).reduce((sum, one) => sum + one + gap, 0);
  for (const [index, { head }] of columns.entries())
    items.push(text(right(index) - widthMm(head, size, true), step * 0.78, size, true, head));
  for (const [at, row] of rows.entries()) {
    const baseline = step * (at + 1.8);
    if (nameOf(row) !== "") items.push(text(indent(row), baseline, size, false, nameOf(row)));
    for (const [index, { cell }] of columns.entries())
      items.push(text(right(index) - widthMm(cell(row), size, false), baseline, size, false, cell(row)));
    if (row.id !== "energyKj") items.push(ruleAt(step * (at + 2), total));
  }
  return { items, heightMm: step * (rows.length + 1) + 0.3, gapMm: size * 0.6, widthMm: total };
}

const US_BOLD = new Set(["fat", "cholesterolMg", "sodium", "carbohydrate", "protein"]);
const US_VITAMINS = new Set(["vitaminDMcg", "calciumMg", "ironMg", "potassiumMg"]);
/** Least letters of the panel: 8 point, 6 in the footnote (21 CFR 101.9(d)(1)(iii), from memory) [mm]. */
const [POINT_8, POINT_6] = [(8 * 25.4) / 72, (6 * 25.4) / 72];
const US_FOOTNOTE =
  "*The % Daily Value (DV) tells you how much a nutrient in a serving of food contributes to a daily diet. 2,000 calories a day is used for general nutrition advice.";

function usPanel(label: Label, textSize: number, limit: number | undefined): Block & { readonly widthMm: number } {
  const size = Math.max(POINT_8, textSize * 0.9);
  const width = Math.max(52, Math.min(limit ?? 58, 70));
  const [pad, inner] = [1, width - 2];
  const items: LayoutItem[] = [];
  let y = pad;
  const put = (words: string, at: number, isBold: boolean, xMm = 0) =>
    void items.push(text(pad + xMm, y + at * 0.8, at, isBold, words));
  const putRight = (words: string, at: number, isBold: boolean) => put(words, at, isBold, inner - widthMm(words, at, isBold));
  const bar = (thick: number) => {
    items.push({ kind: "box", xMm: pad, yMm: y, widthMm: inner, heightMm: thick, fill: INK });
    y += thick + size * 0.12;
  };
  const title = inner / (widthMm("Nutrition Facts", 1, true) * 1.01);
  put("Nutrition Facts", title, true);
  y += title * 1.02;
  bar(0.15);
  const { serving } = label;
  if (serving !== undefined) {
    put(`${serving.servings} servings per container`, size, false);
    y += size * 1.2;
    put("Serving size", size, true);
    putRight(serving.words, size, true);
    y += size * 1.25;
  }
  bar(1.6);
  const { rows } = label.nutrition!;
  const calories = rows.find(({ id }) => id === "calories")!;
  put("Amount per serving", size * 0.85, true);
  y += size * 1.05;
  const large = size * 1.7;
  put("Calories", large, true);
  putRight(shown(calories.perPortion), large, true);
  y += large * 1.08;
  bar(0.8);
  putRight("% Daily Value*", size * 0.85, true);
  y += size * 1.1;
  const line = (row: NutritionRow) => {
    bar(0.12);
    const xMm = row.id === "addedSugars" ? size * 1.4 : row.indented ? size * 0.8 : 0;
    const isStrong = US_BOLD.has(row.id);
    const words = row.id === "addedSugars" ? `Includes ${shown(row.perPortion)} Added Sugars` : row.name;
    put(words, size, isStrong, xMm);
    if (row.id !== "addedSugars") put(shown(row.perPortion), size, false, xMm + widthMm(`${words} `, size, isStrong));
    if (row.percent !== undefined) putRight(`${row.percent}%`, size, !US_VITAMINS.has(row.id));
    y += size * 1.2;
  };
  for (const row of rows.filter(({ id }) => id !== "calories" && !US_VITAMINS.has(id))) line(row);
  bar(1.6);
  for (const row of rows.filter(({ id }) => US_VITAMINS.has(id))) line(row);
  bar(0.8);
  const foot = Math.max(POINT_6, size * 0.75);
  const note = paragraph(plain(US_FOOTNOTE), foot, inner, 0);
  items.push(...note.items.map((item) => shifted(item, pad, y)));
  y += note.heightMm + pad;
  return { items: [...frame(width, y), ...items], heightMm: y, gapMm: textSize * 0.6, widthMm: width };
}

const frame = (width: number, height: number, thick = 0.3): readonly LayoutItem[] => [
  { kind: "box", xMm: 0, yMm: 0, widthMm: width, heightMm: thick, fill: INK },
  { kind: "box", xMm: 0, yMm: height - thick, widthMm: width, heightMm: thick, fill: INK },
  { kind: "box", xMm: 0, yMm: 0, widthMm: thick, heightMm: height, fill: INK },
  { kind: "box", xMm: width - thick, yMm: 0, widthMm: thick, heightMm: height, fill: INK },
];

/** Colours of the voluntary scheme are a convention; ours are light, so that black print on them reads. */
const BAND_FILL: Readonly<Record<FrontOfPackBand, string>> = { low: "#a8dba0", medium: "#fbd27a", high: "#f5a39b" };
/**
 * The bands beside each other, or in rows where they are narrow. Their letters are as large as the text's: what is repeated on the
 * front has the least x-height too (Article 34(3), from memory). A long name takes two lines.
 */
function bandsBlock(label: Label, lines: readonly FrontOfPackLine[], size: number, width: number, gapMm: number): Block {
  const gap = size * 0.2;
  const words = labelWords(label.language).bands;
  const widthFor = (columns: number) => (width - gap * (columns - 1)) / columns;
  const rowsOf = (line: FrontOfPackLine) => [
    ...line.amount.split(/(?<=kJ) /).map((text) => ({ text, isBold: false })),
    ...(line.percent === undefined ? [] : [{ text: `${line.percent}%`, isBold: false }]),
    ...(line.band === undefined ? [] : [{ text: words[line.band], isBold: true }]),
  ];
  const nameOf = (line: FrontOfPackLine) => line.name.charAt(0).toUpperCase() + line.name.slice(1);
  const longest = Math.max(
    ...lines.flatMap((line) => [
      ...nameOf(line)
        .split(" ")
        .map((word) => widthMm(word, size, true)),
      ...rowsOf(line).map(({ text, isBold }) => widthMm(text, size, isBold)),
    ]),
  );
  const columns = [5, 3, 2].find((count) => longest <= widthFor(count) - size * 0.3) ?? 1;
  const box = widthFor(columns);
  const drawn = lines.map((line) => [
    ...breakLines([bold(nameOf(line))], box - size * 0.3, size).map((runs) => ({
      text: runs.map((run) => run.text).join(""),
      isBold: true,
    })),
    ...rowsOf(line),
  ]);
  const height = size * (0.25 + 1.18 * Math.max(...drawn.map((rows) => rows.length)));
  const items = lines.flatMap((line, index): LayoutItem[] => {
    const [x, y] = [(index % columns) * (box + gap), Math.floor(index / columns) * (height + gap)];
    const fill = line.band === undefined ? "#e8e8e8" : BAND_FILL[line.band];
    return [
      { kind: "box", xMm: x, yMm: y, widthMm: box, heightMm: height, fill },
      ...drawn[index]!.map(
        (row, at): LayoutItem =>
          text(x + (box - widthMm(row.text, size, row.isBold)) / 2, y + size * (1.05 + at * 1.18), size, row.isBold, row.text),
      ),
    ];
  });
  return { items, heightMm: Math.ceil(lines.length / columns) * (height + gap) - gap, gapMm };
}

/** Widths of a module that the symbol may have in retail: 80 % to 200 % of 0.33 mm (GS1 General Specifications; from memory). */
const [MODULE_MM, LEAST_MODULE_MM] = [0.33, 0.264];
const [QUIET_LEFT, QUIET_RIGHT, MODULES] = [11, 7, 95];

/** The bars with their quiet zones and digits, at full size where there is room, else at 80 %; never less. */
function barcodeBlock(gtin: string, limit: number): Block & { readonly widthMm: number } {
  const across = QUIET_LEFT + MODULES + QUIET_RIGHT;
  const module = across * MODULE_MM <= limit * 0.45 ? MODULE_MM : LEAST_MODULE_MM;
  const height = (22.85 * module) / MODULE_MM;
  const digits = 8.5 * module;
  const items: LayoutItem[] = [];
  const pattern = ean13Modules(gtin)!;
  for (const { index, length } of barsOf(pattern)) {
    const isGuard = index < 3 || index >= 92 || (index >= 45 && index < 50);
    items.push({
      kind: "box",
      xMm: (QUIET_LEFT + index) * module,
      yMm: 0,
      widthMm: length * module,
      heightMm: height + (isGuard ? 5 * module : 0),
      fill: INK,
    });
  }
  const put = (group: string, from: number, to: number) => {
    const step = ((to - from) * module) / group.length;
    for (const [at, digit] of [...group].entries())
      items.push(
        text(from * module + step * (at + 0.5) - widthMm(digit, digits, false) / 2, height + digits, digits, false, digit),
      );
  };
  items.push(text(0, height + digits, digits, false, gtin[0]!));
  put(gtin.slice(1, 7), QUIET_LEFT + 3, QUIET_LEFT + 45);
  put(gtin.slice(7), QUIET_LEFT + 50, QUIET_LEFT + 92);
  return { items, heightMm: height + digits * 1.1, gapMm: 1.5, widthMm: across * module };
}

function barsOf(modules: string): readonly { readonly index: number; readonly length: number }[] {
  return [...modules.matchAll(/1+/g)].map((run) => ({ index: run.index, length: run[0].length }));
}
