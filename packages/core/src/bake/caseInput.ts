import type { Problem, Result } from "../quantities/index.js";
import type { MoistClosures } from "./heatWater.js";
import { type BakeShape, SURFACES, type SurfaceName } from "./mesh.js";

/** How one surface meets its surroundings. */
export type SurfaceCondition = { readonly hWM2K: number; readonly ambientC: number } | { readonly fixedC: number } | "insulated";

/** Closures of the coupled model; what is left out takes the value echoed in the answer. */
export interface VapourInput extends Partial<MoistClosures> {
  /** Water at the start [kg/kg dry solids]. */
  readonly initialWaterKgKg: number;
  /** Vapour pressure of the surrounding air [Pa]. */
  readonly airVapourPa?: number;
  /** Vapour transfer [kg/(m² s Pa)] at each surface; 0 is impermeable. */
  readonly vapourTransferKgM2SPa?: Partial<Record<SurfaceName, number>>;
}

export type ProbePlace =
  | { readonly rM: number; readonly zM: number }
  | { readonly xM: number; readonly yM: number; readonly zM: number };

/** The bare solver's question: constant shape and properties. Places are from the axis or the middle, and from the base. */
export interface BakeCase {
  readonly shape: BakeShape;
  readonly material: { readonly densityKgM3: number; readonly heatCapacityJKgK: number; readonly conductivityWMK: number };
  readonly surfaces: Readonly<Record<SurfaceName, SurfaceCondition>>;
  readonly initialC: number;
  readonly durationS: number;
  readonly sampleEveryS: number;
  readonly probes: readonly ProbePlace[];
  readonly accuracy: "coarse" | "full";
  readonly vapour?: VapourInput;
}

type Path = readonly (string | number)[];

/** Ranges within which the equations and the mesh make sense; both ends allowed. */
const RANGES = {
  length: [0.002, 2],
  densityKgM3: [20, 20_000],
  heatCapacityJKgK: [50, 10_000],
  conductivityWMK: [0.005, 500],
  temperature: [-80, 600],
  hWM2K: [0, 1e6],
  durationS: [1, 1e7],
} as const;

const MOIST_RANGES: Readonly<Record<keyof MoistClosures, readonly [number, number]>> = {
  solidsHeatCapacityJKgK: [200, 5000],
  waterHeatCapacityJKgK: [1000, 6000],
  activityHalfKgKg: [0.001, 1],
  pathShare: [0, 1],
  pressurePa: [30_000, 300_000],
  vapourEnthalpyJKg: [1e6, 4e6],
  vapourHeatCapacityJKgK: [0, 5000],
  pressureFlowFrom: [0.5, 0.999],
  pressureFlowWidth: [0.001, 1],
  pressureFlowGain: [0, 1e4],
  liquidDiffusivityM2S: [0, 1e-6],
};

