import { type Analysis, type AnalysisInput, analyse } from "./analyse.js";
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
  readonly analysis: Analysis;
  readonly steps: readonly SimplifyStep[];
}

/**
 * Leaves out, one after another, terms whose loss cannot be noticed; never one that a kept term is made of, never the linear terms of a
 * blend, never the blocks. What stays was chosen by the same data, so its intervals are a little too narrow: say so beside them.
 *
 * @param alpha  a term with a larger p-value may go; default 0.1
 *
 * Source: the principle of heredity, Nelder (1977), J. R. Stat. Soc. A 140, 48 (from memory); backward elimination is common practice.
 */
export function simplify(input: AnalysisInput, alpha = 0.1): Simplified {
  let terms = [...input.terms];
  let analysis = analyse(input);
  const steps: SimplifyStep[] = [];
  const needed = new Set<string>();
  const key = (term: Term) => term.join("\u0000");
  const misses = ({ lackOfFit }: Analysis) => (lackOfFit?.lackOfFit.p ?? 1) < 0.05;
  for (;;) {
    if (analysis.residualDf === 0) return { analysis, steps };
    const candidates = analysis.partial.filter(
      ({ term, p }) => p !== undefined && p > alpha && !needed.has(key(term)) && mayGo(term, terms, input.factors),
    );
    if (candidates.length === 0) return { analysis, steps };
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
