import {
  type BakePrediction,
  type BakeRequest,
  bakeDraws,
  bakeOfComponent,
  gatherBakeBands,
  parseOven,
  predictBake,
  readBakeCase,
  runBakeDraws,
  solveCase,
} from "@evencrumb/core/bake";
import type { Component } from "@evencrumb/core/formula";
import type { Problem } from "@evencrumb/core/quantities";
import { type CountedTin, formatTin, parseTins, type Tin } from "@evencrumb/core/tins";
import { defineCommand } from "../command.js";
import { readFormula, sayUnknown } from "../formulaInput.js";
import { type ExitStatus, type Io, refuse } from "../io.js";
import { jsonText } from "../render/json.js";
import { tableText } from "../render/table.js";

export interface BakeOptions {
  readonly component?: string;
  readonly tin?: string;
  readonly oven?: string;
  readonly grams?: string;
  readonly position?: string;
  readonly calibration?: string;
  readonly altitude?: string;
  readonly minutes?: string;
  readonly lining?: string;
  readonly strip?: boolean;
  readonly cover?: string;
  readonly room?: string;
  readonly [name: string]: unknown;
}

/** Flags that `bake`, `cool` and `freeze` share. */
export const BAKE_FLAGS = [
  ["--component <name>", "component, by name or number; the first that is a cake when left out"],
  ["--tin <tin>", 'tin, such as "round 20x5 cm"; the formula\'s own when left out'],
  ["--oven <setting>", '"170C", "150C,fan", "350F", "gas 4", with ",stone" or ",tray" below; the formula\'s own when left out'],
  ["--grams <grams>", "batter in this tin; shared out over the formula's tins when left out"],
  ["--calibration <file>", "what `evencrumb calibrate --json` found for this oven"],
  ["--position <number>", "shelf position, when the calibration file has several", "1"],
  ["--altitude <metres>", "height above the sea", "0"],
  ["--minutes <minutes>", "taken out after this long; when done if left out"],
  ["--lining <kind>", "none or paper", "none"],
  ["--strip", "an insulating strip around the tin"],
  ["--cover <kind>", "none, foil or lid", "none"],
] as const;

export const bakeCommand = defineCommand<
  BakeOptions & { readonly case?: string; readonly band?: string; readonly seed?: string }
>({
  name: "bake",
  summary:
    "Predict how one component bakes in one tin: time, coldest point, loss, height, colour, cooling. Or solve a bare case.",
  arguments: [["[file]", 'formula file, or "-" for the standard input; none with --case']],
  options: [
    ...BAKE_FLAGS,
    ["--room <celsius>", "room in which it cools", "20"],
    ["--band <count>", "sample the band with this many bakes instead of estimating it"],
    ["--seed <number>", "seed of the samples", "1"],
    ["--case <file>", "solve a bare case from JSON instead; see docs/models/bake.md"],
  ],
  examples: [
    'evencrumb bake sandwich.yaml --tin "round 20x5 cm" --oven 170C',
    "evencrumb bake sandwich.yaml --oven 150C,fan --grams 500 --json",
    "evencrumb bake --case case.json --json",
  ],
  async run({ case: caseFile, band, seed, args, json, ...options }, io) {
    if (caseFile !== undefined) return runCase(caseFile, io);
    const asked = await bakeRequest(args[0], options, io);
    if (typeof asked === "number") return asked;
    const { request, component } = asked;
    const roomC = Number(options.room ?? "20");
    const prediction = predictBake({ ...request, after: { roomC } });
    const count = band === undefined ? 0 : Math.round(Number(band));
    if (!(count >= 0 && count <= 4096)) return refuse(io, [flagProblem("band", band ?? "", "a count up to 4096")]);
    const bands =
      count > 0
        ? gatherBakeBands([runBakeDraws({ ...request, accuracy: "coarse" }, bakeDraws(request, count, Number(seed ?? "1")))])
        : undefined;
    if (json) io.print(jsonText("bake", bakeAsJson(prediction, component, request, bands)));
    else io.print(bakeAsText(prediction, component, request, bands));
    return prediction.outcome === "baked" ? 0 : 1;
  },
});

async function runCase(path: string, io: Io): Promise<ExitStatus> {
  const text = await io.readText(path);
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch (error) {
    const found = error instanceof Error ? error.message : "broken text";
    return refuse(
      io,
      [{ code: "syntax", path: [], expected: "JSON", found, remedy: "Mend the file; docs/models/bake.md has one to copy." }],
      path,
    );
  }
  const input = readBakeCase(parsed);
  if (!input.ok) return refuse(io, input.error, path);
  // A bare case is for checks by other programs, so it is not rounded to a millionth.
  io.print(
    JSON.stringify({ shape: "evencrumb.bakeCase/1", ...solveCase(input.value, { now: () => performance.now() }) }, null, 2),
  );
  return 0;
}

export const flagProblem = (flag: string, found: string, expected: string): Problem => ({
  code: "out-of-range",
  path: [`--${flag}`],
  expected,
  found,
  remedy: `Give --${flag} another value.`,
});

