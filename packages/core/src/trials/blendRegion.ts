import type { Blend } from "./blendDesigns.js";

/** A rule that blends must meet: weights . shares + constant >= 0. "At most twice as much butter as oil" is [-1, 2], 0. */
export interface BlendRule {
  readonly weights: readonly number[];
  readonly constant: number;
}

/** Blends allowed: limits per component, and rules. */
export interface BlendRegion {
  readonly lower: readonly number[];
  readonly upper: readonly number[];
  readonly rules?: readonly BlendRule[];
}

/** Corners, and points made of them, of the region of allowed blends. */
export interface RegionPoints {
  readonly vertices: readonly Blend[];
  readonly edgeMiddles: readonly Blend[];
  /** Centre of each side (the blends that touch one limit), one per side that has more than two corners. */
  readonly sideCentres: readonly Blend[];
  readonly centre: Blend;
}

const NEAR = 1e-9;

/**
 * Corners of a region of blends by cutting the whole simplex with one limit after another.
 *
 * @returns  no vertices when nothing is allowed
 *
 * The corners are those of McLean and Anderson (1966), Technometrics 8, 447; the cutting is the double description method
 * (Motzkin and others 1953), which also takes rules over several components and knows which corners share an edge.
 */
export function regionPoints(region: BlendRegion): RegionPoints {
  const q = region.lower.length;
  if (!(q >= 2 && q <= 12 && region.upper.length === q))
    throw new RangeError(`regionPoints: ${q} components; 2 to 12 are possible`);
  const rules: BlendRule[] = [];
  for (let index = 0; index < q; index++) {
    const unit = Array.from({ length: q }, (_, other) => (other === index ? 1 : 0));
    rules.push({ weights: unit, constant: 0 });
  }
  for (let index = 0; index < q; index++) {
    const unit = Array.from({ length: q }, (_, other) => (other === index ? 1 : 0));
    if (region.lower[index]! > 0) rules.push({ weights: unit, constant: -region.lower[index]! });
    if (region.upper[index]! < 1) rules.push({ weights: unit.map((value) => -value), constant: region.upper[index]! });
  }
  rules.push(...(region.rules ?? []));

  // Start: the simplex itself, each corner touching all zero limits but its own.
  let corners: { x: number[]; tight: Set<number> }[] = Array.from({ length: q }, (_, index) => ({
    x: Array.from({ length: q }, (_, other) => (other === index ? 1 : 0)),
    tight: new Set([...Array(q).keys()].filter((other) => other !== index)),
  }));
  for (let rule = q; rule < rules.length; rule++) {
    const { weights, constant } = rules[rule]!;
    const slack = corners.map(({ x }) => x.reduce((sum, value, index) => sum + value * weights[index]!, constant));
    const kept = corners.filter((_, index) => slack[index]! > -NEAR);
    for (const [index, corner] of corners.entries()) if (Math.abs(slack[index]!) <= NEAR) corner.tight.add(rule);
    const cut: typeof corners = [];
    for (const [i, inside] of corners.entries()) {
      if (slack[i]! <= NEAR) continue;
      for (const [j, outside] of corners.entries()) {
        if (slack[j]! >= -NEAR || !shareEdge(corners, i, j, q)) continue;
        const t = slack[i]! / (slack[i]! - slack[j]!);
        const x = inside.x.map((value, index) => value + t * (outside.x[index]! - value));
        cut.push({ x, tight: new Set([...inside.tight].filter((other) => outside.tight.has(other)).concat(rule)) });
      }
    }
    corners = merge([...kept, ...cut]);
  }
  // Exact limits instead of the last digit of the arithmetic.
  const vertices = corners.map(({ x }) => x.map((value) => tidy(value)));
  const edgeMiddles: Blend[] = [];
  for (let i = 0; i < corners.length; i++) {
    for (let j = i + 1; j < corners.length; j++)
      if (shareEdge(corners, i, j, q)) edgeMiddles.push(mean([vertices[i]!, vertices[j]!]));
  }
  const sides = new Map<string, Blend[]>();
  for (let rule = 0; rule < rules.length; rule++) {
    const members = corners.flatMap((corner, index) => (corner.tight.has(rule) ? [index] : []));
    if (members.length > 2 && members.length < corners.length)
      sides.set(
        members.join(),
        members.map((index) => vertices[index]!),
      );
  }
  const largest = [...sides].filter(([key]) => ![...sides.keys()].some((other) => other !== key && isSubset(key, other)));
  return {
    vertices,
    edgeMiddles: unique(edgeMiddles),
    sideCentres: unique(largest.map(([, members]) => mean(members))),
    centre: mean(vertices),
  };
}

