import { type Analysis, BLOCK } from "./analyse.js";
import { contrast } from "./contrasts.js";
import { tTwoSided } from "./distributions.js";
import type { Factor } from "./factors.js";
import type { Term } from "./model.js";
import { centreOf, effectLines, sharesAlong } from "./plots.js";
import type { Measure } from "./sheet.js";
import { type Answer, capital, figure, list, percent, tidy } from "./words.js";

const LEVEL = 0.05;

/** How many batters and cakes stand behind what is said of a factor. */
export interface Standing {
  readonly factor: string;
  /** What the factor was changed between: "batter" where all cakes of one batter have it alike, else "cake". */
  readonly between: string;
  readonly count: number;
}

/**
 * What stands behind each factor of a split plot: a factor that is alike within every batter was tried on batters, and there are as
 * many trials of it as batters, however many tins each was divided over.
 *
 * @param batters  batter of each run, in the order of the analysis
 */
export function standings(analysis: Analysis, batters: readonly number[], name = "batter"): readonly Standing[] {
  const groups = [...new Set(batters)];
  return analysis.model.factors.flatMap((factor, index): Standing[] => {
    if (factor.name === BLOCK) return [];
    const alike = groups.every(
      (group) => new Set(analysis.settings.flatMap((values, run) => (batters[run] === group ? [values[index]!] : []))).size === 1,
    );
    return [{ factor: factor.name, between: alike ? name : "cake", count: alike ? groups.length : analysis.runCount }];
  });
}

/** What moves a response, by how much and which way, from any fit; the figures and tests stay in the analysis. */
export function sayEffects(
  analysis: Analysis,
  measure: Measure,
  standing: readonly Standing[] = [],
  runNames?: readonly string[],
): Answer {
  const { rSquared, residualSd, mixed } = analysis;
  const next = advice(analysis, runNames);
  if (residualSd === undefined)
    return {
      verdict: "cannot tell",
      sentence: "There are as many terms as runs: the model passes through every run and nothing is left to judge it by.",
      certainty: "No certainty can be given.",
      next: ["Choose a smaller model, or bake repeats."],
    };
  const noticed = noticedTerms(analysis);
  const own = noticed.filter((term) => term[0] !== BLOCK);
  if (noticed.length > own.length)
    next.push("The days differ by themselves: never compare cakes of different days without one that was baked on both.");
  const moved = [
    ...(isBlendNoticed(analysis) ? [blendWords(analysis, measure)] : []),
    ...analysis.model.factors.flatMap((factor, index) => {
      if (factor.kind === "share" || factor.name === BLOCK || !own.some((term) => term.includes(factor.name))) return [];
      return [factorWords(analysis, factor, index, own, measure)];
    }),
  ];
  const spread =
    mixed === undefined
      ? `one bake varies by ${figure(residualSd, residualSd)} ${measure.unit} by itself`
      : spreadWords(analysis, measure.unit);
  const behind = standingWords(standing);
  if (moved.length === 0)
    return {
      verdict: "not shown",
      sentence: `Nothing that was changed moved ${measure.name} so that it could be noticed.`,
      certainty: `${capital(spread)}.${behind}`,
      next: [...next, "Widen the ranges, or bake more runs."],
    };
  const { predicted } = rSquared;
  // The share that is followed counts cakes; where cakes share batters it would promise too much.
  const followed =
    mixed !== undefined
      ? ""
      : `The model follows ${percent(rSquared.plain)} of what varied${predicted === undefined ? "" : predicted > 0 ? ` and would follow about ${percent(predicted)} of it in new bakes` : ", but could not be relied on for new bakes"}; `;
  return {
    verdict: "yes",
    sentence: `${capital(measure.name)} is moved by ${list(moved.slice(0, 3))}${moved.length > 3 ? `, and by ${moved.length - 3} more` : ""}.`,
    certainty: `${moved.some((part) => part.includes("between")) ? "Each range holds nineteen times in twenty. " : ""}${capital(`${followed}${spread}`)}.${behind}`,
    next: [...next, "Say what you want of it, and confirm the best setting before you make it the standard."],
  };
}

/** Terms that could be noticed one by one; linear blending terms cannot be asked this way and are left out. */
export function noticedTerms(analysis: Analysis): readonly Term[] {
  const tests = analysis.mixed?.terms ?? analysis.partial;
  const isShare = (term: Term) =>
    term.length === 1 && analysis.model.factors.find(({ name }) => name === term[0])?.kind === "share";
  return tests
    .filter(({ term, p }) => p !== undefined && p <= LEVEL && !isShare(term))
    .toSorted((a, b) => a.p! - b.p!)
    .map(({ term }) => term);
}

