/** "assess": the tables ask for a product assessment; until there is one it is treated as a food that has to be kept cold or hot. */
export type StorageClass = "no-time-temperature-control" | "assess";

/** A: heated to kill vegetative cells and packed afterwards. B: not heated, or heated and not packed (a cake filled at the bench). */
export type StorageTable = "A" | "B";

const KEEP = "no-time-temperature-control";
const ASSESS = "assess";

/** Rows by water activity, columns by pH; `upTo` is the highest value that still belongs to the row or column. */
const TABLES = {
  A: {
    phUpTo: [4.6, 5.6, 14],
    rows: [
      { activityUpTo: 0.92, cells: [KEEP, KEEP, KEEP] },
      { activityUpTo: 0.95, cells: [KEEP, KEEP, ASSESS] },
      { activityUpTo: 1, cells: [KEEP, ASSESS, ASSESS] },
    ],
  },
  B: {
    phUpTo: [4.2, 4.6, 5.0, 14],
    rows: [
      { activityUpTo: 0.88, cells: [KEEP, KEEP, KEEP, KEEP] },
      { activityUpTo: 0.9, cells: [KEEP, KEEP, KEEP, ASSESS] },
      { activityUpTo: 0.92, cells: [KEEP, KEEP, ASSESS, ASSESS] },
      { activityUpTo: 1, cells: [KEEP, ASSESS, ASSESS, ASSESS] },
    ],
  },
} as const;

/**
 * Where a food stands in the tables for time/temperature control.
 *
 * @param table     which table applies
 * @param activity  water activity, 0 to 1
 * @param ph        0 to 14
 * @throws RangeError outside those ranges
 *
 * Source: FDA Food Code 2022, 1-201.10(B), definition of "time/temperature control for safety food", tables A and B.
 * Table B's first limits are "less than" (pH below 4.2, activity below 0.88), all others "up to and including".
 */
export function storageClass(table: StorageTable, activity: number, ph: number): StorageClass {
  if (!(activity >= 0 && activity <= 1)) throw new RangeError(`storageClass: water activity ${activity} is not within 0 to 1`);
  if (!(ph >= 0 && ph <= 14)) throw new RangeError(`storageClass: pH ${ph} is not within 0 to 14`);
  const { phUpTo, rows } = TABLES[table];
  const strictFirst = table === "B";
  const within = (value: number, limit: number, index: number) => (strictFirst && index === 0 ? value < limit : value <= limit);
  const row = rows.find(({ activityUpTo }, index) => within(activity, activityUpTo, index)) ?? rows[rows.length - 1]!;
  const column = phUpTo.findIndex((limit, index) => within(ph, limit, index));
  return row.cells[column]!;
}
