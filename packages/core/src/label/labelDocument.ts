import { FieldReader, type Problem, type Reading } from "../quantities/index.js";
import type { LabelInputs } from "./labelFor.js";
import { type SheetGrid, sheetGrid } from "./labelSheet.js";
import { readLabelInputs } from "./readLabelInputs.js";

/** The size of a label and the sheet it comes on, in millimetres. */
export interface LabelPaper {
  readonly widthMm: number;
  readonly heightMm: number;
  /** Down and across on a page; one of each is a page of the label's own size. */
  readonly rows: number;
  readonly columns: number;
  readonly pageWidthMm?: number;
  readonly pageHeightMm?: number;
  /** From the page's edges to the first label; centred when left out. */
  readonly marginLeftMm?: number;
  readonly marginTopMm?: number;
  /** Between labels; they touch when left out. */
  readonly gapAcrossMm?: number;
  readonly gapDownMm?: number;
}

/** A label as a bakery keeps it: one formula, a place and a way of selling. The day it is to hold for is asked when it is made. */
export interface LabelDocument {
  /** What it is listed under: "Great Britain, for the stall". */
  readonly name: string;
  readonly formulaId: string;
  readonly inputs: Omit<LabelInputs, "date">;
  readonly paper: LabelPaper;
}

export const FIRST_PAPER: LabelPaper = { widthMm: 100, heightMm: 70, rows: 1, columns: 1 };

/** Any day does to read what is the same on all of them. */
const SOME_DAY = "2026-01-01";
const LENGTHS = {
  widthMm: [15, 600],
  heightMm: [15, 600],
  pageWidthMm: [50, 1200],
  pageHeightMm: [50, 1200],
  marginLeftMm: [0, 600],
  marginTopMm: [0, 600],
  gapAcrossMm: [0, 200],
  gapDownMm: [0, 200],
} as const;
const COUNTS = ["rows", "columns"] as const;

/**
 * Reads a kept label.
 *
 * @returns  undefined where it is none; problems with their paths
 */
export function readLabelDocument(value: unknown): Reading<LabelDocument | undefined> {
  const reader = new FieldReader();
  const fields = reader.object(value, [], new Set(["name", "formulaId", "inputs", "paper"]), "a label");
  if (fields === undefined) return { value: undefined, problems: reader.problems };
  const name = reader.text(fields.get("name"), ["name"], 200, "the name it is listed under");
  const formulaId = reader.text(fields.get("formulaId"), ["formulaId"], 200, "the formula that it is the label of");
  const inputs = readLabelInputs(fields.get("inputs"), { date: SOME_DAY });
  const problems: readonly Problem[] = inputs.problems.map((problem) => ({ ...problem, path: ["inputs", ...problem.path] }));
  const paper = readPaper(reader, fields.get("paper"));
  const all = [...reader.problems, ...problems];
  if (name === undefined || formulaId === undefined || inputs.value === undefined || paper === undefined)
    return { value: undefined, problems: all };
  const { date: _day, ...kept } = inputs.value;
  return { value: { name, formulaId, inputs: kept, paper }, problems: all };
}

function readPaper(reader: FieldReader, value: unknown): LabelPaper | undefined {
  if (value === undefined) return FIRST_PAPER;
  const of = reader.object(value, ["paper"], new Set([...Object.keys(LENGTHS), ...COUNTS]), "the size of the label");
  if (of === undefined) return undefined;
  const lengths = Object.entries(LENGTHS).flatMap(([field, [least, most]]) => {
    const length = of.has(field) ? reader.number(of.get(field), ["paper", field], least, most, "a length in mm") : undefined;
    return length === undefined ? [] : [[field, length] as const];
  });
  const counts = COUNTS.flatMap((field) => {
    const count = of.has(field) ? reader.number(of.get(field), ["paper", field], 1, 50, "a number of labels") : undefined;
    if (count === undefined) return [];
    if (Number.isInteger(count)) return [[field, count] as const];
    reader.say("out-of-range", ["paper", field], "a whole number from 1 to 50", String(count), "Count the labels of a page.");
    return [];
  });
  return { ...FIRST_PAPER, ...Object.fromEntries([...lengths, ...counts]) };
}

/** @returns how labels of this height (they may have grown) stand on the page, or why they do not fit, for the baker to mend */
export function sheetOf(paper: LabelPaper, labelHeightMm = paper.heightMm): Reading<SheetGrid | undefined> {
  const { rows, columns, widthMm, heightMm: _asked, ...page } = paper;
  const alone = rows === 1 && columns === 1;
  const size = { rows, columns, labelWidthMm: widthMm, labelHeightMm };
  try {
    return {
      value: sheetGrid(alone ? { ...size, pageWidthMm: widthMm, pageHeightMm: labelHeightMm } : { ...size, ...page }),
      problems: [],
    };
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    const expected = error.message.replace(/^sheetGrid: /, "");
    return {
      value: undefined,
      problems: [
        {
          code: "out-of-range",
          path: ["paper"],
          expected,
          found: `${rows} down and ${columns} across`,
          remedy: "Take fewer labels, a smaller label, other margins or a larger page.",
        },
      ],
    };
  }
}
