/** A sheet of equal labels, in millimetres. */
export interface SheetGrid {
  readonly pageWidthMm: number;
  readonly pageHeightMm: number;
  readonly rows: number;
  readonly columns: number;
  readonly labelWidthMm: number;
  readonly labelHeightMm: number;
  readonly marginLeftMm: number;
  readonly marginTopMm: number;
  /** From the end of one label to the start of the next. */
  readonly gapAcrossMm: number;
  readonly gapDownMm: number;
}

/**
 * Where labels stand on a sheet. Margins and gaps as the sheet's maker prints them; where they are left out the labels touch and
 * are centred on the page.
 *
 * @throws RangeError where the labels do not fit on the page, with by how much
 */
export function sheetGrid(
  ask: Pick<SheetGrid, "rows" | "columns" | "labelWidthMm" | "labelHeightMm"> & Partial<SheetGrid>,
): SheetGrid {
  const {
    rows,
    columns,
    labelWidthMm,
    labelHeightMm,
    pageWidthMm = 210,
    pageHeightMm = 297,
    gapAcrossMm = 0,
    gapDownMm = 0,
  } = ask;
  for (const count of [rows, columns])
    if (!(Number.isInteger(count) && count >= 1 && count <= 50))
      throw new RangeError(`sheetGrid: ${count} is not a whole number from 1 to 50`);
  const across = columns * labelWidthMm + (columns - 1) * gapAcrossMm;
  const down = rows * labelHeightMm + (rows - 1) * gapDownMm;
  const { marginLeftMm = (pageWidthMm - across) / 2, marginTopMm = (pageHeightMm - down) / 2 } = ask;
  if (marginLeftMm < -1e-9 || marginLeftMm + across > pageWidthMm + 1e-9)
    throw new RangeError(
      `sheetGrid: ${columns} labels of ${labelWidthMm} mm take ${across} mm across, and the page has ${pageWidthMm}`,
    );
  if (marginTopMm < -1e-9 || marginTopMm + down > pageHeightMm + 1e-9)
    throw new RangeError(
      `sheetGrid: ${rows} labels of ${labelHeightMm} mm take ${down} mm down, and the page has ${pageHeightMm}`,
    );
  return {
    rows,
    columns,
    labelWidthMm,
    labelHeightMm,
    pageWidthMm,
    pageHeightMm,
    gapAcrossMm,
    gapDownMm,
    marginLeftMm,
    marginTopMm,
  };
}

/** Upper left corners in reading order, from the one after `skip` (a sheet that was begun). */
export function sheetPlaces(grid: SheetGrid, skip = 0): readonly { readonly xMm: number; readonly yMm: number }[] {
  return Array.from({ length: grid.rows * grid.columns }, (_, index) => ({
    xMm: grid.marginLeftMm + (index % grid.columns) * (grid.labelWidthMm + grid.gapAcrossMm),
    yMm: grid.marginTopMm + Math.floor(index / grid.columns) * (grid.labelHeightMm + grid.gapDownMm),
  })).slice(skip);
}
