import fc from "fast-check";
import { expect, it } from "vitest";
import { axialBlends, fromPseudoComponents, simplexCentroid, simplexLattice } from "./blendDesigns.js";
import { candidateBlends, impliedLimits, isAllowed, regionPoints } from "./blendRegion.js";
import { designQuality, predictionVariance } from "./designQuality.js";
import { refineDesign, searchBlends } from "./designRefine.js";
import { assignBlocks, findDesign, searchDesign } from "./designSearch.js";
import { aliasGroups, bestFraction, crossed, fractionalFactorial, twoLevelFactorial, wordNames } from "./factorial.js";
import type { Factor } from "./factors.js";
import fixtures from "./fixtures/trials.json" with { type: "json" };
import { buildModel, combinations, modelRow, termsOf } from "./model.js";
import { boxBehnken, centralComposite } from "./surfaceDesigns.js";

const designs = fixtures.designs;

it("counts the blends of lattices and centroids as the NIST handbook does", () => {
  for (const [key, count] of Object.entries(designs.simplex.lattice_counts)) {
    const [q, m] = key.split(",").map(Number);
    expect(simplexLattice(q!, m!).length).toBe(count);
  }
  for (const [q, count] of Object.entries(designs.simplex.centroid_counts)) expect(simplexCentroid(Number(q)).length).toBe(count);
  expect(axialBlends(3)[0]!.map((x) => x.toFixed(6))).toEqual(["0.666667", "0.166667", "0.166667"]);
  for (const blend of [...simplexLattice(5, 3), ...simplexCentroid(4)]) expect(blend.reduce((a, b) => a + b)).toBeCloseTo(1, 12);
  expect(fromPseudoComponents([0.5, 0.25, 0.25], [0.2, 0.1, 0]).map((x) => Number(x.toFixed(12)))).toEqual([0.55, 0.275, 0.175]);
});

const sorted = (blends: readonly (readonly number[])[]) => blends.map((blend) => blend.map((x) => x.toFixed(9)).join()).sort();

// Published: McLean and Anderson (1966): 8 vertices, 6 faces, 1 centre; Snee and Marquardt (1976): 182 vertices; Piepel (1988): 6 vertices.
it("finds the extreme vertices of the published regions", () => {
  const flare = designs.flare_four_components;
  const points = regionPoints(flare.bounds);
  expect(sorted(points.vertices)).toEqual(sorted(flare.vertices));
  expect(points.sideCentres.length).toBe(6);
  expect(points.centre.map((x) => Number(x.toFixed(12)))).toEqual(flare.centroid);
  expect(impliedLimits(flare.bounds)).toEqual({ lower: flare.implied_lower, upper: flare.implied_upper });
  const eight = regionPoints(designs.eight_components.bounds);
  expect(eight.vertices.length).toBe(182);
  for (const [index, x] of eight.centre.entries())
    expect(x).toBeCloseTo(designs.eight_components.centroid_of_vertices[index]!, 12);
  const { rows_a_dot_x_plus_c_ge_0: rows, vertices } = designs.multicomponent_constraints;
  const rules = rows.map((row) => ({ weights: row.slice(0, 3), constant: row[3]! }));
  expect(sorted(regionPoints({ lower: [0, 0, 0], upper: [1, 1, 1], rules }).vertices)).toEqual(sorted(vertices));
  const fats = designs.three_fats_d_optimal;
  const found = regionPoints(fats.bounds);
  expect(sorted(found.vertices)).toEqual(sorted(fats.vertices));
  expect(sorted(found.edgeMiddles)).toEqual(sorted(fats.edge_midpoints));
});

it("finds no vertices where no blend is allowed, and one where only one is", () => {
  expect(regionPoints({ lower: [0.6, 0.6], upper: [1, 1] }).vertices).toEqual([]);
  expect(regionPoints({ lower: [0.3, 0.2, 0.5], upper: [1, 1, 1] }).vertices).toEqual([[0.3, 0.2, 0.5]]);
});

