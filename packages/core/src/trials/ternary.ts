import { type Analysis, predictAt } from "./analyse.js";
import { type BlendRegion, isAllowed } from "./blendRegion.js";

/** A triangular map of a predicted response over three shares. */
export interface TernaryMap {
  /** Top, left and right. */
  readonly corners: readonly [string, string, string];
  /** Share of each ingredient at its own corner, and at the side across from it: the map shows no more than is needed. */
  readonly most: readonly [number, number, number];
  readonly least: readonly [number, number, number];
  /** Points of an even triangular grid. `allowed` is false in the part that the limits or rules hold out: grey it. */
  readonly points: readonly {
    readonly shares: readonly [number, number, number];
    /** Place in a triangle with base from (0, 0) to (1, 0) and top (0.5, 0.866): first corner at the top, second left, third right. */
    readonly x: number;
    readonly y: number;
    readonly allowed: boolean;
    readonly estimate: number;
    readonly standardError: number;
  }[];
  /** Triangles of neighbouring points, as indices, for shading and contours. */
  readonly triangles: readonly (readonly [number, number, number])[];
  /** Edge of what the limits and rules allow, corner after corner; empty where they leave nothing of the map. */
  readonly border: readonly { readonly x: number; readonly y: number }[];
  readonly baked: readonly { readonly x: number; readonly y: number }[];
}

type Shares = readonly [number, number, number];

/**
 * Predicted response over three shares of a blend, the other factors held.
 *
 * The map is the smallest upright triangle around what is allowed: with narrow limits the triangle of the three ingredients alone
 * would show them as a speck.
 *
 * @param held  values of all factors, in their order; other shares stay at their held values
 */
export function ternaryMap(
  analysis: Analysis,
  names: readonly [string, string, string],
  held: readonly number[],
  region: BlendRegion,
  steps = 30,
): TernaryMap {
  const { factors } = analysis.model;
  const indices = names.map((name) => factors.findIndex((factor) => factor.name === name && factor.kind === "share"));
  if (indices.some((index) => index < 0)) throw new RangeError(`ternaryMap: ${names.join(", ")} must be shares`);
  const shareIndices = factors.flatMap((factor, index) => (factor.kind === "share" ? [index] : []));
  const total = 1 - shareIndices.filter((index) => !indices.includes(index)).reduce((sum, index) => sum + held[index]!, 0);
  const valuesAt = (shares: Shares): number[] => {
    const values = [...held];
    for (const [corner, index] of indices.entries()) values[index] = shares[corner]!;
    return values.slice(0, factors.length);
  };
  // The allowed part of the whole triangle, cut by one limit or rule after another.
  const places = indices.map((index) => shareIndices.indexOf(index));
  const rest = (weights: readonly number[]) =>
    shareIndices.reduce((sum, index, place) => (indices.includes(index) ? sum : sum + weights[place]! * held[index]!), 0);
  const cuts = [
    ...places.flatMap((place, corner) => {
      const one = [0, 1, 2].map((other) => (other === corner ? 1 : 0));
      return [
        { weights: one, constant: -region.lower[place]! },
        { weights: one.map((weight) => -weight), constant: region.upper[place]! },
      ];
    }),
    ...(region.rules ?? []).map(({ weights, constant }) => ({
      weights: places.map((place) => weights[place]!),
      constant: constant + rest(weights),
    })),
  ];
  const whole: Shares[] = [
    [total, 0, 0],
    [0, total, 0],
    [0, 0, total],
  ];
  const edge = cuts.reduce(cutBy, whole);
  const least = [0, 1, 2].map((corner) =>
    edge.length === 0 ? 0 : Math.min(...edge.map((shares) => shares[corner]!)),
  ) as unknown as Shares;
  const side = total - least[0] - least[1] - least[2];
  const frame = edge.length === 0 || side < 1e-9 ? { least: [0, 0, 0] as Shares, side: total } : { least, side };
  const place = (shares: readonly number[]) => placeIn(frame, shares);
  const points: TernaryMap["points"][number][] = [];
  const indexOf = new Map<string, number>();
  for (let i = 0; i <= steps; i++) {
    for (let j = 0; j <= steps - i; j++) {
      const shares = [i, j, steps - i - j].map(
        (step, corner) => frame.least[corner]! + (frame.side * step) / steps,
      ) as unknown as Shares;
      const values = valuesAt(shares);
      const prediction = predictAt(analysis, values);
      indexOf.set(`${i} ${j}`, points.length);
      points.push({
        shares,
        ...place(shares),
        allowed: isAllowed(
          region,
          shareIndices.map((index) => values[index]!),
          1e-9,
        ),
        estimate: (prediction.original ?? prediction).estimate,
        standardError: prediction.standardError ?? Number.NaN,
      });
    }
  }
  const triangles: (readonly [number, number, number])[] = [];
  const at = (i: number, j: number) => indexOf.get(`${i} ${j}`)!;
  for (let i = 0; i < steps; i++) {
    for (let j = 0; j < steps - i; j++) {
      triangles.push([at(i, j), at(i + 1, j), at(i, j + 1)]);
      if (i + j < steps - 1) triangles.push([at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
    }
  }
  const baked = analysis.settings.map((values) => {
    const sum = indices.reduce((part, index) => part + values[index]!, 0);
    return place(indices.map((index) => (values[index]! * total) / sum));
  });
  return {
    corners: names,
    least: frame.least,
    most: frame.least.map((share) => share + frame.side) as unknown as Shares,
    points,
    triangles,
    border: edge.map(place),
    baked,
  };
}

/** Where a blend stands on a map. */
export function ternaryPlace({ least, most }: TernaryMap, shares: readonly number[]): { readonly x: number; readonly y: number } {
  return placeIn({ least, side: most[0] - least[0] }, shares);
}

function placeIn({ least, side }: { readonly least: Shares; readonly side: number }, shares: readonly number[]) {
  const [a, , c] = shares.map((share, corner) => (share - least[corner]!) / side) as [number, number, number];
  return { x: c + a / 2, y: a * (Math.sqrt(3) / 2) };
}

/** What is left of a convex outline on the side of a rule where it holds. Sutherland and Hodgman (1974), Comm. ACM 17, 32. */
function cutBy(outline: readonly Shares[], rule: { readonly weights: readonly number[]; readonly constant: number }): Shares[] {
  const slack = (shares: Shares) => shares.reduce((sum, share, corner) => sum + share * rule.weights[corner]!, rule.constant);
  return outline.flatMap((from, index): Shares[] => {
    const to = outline[(index + 1) % outline.length]!;
    const [a, b] = [slack(from), slack(to)];
    const crossing =
      a > 0 !== b > 0 && a !== 0 && b !== 0
        ? [from.map((share, corner) => share + ((to[corner]! - share) * a) / (a - b)) as unknown as Shares]
        : [];
    return a >= 0 ? [from, ...crossing] : crossing;
  });
}
