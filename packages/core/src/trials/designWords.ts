import type { Problem, Result } from "../quantities/index.js";
import { axialBlends, fromPseudoComponents, simplexCentroid, simplexLattice } from "./blendDesigns.js";
import { candidateBlends, regionPoints } from "./blendRegion.js";
import { type DesignQuality, designQuality } from "./designQuality.js";
import { regionOf, searchBlends } from "./designRefine.js";
import { assignBlocks, findDesign } from "./designSearch.js";
import {
  aliasGroups,
  bestFraction,
  crossed,
  type Fraction,
  fractionalFactorial,
  twoLevelFactorial,
  wordNames,
} from "./factorial.js";
import { checkFactors, type Factor, fromCoded, type Setting, type ShareFactor } from "./factors.js";
import { buildModel, type Model, type ModelName, modelRow, type ProcessModelName, type Term, termsOf } from "./model.js";
import { dayCounts, type PlacedRun, runOrder } from "./runOrder.js";
import { boxBehnken, centralComposite } from "./surfaceDesigns.js";

/** Names of designs, as the field has them. */
export const DESIGN_NAMES = [
  "two-level factorial",
  "two-level fraction",
  "all levels",
  "central composite",
  "Box-Behnken",
  "simplex lattice",
  "simplex centroid",
  "extreme vertices",
  "D-optimal",
  "I-optimal",
] as const;
export type DesignName = (typeof DESIGN_NAMES)[number];

/** A design asked for by name, for those who know which one they want. */
export interface DesignWords {
  readonly design: DesignName;
  readonly factors: readonly Factor[];
  readonly seed: number;
  /** Runs of a fraction (a power of two) or of an optimal design. */
  readonly runCount?: number;
  /** For a fraction: each added factor and the basic factors whose product sets it. Without them the best are taken. */
  readonly generators?: Readonly<Record<string, readonly string[]>>;
  /** Centre points added (factorials) or asked for (composite: with the corners, and with the axial points; Box-Behnken). */
  readonly centreCount?: number;
  readonly axial?: "rotatable" | "face" | number;
  /** Steps of a simplex lattice; default 2. */
  readonly steps?: number;
  /** Also the points half-way from the centre to each corner (blends). */
  readonly checkBlends?: boolean;
  readonly rules?: readonly { readonly weights: readonly number[]; readonly constant: number }[];
  /** The model that the design is for: needed for an optimal design; for the others it is only judged by it. */
  readonly model?: ModelName;
  readonly process?: ProcessModelName;
  readonly crossing?: "full" | "reduced";
  readonly terms?: readonly Term[];
  /** How often the whole design is baked; default 1. */
  readonly repeats?: number;
  /** Factors that are the same for all bakes of one batter; the others change from tin to tin (split plot). */
  readonly perBatter?: readonly string[];
  readonly perDay?: number;
  readonly perLoad?: number;
}

export interface NamedDesign {
  readonly settings: readonly Setting[];
  readonly order: readonly PlacedRun[];
  /** Day of each run, when the bakes fill more than one. */
  readonly days?: readonly number[];
  readonly model: { readonly name: ModelName; readonly terms: readonly Term[] };
  readonly quality: DesignQuality;
  /** For fractions: how added factors are set, the resolution, and what cannot be told apart up to two factors. */
  readonly fraction?: {
    readonly resolution: number;
    readonly generators: readonly { readonly factor: string; readonly product: readonly string[] }[];
    readonly aliases: readonly (readonly string[])[];
  };
  /** Corners of the region of blends. */
  readonly vertices?: readonly (readonly number[])[];
}

/** Lays out a design by its name. Problems are those of the words: factors that do not fit the design, too few runs. */
export function makeDesign(words: DesignWords): Result<NamedDesign, readonly Problem[]> {
  const wrong = checkFactors(words.factors);
  if (wrong.length > 0) return { ok: false, error: wrong };
  try {
    return { ok: true, value: layOut(words) };
  } catch (error) {
    // The design functions say in words what they cannot do; here the words are the person's, so it is theirs to mend.
    if (!(error instanceof RangeError)) throw error;
    const [, what = error.message] = /^\w+: (.*)$/s.exec(error.message) ?? [];
    return {
      ok: false,
      error: [
        {
          code: "conflict",
          path: ["design"],
          expected: `a ${words.design} design that can be made`,
          found: what,
          remedy: "Change the factors, the number of runs, or the design.",
        },
      ],
    };
  }
}