/** A component, a tin and an oven from the command line, or the exit status when they cannot be used. */
export async function bakeRequest(
  file: string | undefined,
  options: BakeOptions,
  io: Io,
): Promise<{ readonly request: BakeRequest; readonly component: Component } | ExitStatus> {
  if (file === undefined)
    return refuse(io, [
      {
        code: "missing-field",
        path: ["file"],
        expected: "a formula file, or --case",
        found: "nothing",
        remedy: "Name the formula to bake.",
      },
    ]);
  const input = await readFormula(io, file);
  if (typeof input === "number") return input;
  const { formula, book } = input;
  const wanted = options.component;
  const component =
    wanted === undefined
      ? (formula.components.find((one) => one.kind === "cake") ?? formula.components[0])
      : (formula.components.find((one) => one.name.toLowerCase() === wanted.toLowerCase()) ??
        formula.components[Number(wanted) - 1]);
  if (!component)
    return refuse(io, [
      {
        code: "unknown-component",
        path: ["--component"],
        expected: formula.components.map((one) => one.name).join(", "),
        found: wanted ?? "no component",
        remedy: "Name a component of this formula.",
      },
    ]);
  const tins = tinsOf(options.tin, component);
  if (!tins.ok) return refuse(io, tins.problems);
  const ovenText = options.oven ?? (component.bake ? `${component.bake.ovenC}C${component.bake.fan ? ",fan" : ""}` : undefined);
  if (ovenText === undefined)
    return refuse(io, [
      {
        code: "missing-field",
        path: ["--oven"],
        expected: '"170C" or "150C,fan"',
        found: "nothing",
        remedy: "Say how the oven is set.",
      },
    ]);
  const oven = parseOven(ovenText);
  if (!oven.ok) return refuse(io, [oven.error]);
  let fitted = {};
  if (options.calibration !== undefined) {
    const fit = await readFit(options.calibration, options.position ?? "1", io);
    if (typeof fit === "number") return fit;
    fitted = { fitted: fit };
  }
  for (const [flag, allowed] of [
    ["lining", ["none", "paper"]],
    ["cover", ["none", "foil", "lid"]],
  ] as const) {
    const value = options[flag] ?? "none";
    if (!(allowed as readonly string[]).includes(value)) return refuse(io, [flagProblem(flag, value, allowed.join(", "))]);
  }
  sayUnknown(io, formula, book);
  const numbers = { grams: options.grams, altitude: options.altitude, minutes: options.minutes };
  for (const [flag, value] of Object.entries(numbers))
    if (value !== undefined && !Number.isFinite(Number(value))) return refuse(io, [flagProblem(flag, value, "a number")]);
  const request = bakeOfComponent(component, book, {
    tin: tins.tin,
    tinCount: tins.count,
    oven: { ...oven.value, ...fitted },
    ...(options.grams === undefined ? {} : { grams: Number(options.grams) }),
    more: {
      accuracy: "full",
      altitudeM: Number(options.altitude ?? "0"),
      lining: (options.lining ?? "none") as "none" | "paper",
      cover: (options.cover ?? "none") as "none" | "foil" | "lid",
      insulatingStrip: options.strip === true,
      ...(options.minutes === undefined ? {} : { bakeSeconds: 60 * Number(options.minutes) }),
    },
  });
  return request.ok ? { request: request.value, component } : refuse(io, request.error);
}

function tinsOf(
  text: string | undefined,
  component: Component,
):
  | { readonly ok: true; readonly tin: Tin; readonly count: number }
  | { readonly ok: false; readonly problems: readonly Problem[] } {
  const own = (component.tins ?? []).map((use) => `${use.count} ${use.tin}`).join(", ");
  const source = text ?? own;
  if (source === "")
    return {
      ok: false,
      problems: [
        {
          code: "missing-field",
          path: ["--tin"],
          expected: '"round 20x5 cm"',
          found: "nothing",
          remedy: "Say what it is baked in.",
        },
      ],
    };
  const { value, problems } = parseTins(source);
  const first: CountedTin | undefined = value[0];
  if (!first) return { ok: false, problems };
  // A named tin is one of as many as the formula has, so that the batter is shared out as there.
  const count = text === undefined ? first.count : Math.max(first.count, component.tins?.[0]?.count ?? 1);
  return { ok: true, tin: first.tin, count };
}

async function readFit(path: string, position: string, io: Io): Promise<NonNullable<BakeRequest["oven"]["fitted"]> | ExitStatus> {
  const bad = (found: string): ExitStatus =>
    refuse(io, [
      {
        code: "wrong-type",
        path: [path],
        expected: "the JSON that evencrumb calibrate --json printed",
        found,
        remedy: "Run evencrumb calibrate again.",
      },
    ]);
  let parsed: { positions?: { position?: unknown; fit?: Record<string, unknown> }[] };
  try {
    parsed = JSON.parse(await io.readText(path)) as typeof parsed;
  } catch {
    return bad("no JSON");
  }
  const entry = parsed.positions?.find((one) => String(one.position) === position);
  const fit = entry?.fit;
  if (!fit) return bad(`no position ${position}`);
  const names = ["offsetK", "aboveFactor", "belowFactor", "offsetSpreadK", "aboveSpread", "belowSpread"] as const;
  if (!names.every((name) => typeof fit[name] === "number")) return bad("figures missing");
  return fit as unknown as NonNullable<BakeRequest["oven"]["fitted"]>;
}

