import type { BoxSize } from "./tin.js";

/*
 * Sizes that a description often leaves out. Common practice, no source, except where a table is named: makers differ by
 * a fifth and more, which is why a tin's measured water capacity beats all of these.
 */

/** Depth [mm] of a tin whose description gives none. */
export const USUAL_DEPTH_MM = {
  round: 50,
  deepRound: 90,
  square: 50,
  rectangular: 50,
  loaf: 65,
  ring: 80,
  "fluted-ring": 85,
} as const;

/** The same where the description is in inches. */
export const USUAL_DEPTH_INCHES = {
  round: 2,
  deepRound: 3.5,
  square: 2,
  rectangular: 2,
  loaf: 2.5,
  ring: 3,
  "fluted-ring": 3.5,
} as const;

/** Inner sizes [mm] of loaf tins sold by the weight of bread they hold: about 0.75, 1.45 and 2.2 L. */
export const USUAL_LOAVES: Readonly<Record<"450" | "900" | "1350", BoxSize>> = {
  "450": { topLengthMm: 160, topWidthMm: 90, baseLengthMm: 145, baseWidthMm: 75, depthMm: 60 },
  "900": { topLengthMm: 220, topWidthMm: 115, baseLengthMm: 200, baseWidthMm: 95, depthMm: 65 },
  "1350": { topLengthMm: 255, topWidthMm: 135, baseLengthMm: 235, baseWidthMm: 115, depthMm: 75 },
};

/** A muffin hole, a mini muffin hole and a shallow bun hole: top and base diameter and depth [mm]. */
export const USUAL_HOLES = {
  muffin: { topDiameterMm: 70, baseDiameterMm: 50, depthMm: 35 },
  mini: { topDiameterMm: 45, baseDiameterMm: 32, depthMm: 20 },
  bun: { topDiameterMm: 75, baseDiameterMm: 55, depthMm: 20 },
} as const;

/** Diameter of the tube as a share of the outer diameter. */
export const USUAL_TUBE_SHARE = 0.28;

/**
 * What flutes and the slope of the walls take from a smooth ring. From three printed capacities: 10 x 3½ in 12 US cups,
 * 9 x 3 in 9 US cups, 7½ x 3 in 6 US cups (household tables of pan volumes, seen); see docs/models/tins.md.
 */
export const USUAL_FLUTE_SHARE = 0.2;

/** Proportions of a fluted ring of which only the capacity is known: outer diameter and depth [mm], scaled to hold it. */
export const USUAL_FLUTED_RING = { outerDiameterMm: 250, depthMm: 85 } as const;
