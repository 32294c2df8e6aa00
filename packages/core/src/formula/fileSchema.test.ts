import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import fc from "fast-check";
import { expect, it } from "vitest";
import { anyFormula, ingredientOf } from "../../testing/formulas.js";
import { parseFormulaFile } from "./file.js";
import { formulaFileSchema } from "./fileSchema.js";

// Peer: a general-purpose validator of JSON Schema reads the published schema and must agree with our reader.
const agrees = new Ajv2020({ allErrors: false }).compile(formulaFileSchema);

/** What JSON Schema cannot say: names and ids that occur twice. */
const ourVerdict = (document: unknown) =>
  parseFormulaFile(JSON.stringify(document)).problems.filter((problem) => problem.code !== "duplicate").length === 0;

/** Changes a document somewhere: takes a value away, puts another in its place, adds a field. */
function mutate(document: unknown, next: (below: number) => number): unknown {
  const copy = structuredClone(document) as Record<string, unknown>;
  const spots: [holder: Record<string, unknown> | unknown[], key: string | number][] = [];
  const walk = (value: unknown) => {
    if (typeof value !== "object" || value === null) return;
    for (const key of Object.keys(value)) {
      spots.push([value as Record<string, unknown>, key]);
      walk((value as Record<string, unknown>)[key]);
    }
  };
  walk(copy);
  const [holder, key] = spots[next(spots.length)]!;
  const odd = [
    null,
    true,
    "",
    " ",
    "words",
    "cake",
    "time",
    "a\u0007b",
    -1,
    0,
    1,
    2.5,
    99.5,
    100,
    1e7,
    [],
    {},
    [1],
    { kind: "time" },
    "x".repeat(201),
  ];
  const record = holder as Record<string | number, unknown>;
  switch (next(4)) {
    case 0:
      if (Array.isArray(holder)) holder.splice(Number(key), 1);
      else delete record[key];
      break;
    case 1:
      if (!Array.isArray(holder)) record[["extra", "grams", "name", "percent", "toString"][next(5)]!] = odd[next(odd.length)];
      break;
    default:
      record[key] = odd[next(odd.length)];
  }
  return copy;
}

it("lies beside the code as it is exported", () => {
  // To renew it, write the exported schema to the file with two spaces of indent and a line break at its end.
  const published = readFileSync("packages/core/src/formula/formulaFile.schema.json", "utf8");
  expect(published).toBe(`${JSON.stringify(formulaFileSchema, null, 2)}\n`);
});

it("accepts and refuses what the reader accepts and refuses (peer, property)", () => {
  const verdicts = { both: 0, neither: 0 };
  const own = ingredientOf(
    "own-jam",
    "fruit",
    { water: 30, fibre: null },
    {
      packs: [{ grams: 500, priceMinor: 320, currency: "GBP", date: "2026-02-01" }],
      contains: [{ allergen: "nuts", kind: "almond" }],
      parts: [{ ingredient: "raspberries", grams: 600 }],
      partsLossPercent: 20,
      furtherPer100g: { calciumMg: { known: true, value: 12, source: "packet" }, ironMg: { known: false, why: "not stated" } },
      householdWeights: [{ amount: 1, measure: "tablespoon", grams: 20, source: "weighed" }],
    },
  );
  fc.assert(
    fc.property(
      anyFormula(),
      fc.boolean(),
      fc.array(fc.nat(), { minLength: 0, maxLength: 3 }),
      fc.infiniteStream(fc.nat()),
      (formula, carries, times, stream) => {
        let document: unknown = { formulaFile: 1, ...formula, ...(carries ? { ingredients: [own] } : {}) };
        for (const _ of times)
          document = mutate(document, (below) => (below === 0 ? 0 : (stream.next().value as number) % below));
        const schema = agrees(document);
        verdicts[schema ? "both" : "neither"]++;
        expect(ourVerdict(document), JSON.stringify({ document, errors: agrees.errors })).toBe(schema);
      },
    ),
    { numRuns: 800 },
  );
  // Both verdicts were really asked for.
  expect(verdicts.both).toBeGreaterThan(150);
  expect(verdicts.neither).toBeGreaterThan(150);
});

it("accepts the demo's files (peer)", async () => {
  const { readdirSync } = await import("node:fs");
  for (const name of readdirSync("examples/formulas")) {
    const { value } = parseFormulaFile(readFileSync(`examples/formulas/${name}`, "utf8"));
    expect(agrees({ formulaFile: 1, ...value }), name).toBe(true);
  }
});
