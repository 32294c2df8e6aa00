import { type Label, type LabelLayout, labelText, type SheetGrid, sheetPlaces } from "@evencrumb/core/label";

/** The label as it prints, with the height of its letters against the rule. */
export function LabelPaperView({
  label,
  layout,
  svg,
}: {
  label: Label;
  layout: LabelLayout | undefined;
  svg: string | undefined;
}) {
  if (layout === undefined || svg === undefined)
    return <p className="caution-words">A label is from 15 to 600 mm wide and high.</p>;
  return (
    <>
      {/* A picture and not markup of the page: nothing in it can run. */}
      <img src={`data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`} alt={labelText(label).join(" ")} />
      <p className="muted small">
        {layout.widthMm} × {layout.heightMm} mm on paper. Letters: x-height <strong>{layout.xHeightMm.toFixed(2)} mm</strong>; the
        rule asks for {layout.leastXHeightMm.toFixed(2)} mm
        {label.place === "us"
          ? " (a sixteenth of an inch)"
          : label.surfaceCm2 !== undefined && label.surfaceCm2 < 80
            ? ` (the pack's largest surface is under 80 cm²)`
            : " (0.90 mm where the pack's largest surface is under 80 cm²)"}
        .
      </p>
      {layout.problems.length === 0 ? null : (
        <div role="status">
          <ul className="problems">
            {layout.problems.map((one) => (
              <li key={one}>{one}</li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}

/** The page with its labels, small: which are taken, and which will be printed. */
export function SheetPicture({ grid, skip, count }: { grid: SheetGrid; skip: number; count: number }) {
  const places = sheetPlaces(grid);
  return (
    <svg
      className="sheet-picture"
      viewBox={`-2 -2 ${grid.pageWidthMm + 4} ${grid.pageHeightMm + 4}`}
      role="img"
      aria-label={`A page of ${grid.rows} down and ${grid.columns} across; ${skip} taken, ${Math.min(count, places.length - skip)} to print on the first.`}
    >
      <rect width={grid.pageWidthMm} height={grid.pageHeightMm} className="sheet-page" />
      {places.map(({ xMm, yMm }, index) => (
        <rect
          key={`${xMm} ${yMm}`}
          x={xMm}
          y={yMm}
          width={grid.labelWidthMm}
          height={grid.labelHeightMm}
          className={index < skip ? "sheet-taken" : index < skip + count ? "sheet-printed" : "sheet-free"}
        />
      ))}
    </svg>
  );
}
