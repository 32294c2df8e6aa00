import type { BakeCase } from "./caseInput.js";
import { DEFAULT_MOIST } from "./closures.js";
import { type MoistClosures, makeHeatWater } from "./heatWater.js";
import { integrateStretch, newBalance, type StepControl } from "./integrate.js";
import { type BakeShape, buildMesh, type CellCounts, type Mesh, SURFACES, type SurfaceName } from "./mesh.js";
import { fillProbeField, makeProbeField, probe } from "./probeField.js";

/** The bare solver's answer. Heat and water are of the whole body. */
export interface CaseAnswer {
  readonly timesS: readonly number[];
  /** One list for each probe, one temperature [°C] for each time. */
  readonly probesC: readonly (readonly number[])[];
  readonly heat: { readonly enteredJ: number; readonly storedJ: number };
  readonly cells: number;
  readonly steps: number;
  /** Milliseconds by the caller's clock; 0 without one. */
  readonly solveMs: number;
  /** Only with vapour: what was assumed, and what water did. */
  readonly vapour?: {
    readonly closures: MoistClosures & {
      readonly initialWaterKgKg: number;
      readonly airVapourPa: number;
      readonly vapourTransferKgM2SPa: Readonly<Record<SurfaceName, number>>;
    };
    readonly coldestC: readonly number[];
    readonly coldestPlace: readonly { readonly acrossM: number; readonly alongM: number; readonly upM: number }[];
    readonly lossPercent: readonly number[];
    readonly water: { readonly enteredKg: number; readonly storedKg: number };
  };
}

export interface CaseOptions {
  /** A clock [ms], for `solveMs`. */
  readonly now?: () => number;
  /** Own mesh and steps, for convergence studies. */
  readonly cells?: CellCounts;
  readonly control?: Partial<StepControl>;
  /** Largest cell over smallest. */
  readonly grading?: number;
  readonly solver?: "direct" | "iterative";
}

/** Cells in each direction. Round shapes are solved directly, boxes iteratively. */
const CELLS = {
  conduction: {
    coarse: { round: [16, 1, 14], box: [10, 10, 14] },
    full: { round: [36, 1, 42], box: [15, 15, 24] },
  },
  moist: {
    coarse: { round: [8, 1, 16], box: [6, 5, 9] },
    full: { round: [28, 1, 32], box: [12, 10, 16] },
  },
} as const;

/**
 * Solves conduction, or with `vapour` the coupled equations, for constant shape and properties.
 *
 * @throws Error when a balance does not close, which would be ours to mend
 */
export function solveCase(input: BakeCase, options: CaseOptions = {}): CaseAnswer {
  if (input.vapour !== undefined || input.accuracy === "coarse" || options.cells !== undefined) return solveOnce(input, options);
  // Conduction is smooth, so its error shrinks cleanly with the square of the cell: two meshes of one family and Richardson's
  // extrapolation are far cheaper than one mesh fine enough.
  const [across, along, up] = CELLS.conduction.full[input.shape.kind === "box" ? "box" : "round"];
  const coarser = { across: (across / 3) * 2, along: along === 1 ? 1 : (along / 3) * 2, up: (up / 3) * 2 };
  const rough = solveOnce(input, { ...options, cells: coarser });
  const fine = solveOnce(input, { ...options, cells: { across, along, up } });
  const weight = 1 / (1.5 ** 2 - 1);
  return {
    ...fine,
    probesC: fine.probesC.map((list, p) => list.map((t, i) => t + weight * (t - rough.probesC[p][i]))),
    cells: fine.cells + rough.cells,
    steps: fine.steps + rough.steps,
    solveMs: fine.solveMs + rough.solveMs,
  };
}

