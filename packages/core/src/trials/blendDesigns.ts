import { combinations } from "./model.js";

/** One blend: shares that add to 1, one per component. */
export type Blend = readonly number[];

/**
 * Simplex lattice {q, m}: every blend with shares in 0, 1/m, ..., 1.
 * Source: Scheffé (1958), J. R. Stat. Soc. B 20, 344; NIST/SEMATECH e-Handbook 5.5.4.2.
 */
export function simplexLattice(componentCount: number, steps: number): number[][] {
  if (!(componentCount >= 2 && componentCount <= 12 && steps >= 1 && steps <= 10)) {
    throw new RangeError(`simplexLattice: ${componentCount} components in ${steps} steps`);
  }
  const fill = (count: number, rest: number): number[][] =>
    count === 1
      ? [[rest]]
      : Array.from({ length: rest + 1 }, (_, used) => rest - used).flatMap((first) =>
          fill(count - 1, rest - first).map((tail) => [first, ...tail]),
        );
  return fill(componentCount, steps).map((blend) => blend.map((part) => part / steps));
}

/**
 * Simplex centroid: each component alone, equal halves, equal thirds, and so on to all together; 2^q - 1 blends.
 * Source: Scheffé (1963), J. R. Stat. Soc. B 25, 235; NIST/SEMATECH e-Handbook 5.5.4.3.
 */
export function simplexCentroid(componentCount: number): number[][] {
  if (!(componentCount >= 2 && componentCount <= 12)) throw new RangeError(`simplexCentroid: ${componentCount} components`);
  const all = [...Array(componentCount).keys()];
  return all.flatMap((_, size) =>
    combinations(all, size + 1).map((chosen) => all.map((component) => (chosen.includes(component) ? 1 / chosen.length : 0))),
  );
}

/** Check blends, halfway from the centre to each component alone. */
export function axialBlends(componentCount: number): number[][] {
  return Array.from({ length: componentCount }, (_, component) =>
    Array.from({ length: componentCount }, (_, other) =>
      other === component ? (1 + 1 / componentCount) / 2 : 1 / componentCount / 2,
    ),
  );
}

/** Shares between lower limits from shares of what is left above them: x = L + (1 - sum L) z. */
export function fromPseudoComponents(blend: Blend, lower: readonly number[]): number[] {
  const rest = 1 - lower.reduce((sum, value) => sum + value, 0);
  return blend.map((z, index) => lower[index]! + rest * z);
}
