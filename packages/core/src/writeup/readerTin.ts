import { type CountedTin, type TinShape, tinCapacityMl } from "../tins/index.js";
import type { ReaderMeasures } from "./amounts.js";

/**
 * A tin as a reader names it: "20 x 5 cm (8 x 2 in) round tin, 2 of them", or for US measures "8 x 2 in (20 x 5 cm) round pan".
 *
 * Inches as they are stamped on tins: the nearest half inch where that is within 3 % of the true size, else the nearest quarter.
 * Loaf tins sold by weight keep that name. Sizes are inner sizes at the top.
 */
export function readerTin(counted: CountedTin, measures: ReaderMeasures): string {
  const words = tinWords(counted, measures);
  return counted.count === 1 ? words : `${words}, ${counted.count} of them`;
}

function tinWords({ tin, text }: CountedTin, measures: ReaderMeasures): string {
  const us = measures === "us";
  const { shape } = tin;
  const vessel = us ? "pan" : "tin";
  const made = madeOf(text);
  const both = (sizes: readonly number[]) =>
    us ? `${inches(sizes)} (${centimetres(sizes)})` : `${centimetres(sizes)} (${inches(sizes)})`;
  const words = (): string => {
    switch (shape.kind) {
      case "round":
        return `${both([shape.topDiameterMm, shape.depthMm])} round ${vessel}`;
      case "square":
        return `${both([shape.topLengthMm, shape.depthMm])} square ${vessel}`;
      case "rectangular":
        return `${both([shape.topLengthMm, shape.topWidthMm, shape.depthMm])} ${shape.depthMm <= 25 ? `shallow rectangular ${vessel}` : `rectangular ${vessel}`}`;
      case "loaf":
        return loafWords(shape, text, us, both);
      case "ring":
        return `${both([shape.outerDiameterMm, shape.depthMm])} ${us ? "tube pan" : "ring tin"}`;
      case "fluted-ring":
        return us
          ? `${cupsHeld(tinCapacityMl(tin))} (${litres(tinCapacityMl(tin))}) fluted tube pan, ${both([shape.outerDiameterMm])} across`
          : `${litres(tinCapacityMl(tin))} fluted ring tin, ${both([shape.outerDiameterMm])} across`;
      case "ball":
        return `${both([shape.diameterMm])} ${shape.part === "half" ? "half-ball" : "ball"} ${vessel}`;
      case "cup":
        return `${both([shape.topDiameterMm, shape.depthMm])} ${us ? "cups" : "cup moulds"}`;
      case "tray-of-cups":
        return us
          ? `${shape.cupCount}-cup muffin pan, cups ${both([shape.topDiameterMm, shape.depthMm])}`
          : `${shape.cupCount}-hole muffin tray, holes ${both([shape.topDiameterMm, shape.depthMm])}`;
    }
  };
  return made === undefined ? words() : `${words()}, ${made}`;
}

/** A material that the baker's own words name; what was only assumed is not told as a fact. */
const madeOf = (text: string) => /\b(silicone|glass|ceramic|stoneware|dark steel|paper)\b/i.exec(text)?.[1]?.toLowerCase();

function loafWords(
  shape: Extract<TinShape, { kind: "loaf" }>,
  text: string,
  us: boolean,
  both: (sizes: readonly number[]) => string,
): string {
  const sizes = both([shape.topLengthMm, shape.topWidthMm, shape.depthMm]);
  const grams = /\b(450|900|1350)\s*g\b/.exec(text)?.[1] ?? KILOS[/\b([123])\s*lb/i.exec(text)?.[1] ?? ""];
  const pounds = grams === undefined ? undefined : POUNDS[grams];
  if (us) return `${sizes} loaf pan${pounds === undefined ? "" : ` (a British ${pounds} lb loaf tin)`}`;
  return pounds === undefined ? `${sizes} loaf tin` : `${grams} g (${pounds} lb) loaf tin, ${sizes} at the top`;
}
const POUNDS: Readonly<Record<string, string>> = { "450": "1", "900": "2", "1350": "3" };
const KILOS: Readonly<Record<string, string>> = { "1": "450", "2": "900", "3": "1350" };

const centimetres = (sizesMm: readonly number[]) => `${sizesMm.map((mm) => String(Math.round(mm / 5) / 2)).join(" x ")} cm`;
const inches = (sizesMm: readonly number[]) => `${sizesMm.map((mm) => inchWords(mm / 25.4)).join(" x ")} in`;

/** "8", "2¾": the nearest half inch within 3 %, else the nearest quarter; a tin is never said to be less than a quarter inch. */
export function inchWords(exact: number): string {
  const half = Math.round(exact * 2) / 2;
  const said = half > 0 && Math.abs(half / exact - 1) <= 0.03 ? half : Math.max(0.25, Math.round(exact * 4) / 4);
  const whole = Math.floor(said);
  const fraction = { 0: "", 0.25: "¼", 0.5: "½", 0.75: "¾" }[said - whole] ?? "";
  return `${whole === 0 ? "" : whole}${fraction}`;
}

const litres = (ml: number) => `${Math.round(ml / 50) / 20} litre`;
const cupsHeld = (ml: number) => `${Math.round(ml / 236.5882365)}-cup`;
