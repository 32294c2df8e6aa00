import { BASE, type Mesh, TOP } from "./mesh.js";

/**
 * Temperatures on a grid that reaches the surfaces: cell centres, with one more layer of nodes on every side. Beyond a symmetry plane
 * or axis the layer mirrors its neighbour; on a surface it holds the surface temperature.
 */
export interface ProbeField {
  readonly across: Float64Array;
  readonly along: Float64Array;
  readonly up: Float64Array;
  /** (across, along, up), `across` fastest, all with their extra layers; `along` is 1 node for round shapes. */
  readonly values: Float64Array;
}

const centres = (edges: Float64Array, mirror: boolean): Float64Array => {
  const n = edges.length - 1;
  const nodes = new Float64Array(n + 2);
  for (let i = 0; i < n; i++) nodes[i + 1] = (edges[i] + edges[i + 1]) / 2;
  nodes[0] = mirror ? 2 * edges[0] - nodes[1] : edges[0];
  nodes[n + 1] = edges[n];
  return nodes;
};

/** Builds a field to be filled again and again by `fillProbeField`. */
export function makeProbeField(mesh: Mesh): ProbeField {
  const ring = mesh.shape.kind === "ring";
  const across = centres(mesh.acrossEdges, !ring);
  const along = mesh.shape.kind === "box" ? centres(mesh.alongEdges, true) : Float64Array.of(0);
  const up = centres(mesh.upEdges, false);
  return { across, along, up, values: new Float64Array(across.length * along.length * up.length) };
}

/**
 * @param cells  temperature of each cell [°C]
 * @param rims  temperature on each rim face [°C]
 */
export function fillProbeField(field: ProbeField, mesh: Mesh, cells: Float64Array, rims: Float64Array): void {
  const { values } = field;
  const [nx, ny, nz] = [field.across.length, field.along.length, field.up.length];
  const box = ny > 1;
  const at = (i: number, j: number, k: number) => i + nx * (j + ny * k);
  const { across, along, up } = mesh.counts;
  for (let k = 0; k < up; k++)
    for (let j = 0; j < along; j++)
      for (let i = 0; i < across; i++) values[at(i + 1, box ? j + 1 : 0, k + 1)] = cells[mesh.cellAt(i, j, k)];
  const place = new Map<number, [number, number, number]>();
  for (let k = 0; k < up; k++)
    for (let j = 0; j < along; j++) for (let i = 0; i < across; i++) place.set(mesh.cellAt(i, j, k), [i, j, k]);
  const ring = mesh.shape.kind === "ring";
  for (let r = 0; r < mesh.rimCell.length; r++) {
    const [i, j, k] = place.get(mesh.rimCell[r])!;
    const jj = box ? j + 1 : 0;
    const surface = mesh.rimSurface[r];
    if (surface === TOP) values[at(i + 1, jj, nz - 1)] = rims[r];
    else if (surface === BASE) values[at(i + 1, jj, 0)] = rims[r];
    else if (mesh.rimAxis[r] === 1) values[at(i + 1, ny - 1, k + 1)] = rims[r];
    // Of the two walls of a ring the outer one comes first for its cell, unless there is one cell only.
    else values[at(ring && i === 0 && (across > 1 || rimIsInner(mesh, r)) ? 0 : nx - 1, jj, k + 1)] = rims[r];
  }
  // Mirrors, then edges and corners by the plane through their neighbours.
  if (!ring)
    for (let k = 1; k < nz - 1; k++)
      for (let j = box ? 1 : 0; j < (box ? ny - 1 : 1); j++) values[at(0, j, k)] = values[at(1, j, k)];
  if (box) for (let k = 1; k < nz - 1; k++) for (let i = 1; i < nx - 1; i++) values[at(i, 0, k)] = values[at(i, 1, k)];
  const inner = (i: number, n: number) => Math.min(Math.max(i, 1), n - 2);
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++)
      for (let i = 0; i < nx; i++) {
        const a = inner(i, nx);
        const b = box ? inner(j, ny) : 0;
        const c = inner(k, nz);
        const outside = (i !== a ? 1 : 0) + (box && j !== b ? 1 : 0) + (k !== c ? 1 : 0);
        if (outside < 2) continue;
        const core = values[at(a, b, c)];
        let sum = core;
        if (i !== a) sum += values[at(i, b, c)] - core;
        if (box && j !== b) sum += values[at(a, j, c)] - core;
        if (k !== c) sum += values[at(a, b, k)] - core;
        values[at(i, j, k)] = sum;
      }
}

function rimIsInner(mesh: Mesh, r: number): boolean {
  return r > 0 && mesh.rimCell[r - 1] === mesh.rimCell[r] && mesh.rimAxis[r - 1] === 0;
}

/** Interpolation by four nodes in each direction at a place; outside the cake the nearest place counts. */
export function probe(field: ProbeField, across: number, along: number, up: number): number {
  const x = lagrange(field.across, across);
  const y = lagrange(field.along, along);
  const z = lagrange(field.up, up);
  const nx = field.across.length;
  const ny = field.along.length;
  let sum = 0;
  for (let k = 0; k < z.weights.length; k++)
    for (let j = 0; j < y.weights.length; j++)
      for (let i = 0; i < x.weights.length; i++)
        sum += x.weights[i] * y.weights[j] * z.weights[k] * field.values[x.first + i + nx * (y.first + j + ny * (z.first + k))];
  return sum;
}

function lagrange(nodes: Float64Array, place: number): { readonly first: number; readonly weights: number[] } {
  const n = nodes.length;
  if (n === 1) return { first: 0, weights: [1] };
  const p = Math.min(Math.max(place, nodes[0]), nodes[n - 1]);
  let below = 0;
  while (below < n - 2 && nodes[below + 1] <= p) below++;
  if (below === 0 && nodes[0] < 0 && n > 4) {
    // Next to a symmetry plane the field is even: a polynomial in the square of the distance.
    const squares = [nodes[1], nodes[2], nodes[3]].map((x) => x * x);
    const weights = squares.map((s, i) => squares.reduce((w, q, j) => (j === i ? w : (w * (p * p - q)) / (s - q)), 1));
    return { first: 1, weights };
  }
  const count = Math.min(4, n);
  const first = Math.min(Math.max(below - 1, 0), n - count);
  const weights: number[] = [];
  for (let i = 0; i < count; i++) {
    let weight = 1;
    for (let j = 0; j < count; j++) {
      if (j !== i) weight *= (p - nodes[first + j]) / (nodes[first + i] - nodes[first + j]);
    }
    weights.push(weight);
  }
  return { first, weights };
}
