import { effectiveShape, type Tin, tinDepthMm } from "@evencrumb/core/tins";
import { useId } from "react";

/** How wide a hollow is at its top [mm], across its longer side: what the drawing has to make room for. */
export function tinWidthMm(tin: Tin): number {
  const shape = effectiveShape(tin);
  switch (shape.kind) {
    case "round":
    case "cup":
    case "tray-of-cups":
      return shape.topDiameterMm;
    case "square":
    case "rectangular":
    case "loaf":
      return shape.topLengthMm;
    case "ring":
    case "fluted-ring":
      return shape.outerDiameterMm;
    case "ball":
      return shape.diameterMm;
  }
}

const RIM = 5;

/**
 * A tin cut through the middle, with its batter, to scale.
 *
 * @param pxPerMm  the same for all pictures that stand together, so that they can be compared by eye
 * @param ghostMm  where the batter stood in the revision it is compared with
 */
export function TinPicture({
  tin,
  depthMm,
  pxPerMm,
  ghostMm,
  label,
}: {
  tin: Tin;
  depthMm: number;
  pxPerMm: number;
  ghostMm?: number | undefined;
  /** What it shows in words; "" where the words stand beside it. */
  label: string;
}) {
  const width = tinWidthMm(tin) + 2 * RIM + 2;
  const height = tinDepthMm({ ...tin, shape: effectiveShape(tin) }) + 5;
  const section = tinSection(tin);
  const id = useId();
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: it has a label, or words beside it
    <svg
      className="tin-picture"
      {...(label === "" ? { "aria-hidden": true } : { role: "img", "aria-label": label })}
      width={width * pxPerMm}
      height={height * pxPerMm}
      viewBox={`${-width / 2} ${-(height - 3)} ${width} ${height}`}
    >
      <clipPath id={id}>
        {section.hollows.map((path) => (
          <path key={path} d={path} />
        ))}
      </clipPath>
      <g clipPath={`url(#${id})`}>
        <rect className="batter" x={-width / 2} y={-depthMm} width={width} height={depthMm} />
        <line className="batter-top" x1={-width / 2} x2={width / 2} y1={-depthMm} y2={-depthMm} />
        {ghostMm === undefined ? null : (
          <line className="batter-ghost" x1={-width / 2} x2={width / 2} y1={-ghostMm} y2={-ghostMm} />
        )}
      </g>
      {section.walls.map((path) => (
        <path key={path} className="tin-wall" d={path} vectorEffect="non-scaling-stroke" />
      ))}
    </svg>
  );
}

/** Paths in mm, base on y = 0, up is negative: the hollow that batter fills, and the metal around it. */
function tinSection(tin: Tin): { hollows: readonly string[]; walls: readonly string[] } {
  const shape = effectiveShape(tin);
  const trough = (top: number, base: number, depth: number) => ({
    hollows: [`M${-top / 2} ${-depth}L${-base / 2} 0H${base / 2}L${top / 2} ${-depth}Z`],
    walls: [`M${-top / 2 - RIM} ${-depth}H${-top / 2}L${-base / 2} 0H${base / 2}L${top / 2} ${-depth}H${top / 2 + RIM}`],
  });
  switch (shape.kind) {
    case "round":
    case "cup":
    case "tray-of-cups":
      return trough(shape.topDiameterMm, shape.baseDiameterMm, shape.depthMm);
    case "square":
    case "rectangular":
    case "loaf":
      return trough(shape.topLengthMm, shape.baseLengthMm, shape.depthMm);
    case "ring": {
      const [outer, tube, depth] = [shape.outerDiameterMm / 2, shape.tubeDiameterMm / 2, shape.depthMm];
      return {
        hollows: [`M${-outer} ${-depth}V0H${-tube}V${-depth}Z`, `M${tube} ${-depth}V0H${outer}V${-depth}Z`],
        walls: [`M${-outer - RIM} ${-depth}H${-outer}V0H${-tube}V${-depth}H${tube}V0H${outer}V${-depth}H${outer + RIM}`],
      };
    }
    case "fluted-ring": {
      const [outer, tube, depth] = [shape.outerDiameterMm / 2, shape.tubeDiameterMm / 2, shape.depthMm];
      const r = (outer - tube) / 2;
      return {
        hollows: [
          `M${-outer} ${-depth}V${-r}A${r} ${r} 0 0 0 ${-tube} ${-r}V${-depth}Z`,
          `M${tube} ${-depth}V${-r}A${r} ${r} 0 0 0 ${outer} ${-r}V${-depth}Z`,
        ],
        walls: [
          `M${-outer - RIM} ${-depth}H${-outer}V${-r}A${r} ${r} 0 0 0 ${-tube} ${-r}V${-depth}H${tube}V${-r}A${r} ${r} 0 0 0 ${outer} ${-r}V${-depth}H${outer + RIM}`,
        ],
      };
    }
    case "ball": {
      const r = shape.diameterMm / 2;
      return shape.part === "half"
        ? {
            hollows: [`M${-r} ${-r}A${r} ${r} 0 0 0 ${r} ${-r}Z`],
            walls: [`M${-r - RIM} ${-r}H${-r}A${r} ${r} 0 0 0 ${r} ${-r}H${r + RIM}`],
          }
        : {
            hollows: [`M${-r} ${-r}A${r} ${r} 0 1 0 ${r} ${-r}A${r} ${r} 0 1 0 ${-r} ${-r}Z`],
            walls: [`M${-r} ${-r}A${r} ${r} 0 1 0 ${r} ${-r}A${r} ${r} 0 1 0 ${-r} ${-r}Z`],
          };
    }
  }
}