/** Whether a blend is allowed. */
export function isAllowed(region: BlendRegion, blend: Blend, tolerance = 1e-9): boolean {
  return (
    Math.abs(blend.reduce((sum, value) => sum + value, 0) - 1) <= tolerance * 10 &&
    blend.every((value, index) => value >= region.lower[index]! - tolerance && value <= region.upper[index]! + tolerance) &&
    (region.rules ?? []).every(
      ({ weights, constant }) => blend.reduce((sum, value, index) => sum + value * weights[index]!, constant) >= -tolerance,
    )
  );
}

/** Limits that can really be reached, given the others (Piepel 1983; from memory). */
export function impliedLimits({ lower, upper }: BlendRegion): { lower: number[]; upper: number[] } {
  const low = lower.reduce((sum, value) => sum + value, 0);
  const high = upper.reduce((sum, value) => sum + value, 0);
  return {
    lower: lower.map((value, index) => tidy(Math.max(value, 1 - (high - upper[index]!)))),
    upper: upper.map((value, index) => tidy(Math.min(value, 1 - (low - lower[index]!)))),
  };
}

/** Blends to choose runs from: corners, edge middles, side centres, the centre, and halfway from the centre to each corner. */
export function candidateBlends(region: BlendRegion): Blend[] {
  const { vertices, edgeMiddles, sideCentres, centre } = regionPoints(region);
  if (vertices.length === 0) return [];
  return unique([...vertices, ...edgeMiddles, ...sideCentres, centre, ...vertices.map((vertex) => mean([vertex, centre]))]);
}

function shareEdge(corners: readonly { tight: Set<number> }[], i: number, j: number, q: number): boolean {
  const common = [...corners[i]!.tight].filter((rule) => corners[j]!.tight.has(rule));
  if (common.length < q - 2) return false;
  // An edge is a line: no third corner touches all that both touch.
  return !corners.some((corner, k) => k !== i && k !== j && common.every((rule) => corner.tight.has(rule)));
}

function merge(corners: { x: number[]; tight: Set<number> }[]): { x: number[]; tight: Set<number> }[] {
  const merged: typeof corners = [];
  for (const corner of corners) {
    const same = merged.find(({ x }) => x.every((value, index) => Math.abs(value - corner.x[index]!) <= NEAR));
    if (same === undefined) merged.push(corner);
    else for (const rule of corner.tight) same.tight.add(rule);
  }
  return merged;
}

function unique(blends: readonly Blend[]): Blend[] {
  const kept: Blend[] = [];
  for (const blend of blends)
    if (!kept.some((other) => other.every((value, index) => Math.abs(value - blend[index]!) <= NEAR))) kept.push(blend);
  return kept;
}

function isSubset(a: string, b: string): boolean {
  const members = new Set(b.split(","));
  return a.split(",").every((member) => members.has(member)) && a !== b;
}

const mean = (blends: readonly Blend[]): number[] =>
  blends.length === 0 ? [] : blends[0]!.map((_, index) => blends.reduce((sum, blend) => sum + blend[index]!, 0) / blends.length);

const tidy = (value: number): number => {
  const rounded = Math.round(value * 1e12) / 1e12;
  return Math.abs(rounded) < 1e-12 ? 0 : rounded;
};