function layOut(words: DesignWords): NamedDesign {
  const { factors } = words;
  const shares = factors.filter((factor): factor is ShareFactor => factor.kind === "share");
  const others = factors.filter((factor) => factor.kind !== "share");
  const blendDesign = ["simplex lattice", "simplex centroid", "extreme vertices"].includes(words.design);
  const optimal = words.design === "D-optimal" || words.design === "I-optimal";
  if (blendDesign && shares.length < 2) throw new RangeError(`makeDesign: ${shares.length} shares; a blend has at least two`);
  if (!blendDesign && !optimal && shares.length > 0)
    throw new RangeError(`makeDesign: shares that add to 1 cannot each be set high and low`);
  const name: ModelName =
    words.model ??
    (shares.length > 0
      ? "scheffe quadratic"
      : ["central composite", "Box-Behnken"].includes(words.design)
        ? "quadratic"
        : "interaction");
  const terms =
    words.terms ?? termsOf({ model: name, process: words.process ?? "linear", crossing: words.crossing ?? "full" }, factors);
  const coding = Object.fromEntries(
    factors.flatMap((factor) => (factor.kind === "choice" ? [[factor.name, "average" as const]] : [])),
  );
  const model = buildModel(factors, terms, { coded: true, coding });
  const region = regionOf(shares, words.rules);
  const points = shares.length > 0 ? regionPoints(region) : undefined;
  if (points !== undefined && points.vertices.length === 0)
    throw new RangeError("makeDesign: no blend meets all limits and rules");

  let fraction: Fraction | undefined;
  let values: (readonly number[])[];
  if (optimal) values = optimalValues(words, model, shares, others);
  else if (blendDesign) {
    const blends = blendValues(words, shares.length, points!);
    // Blends meet every setting of the other factors.
    const settings = crossed(
      others.map((factor) =>
        factor.kind === "amount" ? [factor.low, factor.high] : factor.kind === "choice" ? [...factor.levels.keys()] : [],
      ),
    );
    values = settings.flatMap((setting) => blends.map((blend) => placed(factors, blend, setting)));
  } else {
    const coded = codedValues(words, others);
    fraction = coded.fraction;
    values = coded.rows.map((row) => row.map((level, index) => settingValue(others[index]!, level)));
  }
  const repeats = words.repeats ?? 1;
  values = Array.from({ length: repeats }, () => values).flat();

  const rows = values.map((row) => modelRow(model, row));
  const wholePlots = words.perBatter === undefined ? undefined : battersOf(factors, values, words.perBatter, repeats);
  const perDay = words.perDay ?? values.length;
  const sizes = dayCounts(values.length, perDay);
  const days = sizes.length > 1 && wholePlots === undefined ? assignBlocks(rows, sizes, words.seed, 4).blocks : undefined;
  const order = runOrder(values.length, {
    seed: words.seed,
    perDay,
    perLoad: words.perLoad ?? 1,
    ...(days === undefined ? {} : { days }),
    ...(wholePlots === undefined ? {} : { wholePlots }),
  });
  // Judged over the same places whatever the design: the listed blends at every listed setting of the others.
  const around =
    shares.length > 0
      ? crossed(others.map(levelsOf)).flatMap((setting) =>
          candidateBlends(region).map((blend) => placed(factors, blend, setting)),
        )
      : cubePoints(others);
  const regionRows = around.map((row) => modelRow(model, row));
  return {
    settings: values.map((row) =>
      Object.fromEntries(
        factors.map((factor, index) => [
          factor.name,
          factor.kind === "choice" ? factor.levels[row[index]!]! : Number(row[index]!.toPrecision(12)),
        ]),
      ),
    ),
    order,
    ...(days === undefined ? {} : { days }),
    model: { name, terms },
    quality: designQuality({ rows, region: regionRows, names: model.columns.map((column) => column.name) }),
    ...(fraction === undefined
      ? {}
      : {
          fraction: fractionWords(
            fraction,
            others.map((factor) => factor.name),
          ),
        }),
    ...(points === undefined ? {} : { vertices: points.vertices }),
  };
}

