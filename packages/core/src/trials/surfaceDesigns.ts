import { bestFraction, twoLevelFactorial } from "./factorial.js";
import { combinations } from "./model.js";

/** A run of a response-surface design: coded settings, and the block it belongs to when the design is baked on two days. */
export interface SurfaceRun {
  readonly coded: readonly number[];
  readonly part: "corner" | "axial" | "centre" | "edge";
  /** 0: corners and their centre points; 1: axial points and theirs. */
  readonly block: 0 | 1;
}

export interface CompositeOptions {
  /** Where the axial points lie: "rotatable" (fourth root of the number of corners), "face" (1), or a distance. Default "face". */
  readonly axial?: "rotatable" | "face" | number;
  /** Centre points baked with the corners and with the axial points. Default 3 and 3. */
  readonly centreCounts?: readonly [number, number];
  /** Use half or less of the corners, at resolution V or better; default false. */
  readonly fraction?: boolean;
}

/**
 * Central composite design: corners, axial points, centre points, for a quadratic model in 2 to 8 amounts.
 * Source: Box and Wilson (1951), J. R. Stat. Soc. B 13, 1; rotatable distance Box and Hunter (1957), Ann. Math. Stat. 28, 195.
 */
export function centralComposite(factorCount: number, options: CompositeOptions = {}): SurfaceRun[] {
  if (!(Number.isInteger(factorCount) && factorCount >= 2 && factorCount <= 8)) {
    throw new RangeError(`centralComposite: ${factorCount} factors; 2 to 8 are possible`);
  }
  let corners = twoLevelFactorial(factorCount);
  if (options.fraction) {
    // The smallest fraction that still keeps every two-factor interaction apart.
    for (let runs = 2 ** (factorCount - 1); runs > factorCount; runs /= 2) {
      const fraction = bestFraction(factorCount, runs);
      if (fraction.resolution < 5) break;
      corners = fraction.runs;
    }
  }
  const axial = options.axial ?? "face";
  const distance = axial === "face" ? 1 : axial === "rotatable" ? corners.length ** 0.25 : axial;
  if (!(distance > 0)) throw new RangeError(`centralComposite: axial distance ${distance}`);
  const [withCorners, withAxial] = options.centreCounts ?? [3, 3];
  const centre = (block: 0 | 1): SurfaceRun => ({ coded: Array<number>(factorCount).fill(0), part: "centre", block });
  const axialRuns = Array.from({ length: factorCount }, (_, factor) =>
    [-distance, distance].map(
      (value): SurfaceRun => ({
        coded: Array.from({ length: factorCount }, (_, other) => (other === factor ? value : 0)),
        part: "axial",
        block: 1,
      }),
    ),
  ).flat();
  return [
    ...corners.map((coded): SurfaceRun => ({ coded, part: "corner", block: 0 })),
    ...Array.from({ length: withCorners }, () => centre(0)),
    ...axialRuns,
    ...Array.from({ length: withAxial }, () => centre(1)),
  ];
}

// Which factors vary together. For 3 to 5 factors, every pair; for 6 and 7, the triples printed by the authors (from memory).
const TRIPLES: Record<number, readonly (readonly number[])[]> = {
  6: [
    [0, 1, 3],
    [1, 2, 4],
    [2, 3, 5],
    [0, 3, 4],
    [1, 4, 5],
    [0, 2, 5],
  ],
  7: [
    [3, 4, 5],
    [0, 5, 6],
    [1, 4, 6],
    [0, 1, 3],
    [2, 3, 6],
    [0, 2, 4],
    [1, 2, 5],
  ],
};

/**
 * Box-Behnken design: no run has all factors at an end, which spares bakes that cannot work. 3 to 7 amounts.
 * Source: Box and Behnken (1960), Technometrics 2, 455.
 */
export function boxBehnken(factorCount: number, centreCount = 3): SurfaceRun[] {
  if (!(Number.isInteger(factorCount) && factorCount >= 3 && factorCount <= 7)) {
    throw new RangeError(`boxBehnken: ${factorCount} factors; 3 to 7 are possible`);
  }
  const groups = TRIPLES[factorCount] ?? combinations([...Array(factorCount).keys()], 2);
  const edges = groups.flatMap((group) =>
    twoLevelFactorial(group.length).map((signs): SurfaceRun => {
      const coded = Array<number>(factorCount).fill(0);
      for (const [place, factor] of group.entries()) coded[factor] = signs[place]!;
      return { coded, part: "edge", block: 0 };
    }),
  );
  const centre: SurfaceRun = { coded: Array<number>(factorCount).fill(0), part: "centre", block: 0 };
  return [...edges, ...Array.from({ length: centreCount }, () => centre)];
}
