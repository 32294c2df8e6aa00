import { type Analysis, type AnalysisInput, analyse, type Coefficient } from "./analyse.js";
import { tQuantile, tTwoSided } from "./distributions.js";
import type { Factor } from "./factors.js";
import type { Term } from "./model.js";
import { termName } from "./terms.js";

/** One term left out, and why it could go. */
export interface SimplifyStep {
  readonly term: Term;
  readonly name: string;
  readonly p: number;
}

export interface Simplified {
  /** The smaller model. Its errors are those of the full one: see `withErrorOf`. */
  readonly analysis: Analysis;
  readonly steps: readonly SimplifyStep[];
}

/**
 * Leaves out, one after another, terms whose loss cannot be noticed; never one that a kept term is made of, never the linear terms of a
 * blend, never the blocks.
 *
 * What stays was chosen by the same data. Its intervals keep the error and the degrees of freedom of the full model, because what was
 * left out as noise would make the spread look smaller than it is; they still hold a little less than they say (docs/models/trials.md
 * has the counts), so predictions are better made from the full model.
 *
 * @param alpha  a term with a larger p-value may go; default 0.1
 *
 * Source: the principle of heredity, Nelder (1977), J. R. Stat. Soc. A 140, 48 (from memory); backward elimination is common practice.
 */
export function simplify(input: AnalysisInput, alpha = 0.1): Simplified {
  let terms = [...input.terms];
  const full = analyse(input);
  let analysis = full;
  const steps: SimplifyStep[] = [];
  const needed = new Set<string>();
  const key = (term: Term) => term.join("\u0000");
  const misses = ({ lackOfFit }: Analysis) => (lackOfFit?.lackOfFit.p ?? 1) < 0.05;
  for (;;) {
    if (analysis.residualDf === 0) return { analysis: withErrorOf(full, analysis), steps };
    const candidates = analysis.partial.filter(
      ({ term, p }) => p !== undefined && p > alpha && !needed.has(key(term)) && mayGo(term, terms, input.factors),
    );
    if (candidates.length === 0) return { analysis: withErrorOf(full, analysis), steps };
    const weakest = candidates.reduce((a, b) => (b.p! > a.p! ? b : a));
    const fewer = terms.filter((term) => key(term) !== key(weakest.term));
    const next = analyse({ ...input, terms: fewer });
    // Terms that cannot be noticed one by one may matter together: when the repeats show that the smaller model misses something, it stays.
    if (misses(next) && !misses(analysis)) {
      needed.add(key(weakest.term));
      continue;
    }
    terms = fewer;
    steps.push({ term: weakest.term, name: termName(weakest.term), p: weakest.p! });
    analysis = next;
  }
}

/** A smaller fit whose intervals rest on the spread that the full model leaves; unchanged where that leaves no run to judge it by. */
function withErrorOf(full: Analysis, smaller: Analysis): Analysis {
  const { residualSd, residualDf, confidence } = full;
  if (smaller === full || residualSd === undefined || smaller.residualSd === undefined) return smaller;
  const reach = tQuantile((1 + confidence) / 2, residualDf);
  const coefficients = smaller.coefficients.map(({ name, estimate }, index): Coefficient => {
    const standardError = residualSd * Math.sqrt(smaller.unscaledCovariance[index]![index]!);
    const spread = { standardError, from: estimate - reach * standardError, to: estimate + reach * standardError };
    if (!(standardError > 0)) return { name, estimate, ...spread };
    const t = estimate / standardError;
    return { name, estimate, ...spread, t, p: tTwoSided(t, residualDf) };
  });
  return { ...smaller, coefficients, residualSd, residualDf };
}

/** Whether hierarchy allows a term to be left out of the others. */
export function mayGo(term: Term, terms: readonly Term[], factors: readonly Factor[]): boolean {
  if (term.length === 0 || !terms.includes(term)) return false;
  if (term.length === 1 && factors.find((factor) => factor.name === term[0])?.kind === "share") return false;
  return !terms.some((other) => other !== term && other.length > term.length && contains(other, term));
}

function contains(whole: Term, part: Term): boolean {
  const rest = [...whole];
  return part.every((name) => {
    const place = rest.indexOf(name);
    if (place < 0) return false;
    rest.splice(place, 1);
    return true;
  });
}