function codedValues(words: DesignWords, factors: readonly Factor[]): { rows: number[][]; fraction?: Fraction } {
  const count = factors.length;
  const twoLevel = words.design === "two-level factorial" || words.design === "two-level fraction";
  if (count === 0) throw new RangeError("makeDesign: no factors");
  if (twoLevel && factors.some((factor) => factor.kind === "choice" && factor.levels.length !== 2))
    throw new RangeError("makeDesign: every choice needs two levels");
  if (!twoLevel && words.design !== "all levels" && factors.some((factor) => factor.kind === "choice"))
    throw new RangeError("makeDesign: only amounts can be set in between");
  const centres = (): number[][] => {
    if ((words.centreCount ?? 0) === 0) return [];
    if (factors.some((factor) => factor.kind === "choice"))
      throw new RangeError("makeDesign: a choice has no middle; leave the centre points out");
    return Array.from({ length: words.centreCount! }, () => factors.map(() => 0));
  };
  switch (words.design) {
    case "two-level factorial":
      return { rows: [...twoLevelFactorial(count), ...centres()] };
    case "two-level fraction": {
      let fraction: Fraction;
      if (words.generators !== undefined) {
        const added = Object.keys(words.generators);
        const basic = factors.filter((factor) => !added.includes(factor.name)).map((factor) => factor.name);
        if (factors.slice(basic.length).some((factor) => !added.includes(factor.name)))
          throw new RangeError("makeDesign: added factors come after the basic ones in the list");
        const masks = factors.slice(basic.length).map((factor) =>
          words.generators![factor.name]!.reduce((mask, part) => {
            if (!basic.includes(part))
              throw new RangeError(
                `makeDesign: ${factor.name} is set by ${part}, which is not one of the basic factors ${basic.join(", ")}`,
              );
            return mask | (1 << basic.indexOf(part));
          }, 0),
        );
        fraction = fractionalFactorial(count, masks);
      } else fraction = bestFraction(count, words.runCount ?? 2 ** Math.max(2, Math.ceil(Math.log2(count + 1))));
      return { rows: [...fraction.runs, ...centres()], fraction };
    }
    case "all levels": {
      // Amounts at low, middle and high; choices at every level. Middle amounts are 0, levels are coded by their place.
      const levels = factors.map((factor) =>
        factor.kind === "choice" ? [...factor.levels.keys()].map((place) => place + 10) : [-1, 0, 1],
      );
      return { rows: crossed(levels) };
    }
    case "central composite": {
      const each = words.centreCount ?? 3;
      return {
        rows: centralComposite(count, { axial: words.axial ?? "face", centreCounts: [each, each], fraction: count > 4 }).map(
          ({ coded }) => [...coded],
        ),
      };
    }
    default:
      return { rows: boxBehnken(count, words.centreCount ?? 3).map(({ coded }) => [...coded]) };
  }
}

/** A coded level as the factor's value; levels of "all levels" choices are marked by 10 and more. */
function settingValue(factor: Factor, level: number): number {
  if (factor.kind === "amount") return fromCoded(factor, level);
  return level >= 10 ? level - 10 : level < 0 ? 0 : 1;
}

function blendValues(words: DesignWords, count: number, points: ReturnType<typeof regionPoints>): readonly (readonly number[])[] {
  if (words.design === "extreme vertices") {
    const { vertices, edgeMiddles, sideCentres, centre } = points;
    const inner = words.checkBlends ? vertices.map((vertex) => vertex.map((value, index) => (value + centre[index]!) / 2)) : [];
    return count <= 3 ? [...vertices, ...edgeMiddles, centre, ...inner] : [...vertices, ...sideCentres, centre, ...inner];
  }
  const shares = words.factors.filter((factor): factor is ShareFactor => factor.kind === "share");
  const lower = shares.map((share) => share.lower);
  const room = 1 - lower.reduce((sum, value) => sum + value, 0);
  if (shares.some((share) => share.upper < share.lower + room - 1e-9) || (words.rules ?? []).length > 0) {
    throw new RangeError("makeDesign: upper limits or rules cut the simplex; use extreme vertices or an optimal design");
  }
  const plain = words.design === "simplex lattice" ? simplexLattice(count, words.steps ?? 2) : simplexCentroid(count);
  return [...plain, ...(words.checkBlends ? axialBlends(count) : [])].map((blend) => fromPseudoComponents(blend, lower));
}