it("gives only allowed blends, and corners that the method of fixing all but one also finds (property)", () => {
  const limits = fc.array(fc.tuple(fc.integer({ min: 0, max: 20 }), fc.integer({ min: 5, max: 60 })), {
    minLength: 3,
    maxLength: 5,
  });
  fc.assert(
    fc.property(limits, (pairs) => {
      const region = {
        lower: pairs.map(([low]) => low / 100),
        upper: pairs.map(([low, width]) => Math.min(1, (low + width) / 100)),
      };
      const { vertices } = regionPoints(region);
      for (const vertex of candidateBlends(region)) expect(isAllowed(region, vertex)).toBe(true);
      // McLean and Anderson's own construction, exact in hundredths.
      const expected = new Set<string>();
      for (let free = 0; free < pairs.length; free++) {
        const others = [...pairs.keys()].filter((index) => index !== free);
        for (const ends of crossed(others.map((index) => [region.lower[index]!, region.upper[index]!]))) {
          const rest = Math.round((1 - ends.reduce((a, b) => a + b, 0)) * 100) / 100;
          if (rest < region.lower[free]! - 1e-9 || rest > region.upper[free]! + 1e-9) continue;
          const blend = Array<number>(pairs.length).fill(rest);
          for (const [place, index] of others.entries()) blend[index] = ends[place]!;
          expected.add(blend.map((x) => x.toFixed(9)).join());
        }
      }
      expect(sorted(vertices)).toEqual([...expected].sort());
    }),
    { numRuns: 60 },
  );
});

// Exact: exhaustive search over the 13 candidates (reference computed in exact arithmetic).
it("finds the exhaustively known D-optimal blends of three fats", () => {
  const set = designs.three_fats_d_optimal;
  const factors = ["a", "b", "c"].map((name): Factor => ({ kind: "share", name, lower: 0, upper: 1 }));
  const model = buildModel(factors, termsOf({ model: "scheffe quadratic" }, factors));
  const candidates = set.candidates.map((blend) => modelRow(model, blend));
  const base = { candidates, termCount: 6, criterion: "D" as const, seed: 5 };
  expect(findDesign({ ...base, runCount: 6, repeats: false }).logDet).toBeCloseTo(set.best_n6_no_repeats.log_det, 9);
  expect(findDesign({ ...base, runCount: 8 }).logDet).toBeCloseTo(set.best_n8_repeats_allowed.log_det, 9);
});

// Exact: the mean variance of every choice of 7 out of 9 settings of two amounts, by brute force.
it("finds the exhaustively known I-optimal design of two amounts", () => {
  const factors = ["a", "b"].map((name): Factor => ({ kind: "amount", name, low: -1, high: 1 }));
  const model = buildModel(factors, termsOf({ model: "quadratic" }, factors));
  const candidates = crossed([
    [-1, 0, 1],
    [-1, 0, 1],
  ]).map((row) => modelRow(model, row));
  const found = findDesign({ candidates, termCount: 6, runCount: 7, criterion: "I", repeats: false, seed: 3 });
  let best = Number.POSITIVE_INFINITY;
  for (const chosen of combinations([...Array(9).keys()], 7)) {
    const fixed = findOrSkip(candidates, chosen);
    if (fixed !== undefined) best = Math.min(best, fixed);
  }
  expect(found.averageVariance).toBeCloseTo(best, 9);

  function findOrSkip(rows: readonly Float64Array[], chosen: readonly number[]): number | undefined {
    const one = findDesign({
      candidates: rows,
      termCount: 6,
      runCount: 7,
      criterion: "I",
      repeats: false,
      seed: 1,
      fixed: chosen,
      starts: 1,
    });
    return Number.isFinite(one.averageVariance) ? one.averageVariance : undefined;
  }
});

it("says after every start how far it is, and stops with the best so far", () => {
  const factors = ["a", "b"].map((name): Factor => ({ kind: "amount", name, low: -1, high: 1 }));
  const model = buildModel(factors, termsOf({ model: "quadratic" }, factors));
  const candidates = crossed([
    [-1, 0, 1],
    [-1, 0, 1],
  ]).map((row) => modelRow(model, row));
  const search = { candidates, termCount: 6, runCount: 9, criterion: "D" as const, seed: 3, starts: 20 };
  const seen = [...searchDesign(search)].map(({ startsDone }) => startsDone);
  expect(seen).toEqual([...Array(20).keys()].map((index) => index + 1));
  const stopped = findDesign(search, ({ startsDone }) => (startsDone === 3 ? "stop" : "go on"));
  expect(stopped.startsDone).toBe(3);
  expect(() => findDesign({ ...search, runCount: 5 })).toThrow("5 runs cannot fit 6 coefficients");
});