/** Whether the blend as a whole is noticed: its linear terms together, or some blending term. */
function isBlendNoticed(analysis: Analysis): boolean {
  const shares = analysis.model.factors.filter(({ kind }) => kind === "share").map(({ name }) => name);
  if (shares.length === 0) return false;
  if (noticedTerms(analysis).some((term) => term.some((name) => shares.includes(name)))) return true;
  if (analysis.mixed !== undefined) return shareEffects(analysis).some(({ from, to }) => from > 0 || to < 0);
  return analysis.groups.some(({ source, p }) => source === "linear blending" && p !== undefined && p <= LEVEL);
}

/** Change of the response as one share goes from its least to its most, the others keeping their proportions. */
function shareEffects(analysis: Analysis) {
  const factors = analysis.model.factors.filter(({ name }) => name !== BLOCK);
  const centre = centreOf(factors);
  return factors.flatMap((factor, index) => {
    if (factor.kind !== "share") return [];
    const path = sharesAlong(factor, index, factors, centre, 1);
    const [low, high] = [path[0]!, path.at(-1)!];
    const change = contrast(analysis, high.values, low.values);
    return change === undefined || !(high.share > low.share) ? [] : [{ factor, low: low.share, high: high.share, ...change }];
  });
}

function blendWords(analysis: Analysis, measure: Measure): string {
  const clear = shareEffects(analysis)
    .filter(({ from, to }) => from > 0 || to < 0)
    .toSorted((a, b) => Math.abs(b.estimate) - Math.abs(a.estimate));
  const parts = clear
    .slice(0, 2)
    .map(
      ({ factor, low, high, ...change }) =>
        `as ${factor.name} goes from ${percent(low)} to ${percent(high)} ${changeWords(change, measure.unit)}`,
    );
  return parts.length === 0 ? "the blend (no ingredient by itself: what they do together)" : `the blend (${parts.join("; ")})`;
}

function factorWords(analysis: Analysis, factor: Factor, index: number, noticed: readonly Term[], measure: Measure): string {
  const mine = noticed.filter((term) => term.includes(factor.name));
  const partners = [...new Set(mine.flatMap((term) => term.filter((name) => name !== factor.name)))];
  const shares = new Set(analysis.model.factors.flatMap(({ kind, name }) => (kind === "share" ? [name] : [])));
  const others = partners.filter((name) => !shares.has(name));
  const depends =
    others.length > 0 ? `how much depends on ${list(others)}` : partners.length > 0 ? "how much depends on the blend" : "";
  const factors = analysis.model.factors.filter(({ name }) => name !== BLOCK);
  const centre = centreOf(factors);
  const at = (value: number) => centre.map((other, place) => (place === index ? value : other));
  const parts: string[] = [];
  if (factor.kind === "choice") {
    if (factor.levels.length === 2) {
      const change = contrast(analysis, at(1), at(0));
      if (change !== undefined)
        parts.push(`from ${factor.levels[0]} to ${factor.levels[1]} ${changeWords(change, measure.unit)}`);
    } else {
      const points = effectLines(analysis)
        .find((line) => line.factor === factor.name)!
        .points.toSorted((a, b) => b.estimate - a.estimate);
      parts.push(`most with ${points[0]!.at}, least with ${points.at(-1)!.at}`);
    }
  } else if (factor.kind === "amount") {
    const unit = factor.unit === undefined || factor.unit === "" ? "" : ` ${factor.unit}`;
    const change = contrast(analysis, at(factor.high), at(factor.low));
    const bends = mine.some((term) => term.filter((name) => name === factor.name).length > 1);
    const peak = bends ? peakOf(analysis, factor.name) : undefined;
    if (peak !== undefined) parts.push(`${peak.kind} at about ${tidy(Number(peak.at.toPrecision(3)))}${unit}`);
    if (change !== undefined && (change.from > 0 || change.to < 0))
      parts.push(`from ${tidy(factor.low)} to ${tidy(factor.high)}${unit} ${changeWords(change, measure.unit)}`);
    else if (peak === undefined && depends === "") parts.push("in a bend");
  }
  if (depends !== "") parts.push(depends);
  return `${factor.name} (${parts.join("; ")})`;
}

