import { type LabelLayout, labelSvg, type SheetGrid, sheetPlaces } from "@evencrumb/core/label";

/** Labels as a page to print at true size. The drawing is a picture in it, so that nothing of it can run. */
export function sheetHtml(
  layout: LabelLayout,
  grid: SheetGrid,
  options: { fontCss: string; skip: number; count: number },
): string {
  const picture = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(labelSvg(layout, { fontCss: options.fontCss }))}`;
  const places = sheetPlaces(grid);
  const pages: string[] = [];
  let taken = options.skip;
  for (let left = options.count; left > 0; taken = 0) {
    const here = places.slice(taken, taken + left);
    if (here.length === 0) break;
    left -= here.length;
    pages.push(
      `<section>${here
        .map(
          ({ xMm, yMm }) =>
            `<img alt="" src="${picture}" style="position:absolute;left:${xMm}mm;top:${yMm}mm;width:${grid.labelWidthMm}mm;height:${grid.labelHeightMm}mm">`,
        )
        .join("")}</section>`,
    );
  }
  return `<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>Labels</title><style>@page{size:${grid.pageWidthMm}mm ${grid.pageHeightMm}mm;margin:0}body{margin:0}section{position:relative;width:${grid.pageWidthMm}mm;height:${grid.pageHeightMm}mm;overflow:hidden;break-after:page}section:last-child{break-after:auto}</style><body>${pages.join("")}`;
}