function optimalValues(
  words: DesignWords,
  model: Model,
  shares: readonly ShareFactor[],
  others: readonly Factor[],
): (readonly number[])[] {
  const termCount = model.columns.length;
  const runCount = words.runCount ?? termCount + 5;
  if (runCount < termCount)
    throw new RangeError(`makeDesign: ${runCount} runs cannot fit the ${termCount} coefficients of the model`);
  if (shares.length > 0 && others.length === 0) {
    const steps = searchBlends({
      model,
      region: regionOf(shares, words.rules),
      runCount,
      seed: words.seed,
      criterion: words.design === "I-optimal" ? "I" : "D",
    });
    let step = steps.next();
    while (!step.done) step = steps.next();
    return [...step.value.settings];
  }
  const blends = shares.length > 0 ? candidateBlends(regionOf(shares, words.rules)) : [[]];
  const settings = crossed(others.map(levelsOf));
  const candidates = settings.flatMap((setting) => blends.map((blend) => placed(model.factors, blend, setting)));
  if (candidates.length > 20_000)
    throw new RangeError(`makeDesign: ${candidates.length} settings to choose from are too many; take fewer factors`);
  const criterion = words.design === "I-optimal" ? "I" : "D";
  const found = findDesign({
    candidates: candidates.map((row) => modelRow(model, row)),
    termCount,
    runCount,
    criterion,
    seed: words.seed,
    starts: 30,
  });
  return found.chosen.map((index) => candidates[index]!);
}

/** Blend and process values put at the places of their factors. */
function placed(factors: readonly Factor[], blend: readonly number[], setting: readonly number[]): number[] {
  let nextShare = 0;
  let nextOther = 0;
  return factors.map((factor) => (factor.kind === "share" ? blend[nextShare++]! : setting[nextOther++]!));
}

/** Runs that can share one batter: same values of the batter's factors, within one repeat. */
function battersOf(
  factors: readonly Factor[],
  values: readonly (readonly number[])[],
  perBatter: readonly string[],
  repeats: number,
): number[] {
  const places = perBatter.map((name) => factors.findIndex((factor) => factor.name === name));
  if (places.includes(-1))
    throw new RangeError(
      `makeDesign: perBatter names ${perBatter.join(", ")}; the factors are ${factors.map(({ name }) => name).join(", ")}`,
    );
  const size = values.length / repeats;
  const keys = values.map((row, index) => `${Math.floor(index / size)} ${places.map((place) => row[place]).join(" ")}`);
  const distinct = [...new Set(keys)];
  return keys.map((key) => distinct.indexOf(key));
}

/** Low, middle and high, or every level. */
const levelsOf = (factor: Factor): number[] =>
  factor.kind === "amount"
    ? [factor.low, (factor.low + factor.high) / 2, factor.high]
    : factor.kind === "choice"
      ? [...factor.levels.keys()]
      : [];

/** Settings spread over a region of amounts and choices, at most a few thousand. */
function cubePoints(factors: readonly Factor[]): number[][] {
  const amounts = factors.filter((factor) => factor.kind === "amount").length;
  const levels = amounts <= 3 ? [-1, -0.5, 0, 0.5, 1] : amounts <= 6 ? [-1, 0, 1] : [-1, 1];
  return crossed(
    factors.map((factor) =>
      factor.kind === "amount"
        ? levels.map((level) => fromCoded(factor, level))
        : factor.kind === "choice"
          ? [...factor.levels.keys()]
          : [],
    ),
  );
}

function fractionWords(fraction: Fraction, names: readonly string[]): NonNullable<NamedDesign["fraction"]> {
  return {
    resolution: fraction.resolution,
    generators: fraction.generators.map(({ factor, product }) => ({
      factor: names[factor]!,
      product: wordNames(product, names),
    })),
    aliases: aliasGroups(fraction, names.length).map((group) => group.map((word) => wordNames(word, names).join(" × "))),
  };
}