// Published: table of minimum aberration two-level fractions, Box, Hunter and Hunter (1978), table 12.15 (resolutions; from memory).
it.each([
  [4, 8, 4],
  [5, 16, 5],
  [5, 8, 3],
  [6, 16, 4],
  [6, 32, 6],
  [7, 8, 3],
  [7, 16, 4],
  [7, 32, 4],
  [8, 16, 4],
  [8, 64, 5],
  [9, 32, 4],
  [11, 16, 3],
])("reaches for %d factors in %d runs resolution %d", (factorCount, runCount, resolution) => {
  const fraction = bestFraction(factorCount, runCount);
  expect(fraction.runs.length).toBe(runCount);
  expect(fraction.resolution).toBe(resolution);
  // Every column is balanced and every pair of columns orthogonal.
  for (const [a, b] of combinations([...Array(factorCount).keys()], 2)) {
    expect(fraction.runs.reduce((sum, row) => sum + row[a!]! * row[b!]!, 0)).toBe(0);
  }
});

it("names the aliases of half a factorial", () => {
  const fraction = fractionalFactorial(4, [0b111]); // the fourth factor is the product of the first three
  expect(fraction.definingWords).toEqual([0b1111]);
  const names = ["flour", "sugar", "egg", "oven"];
  const groups = aliasGroups(fraction, 4).map((group) => group.map((word) => wordNames(word, names).join(" × ")));
  expect(groups).toEqual([
    ["flour × sugar", "egg × oven"],
    ["flour × egg", "sugar × oven"],
    ["sugar × egg", "flour × oven"],
  ]);
  expect(twoLevelFactorial(3).length).toBe(8);
  expect(() => fractionalFactorial(4, [0b1])).toThrow("at least two");
});

// Published: counts and distances of the NIST/SEMATECH e-Handbook 5.3.3.6 (from memory): Box-Behnken 12, 24, 40, 48, 56 edges.
it("lays out response-surface designs", () => {
  expect([3, 4, 5, 6, 7].map((k) => boxBehnken(k, 0).length)).toEqual([12, 24, 40, 48, 56]);
  for (const k of [3, 4, 5, 6, 7]) {
    const rows = boxBehnken(k, 0).map(({ coded }) => coded);
    for (const [a, b] of combinations([...Array(k).keys()], 2))
      expect(rows.reduce((sum, row) => sum + row[a!]! * row[b!]!, 0)).toBe(0);
  }
  const rotatable = centralComposite(3, { axial: "rotatable" });
  expect(Math.max(...rotatable.flatMap(({ coded }) => coded))).toBeCloseTo(1.681793, 6);
  expect(centralComposite(2, { axial: "face", centreCounts: [3, 3] }).length).toBe(14);
  expect(centralComposite(5, { fraction: true, centreCounts: [0, 0] }).length).toBe(26);
  // Rotatable: the variance of prediction depends only on the distance from the centre.
  const factors = ["a", "b"].map((name): Factor => ({ kind: "amount", name, low: -1, high: 1 }));
  const model = buildModel(factors, termsOf({ model: "quadratic" }, factors));
  const rows = centralComposite(2, { axial: "rotatable" }).map(({ coded }) => modelRow(model, coded));
  const variances = [0, 0.3, 0.7, 1.1].map((angle) =>
    predictionVariance(rows, modelRow(model, [Math.cos(angle), Math.sin(angle)])),
  );
  for (const variance of variances) expect(variance).toBeCloseTo(variances[0]!, 12);
});

it("spreads a factorial over two days so that only the highest interaction is lost to the day", () => {
  const factors = ["a", "b", "c"].map((name): Factor => ({ kind: "amount", name, low: -1, high: 1 }));
  const model = buildModel(factors, termsOf({ model: "interaction" }, factors));
  const rows = twoLevelFactorial(3);
  const { blocks } = assignBlocks(
    rows.map((row) => modelRow(model, row)),
    [4, 4],
    1,
  );
  // Exact: the day that is orthogonal to all main effects and two-factor interactions is the sign of a × b × c.
  const signs = rows.map((row, index) => row[0]! * row[1]! * row[2]! * (blocks[index] === blocks[0] ? 1 : -1));
  expect(new Set(signs).size).toBe(1);
});

