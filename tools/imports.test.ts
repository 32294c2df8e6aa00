import { readdirSync, readFileSync } from "node:fs";
import { cruise, type ICruiseResult } from "dependency-cruiser";
import { beforeAll, expect, it } from "vitest";

// The order of ARCHITECTURE.md: a folder of core may use the folders before it in this list, and no others.
const CORE_ORDER = [
  "quantities",
  "ingredients",
  "formula",
  "composition",
  "rebalance",
  "tins",
  "bake",
  "keeping",
  "trials",
  "photo",
  "label",
  "price",
  "plan",
  "writeup",
];
const STANDS_ALONE = ["quantities", "photo"];
const CORE_LIBRARIES = ["yaml", "ml-matrix"];

interface Import {
  readonly from: string;
  readonly to: string;
  readonly asked: string;
}

let moduleCount = 0;
let imports: readonly Import[] = [];

beforeAll(async () => {
  const answer = await cruise(["packages"], {
    includeOnly: undefined,
    doNotFollow: { path: "node_modules" },
    exclude: { path: "(/dist/|\\.test\\.tsx?$|/e2e/)" },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      conditionNames: ["evencrumb-source", "import", "default"],
      extensions: [".ts", ".tsx", ".js", ".json"],
    },
    tsConfig: { fileName: "tsconfig.tests.json" },
  } as Parameters<typeof cruise>[1]);
  const { modules } = answer.output as ICruiseResult;
  const ours = modules.filter((module) => /^packages\/[a-z]+\/src\//.test(module.source));
  moduleCount = ours.length;
  imports = ours.flatMap((module) =>
    module.dependencies.map((to) => ({ from: module.source, to: to.resolved, asked: to.module })),
  );
}, 120_000);

const packageOf = (path: string) => /^packages\/([a-z]+)\//.exec(path)?.[1];
const coreFolderOf = (path: string) => /^packages\/core\/src\/([a-z]+)\//.exec(path)?.[1];
const show = (broken: readonly Import[]) => broken.map(({ from, to, asked }) => `${from} imports ${asked} (${to})`);

it("saw every module that lies on the disk", () => {
  // A cruise that sees nothing finds nothing wrong, so the count is compared with the folders themselves.
  const onDisk = readdirSync("packages", { recursive: true, encoding: "utf8" }).filter(
    (path) => /^[a-z]+\/src\/.*\.tsx?$/.test(path) && !/\.test\.tsx?$/.test(path) && !path.endsWith(".d.ts"),
  );
  expect(moduleCount).toBeGreaterThanOrEqual(onDisk.length);
  expect(onDisk.length).toBeGreaterThan(15);
});

it("lets a folder of core import only from the folders above it, through their index", () => {
  const broken = imports.filter(({ from, to, asked }) => {
    const [here, there] = [coreFolderOf(from), coreFolderOf(to)];
    if (here === undefined || there === undefined || here === there) return false;
    if (STANDS_ALONE.includes(here)) return true;
    return CORE_ORDER.indexOf(there) >= CORE_ORDER.indexOf(here) || !/^\.\.(\/\.\.)*\/[a-z]+\/index\.js$/.test(asked);
  });
  expect(show(broken)).toEqual([]);
});

it("keeps files, screen, network and foreign libraries out of core", () => {
  const broken = imports.filter(
    ({ from, asked }) =>
      packageOf(from) === "core" &&
      !asked.startsWith(".") &&
      !CORE_LIBRARIES.some((name) => asked === name || asked.startsWith(`${name}/`)),
  );
  expect(show(broken)).toEqual([]);
});

it("keeps the clock and chance out of core", () => {
  const ambient =
    /\bDate\.now\(|new Date\(\)|\bMath\.random\(|\bperformance\.now\(|\bprocess\.(env|argv|exit|cwd|std|platform|version|hrtime|nextTick|on\b)|\bfetch\(|\bdocument\.(create|get|query)/;
  const broken = readdirSync("packages/core/src", { recursive: true, encoding: "utf8" })
    .filter((path) => /\.ts$/.test(path) && !/\.test\.ts$/.test(path))
    .filter((path) => ambient.test(readFileSync(`packages/core/src/${path}`, "utf8").replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, "")));
  expect(broken).toEqual([]);
});

it("lets packages reach each other only through their entry points, inwards", () => {
  const allowed: Record<string, readonly string[]> = {
    core: [],
    store: ["core"],
    server: ["core", "store"],
    web: ["core"],
    cli: ["core", "store", "server"],
  };
  const broken = imports.filter(({ from, to, asked }) => {
    const [here, there] = [packageOf(from)!, packageOf(to)];
    if (there === undefined || there === here || to.includes("node_modules")) return false;
    return !allowed[here]?.includes(there) || !/^@evencrumb\/[a-z]+(\/[a-z]+)?$/.test(asked);
  });
  expect(show(broken)).toEqual([]);
});
