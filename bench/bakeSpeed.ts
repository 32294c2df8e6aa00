/**
 * Speed of the bake against SciPy on the same equations, in one run on one machine.
 *
 *     node --conditions=evencrumb-source --import tsx bench/bakeSpeed.ts
 *
 * All times are processor times, ours and SciPy's, each on one thread. Error is measured against our own fine mesh, which the tests hold against SciPy's. Needs /usr/bin/python3 with scipy (Debian:
 * python3-scipy); without it the comparison is left out, loudly.
 */
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import {
  bakeDraws,
  calibrate,
  EQUAL_WEIGHTS_BATTER,
  type OvenRecord,
  predictBake,
  readBakeCase,
  runBakeDraws,
  solveCase,
} from "@evencrumb/core/bake";
import { makeTin } from "@evencrumb/core/tins";
// The mesh is not part of the public face; the fairest race needs the same cells in both programs.
import { buildMesh } from "../packages/core/src/bake/mesh.js";
import { gradingFor } from "../packages/core/src/bake/solveCase.js";

const PEER = new URL("../packages/core/src/bake/peer/", import.meta.url);
const text = readFileSync(new URL("sandwichCase.json", PEER), "utf8");
const input = readBakeCase(JSON.parse(text));
if (!input.ok) throw new Error(JSON.stringify(input.error));
const question = input.value;

/**
 * Least and middle of repeated processor times [ms]: the machine may be shared, and the bars are for one core. The least is what the
 * core can do; the middle is what it did while others used its caches.
 */
function timed(repeat: number, work: () => void): { least: number; middle: number } {
  const processor = () => {
    const { user, system } = process.cpuUsage();
    return (user + system) / 1000;
  };
  const times = Array.from({ length: repeat }, () => {
    const start = processor();
    work();
    return processor() - start;
  }).sort((a, b) => a - b);
  return { least: times[0]!, middle: times[Math.floor(repeat / 2)]! };
}
const worst = (a: readonly number[], b: readonly number[]) => Math.max(...a.map((v, i) => Math.abs(v - b[i]!)));
const line = (name: string, value: string, bar: string) => console.log(`${name.padEnd(66)} ${value.padEnd(34)} bar: ${bar}`);
const times = (t: { least: number; middle: number }) => `${t.least.toFixed(1)} ms least, ${t.middle.toFixed(1)} ms middle`;

const [one] = cpus();
console.log(
  `${one?.model ?? "unknown processor"}, ${cpus().length} cores, load ${loadavg()[0]!.toFixed(1)}, Node ${process.version}\n`,
);

const reference = solveCase(question, {
  cells: { across: 36, along: 1, up: 36 },
  control: { temperatureTolerance: 0.05, waterTolerance: 5e-4 },
}).vapour!;
const coarse = { ...question, accuracy: "coarse" as const };
for (let i = 0; i < 20; i++) solveCase(coarse);
const ours = timed(60, () => solveCase(coarse));
const answer = solveCase(coarse).vapour!;
const ourError = {
  temperature: worst(answer.coldestC, reference.coldestC),
  loss: worst(answer.lossPercent, reference.lossPercent),
};
line("40 min in a 20 cm tin, coupled", times(ours), "16.7 ms");
line(
  "  its error against the converged mesh",
  `${ourError.temperature.toFixed(2)} °C, ${ourError.loss.toFixed(3)} points`,
  "0.5 °C, 0.2 points",
);