/** The top or bottom of a bend, where it lies well inside the range: not in its outer twentieths. */
function peakOf(analysis: Analysis, name: string): { readonly kind: "highest" | "lowest"; readonly at: number } | undefined {
  const { points } = effectLines(analysis, 100).find((line) => line.factor === name)!;
  for (const [kind, sign] of [
    ["highest", 1],
    ["lowest", -1],
  ] as const) {
    const place = points.reduce(
      (best, point, index) => (sign * point.estimate > sign * points[best]!.estimate ? index : best),
      0,
    );
    if (place >= 5 && place <= points.length - 6) return { kind, at: Number(points[place]!.at) };
  }
  return undefined;
}

function changeWords(
  change: { readonly estimate: number; readonly from: number; readonly to: number; readonly standardError: number },
  unit: string,
): string {
  const [a, b] = [Math.abs(change.from), Math.abs(change.to)].sort((x, y) => x - y);
  const error = change.standardError;
  return `it ${change.estimate > 0 ? "rises" : "falls"} by ${figure(Math.abs(change.estimate), error)} ${unit}, between ${figure(a!, error)} and ${figure(b!, error)}`;
}

function spreadWords(analysis: Analysis, unit: string): string {
  const { components, residualVariance } = analysis.mixed!;
  const sd = Math.sqrt(residualVariance);
  const shared = components.map(({ name, sd: each }) =>
    each > 0
      ? `one ${name} from the next varies by ${figure(each, each)} ${unit}`
      : `no difference between one ${name} and the next could be seen`,
  );
  return `${list([...shared, `one cake of the same ${components.at(-1)?.name ?? "batter"} by ${figure(sd, sd)} ${unit}`])}`;
}

export function standingWords(standing: readonly Standing[]): string {
  if (standing.length === 0) return "";
  const kinds = [...new Set(standing.map(({ between }) => between))];
  const parts = kinds.map((kind) => {
    const mine = standing.filter(({ between }) => between === kind);
    const { count } = mine[0]!;
    return `${count} ${kind}${count === 1 ? "" : "s"} behind what is said of ${list(mine.map(({ factor }) => factor))}`;
  });
  return ` ${count(parts)}.`;
}
const count = (parts: readonly string[]): string => `There are ${list(parts)}`;

/**
 * Runs that lie farther off than the largest of so many would by chance once in twenty (Bonferroni on the studentised residual).
 * Source: Beckman and Cook (1983), Technometrics 25, 119 (from memory).
 */
export function farRuns({ residuals, residualDf, runCount }: Analysis): readonly number[] {
  return residuals.flatMap(({ runIndex, studentised }) =>
    studentised !== undefined && residualDf > 1 && tTwoSided(studentised, residualDf - 1) * runCount < LEVEL ? [runIndex] : [],
  );
}

/** What the checks of the model ask for before its answer is used. */
export function advice(analysis: Analysis, runNames?: readonly string[]): string[] {
  const { lackOfFit, boxCox } = analysis;
  const next: string[] = [];
  if (lackOfFit?.lackOfFit.p !== undefined && lackOfFit.lackOfFit.p < LEVEL)
    next.push("The model misses something that the repeats show: try a larger model before you trust its map.");
  const far = farRuns(analysis);
  if (far.length > 0)
    next.push(
      `${runNames === undefined ? (far.length === 1 ? "One run lies" : `${far.length} runs lie`) : `${capital(list(far.map((run) => runNames[run]!)))} ${far.length === 1 ? "lies" : "lie"}`} far from the rest: check the sheet before anything else.`,
    );
  if (boxCox !== undefined && boxCox.advice !== "none")
    next.push(`The spread grows with the value: read it again by its ${SCALE_WORDS[boxCox.advice]} (see the working).`);
  return next;
}

export const SCALE_WORDS = { log: "logarithm", "square root": "square root", inverse: "inverse" } as const;

/** Pairs of amounts and choices that were noticed to depend on each other: the first moves, the second is looked at. */
export function noticedPairs(analysis: Analysis): readonly (readonly [string, string])[] {
  const shares = new Set(analysis.model.factors.flatMap(({ kind, name }) => (kind === "share" ? [name] : [])));
  return noticedTerms(analysis).flatMap((term) => {
    const names = [...new Set(term)];
    return names.length === 2 && names.every((name) => name !== BLOCK && !shares.has(name))
      ? [[names[0]!, names[1]!] as const]
      : [];
  });
}
