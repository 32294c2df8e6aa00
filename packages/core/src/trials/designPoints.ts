import { axialBlends, fromPseudoComponents, simplexCentroid, simplexLattice } from "./blendDesigns.js";
import { candidateBlends, regionPoints } from "./blendRegion.js";
import { regionOf, searchBlends } from "./designRefine.js";
import { searchDesign } from "./designSearch.js";
import type { DesignWords } from "./designWords.js";
import {
  aliasGroups,
  bestFraction,
  crossed,
  type Fraction,
  fractionalFactorial,
  twoLevelFactorial,
  wordNames,
} from "./factorial.js";
import { type Factor, fromCoded, type ShareFactor } from "./factors.js";
import { buildModel, type Model, type ModelName, modelRow, type Term, termsOf } from "./model.js";
import { boxBehnken, centralComposite } from "./surfaceDesigns.js";

/** The runs of a design as values, with the model that they are for. */
export interface DesignPoints {
  readonly model: Model;
  readonly name: ModelName;
  readonly terms: readonly Term[];
  /** Values in the order of the factors, one row per run; levels of choices by their place. */
  readonly values: readonly (readonly number[])[];
  /** Values spread over the region, the same whatever the design. */
  readonly around: readonly (readonly number[])[];
  /** For fractions: how added factors are set, the resolution, and what cannot be told apart up to two factors. */
  readonly fraction?: FractionWords;
  /** Corners of the region of blends. */
  readonly vertices?: readonly (readonly number[])[];
  /** True when a search was told to stop before its end: these are the best runs that were found until then. */
  readonly stopped: boolean;
}

export interface FractionWords {
  readonly resolution: number;
  readonly generators: readonly { readonly factor: string; readonly product: readonly string[] }[];
  readonly aliases: readonly (readonly string[])[];
}

/** How far a search is, 0 to 1, for a plan of so many runs. */
export interface SearchProgress {
  readonly share: number;
  readonly runCount: number;
}

/**
 * The runs of a design by its name, without order or days. A generator: an optimal design is searched for, and may be told to "stop".
 *
 * @throws RangeError in words when the design cannot be made of these factors
 */
export function* designPoints(words: DesignWords): Generator<SearchProgress, DesignPoints, "go on" | "stop" | undefined> {
  const { factors } = words;
  const shares = factors.filter((factor): factor is ShareFactor => factor.kind === "share");
  const others = factors.filter((factor) => factor.kind !== "share");
  const blendDesign = ["simplex lattice", "simplex centroid", "extreme vertices"].includes(words.design);
  const optimal = words.design === "D-optimal" || words.design === "I-optimal";
  if (blendDesign && shares.length < 2) throw new RangeError(`makeDesign: ${shares.length} shares; a blend has at least two`);
  if (!blendDesign && !optimal && shares.length > 0)
    throw new RangeError(`makeDesign: shares that add to 1 cannot each be set high and low`);
  const { name, terms, model } = modelOfDesign(words);
  const region = regionOf(shares, words.rules);
  const points = shares.length > 0 ? regionPoints(region) : undefined;
  if (points !== undefined && points.vertices.length === 0)
    throw new RangeError("makeDesign: no blend meets all limits and rules");

  let fraction: Fraction | undefined;
  let values: readonly (readonly number[])[];
  let stopped = false;
  if (optimal) {
    const found = yield* optimalValues(words, model, shares, others);
    values = found.values;
    stopped = found.stopped;
  } else if (blendDesign) {
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
  // Judged over the same places whatever the design: the listed blends at every listed setting of the others.
  const around =
    shares.length > 0
      ? crossed(others.map(levelsOf)).flatMap((setting) =>
          candidateBlends(region).map((blend) => placed(factors, blend, setting)),
        )
      : cubePoints(others);
  return {
    model,
    name,
    terms,
    values,
    around,
    stopped,
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

/** The model that a design is for: as said, or the one that is usual for it. */
export function modelOfDesign(words: DesignWords): {
  readonly name: ModelName;
  readonly terms: readonly Term[];
  readonly model: Model;
} {
  const { factors } = words;
  const name: ModelName =
    words.model ??
    (factors.some(({ kind }) => kind === "share")
      ? "scheffe quadratic"
      : ["central composite", "Box-Behnken"].includes(words.design)
        ? "quadratic"
        : "interaction");
  const terms =
    words.terms ?? termsOf({ model: name, process: words.process ?? "linear", crossing: words.crossing ?? "full" }, factors);
  const coding = Object.fromEntries(
    factors.flatMap((factor) => (factor.kind === "choice" ? [[factor.name, "average" as const]] : [])),
  );
  return { name, terms, model: buildModel(factors, terms, { coded: true, coding }) };
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

function* optimalValues(
  words: DesignWords,
  model: Model,
  shares: readonly ShareFactor[],
  others: readonly Factor[],
): Generator<
  SearchProgress,
  { readonly values: readonly (readonly number[])[]; readonly stopped: boolean },
  "go on" | "stop" | undefined
> {
  const termCount = model.columns.length;
  const runCount = words.runCount ?? termCount + 5;
  const criterion = words.design === "I-optimal" ? "I" : "D";
  if (runCount < termCount)
    throw new RangeError(`makeDesign: ${runCount} runs cannot fit the ${termCount} coefficients of the model`);
  if (shares.length > 0 && others.length === 0 && words.refine !== false) {
    const steps = searchBlends({ model, region: regionOf(shares, words.rules), runCount, seed: words.seed, criterion });
    for (;;) {
      const step = steps.next();
      if (step.done) return { values: step.value.settings, stopped: false };
      if ((yield { share: step.value.share, runCount }) === "stop") return { values: step.value.settings, stopped: true };
    }
  }
  const candidates = candidateSettings(model, words, shares, others);
  const steps = searchDesign({
    candidates: candidates.map((row) => modelRow(model, row)),
    termCount,
    runCount,
    criterion,
    seed: words.seed,
    starts: 30,
  });
  for (;;) {
    const step = steps.next();
    const values = step.value.chosen.map((index) => candidates[index]!);
    if (step.done) return { values, stopped: false };
    if ((yield { share: step.value.startsDone / step.value.starts, runCount }) === "stop") return { values, stopped: true };
  }
}

/** Settings that an optimal design may choose from: listed blends with low, middle and high of the other factors. */
function candidateSettings(
  model: Model,
  words: DesignWords,
  shares: readonly ShareFactor[],
  others: readonly Factor[],
): number[][] {
  const blends = shares.length > 0 ? candidateBlends(regionOf(shares, words.rules)) : [[]];
  const candidates = crossed(others.map(levelsOf)).flatMap((setting) =>
    blends.map((blend) => placed(model.factors, blend, setting)),
  );
  if (candidates.length > 20_000)
    throw new RangeError(`makeDesign: ${candidates.length} settings to choose from are too many; take fewer factors`);
  return candidates;
}

/** Blend and process values put at the places of their factors. */
export function placed(factors: readonly Factor[], blend: readonly number[], setting: readonly number[]): number[] {
  let nextShare = 0;
  let nextOther = 0;
  return factors.map((factor) => (factor.kind === "share" ? blend[nextShare++]! : setting[nextOther++]!));
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

function fractionWords(fraction: Fraction, names: readonly string[]): FractionWords {
  return {
    resolution: fraction.resolution,
    generators: fraction.generators.map(({ factor, product }) => ({
      factor: names[factor]!,
      product: wordNames(product, names),
    })),
    aliases: aliasGroups(fraction, names.length).map((group) => group.map((word) => wordNames(word, names).join(" × "))),
  };
}