type Bands = ReturnType<typeof gatherBakeBands> | undefined;

function bakeAsJson(
  p: BakePrediction,
  component: Component,
  request: BakeRequest,
  bands: Bands,
): Readonly<Record<string, unknown>> {
  const { curves, cooling } = p;
  return {
    component: component.name,
    tin: formatTin(request.tin),
    batterGrams: request.massGrams,
    outcome: p.outcome,
    doneSeconds: bands?.doneSeconds ?? p.doneSeconds,
    doneC: p.doneC,
    outSeconds: p.outSeconds,
    coldestPoint: p.coldestPoint,
    weightLossPercent: bands?.weightLossPercent ?? p.weightLossPercent,
    curves: Object.fromEntries(Object.entries(curves).map(([name, values]) => [name, Array.from(values)])),
    lethalityLog10: p.lethalityLog10,
    energyKwh: p.energyKwh,
    cakeEnergyKwh: p.cakeEnergyKwh,
    height: p.height,
    browning: p.browning,
    unsetShare: p.unsetShare,
    dryShare: p.dryShare,
    ...(cooling ? { cooling: coolingAsJson(cooling) } : {}),
    ...(bands ? { bandSamples: bands.samples } : {}),
    assumptions: p.assumptions,
    cautions: [...p.cautions, ...(cooling?.cautions ?? [])],
    run: p.run,
  };
}

export function coolingAsJson(cooling: NonNullable<BakePrediction["cooling"]>): Readonly<Record<string, unknown>> {
  const { curves, ...rest } = cooling;
  const { place, ...numbers } = curves;
  return { ...rest, curves: { ...Object.fromEntries(Object.entries(numbers).map(([name, v]) => [name, Array.from(v)])), place } };
}

export const minutesText = (seconds: number | null | undefined): string => {
  if (seconds === null || seconds === undefined) return "not within the time followed";
  const minutes = Math.round(seconds / 60);
  return minutes < 100 ? `${minutes} min` : `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
};

function bakeAsText(p: BakePrediction, component: Component, request: BakeRequest, bands: Bands): string {
  const done = bands?.doneSeconds ?? p.doneSeconds;
  const loss = bands?.weightLossPercent ?? p.weightLossPercent;
  const rows = [
    ["Done", `${minutesText(done.likely)}, between ${minutesText(done.from)} and ${minutesText(done.to)} (predicted)`],
    [
      "Taken out",
      `${minutesText(p.outSeconds)}; coldest point ${p.coldestPoint.temperatureC.toFixed(0)} °C, ${(1000 * p.coldestPoint.rM).toFixed(0)} mm from the middle`,
    ],
    ["Weight loss", `${loss.likely.toFixed(1)} %, between ${loss.from.toFixed(1)} and ${loss.to.toFixed(1)} % (predicted)`],
    [
      "Height",
      `${p.height.centreMm.toFixed(0)} mm in the middle, ${p.height.edgeMm.toFixed(0)} mm near the wall (indicative); batter ${p.height.batterMm.toFixed(0)} mm`,
    ],
    ["Top", `${p.browning.words} (indicative)`],
    ["Energy", `${p.energyKwh.toFixed(2)} kWh with a usual oven, ${p.cakeEnergyKwh.toFixed(2)} kWh of it into the cake`],
    [
      "Salmonella",
      `${p.lethalityLog10 >= 12 ? "12 or more" : p.lethalityLog10.toFixed(1)} tenfold reductions in the coldest point (computed)`,
    ],
  ];
  if (p.cooling) {
    rows.push(["Loss, cooled", `${(loss.likely + p.cooling.lossPercent).toFixed(1)} % of the batter's weight (predicted)`]);
    rows.push(["Can be handled", `${minutesText(p.cooling.handleSeconds)} after the oven`]);
    rows.push(["Can be wrapped", `${minutesText(p.cooling.wrapSeconds)} after the oven`]);
    rows.push(["Can be filled", `${minutesText(p.cooling.fillSeconds)} after the oven`]);
  }
  const left = (heading: string) => ({ heading, align: "left" as const });
  return [
    `${component.name}, ${request.massGrams.toFixed(0)} g in ${formatTin(request.tin)}, oven ${request.oven.setC.toFixed(0)} °C${request.oven.fan ? " fan" : ""}`,
    "",
    tableText([left(""), left("")], rows),
    "",
    "Assumed:",
    ...p.assumptions.map((words) => `  ${words}`),
    "Mind:",
    ...[...p.cautions, ...(p.cooling?.cautions ?? [])].map((words) => `  ${words}`),
  ].join("\n");
}
