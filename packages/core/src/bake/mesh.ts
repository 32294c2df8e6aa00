/**
 * Finite-volume meshes of cakes: structured, graded, with symmetry.
 *
 * Cells are numbered so that the longest direction runs slowest: this keeps the matrix band narrow. Everything else is a list of
 * faces, so that the solver does not know which shape it works on.
 */

/** Surfaces that exchange heat; `side` is every upright wall, the tube of a ring included. */
export const SURFACES = ["top", "side", "base"] as const;
export type SurfaceName = (typeof SURFACES)[number];
export const TOP = 0;
export const SIDE = 1;
export const BASE = 2;

/** Inner sizes [m]; `scale` (height share 0 base to 1 top -> plan scale) describes walls that lean. */
export type BakeShape =
  | { readonly kind: "cylinder"; readonly radiusM: number; readonly heightM: number }
  | { readonly kind: "ring"; readonly innerRadiusM: number; readonly outerRadiusM: number; readonly heightM: number }
  | { readonly kind: "box"; readonly lengthM: number; readonly widthM: number; readonly heightM: number };

/** How many cells in each direction: radius (or half length), half width (1 for round shapes), height. */
export interface CellCounts {
  readonly across: number;
  readonly along: number;
  readonly up: number;
}

export interface MeshOptions {
  readonly cells: CellCounts;
  /** Ratio of neighbouring cell sizes away from a heated surface; 1 is uniform. */
  readonly growth?: number;
  /** Size of the cell at the base over the cell at the top; below 1 the base is finer. */
  readonly baseOverTop?: number;
  /** Plan scale at a share of the height (0 base, 1 top) relative to the stated sizes: leaning walls. 1 when absent. */
  readonly planScale?: (heightShare: number) => number;
}

/** A face between two cells (`cellA` < `cellB`), lists of equal length. Halves are distances from cell centre to face [m]. */
export interface Mesh {
  readonly shape: BakeShape;
  readonly counts: CellCounts;
  readonly cellCount: number;
  /** Half bandwidth in cells: largest difference between the numbers of neighbours. */
  readonly cellBand: number;
  /** Whole bodies that one meshed part stands for: 1 for round, 4 for a box cut by two symmetry planes. */
  readonly symmetryParts: number;
  /** Cell volume [m³] at rest, of the meshed part. */
  readonly volume: Float64Array;
  /** Cell edges [m]: radius or distance from the symmetry plane; the same along the width; height from the base. */
  readonly acrossEdges: Float64Array;
  readonly alongEdges: Float64Array;
  readonly upEdges: Float64Array;
  readonly faceA: Int32Array;
  readonly faceB: Int32Array;
  /** Direction of the face's normal: 0 across, 1 along, 2 up. */
  readonly faceAxis: Uint8Array;
  readonly faceArea: Float64Array;
  readonly faceHalfA: Float64Array;
  readonly faceHalfB: Float64Array;
  readonly rimCell: Int32Array;
  /** TOP, SIDE or BASE. */
  readonly rimSurface: Uint8Array;
  readonly rimAxis: Uint8Array;
  readonly rimArea: Float64Array;
  readonly rimHalf: Float64Array;
  /** Number of the cell at a place in the grid. */
  cellAt(across: number, along: number, up: number): number;
}

/**
 * Edges of `count` cells over `length`, growing by `growth` away from a fine end, or from both ends.
 *
 * @param fineStart  whether cells are fine at 0 as well as at `length`
 * @param startOverEnd  first cell over last cell, when both ends are fine
 */
export function gradedEdges(count: number, length: number, growth: number, fineStart: boolean, startOverEnd = 1): Float64Array {
  const sizes = new Float64Array(count);
  let sum = 0;
  for (let i = 0; i < count; i++) {
    const fromEnd = growth ** (count - 1 - i);
    const fromStart = fineStart ? startOverEnd * growth ** i : Number.POSITIVE_INFINITY;
    // A smooth minimum keeps the second order of the scheme where the two gradings meet.
    sizes[i] = fineStart ? (fromEnd * fromStart) / Math.hypot(fromEnd, fromStart) : fromEnd;
    sum += sizes[i];
  }
  const edges = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) edges[i + 1] = edges[i] + (sizes[i] * length) / sum;
  edges[count] = length;
  return edges;
}

