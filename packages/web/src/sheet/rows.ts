import type { Formula } from "@evencrumb/core/formula";
import type { CellPlace, ColumnName } from "../formula/session.js";

/** The lines of the sheet from top to bottom. Every line knows its place in the formula. */
export type Row =
  | { readonly is: "component"; readonly component: number }
  | { readonly is: "stage"; readonly component: number; readonly stage: number }
  | { readonly is: "use"; readonly component: number; readonly stage: number; readonly use: number }
  /** The empty line at the end of a stage, where a new ingredient is typed. */
  | { readonly is: "blank"; readonly component: number; readonly stage: number; readonly use: number };

export const COLUMNS: readonly ColumnName[] = ["name", "note", "grams", "percent", "share"];

/** Which cells of a line can be gone to. */
export function columnsOf(row: Row): readonly ColumnName[] {
  switch (row.is) {
    case "component":
      return ["name"];
    case "stage":
      return ["name", "note"];
    case "use":
      return COLUMNS;
    case "blank":
      return ["name"];
  }
}

export function sheetRows(formula: Formula): readonly Row[] {
  return formula.components.flatMap((component, c): Row[] => [
    { is: "component", component: c },
    ...component.stages.flatMap((stage, s): Row[] => [
      { is: "stage", component: c, stage: s },
      ...stage.uses.map((_, u): Row => ({ is: "use", component: c, stage: s, use: u })),
      { is: "blank", component: c, stage: s, use: stage.uses.length },
    ]),
  ]);
}

export const rowKey = (row: Row): string =>
  [row.is, row.component, "stage" in row ? row.stage : "", "use" in row ? row.use : ""].join("-");

export const placeOf = (row: Row, column: ColumnName): CellPlace => ({
  component: row.component,
  ...("stage" in row ? { stage: row.stage } : {}),
  ...("use" in row ? { use: row.use } : {}),
  column,
});

export function rowIndexOf(rows: readonly Row[], place: CellPlace): number {
  return rows.findIndex(
    (row) =>
      row.component === place.component &&
      ("stage" in row ? row.stage : undefined) === place.stage &&
      ("use" in row ? row.use : undefined) === place.use,
  );
}

/** The nearest cell that exists: lines may have gone since. */
export function nearestPlace(rows: readonly Row[], place: CellPlace): CellPlace | null {
  if (rows.length === 0) return null;
  const exact = rowIndexOf(rows, place);
  const index = exact >= 0 ? exact : lastAtOrBefore(rows, place);
  const row = rows[index]!;
  const columns = columnsOf(row);
  return placeOf(row, columns.includes(place.column) ? place.column : (columns.at(-1) ?? "name"));
}

function lastAtOrBefore(rows: readonly Row[], place: CellPlace): number {
  const order = (component: number, stage = -1, use = -1) => (component * 1000 + stage + 1) * 1000 + use + 1;
  const wanted = order(place.component, place.stage, place.use);
  const index = rows.findLastIndex(
    (row) => order(row.component, "stage" in row ? row.stage : -1, "use" in row ? row.use : -1) <= wanted,
  );
  return Math.max(0, index);
}

/** Where an arrow leads. A line without the wanted column gives the nearest one to its left. */
export function stepFrom(
  rows: readonly Row[],
  place: CellPlace,
  step: { readonly rows?: number; readonly columns?: number },
  wanted: ColumnName = place.column,
): CellPlace {
  const at = Math.max(0, rowIndexOf(rows, place));
  const row = rows[at];
  if (row === undefined) return place;
  if (step.columns !== undefined) {
    const columns = columnsOf(row);
    const next = columns.indexOf(place.column) + step.columns;
    if (next >= 0 && next < columns.length) return placeOf(row, columns[next]!);
    const neighbour = rows[at + Math.sign(step.columns)];
    if (neighbour === undefined) return place;
    const over = columnsOf(neighbour);
    return placeOf(neighbour, step.columns > 0 ? over[0]! : over.at(-1)!);
  }
  const target = rows[Math.min(rows.length - 1, Math.max(0, at + (step.rows ?? 0)))]!;
  const columns = columnsOf(target);
  const reach = COLUMNS.indexOf(wanted);
  return placeOf(target, columns.findLast((column) => COLUMNS.indexOf(column) <= reach) ?? columns[0]!);
}

/** Cells between two corners, for copying, clearing and pasting: lines with their columns. */
export function cellsBetween(rows: readonly Row[], from: CellPlace, to: CellPlace): readonly (readonly CellPlace[])[] {
  const [first, last] = [rowIndexOf(rows, from), rowIndexOf(rows, to)].sort((a, b) => a - b) as [number, number];
  const [left, right] = [COLUMNS.indexOf(from.column), COLUMNS.indexOf(to.column)].sort((a, b) => a - b) as [number, number];
  return rows
    .slice(Math.max(0, first), last + 1)
    .filter((row) => row.is === "use" || row.is === "blank" || first === last)
    .map((row) => COLUMNS.slice(left, right + 1).map((column) => placeOf(row, column)));
}
