import type { DesignName } from "./designWords.js";
import { bestFraction } from "./factorial.js";
import type { Factor } from "./factors.js";
import type { ModelName } from "./model.js";

/** A design that fits the factors, in a baker's words and in the field's. */
export interface DesignOffer {
  readonly design: DesignName;
  /** "The ends of every range, all of them together". */
  readonly title: string;
  /** "full two-level factorial, 2³". */
  readonly field: string;
  /** What it is good for and what it costs, in one sentence. */
  readonly why: string;
  /** Bakes, once over; undefined where it depends on how sure one wants to be. */
  readonly bakeCount?: number;
  readonly recommended: boolean;
}

/** The design that is taken when nothing is said. */
export interface Recommended {
  readonly design: DesignName;
  readonly model: ModelName;
  readonly runCount?: number;
  readonly centreCount?: number;
}

/** Up to three amounts bend (quadratic); more are screened for which of them matter at all. */
export function recommendedDesign(factors: readonly Factor[]): Recommended {
  const counts = countsOf(factors);
  if (counts.shares > 0) return { design: "D-optimal", model: counts.shares <= 5 ? "scheffe quadratic" : "scheffe linear" };
  const screening = counts.amounts > 3 || (counts.choices > 0 && counts.amounts > 2);
  const model: ModelName = screening || counts.amounts === 0 ? "linear" : "quadratic";
  if (counts.choices > 0) {
    const twoLevels = factors.every((factor) => factor.kind !== "choice" || factor.levels.length === 2);
    return screening && twoLevels && factors.length > 3
      ? { design: "two-level fraction", model, runCount: fractionRuns(factors.length) }
      : { design: "D-optimal", model };
  }
  if (screening) return { design: "two-level fraction", model, runCount: fractionRuns(factors.length), centreCount: 3 };
  if (counts.amounts === 1) return { design: "all levels", model };
  return counts.amounts === 2
    ? { design: "central composite", model, centreCount: 2 }
    : { design: "Box-Behnken", model, centreCount: 3 };
}

/** Smallest fraction that keeps single effects apart from each other. */
export const fractionRuns = (factorCount: number): number => Math.max(8, 2 ** Math.ceil(Math.log2(factorCount + 1)));

/** The model a design is read by when none is named. */
export function usualModel(design: DesignName, factors: readonly Factor[]): ModelName {
  const counts = countsOf(factors);
  if (counts.shares > 0) return recommendedDesign(factors).model;
  if (design === "two-level fraction") {
    // Pairs are kept only where nothing else is mixed with them.
    return factors.length <= 4 || bestFraction(factors.length, fractionRuns(factors.length)).resolution < 5
      ? "linear"
      : "interaction";
  }
  if (design === "two-level factorial") return factors.length === 1 ? "linear" : "interaction";
  return counts.amounts > 0 ? "quadratic" : "linear";
}

/** All designs that can be made of these factors, the recommended one first. */
export function offeredDesigns(factors: readonly Factor[]): readonly DesignOffer[] {
  if (factors.length === 0) return [];
  const { design } = recommendedDesign(factors);
  const offers = (countsOf(factors).shares > 0 ? blendOffers(factors) : amountOffers(factors)).map((offer) => ({
    ...offer,
    recommended: offer.design === design,
  }));
  return [...offers.filter(({ recommended }) => recommended), ...offers.filter(({ recommended }) => !recommended)];
}

type Offer = Omit<DesignOffer, "recommended">;