/** A mesh of one shape; sizes must be positive, which the callers' validation sees to. */
export function buildMesh(shape: BakeShape, options: MeshOptions): Mesh {
  const { cells } = options;
  const growth = options.growth ?? 1.25;
  const round = shape.kind !== "box";
  const nx = cells.across;
  const ny = round ? 1 : cells.along;
  const nz = cells.up;
  const up = gradedEdges(nz, shape.heightM, growth, true, options.baseOverTop ?? 1);
  const across = acrossEdges(shape, nx, growth);
  const along = shape.kind === "box" ? gradedEdges(ny, shape.widthM / 2, growth, false) : Float64Array.of(0, 1);

  // The longest direction runs slowest, so the band is as narrow as the mesh allows.
  const order = (
    [
      ["x", nx],
      ["y", ny],
      ["z", nz],
    ] as [string, number][]
  ).sort((a, b) => a[1] - b[1]);
  const stride: Record<string, number> = {};
  let step = 1;
  for (const [name, count] of order) {
    stride[name] = step;
    step *= count;
  }
  const [sx, sy, sz] = [stride.x, stride.y, stride.z];
  const cellAt = (i: number, j: number, k: number) => i * sx + j * sy + k * sz;
  const scaleAt = options.planScale ?? (() => 1);

  const cellCount = nx * ny * nz;
  const volume = new Float64Array(cellCount);
  const faces: [a: number, b: number, axis: number, area: number, halfA: number, halfB: number][] = [];
  const rims: [cell: number, surface: number, axis: number, area: number, half: number][] = [];
  for (let k = 0; k < nz; k++) {
    const dz = up[k + 1] - up[k];
    const s = scaleAt((up[k] + up[k + 1]) / 2 / shape.heightM);
    const sTop = scaleAt(up[k + 1] / shape.heightM);
    const sBase = scaleAt(up[k] / shape.heightM);
    for (let j = 0; j < ny; j++) {
      const dy = along[j + 1] - along[j];
      for (let i = 0; i < nx; i++) {
        const cell = cellAt(i, j, k);
        const [x0, x1] = [across[i], across[i + 1]];
        const half = (x1 - x0) / 2;
        const plan = round ? Math.PI * (x1 * x1 - x0 * x0) : (x1 - x0) * dy;
        volume[cell] = plan * s * s * dz;
        const outer = (round ? 2 * Math.PI * x1 : dy) * s * dz;
        if (i + 1 < nx) {
          faces.push([cell, cellAt(i + 1, j, k), 0, outer, half * s, ((across[i + 2] - x1) / 2) * s]);
        } else rims.push([cell, SIDE, 0, outer, half * s]);
        if (i === 0 && x0 > 0) rims.push([cell, SIDE, 0, 2 * Math.PI * x0 * s * dz, half * s]);
        if (!round) {
          const wall = (x1 - x0) * s * dz;
          if (j + 1 < ny) faces.push([cell, cellAt(i, j + 1, k), 1, wall, (dy / 2) * s, ((along[j + 2] - along[j + 1]) / 2) * s]);
          else rims.push([cell, SIDE, 1, wall, (dy / 2) * s]);
        }
        if (k + 1 < nz) faces.push([cell, cellAt(i, j, k + 1), 2, plan * sTop * sTop, dz / 2, (up[k + 2] - up[k + 1]) / 2]);
        else rims.push([cell, TOP, 2, plan * sTop * sTop, dz / 2]);
        if (k === 0) rims.push([cell, BASE, 2, plan * sBase * sBase, dz / 2]);
      }
    }
  }
  const f = faces.length;
  const b = rims.length;
  const mesh = {
    shape,
    counts: { across: nx, along: ny, up: nz },
    cellCount,
    cellBand: Math.max(nx > 1 ? sx : 0, ny > 1 ? sy : 0, nz > 1 ? sz : 0),
    symmetryParts: round ? 1 : 4,
    volume,
    acrossEdges: across,
    alongEdges: along,
    upEdges: up,
    faceA: new Int32Array(f),
    faceB: new Int32Array(f),
    faceAxis: new Uint8Array(f),
    faceArea: new Float64Array(f),
    faceHalfA: new Float64Array(f),
    faceHalfB: new Float64Array(f),
    rimCell: new Int32Array(b),
    rimSurface: new Uint8Array(b),
    rimAxis: new Uint8Array(b),
    rimArea: new Float64Array(b),
    rimHalf: new Float64Array(b),
    cellAt,
  };
  // Sorted by the higher cell: the order in which the incomplete factorisation meets them.
  faces.sort((p, q) => p[1] - q[1] || p[0] - q[0]);
  faces.forEach(([a, c, axis, area, halfA, halfB], i) => {
    mesh.faceA[i] = a;
    mesh.faceB[i] = c;
    mesh.faceAxis[i] = axis;
    mesh.faceArea[i] = area;
    mesh.faceHalfA[i] = halfA;
    mesh.faceHalfB[i] = halfB;
  });
  rims.forEach(([cell, surface, axis, area, half], i) => {
    mesh.rimCell[i] = cell;
    mesh.rimSurface[i] = surface;
    mesh.rimAxis[i] = axis;
    mesh.rimArea[i] = area;
    mesh.rimHalf[i] = half;
  });
  return mesh;
}

function acrossEdges(shape: BakeShape, count: number, growth: number): Float64Array {
  if (shape.kind === "cylinder") return gradedEdges(count, shape.radiusM, growth, false);
  if (shape.kind === "box") return gradedEdges(count, shape.lengthM / 2, growth, false);
  return gradedEdges(count, shape.outerRadiusM - shape.innerRadiusM, growth, true).map((x) => x + shape.innerRadiusM);
}

/** Volume of the whole body [m³], all symmetric parts. */
export const meshVolume = (mesh: Mesh): number => mesh.symmetryParts * mesh.volume.reduce((sum, v) => sum + v, 0);