/** Reads a case from parsed JSON; every mistake is named, not only the first. */
export function readBakeCase(input: unknown): Result<BakeCase, readonly Problem[]> {
  const problems: Problem[] = [];
  const say = (code: Problem["code"], path: Path, expected: string, found: unknown, remedy: string) => {
    problems.push({ code, path, expected, found: show(found), remedy });
  };
  const object = (value: unknown, path: Path, keys: readonly string[]): Record<string, unknown> => {
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      say(
        value === undefined ? "missing-field" : "wrong-type",
        path,
        "an object",
        value,
        `Write an object with ${keys.join(", ")}.`,
      );
      return {};
    }
    const record = value as Record<string, unknown>;
    for (const key of Object.keys(record))
      if (!keys.includes(key))
        say("unknown-field", [...path, key], `one of ${keys.join(", ")}`, key, "Remove or rename this field.");
    return record;
  };
  const number = (value: unknown, path: Path, [low, high]: readonly [number, number], unit: string): number => {
    if (typeof value !== "number" || !Number.isFinite(value)) {
      say(
        value === undefined ? "missing-field" : "wrong-type",
        path,
        `a number [${unit}]`,
        value,
        `Give a number from ${low} to ${high}.`,
      );
      return Number.NaN;
    }
    if (!(value >= low && value <= high))
      say("out-of-range", path, `${low} to ${high} ${unit}`, value, "Give a value within the range; sizes are in metres.");
    return value;
  };

  const root = object(
    input,
    [],
    ["shape", "material", "surfaces", "initialC", "durationS", "sampleEveryS", "probes", "accuracy", "vapour"],
  );
  const shape = readShape(root.shape);
  const materialInput = object(root.material, ["material"], ["densityKgM3", "heatCapacityJKgK", "conductivityWMK"]);
  const material = {
    densityKgM3: number(materialInput.densityKgM3, ["material", "densityKgM3"], RANGES.densityKgM3, "kg/m3"),
    heatCapacityJKgK: number(
      materialInput.heatCapacityJKgK,
      ["material", "heatCapacityJKgK"],
      RANGES.heatCapacityJKgK,
      "J/(kg K)",
    ),
    conductivityWMK: number(materialInput.conductivityWMK, ["material", "conductivityWMK"], RANGES.conductivityWMK, "W/(m K)"),
  };
  const surfacesInput = object(root.surfaces, ["surfaces"], SURFACES);
  const surfaces = Object.fromEntries(
    SURFACES.map((name) => [name, readSurface(surfacesInput[name], ["surfaces", name])]),
  ) as Record<SurfaceName, SurfaceCondition>;
  const initialC = number(root.initialC, ["initialC"], RANGES.temperature, "°C");
  const durationS = number(root.durationS, ["durationS"], RANGES.durationS, "s");
  const sampleEveryS = number(root.sampleEveryS, ["sampleEveryS"], [0.1, 1e7], "s");
  if (durationS / sampleEveryS > 20_000)
    say("too-large", ["sampleEveryS"], "at most 20000 samples", durationS / sampleEveryS, "Sample less often.");
  const probes: ProbePlace[] = [];
  if (!Array.isArray(root.probes))
    say("wrong-type", ["probes"], "a list of places", root.probes, "Write a list; it may be empty.");
  else (root.probes as unknown[]).forEach((p, i) => void probes.push(readProbe(p, ["probes", i])));
  const accuracy = root.accuracy ?? "full";
  if (accuracy !== "coarse" && accuracy !== "full")
    say("wrong-type", ["accuracy"], '"coarse" or "full"', accuracy, 'Write "coarse" or "full".');
  const vapour = root.vapour === undefined ? undefined : readVapour(root.vapour);
  if (problems.length > 0) return { ok: false, error: problems };
  return {
    ok: true,
    value: {
      shape: shape as BakeShape,
      material,
      surfaces,
      initialC,
      durationS,
      sampleEveryS,
      probes,
      accuracy: accuracy as "coarse" | "full",
      ...(vapour === undefined ? {} : { vapour }),
    },
  };

  function readShape(value: unknown): BakeShape | undefined {
    const keys: Record<string, readonly string[]> = {
      cylinder: ["radiusM", "heightM"],
      ring: ["innerRadiusM", "outerRadiusM", "heightM"],
      box: ["lengthM", "widthM", "heightM"],
    };
    const kind = (value as { kind?: unknown } | undefined)?.kind;
    if (typeof kind !== "string" || keys[kind] === undefined) {
      say("wrong-type", ["shape", "kind"], '"cylinder", "ring" or "box"', kind, "Give shape.kind.");
      return undefined;
    }
    const record = object(value, ["shape"], ["kind", ...keys[kind]]);
    const sizes = Object.fromEntries(keys[kind].map((key) => [key, number(record[key], ["shape", key], RANGES.length, "m")]));
    if (kind === "ring" && !(sizes.outerRadiusM > sizes.innerRadiusM))
      say(
        "conflict",
        ["shape", "outerRadiusM"],
        "more than innerRadiusM",
        sizes.outerRadiusM,
        "Give the outer radius of the ring.",
      );
    return { kind, ...sizes } as unknown as BakeShape;
  }

  function readSurface(value: unknown, path: Path): SurfaceCondition {
    if (value === "insulated") return "insulated";
    if (typeof value === "object" && value !== null && "fixedC" in value) {
      const record = object(value, path, ["fixedC"]);
      return { fixedC: number(record.fixedC, [...path, "fixedC"], RANGES.temperature, "°C") };
    }
    const record = object(value, path, ["hWM2K", "ambientC"]);
    return {
      hWM2K: number(record.hWM2K, [...path, "hWM2K"], RANGES.hWM2K, "W/(m2 K)"),
      ambientC: number(record.ambientC, [...path, "ambientC"], RANGES.temperature, "°C"),
    };
  }

  function readProbe(value: unknown, path: Path): ProbePlace {
    const keys = shape?.kind === "box" ? ["xM", "yM", "zM"] : ["rM", "zM"];
    const record = object(value, path, keys);
    const sizes = Object.fromEntries(keys.map((key) => [key, number(record[key], [...path, key], [0, 2], "m")]));
    return sizes as unknown as ProbePlace;
  }

  function readVapour(value: unknown): VapourInput {
    const path = ["vapour"];
    const names = Object.keys(MOIST_RANGES) as (keyof MoistClosures)[];
    const record = object(value, path, ["initialWaterKgKg", "airVapourPa", "vapourTransferKgM2SPa", ...names]);
    const closures: Record<string, number> = {};
    for (const name of names)
      if (record[name] !== undefined) closures[name] = number(record[name], [...path, name], MOIST_RANGES[name], "as documented");
    const transferInput = record.vapourTransferKgM2SPa;
    const transfer: Record<string, number> = {};
    if (transferInput !== undefined) {
      const place = [...path, "vapourTransferKgM2SPa"];
      const sides = object(transferInput, place, SURFACES);
      for (const side of SURFACES)
        if (sides[side] !== undefined) transfer[side] = number(sides[side], [...place, side], [0, 1e-4], "kg/(m2 s Pa)");
    }
    return {
      initialWaterKgKg: number(record.initialWaterKgKg, [...path, "initialWaterKgKg"], [0.01, 5], "kg/kg dry"),
      ...(record.airVapourPa === undefined
        ? {}
        : { airVapourPa: number(record.airVapourPa, [...path, "airVapourPa"], [0, 90_000], "Pa") }),
      ...(transferInput === undefined ? {} : { vapourTransferKgM2SPa: transfer }),
      ...closures,
    };
  }
}

function show(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = typeof value === "string" ? value : JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