it("states the quality of a design: full factorial 100 % on D and G, and power as the noncentral t gives it", () => {
  const factors = ["a", "b", "c"].map((name): Factor => ({ kind: "amount", name, low: -1, high: 1 }));
  const model = buildModel(factors, termsOf({ model: "linear" }, factors));
  const rows = twoLevelFactorial(3).map((row) => modelRow(model, row));
  const quality = designQuality({ rows, region: rows, names: model.columns.map(({ name }) => name), effectInSds: 1 });
  // Exact: orthogonal, so D and G efficiency are 100 % and every standard error is 1/sqrt(8).
  expect(quality.dEfficiencyPercent).toBeCloseTo(100, 10);
  expect(quality.gEfficiencyPercent).toBeCloseTo(100, 10);
  for (const { standardErrorInSds } of quality.coefficients) expect(standardErrorInSds).toBeCloseTo(1 / Math.sqrt(8), 12);
  // Peer: R 4.2.2, 1 - pf(qf(.95, 1, 4), 1, 4, ncp = 8)
  expect(quality.coefficients[1]!.power).toBeCloseTo(0.571609458, 8);
  expect(quality.varianceQuantiles.at(-1)).toBeCloseTo(0.5, 12);
});

// Exact: the D-optimal designs of Scheffé's quadratic model on the whole simplex put all runs on the {q, 2} lattice (Kiefer 1961, Ann. Math. Stat. 32, 298).
it("moves blends to the lattice that is known to be best", () => {
  const factors = ["a", "b", "c"].map((name): Factor => ({ kind: "share", name, lower: 0, upper: 1 }));
  const model = buildModel(factors, termsOf({ model: "scheffe quadratic" }, factors));
  const region = { lower: [0, 0, 0], upper: [1, 1, 1] };
  const logDetOf = (blends: readonly (readonly number[])[]) =>
    findDesign({
      candidates: blends.map((blend) => modelRow(model, blend)),
      termCount: 6,
      runCount: 6,
      fixed: [0, 1, 2, 3, 4, 5],
      criterion: "D",
      seed: 1,
      starts: 1,
    }).logDet;
  const best = logDetOf(simplexLattice(3, 2));
  const start = [
    [0.8, 0.1, 0.1],
    [0.1, 0.8, 0.1],
    [0.1, 0.1, 0.8],
    [0.4, 0.4, 0.2],
    [0.4, 0.2, 0.4],
    [0.2, 0.4, 0.4],
  ];
  expect(refineDesign(model, start, region).logDet).toBeCloseTo(best, 6);
  const steps = searchBlends({ model, region, runCount: 6, seed: 3, starts: 3, refined: 2, shakes: 2 });
  let step = steps.next();
  let share = 0;
  while (!step.done) {
    expect(step.value.share).toBeGreaterThanOrEqual(share);
    share = step.value.share;
    step = steps.next();
  }
  expect(share).toBe(1);
  expect(step.value.logDet).toBeCloseTo(best, 6);
});

it("never makes a design worse and never leaves the region (property)", () => {
  const factors = ["a", "b", "c", "d"].map((name): Factor => ({ kind: "share", name, lower: 0.05, upper: 0.7 }));
  const model = buildModel(factors, termsOf({ model: "scheffe linear" }, factors));
  const region = {
    lower: [0.05, 0.05, 0.05, 0.05],
    upper: [0.7, 0.7, 0.7, 0.7],
    rules: [{ weights: [-1, 1, 0, 0], constant: 0.3 }],
  };
  const blends = candidateBlends(region);
  fc.assert(
    fc.property(fc.array(fc.nat({ max: blends.length - 1 }), { minLength: 6, maxLength: 9 }), (picks) => {
      const settings = [...picks, 0, 1, 2, 3].map((index) => blends[index]!);
      let before: number;
      try {
        before = findDesign({
          candidates: settings.map((blend) => modelRow(model, blend)),
          termCount: 4,
          runCount: settings.length,
          fixed: [...settings.keys()],
          criterion: "D",
          seed: 1,
          starts: 1,
        }).logDet;
      } catch {
        return; // the picks cannot fit the model
      }
      const refined = refineDesign(model, settings, region);
      expect(refined.logDet).toBeGreaterThanOrEqual(before - 1e-9);
      for (const setting of refined.settings) expect(isAllowed(region, setting, 1e-7)).toBe(true);
    }),
    { numRuns: 20 },
  );
});
