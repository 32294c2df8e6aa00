/** Solid share of one fat at one temperature: likely, and the range within which samples of that fat usually lie; 0 to 1. */
export type CurvePoint = readonly [temperatureC: number, likely: number, from: number, to: number];

export interface SolidFatCurve {
  /** "milk fat". */
  readonly words: string;
  /** Rising in temperature; between two points a straight line, beyond the ends the end point. */
  readonly points: readonly CurvePoint[];
  readonly source: string;
  /** memory: recalled, no table found. assumption: ours, with a band to match. */
  readonly basis: "memory" | "assumption";
}

const NMR = "from memory of handbook tables of solid fat by pulsed NMR; no table with a clear source was found";

/**
 * Solid fat of what bakers use, by temperature.
 *
 * Milk fat: from memory, typical of a year (winter butter is harder, summer butter softer); two public texts agree with single
 * points of it: about 0.4 at 10 °C and 0.2 at 20 °C in a dairy course, 0.59 to 0.65 at 10 °C by calorimetry, which reads higher
 * (abstract, J. Dairy Sci.). No measured table with its source was found for any fat here, so every row carries its range.
 */
export const SOLID_FAT_CURVES = {
  milk: {
    words: "milk fat",
    basis: "memory",
    source: `${NMR}; one dairy course prints about 0.4 at 10 °C, 0.2 at 20 °C, 0.03 at 35 °C`,
    points: [
      [-18, 0.75, 0.65, 0.85],
      [0, 0.58, 0.5, 0.65],
      [5, 0.54, 0.43, 0.62],
      [10, 0.48, 0.4, 0.58],
      [15, 0.35, 0.28, 0.42],
      [20, 0.21, 0.15, 0.27],
      [25, 0.12, 0.08, 0.16],
      [30, 0.06, 0.03, 0.09],
      [35, 0.01, 0, 0.03],
      [38, 0, 0, 0],
    ],
  },
  cocoa: {
    words: "cocoa butter",
    basis: "memory",
    source: `${NMR}; tempered, and the lower end for what set untempered in a cake`,
    points: [
      [5, 0.9, 0.75, 0.96],
      [15, 0.84, 0.65, 0.92],
      [20, 0.76, 0.5, 0.84],
      [25, 0.68, 0.3, 0.78],
      [30, 0.4, 0.05, 0.52],
      [33, 0.1, 0, 0.2],
      [35, 0.01, 0, 0.03],
      [37, 0, 0, 0],
    ],
  },
  coconut: {
    words: "coconut fat",
    basis: "memory",
    source: NMR,
    points: [
      [5, 0.86, 0.78, 0.92],
      [10, 0.77, 0.7, 0.83],
      [15, 0.58, 0.5, 0.66],
      [20, 0.35, 0.28, 0.42],
      [22, 0.2, 0.12, 0.3],
      [25, 0.02, 0, 0.08],
      [28, 0, 0, 0],
    ],
  },
  palm: {
    words: "palm oil",
    basis: "memory",
    source: `${NMR}; after a Malaysian survey`,
    points: [
      [5, 0.61, 0.52, 0.7],
      [10, 0.54, 0.47, 0.61],
      [15, 0.39, 0.32, 0.46],
      [20, 0.26, 0.2, 0.32],
      [25, 0.16, 0.11, 0.21],
      [30, 0.1, 0.06, 0.14],
      [35, 0.08, 0.04, 0.11],
      [40, 0.05, 0.02, 0.08],
    ],
  },
  lard: {
    words: "lard",
    basis: "memory",
    source: NMR,
    points: [
      [5, 0.36, 0.27, 0.46],
      [10, 0.3, 0.22, 0.38],
      [20, 0.2, 0.13, 0.27],
      [25, 0.13, 0.07, 0.19],
      [30, 0.05, 0.02, 0.1],
      [35, 0.03, 0, 0.06],
      [40, 0.01, 0, 0.04],
    ],
  },
  suet: {
    words: "beef suet",
    basis: "memory",
    source: NMR,
    points: [
      [5, 0.58, 0.45, 0.7],
      [10, 0.52, 0.4, 0.64],
      [20, 0.4, 0.28, 0.5],
      [30, 0.24, 0.14, 0.34],
      [40, 0.08, 0.02, 0.16],
    ],
  },
  blockMargarine: {
    words: "block margarine",
    basis: "memory",
    source: `${NMR}; makes differ, so the range is wide`,
    points: [
      [5, 0.4, 0.26, 0.55],
      [10, 0.35, 0.23, 0.48],
      [15, 0.27, 0.16, 0.38],
      [20, 0.19, 0.1, 0.28],
      [25, 0.12, 0.05, 0.2],
      [30, 0.06, 0.02, 0.12],
      [35, 0.02, 0, 0.05],
      [40, 0, 0, 0.02],
    ],
  },
  softSpread: {
    words: "soft spread",
    basis: "memory",
    source: `${NMR}; makes differ, so the range is wide`,
    points: [
      [5, 0.17, 0.09, 0.28],
      [10, 0.14, 0.07, 0.23],
      [20, 0.07, 0.03, 0.13],
      [25, 0.04, 0.01, 0.09],
      [30, 0.02, 0, 0.05],
      [35, 0, 0, 0.02],
    ],
  },
  shortening: {
    words: "white cake fat",
    basis: "memory",
    source: `${NMR}; makes differ, so the range is wide`,
    points: [
      [5, 0.38, 0.25, 0.52],
      [10, 0.33, 0.21, 0.45],
      [20, 0.22, 0.13, 0.31],
      [30, 0.12, 0.05, 0.19],
      [40, 0.05, 0.01, 0.1],
    ],
  },
  egg: {
    words: "egg fat",
    basis: "assumption",
    source: "assumption, no curve found: taken as mostly liquid like poultry fat, with a wide range",
    points: [
      [5, 0.15, 0, 0.3],
      [20, 0.03, 0, 0.1],
      [30, 0, 0, 0.03],
    ],
  },
  oil: {
    words: "liquid oil",
    basis: "memory",
    source: "from memory: these oils stay clear from 5 °C up; some cloud a little in the cold",
    points: [
      [5, 0, 0, 0.02],
      [10, 0, 0, 0],
    ],
  },
  cloudingOil: {
    words: "oil that clouds in the cold",
    basis: "memory",
    source: "from memory: olive, groundnut and rice-bran oil cloud below about 10 °C; how much is not known well",
    points: [
      [5, 0.03, 0, 0.15],
      [10, 0.005, 0, 0.05],
      [18, 0, 0, 0.01],
      [20, 0, 0, 0],
    ],
  },
  nutAndGrainOil: {
    words: "oil of nuts, seeds and grain",
    basis: "assumption",
    source: "assumption: liquid like the oils pressed from them, with some room for the cold",
    points: [
      [5, 0.01, 0, 0.1],
      [20, 0, 0, 0.02],
    ],
  },
} as const satisfies Readonly<Record<string, SolidFatCurve>>;
export type FatName = keyof typeof SOLID_FAT_CURVES;