const folder = mkdtempSync(join(tmpdir(), "bake-bench-"));
try {
  const casePath = join(folder, "case.json");
  writeFileSync(casePath, text);
  const peer = (...flags: string[]) => {
    const run = spawnSync("/usr/bin/python3", [new URL("scipyBake.py", PEER).pathname, casePath, ...flags], {
      encoding: "utf8",
      env: { ...process.env, OMP_NUM_THREADS: "1", OPENBLAS_NUM_THREADS: "1" },
    });
    return run.status === 0
      ? (JSON.parse(run.stdout) as { coldestC: number[]; lossPercent: number[]; seconds: number; cells: number[] })
      : undefined;
  };
  if (peer("--cells", "4x4", "--rtol", "1e-2") === undefined) {
    console.log(
      "\n!!! SciPy is missing (/usr/bin/python3 -c 'import scipy'): the comparison with it was NOT run. Install python3-scipy.\n",
    );
  } else {
    const counts = { across: 8, along: 1, up: 16 };
    const mesh = buildMesh(question.shape, { cells: counts, ...gradingFor(question.shape, counts, 8) });
    const like = join(folder, "mesh.json");
    writeFileSync(like, JSON.stringify({ acrossEdges: Array.from(mesh.acrossEdges), upEdges: Array.from(mesh.upEdges) }));
    const same = peer("--like", like, "--rtol", "1e-3", "--repeat", "3")!;
    const sameError = `${worst(same.coldestC, reference.coldestC).toFixed(2)} °C, ${worst(same.lossPercent, reference.lossPercent).toFixed(3)} points`;
    line(`  SciPy BDF, sparse Jacobian, our own mesh, rtol 1e-3: ${sameError}`, `${(1000 * same.seconds).toFixed(0)} ms`, "");
    line("    ratio to ours (least times)", `${((1000 * same.seconds) / ours.least).toFixed(0)} times`, "20 at equal error");
    for (const [cells, rtol] of [
      ["12x12", "1e-3"],
      ["20x20", "1e-3"],
    ] as const) {
      const run = peer("--cells", cells, "--rtol", rtol, "--repeat", "2")!;
      const error = `${worst(run.coldestC, reference.coldestC).toFixed(2)} °C, ${worst(run.lossPercent, reference.lossPercent).toFixed(3)} points`;
      line(`  SciPy BDF, sparse Jacobian, ${cells} uniform, rtol ${rtol}: ${error}`, `${(1000 * run.seconds).toFixed(0)} ms`, "");
      line("    ratio to ours (least times)", `${((1000 * run.seconds) / ours.least).toFixed(0)} times`, "20 at equal error");
    }
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}

const round = makeTin({ kind: "round", topDiameterMm: 200, baseDiameterMm: 200, depthMm: 50 });
const loaf = makeTin({ kind: "loaf", topLengthMm: 220, topWidthMm: 115, baseLengthMm: 200, baseWidthMm: 95, depthMm: 65 });
const common = {
  batter: EQUAL_WEIGHTS_BATTER,
  specificGravity: 0.85,
  oven: { setC: 170, fan: false },
  accuracy: "coarse",
} as const;
const sandwich = { ...common, massGrams: 500, tin: round };
const bread = { ...common, massGrams: 900, tin: loaf };
for (let i = 0; i < 5; i++) predictBake(sandwich);
line("whole prediction, sandwich, coarse", times(timed(20, () => void predictBake(sandwich))), "a frame or two");
predictBake(bread);
line("whole prediction, loaf in three dimensions, coarse", times(timed(6, () => void predictBake(bread))), "250 ms");
line("whole prediction, sandwich, full", times(timed(4, () => void predictBake({ ...sandwich, accuracy: "full" }))), "");
const draws = bakeDraws(sandwich, 128);
const band = timed(1, () => void runBakeDraws(sandwich, draws));
line("512-sample band on two cores (128 run on one, doubled)", `${((2 * band.least) / 1000).toFixed(1)} s`, "6 s");
const records: OvenRecord[] = Array.from({ length: 10 }, (_, i) => ({
  name: `bake ${i + 1}`,
  request: { ...sandwich, massGrams: 400 + 30 * i },
  cleanSkewerS: predictBake({ ...sandwich, massGrams: 400 + 30 * i }).doneSeconds.likely * (1.05 + 0.02 * (i % 3)),
}));
line("calibration with ten records", `${(timed(1, () => void calibrate(records)).least / 1000).toFixed(1)} s`, "5 s");
