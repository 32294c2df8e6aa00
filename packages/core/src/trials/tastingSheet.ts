import type { Problem, Reading } from "../quantities/index.js";
import { readCsv, writeCsv } from "./csv.js";
import type { Cell, DataRow } from "./factors.js";
import { countAnswers, type TasterAnswer, type TasterSheet, type TastingPlan } from "./serving.js";

const YES = ["yes", "true", "1", "x"];

/**
 * Answers as CSV, one line a taster, for a spreadsheet or another statistics program: what was answered by code, and what that means
 * by cake (marks or places in a column each; 1 or 0 for a right answer; the cake that was chosen).
 */
export function writeAnswers(plan: TastingPlan, answers: readonly TasterAnswer[]): string {
  const { method, products } = plan.words;
  const byCake = method === "liking" || method === "ranking";
  const meaning = byCake ? products : method === "paired preference" ? ["chosen"] : ["right"];
  const rows = plan.sheets.map((sheet): DataRow => {
    const answer = answers.find(({ taster }) => taster === sheet.taster);
    const row: Record<string, Cell> = {
      taster: sheet.taster,
      answer: answer === undefined ? null : answerWords(answer),
      declined: answer?.declined === true ? "yes" : null,
    };
    const count = answer === undefined ? undefined : countAnswers(plan, [answer]);
    if (count === undefined || count.answered === 0) return row;
    if (byCake) for (const [index, name] of products.entries()) row[name] = count.rows![0]![index] ?? null;
    else if (method === "paired preference") row.chosen = products[count.chosen!.indexOf(1)]!;
    else row.right = count.correct!;
    return row;
  });
  return writeCsv(["taster", "answer", "declined", ...meaning], rows);
}

/** An answer in a line: "417", "417 238", "417=7 238=5". */
export const answerWords = ({ codes, marks }: TasterAnswer): string =>
  marks === undefined
    ? (codes ?? []).join(" ")
    : Object.entries(marks)
        .map(([code, mark]) => `${code}=${mark}`)
        .join(" ");

/**
 * Takes answers from CSV: by code in a column `answer` (codes with spaces; marks as 417=7 or in a column for each code), or, for
 * marks and places, in a column for each cake. Lines that do not fit are named and left out.
 */
export function readAnswers(plan: TastingPlan, text: string): Reading<readonly TasterAnswer[]> {
  const { value: table, problems: tableProblems } = readCsv(text);
  const problems: Problem[] = [...tableProblems];
  const answers: TasterAnswer[] = [];
  for (const [index, row] of table.rows.entries()) {
    const position = { line: table.lines[index]!, column: 1 };
    const sheet = plan.sheets.find(({ taster }) => taster === row.taster);
    if (sheet === undefined) {
      problems.push({
        code: "out-of-range",
        path: [index, "taster"],
        position,
        expected: `a taster from 1 to ${plan.sheets.length}`,
        found: String(row.taster ?? "nothing"),
        remedy: "Keep the numbers of the serving plan.",
      });
      continue;
    }
    const answer = answerOf(row, sheet, plan);
    if (answer === undefined) continue;
    const [misfit] = countAnswers(plan, [answer]).unusable;
    if (misfit === undefined && !answers.some(({ taster }) => taster === sheet.taster)) answers.push(answer);
    else
      problems.push({
        code: "wrong-type",
        path: [index, "answer"],
        position,
        expected: misfit?.expected ?? "one line for each taster",
        found: misfit?.found ?? "a second one",
        remedy: "Write what the taster said, by the codes of that taster's sheet.",
      });
  }
  return { value: answers, problems };
}

/** undefined: the line is empty, because that taster has not answered. */
function answerOf(row: DataRow, sheet: TasterSheet, { words }: TastingPlan): TasterAnswer | undefined {
  const { taster } = sheet;
  const { method, products } = words;
  if (YES.includes(String(row.declined ?? "").toLowerCase())) return { taster, declined: true };
  const written = String(row.answer ?? "")
    .split(/[\s,;]+/)
    .filter((word) => word !== "");
  const samples = sheet.samples.filter(({ role }) => role === "sample");
  if (method === "liking") {
    const pairs = written.map((pair) => pair.split(/[=:]/));
    const byCode = samples.flatMap(({ code }) => (typeof row[code] === "number" ? [[code, String(row[code])]] : []));
    const byCake = samples.flatMap(({ code, product }) => {
      const mark = row[products[product]!];
      return typeof mark === "number" ? [[code, String(mark)]] : [];
    });
    const marks = [pairs, byCode, byCake].find((found) => found.length > 0);
    return marks === undefined
      ? undefined
      : { taster, marks: Object.fromEntries(marks.map(([code, mark]) => [code!, Number(mark)])) };
  }
  if (written.length > 0) return { taster, codes: written };
  if (method !== "ranking") return undefined;
  const places = samples.map(({ code, product }) => ({ code, place: Number(row[products[product]!] ?? Number.NaN) }));
  if (places.every(({ place }) => Number.isNaN(place))) return undefined;
  // Two on one place is no order: both are left out, and what remains is too short to be taken.
  const at = (place: number) => places.filter((one) => one.place === place);
  return { taster, codes: samples.flatMap((_, index) => (at(index + 1).length === 1 ? [at(index + 1)[0]!.code] : [])) };
}
