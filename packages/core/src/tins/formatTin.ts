import type { BoxSize, RoundSize, Tin } from "./tin.js";
import { USUAL_WALLS } from "./tin.js";

/** Sizes in centimetres or in inches; a tin written in one and read again is the same tin to a tenth of a millimetre. */
export type TinUnits = "cm" | "in";

/**
 * A tin in words that `parseTin` reads back: "round 20x5 cm", "loaf 22x11.5/20x9.5x6.5 cm", "8x2 in round".
 *
 * @param options.units  "cm" (default) or "in" (sizes to a hundredth of an inch)
 */
export function formatTin(tin: Tin, options: { readonly units?: TinUnits } = {}): string {
  const units = options.units ?? "cm";
  const number = (mm: number) => String(units === "cm" ? Math.round(mm * 10) / 100 : Math.round((mm / 25.4) * 100) / 100);
  const round = (size: RoundSize) =>
    `${number(size.topDiameterMm)}${size.baseDiameterMm === size.topDiameterMm ? "" : `/${number(size.baseDiameterMm)}`}x${number(size.depthMm)}`;
  const box = (size: BoxSize) =>
    size.baseLengthMm === size.topLengthMm && size.baseWidthMm === size.topWidthMm
      ? `${number(size.topLengthMm)}x${number(size.topWidthMm)}x${number(size.depthMm)}`
      : `${number(size.topLengthMm)}x${number(size.topWidthMm)}/${number(size.baseLengthMm)}x${number(size.baseWidthMm)}x${number(size.depthMm)}`;
  const shape = tin.shape;
  const sized = (): string => {
    switch (shape.kind) {
      case "round":
        return units === "in" ? `${round(shape)} in round` : `round ${round(shape)} cm`;
      case "square":
        // "square 20x20 cm" would be read as a side said twice.
        if (shape.depthMm === shape.topLengthMm && shape.baseLengthMm === shape.topLengthMm)
          return `square ${box(shape)} ${units}`;
        return `square ${number(shape.topLengthMm)}${shape.baseLengthMm === shape.topLengthMm ? "" : `/${number(shape.baseLengthMm)}`}x${number(shape.depthMm)} ${units}`;
      case "rectangular":
        return `rectangle ${box(shape)} ${units}`;
      case "loaf":
        return `loaf ${box(shape)} ${units}`;
      case "ring":
      case "fluted-ring":
        return `${shape.kind === "ring" ? "ring" : "fluted ring"} ${number(shape.outerDiameterMm)}x${number(shape.depthMm)} ${units} hole ${number(shape.tubeDiameterMm)} ${units}`;
      case "ball":
        return `${shape.part === "half" ? "half ball" : "ball"} ${number(shape.diameterMm)} ${units}`;
      case "cup":
        return `cup ${round(shape)} ${units}`;
      case "tray-of-cups":
        return `tray of ${shape.cupCount} cups ${round(shape)} ${units}`;
    }
  };
  const words = [sized()];
  if (tin.measuredCapacityMl !== undefined) words.push(`holds ${Math.round(tin.measuredCapacityMl)} ml`);
  const unsaid = tin.assumed.some((assumption) => assumption.what === "material");
  if (!unsaid) words.push(tin.material === "dark-steel" ? "dark steel" : tin.material);
  if (tin.finish !== USUAL_WALLS[tin.material].finish) words.push(tin.finish);
  return words.join(", ").replaceAll(",", "");
}