function solveOnce(input: BakeCase, options: CaseOptions): CaseAnswer {
  const start = options.now?.() ?? 0;
  const { material, vapour } = input;
  const box = input.shape.kind === "box";
  const [across, along, up] = CELLS[vapour ? "moist" : "conduction"][input.accuracy][box ? "box" : "round"];
  const cells = options.cells ?? { across, along, up };
  const mesh = buildMesh(input.shape, {
    cells,
    ...gradingFor(input.shape, cells, options.grading ?? (vapour ? (input.accuracy === "full" ? 10 : 8) : 5)),
  });
  const closures = vapour === undefined ? undefined : { ...DEFAULT_MOIST, ...solidsHeat(input), ...moistOnly(vapour) };
  const water = vapour?.initialWaterKgKg ?? 0;
  const solids = mesh.volume.map((v) => (v * material.densityKgM3) / (1 + water));
  const system = makeHeatWater({
    mesh,
    solidsKg: solids,
    ...(closures ? { moist: closures } : { heatCapacityJKgK: material.heatCapacityJKgK }),
    solver: options.solver ?? (box && !(vapour && input.accuracy === "coarse") ? "iterative" : "direct"),
  });
  system.conductivity.fill(material.conductivityWMK);
  const transfer = Object.fromEntries(SURFACES.map((s) => [s, vapour?.vapourTransferKgM2SPa?.[s] ?? 0])) as Record<
    SurfaceName,
    number
  >;
  const airVapourPa = vapour?.airVapourPa ?? 0;
  for (let r = 0; r < mesh.rimCell.length; r++) {
    const name = SURFACES[mesh.rimSurface[r]];
    const condition = input.surfaces[name];
    system.rimTransfer[r] = condition === "insulated" ? 0 : "fixedC" in condition ? Number.POSITIVE_INFINITY : condition.hWM2K;
    system.rimAmbient[r] = condition === "insulated" ? 0 : "fixedC" in condition ? condition.fixedC : condition.ambientC;
    system.rimVapour[r] = transfer[name];
    system.rimAirVapourPa[r] = airVapourPa;
  }
  system.refresh();

  const timesS: number[] = [];
  for (let i = 0; i * input.sampleEveryS <= input.durationS * (1 + 1e-12); i++) timesS.push(i * input.sampleEveryS);
  const y = system.initial(input.initialC, water);
  const before = system.totals(y);
  const field = makeProbeField(mesh);
  const cellC = new Float64Array(mesh.cellCount);
  const rimC = new Float64Array(mesh.rimCell.length);
  const probesC: number[][] = input.probes.map(() => []);
  const coldestC: number[] = [];
  const coldestPlace: { acrossM: number; alongM: number; upM: number }[] = [];
  const lossPercent: number[] = [];
  const batterKg = solids.reduce((sum, m) => sum + m, 0) * (1 + water);
  const balance = newBalance();
  const full = input.accuracy === "full";
  const span = temperatureSpan(input);
  const control: StepControl = {
    temperatureTolerance: vapour ? (full ? 0.05 : 0.3) : span * (full ? 1.5e-5 : 1e-3),
    waterTolerance: full ? 5e-4 : 3e-3,
    firstStepS: Math.min(1, input.durationS / 100),
    longestStepS: input.durationS,
    ...options.control,
  };
  integrateStretch(
    system,
    y,
    {
      fromS: 0,
      toS: input.durationS,
      samplesS: timesS,
      onSample: (_, timeS, state) => {
        system.temperatures(state, cellC);
        if (input.probes.length > 0) {
          system.rimTemperatures(timeS, state, rimC);
          fillProbeField(field, mesh, cellC, rimC);
          input.probes.forEach((place, p) => {
            probesC[p].push("rM" in place ? probe(field, place.rM, 0, place.zM) : probe(field, place.xM, place.yM, place.zM));
          });
        }
        if (closures) {
          const coldest = coldestCell(mesh, cellC);
          coldestC.push(cellC[coldest.cell]);
          coldestPlace.push({ acrossM: coldest.acrossM, alongM: coldest.alongM, upM: coldest.upM });
          lossPercent.push((100 * (before.waterKg - system.totals(state).waterKg)) / batterKg);
        }
        return undefined;
      },
    },
    control,
    balance,
    control.firstStepS,
  );
  const after = system.totals(y);
  const parts = mesh.symmetryParts;
  const sum = (list: Float64Array) => parts * list.reduce((total, v) => total + v, 0);
  return {
    timesS,
    probesC,
    heat: { enteredJ: sum(balance.heatEnteredJ), storedJ: parts * (after.heatJ - before.heatJ) },
    cells: mesh.cellCount,
    steps: balance.steps,
    solveMs: (options.now?.() ?? 0) - start,
    ...(closures
      ? {
          vapour: {
            closures: { ...closures, initialWaterKgKg: water, airVapourPa, vapourTransferKgM2SPa: transfer },
            coldestC,
            coldestPlace,
            lossPercent,
            water: { enteredKg: sum(balance.waterEnteredKg), storedKg: parts * (after.waterKg - before.waterKg) },
          },
        }
      : {}),
  };
}

/** One mapping from share to place for every mesh of a family, so that halving cells shows the true order. */
export function gradingFor(shape: BakeShape, cells: CellCounts, largestOverSmallest: number): { readonly growth: number } {
  // Both ends of the height are fine, so its growth has half the cells to reach the ratio; the widest direction decides.
  const count = Math.max(cells.up / 2, shape.kind === "ring" ? cells.across / 2 : cells.across, 2);
  return { growth: largestOverSmallest ** (1 / count) };
}

/** Solids' heat capacity such that the moist whole has the stated one at the start. */
function solidsHeat(input: BakeCase): { readonly solidsHeatCapacityJKgK: number } {
  const x = input.vapour?.initialWaterKgKg ?? 0;
  const water = input.vapour?.waterHeatCapacityJKgK ?? DEFAULT_MOIST.waterHeatCapacityJKgK;
  return { solidsHeatCapacityJKgK: Math.max(200, input.material.heatCapacityJKgK * (1 + x) - water * x) };
}

function moistOnly(vapour: NonNullable<BakeCase["vapour"]>): Partial<MoistClosures> {
  const { initialWaterKgKg: _, airVapourPa: __, vapourTransferKgM2SPa: ___, ...closures } = vapour;
  return closures;
}

function temperatureSpan(input: BakeCase): number {
  let span = 1;
  for (const name of SURFACES) {
    const s = input.surfaces[name];
    if (s !== "insulated") span = Math.max(span, Math.abs(("fixedC" in s ? s.fixedC : s.ambientC) - input.initialC));
  }
  return span;
}

/** The coldest cell and the place of its centre [m]. */
export function coldestCell(mesh: Mesh, cellC: Float64Array) {
  let cell = 0;
  let lowest = Number.POSITIVE_INFINITY;
  let at = [0, 0, 0];
  for (let k = 0; k < mesh.counts.up; k++)
    for (let j = 0; j < mesh.counts.along; j++)
      for (let i = 0; i < mesh.counts.across; i++) {
        const c = mesh.cellAt(i, j, k);
        if (cellC[c] < lowest) {
          lowest = cellC[c];
          cell = c;
          at = [i, j, k];
        }
      }
  const middle = (edges: Float64Array, i: number) => (edges[i] + edges[i + 1]) / 2;
  return {
    cell,
    acrossM: middle(mesh.acrossEdges, at[0]),
    alongM: mesh.shape.kind === "box" ? middle(mesh.alongEdges, at[1]) : 0,
    upM: middle(mesh.upEdges, at[2]),
  };
}