function amountOffers(factors: readonly Factor[]): readonly Offer[] {
  const k = factors.length;
  const { amounts, choices } = countsOf(factors);
  const twoLevels = factors.every((factor) => factor.kind !== "choice" || factor.levels.length === 2);
  const offers: Offer[] = [];
  if (twoLevels && k <= 6)
    offers.push({
      design: "two-level factorial",
      title: "The ends of every range, in every combination",
      field: `full two-level factorial, 2${raised(k)}`,
      why: "Shows each effect and whether one depends on another; it does not see a bend in between unless the middle is baked too.",
      bakeCount: 2 ** k,
    });
  if (twoLevels && k >= 3)
    offers.push({
      design: "two-level fraction",
      title: "The ends of every range, a well chosen part of the combinations",
      field: `fractional two-level factorial, 2${raised(k)} in ${fractionRuns(k) >= 2 ** k ? 2 ** (k - 1) : fractionRuns(k)} runs`,
      why: "The fewest bakes that find out what matters at all; some effects can then not be told apart, and the plan names them.",
      bakeCount: Math.min(fractionRuns(k), 2 ** Math.max(2, k - 1)),
    });
  if (choices === 0 && amounts >= 2 && amounts <= 5)
    offers.push({
      design: "central composite",
      title: "Corners, the middle of each side, and the centre",
      field: `central composite, face-centred, in ${amounts} factors`,
      why: "Follows a bend and finds the best setting inside the range.",
      bakeCount: (amounts > 4 ? 16 : 2 ** amounts) + 2 * amounts + 4,
    });
  if (choices === 0 && amounts >= 3 && amounts <= 6)
    offers.push({
      design: "Box-Behnken",
      title: "Middles of the edges and the centre, never all at an end",
      field: `Box-Behnken in ${amounts} factors`,
      why: "Follows a bend, and leaves out the corners where a cake is most likely to fail.",
      bakeCount: [12, 24, 40, 48][amounts - 3]! + 3,
    });
  const levels = factors.reduce((product, factor) => product * (factor.kind === "choice" ? factor.levels.length : 3), 1);
  if (k === 1 && amounts === 1)
    offers.push({
      design: "all levels",
      title: "Low, middle and high, twice, and the middle once more",
      field: "three levels, repeated",
      why: "Follows a bend, and the repeats tell how much one bake varies.",
      bakeCount: 7,
    });
  else if (levels <= 81)
    offers.push({
      design: "all levels",
      title: amounts > 0 ? "Low, middle and high of each, in every combination" : "Everything with everything",
      field: amounts > 0 ? `full factorial, ${"3 levels each"}` : "full factorial of all levels",
      why: "The plainest to read, and soon too many bakes.",
      bakeCount: levels,
    });
  if (k > 1 || choices > 0) offers.push(...optimalOffers("settings"));
  return offers;
}

function blendOffers(factors: readonly Factor[]): readonly Offer[] {
  const shares = factors.filter((factor) => factor.kind === "share");
  const others = factors.length - shares.length;
  const q = shares.length;
  const room = 1 - shares.reduce((sum, share) => sum + share.lower, 0);
  const whole = shares.every((share) => share.upper >= share.lower + room - 1e-9);
  const times = factors.reduce(
    (product, factor) => product * (factor.kind === "share" ? 1 : factor.kind === "choice" ? factor.levels.length : 2),
    1,
  );
  const crossed = others > 0 ? ", crossed with the process" : "";
  const offers: Offer[] = [...optimalOffers("blends")];
  if (whole) {
    offers.push({
      design: "simplex lattice",
      title: "Each alone, and half and half",
      field: `simplex lattice {${q}, 2}${crossed}`,
      why: "The classic for a blend without upper limits; every blend is easy to weigh.",
      bakeCount: (times * q * (q + 1)) / 2,
    });
    offers.push({
      design: "simplex centroid",
      title: "Each alone, equal halves, equal thirds, all together",
      field: `simplex centroid in ${q} components${crossed}`,
      why: "Like the lattice, with blends of three and more, where something new may happen.",
      bakeCount: times * (2 ** q - 1),
    });
  }
  offers.push({
    design: "extreme vertices",
    title: "The corners that the limits leave, the middles between them and the centre",
    field: `extreme vertices of the constrained mixture${crossed}`,
    why: "Bakes the whole edge of what is allowed; with many limits that is soon many bakes.",
  });
  return offers;
}

const optimalOffers = (what: string): readonly Offer[] => [
  {
    design: "D-optimal",
    title: `The ${what} that tell the effects best`,
    field: "D-optimal, by exchange",
    why: "Searched for: as many bakes as you want and no more, whatever the limits.",
  },
  {
    design: "I-optimal",
    title: `The ${what} that predict best on the whole`,
    field: "I-optimal, by exchange",
    why: "Searched for: the smallest error of a prediction, averaged over all that is allowed. Take it when you want the best setting.",
  },
];

const countsOf = (factors: readonly Factor[]) => ({
  amounts: factors.filter(({ kind }) => kind === "amount").length,
  choices: factors.filter(({ kind }) => kind === "choice").length,
  shares: factors.filter(({ kind }) => kind === "share").length,
});

const raised = (power: number): string => [..."⁰¹²³⁴⁵⁶⁷⁸⁹"][power] ?? `^${power}`;
