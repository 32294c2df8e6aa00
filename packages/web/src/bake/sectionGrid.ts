import type { BakeSection } from "@evencrumb/core/bake";

/**
 * The cut at one moment on a grid of points that reaches from wall to wall: cell centres, and the borders with the value of the
 * cell beside them. Row by row from the base, from the middle outwards.
 */
export interface SectionGrid {
  readonly columns: number;
  readonly rows: number;
  /** Distance from the axis of each column [m]. */
  readonly xM: Float64Array;
  /** Height over the base of each point [m]; columns rise by themselves. */
  readonly yM: Float64Array;
  readonly temperatureC: Float64Array;
  readonly set: Float64Array;
}

/** @param timeS  straight between two pictures; held before the first and after the last */
export function sectionAt(section: BakeSection, timeS: number): SectionGrid {
  const { timesS, acrossM, upM } = section;
  const [across, up] = [acrossM.length - 1, upM.length - 1];
  let later = timesS.findIndex((time) => time >= timeS);
  if (later < 0) later = timesS.length - 1;
  const earlier = Math.max(0, later - 1);
  const gap = timesS[later]! - timesS[earlier]!;
  const share = gap > 0 ? Math.min(1, Math.max(0, (timeS - timesS[earlier]!) / gap)) : 1;
  const cells = across * up;
  const mixed = (of: Float32Array, cell: number) => of[earlier * cells + cell]! * (1 - share) + of[later * cells + cell]! * share;

  const [columns, rows] = [across + 2, up + 2];
  const grid = {
    columns,
    rows,
    xM: new Float64Array(columns),
    yM: new Float64Array(columns * rows),
    temperatureC: new Float64Array(columns * rows),
    set: new Float64Array(columns * rows),
  };
  for (let column = 0; column < columns; column++) {
    const i = Math.min(across - 1, Math.max(0, column - 1));
    grid.xM[column] =
      column === 0 ? acrossM[0]! : column === columns - 1 ? acrossM[across]! : 0.5 * (acrossM[i]! + acrossM[i + 1]!);
    let floor = 0;
    for (let k = 0; k < up; k++) {
      const cell = k * across + i;
      const tall = (upM[k + 1]! - upM[k]!) * mixed(section.growth, cell);
      const put = (row: number, height: number) => {
        const at = row * columns + column;
        grid.yM[at] = height;
        grid.temperatureC[at] = mixed(section.temperatureC, cell);
        grid.set[at] = mixed(section.set, cell);
      };
      if (k === 0) put(0, 0);
      put(k + 1, floor + 0.5 * tall);
      floor += tall;
      if (k === up - 1) put(rows - 1, floor);
    }
  }
  return grid;
}

/** Pieces of the line on which `values` pass `level`: x1, y1, x2, y2 in metres, one after the other (marching squares). */
export function contour(grid: SectionGrid, values: Float64Array, level: number): number[] {
  const pieces: number[] = [];
  const { columns, rows, xM, yM } = grid;
  for (let row = 0; row + 1 < rows; row++)
    for (let column = 0; column + 1 < columns; column++) {
      const corners = [
        row * columns + column,
        row * columns + column + 1,
        (row + 1) * columns + column + 1,
        (row + 1) * columns + column,
      ];
      const crossings: number[] = [];
      for (let side = 0; side < 4; side++) {
        const [a, b] = [corners[side]!, corners[(side + 1) % 4]!];
        const [va, vb] = [values[a]! - level, values[b]! - level];
        if (va >= 0 === vb >= 0) continue;
        const share = va / (va - vb);
        crossings.push(xM[a % columns]! + share * (xM[b % columns]! - xM[a % columns]!), yM[a]! + share * (yM[b]! - yM[a]!));
      }
      // A saddle has four crossings: which two belong together is a matter of taste on cells this small.
      for (let at = 0; at + 3 < crossings.length; at += 4) pieces.push(...crossings.slice(at, at + 4));
    }
  return pieces;
}
