import {
  type Answer,
  analyseDiscrimination,
  analyseLiking,
  analysePreference,
  bestPoint,
  countAnswers,
  DISCRIMINATION_METHODS,
  type Discrimination,
  type DiscriminationMethod,
  guessingChance,
  type Liking,
  type Preference,
  planTasting,
  type Ranking,
  rankingTest,
  sayBest,
  sayDiscrimination,
  sayPreference,
  sayRanking,
  type TastingCount,
  type TrialAnswer,
} from "@evencrumb/core/trials";
import type { BakingTrial, Tasting } from "./documents.js";

/** What a tasting says so far. */
export interface TastingReading {
  readonly count: TastingCount;
  readonly answer: Answer | null;
  readonly discrimination?: Discrimination;
  readonly preference?: Preference;
  readonly ranking?: Ranking;
  readonly liking?: Liking;
  /** Right answers that guessing alone would bring. */
  readonly byGuessing?: number;
}

export function readTasting(tasting: Tasting): TastingReading {
  const plan = planTasting(tasting.words);
  const count = countAnswers(plan, tasting.answers);
  const { method, products } = tasting.words;
  const { answered, correct, chosen, rows } = count;
  const alpha = tasting.question.alpha ?? 0.05;
  if (answered < 2) return { count, answer: null };
  if (method === "liking" && rows !== undefined) {
    if (rows.flat().every((mark) => mark === rows[0]![0])) return { count, answer: null };
    const liking = analyseLiking(rows, products);
    return { count, answer: liking.answer, liking };
  }
  if (rows !== undefined) {
    const ranking = rankingTest(rows, alpha);
    return { count, answer: sayRanking(ranking, products, alpha), ranking };
  }
  if (chosen !== undefined) {
    const preference = analysePreference(chosen[1]!, answered);
    return { count, answer: sayPreference(preference, products[0]!, products[1]!, alpha), preference, byGuessing: answered / 2 };
  }
  const known = DISCRIMINATION_METHODS.find((name): name is DiscriminationMethod => name === method);
  if (known === undefined || correct === undefined) return { count, answer: null };
  const discrimination = analyseDiscrimination(known, correct, answered);
  return {
    count,
    answer: sayDiscrimination(discrimination, alpha),
    discrimination,
    byGuessing: guessingChance(known) * answered,
  };
}

/** The best setting by the fit of the measure that decides; undefined where none can be given. */
export function bestSetting(trial: BakingTrial, result: TrialAnswer) {
  const [measure] = trial.sheet.measures;
  const analysis = result.reading?.responses[0]?.analysis;
  if (trial.bindings.length === 0 || measure?.better === undefined || analysis?.residualSd === undefined) return undefined;
  const observed = analysis.residuals.map((row) => row.observed);
  const [low, high] = [Math.min(...observed), Math.max(...observed)];
  // A wish without a limit: better all the way through what was seen and as far again beyond it.
  const span = Math.max(high - low, 1e-9);
  const larger = measure.better === "larger";
  const best = bestPoint(
    [analysis],
    [
      larger
        ? { response: measure.name, direction: "larger", low: low - span, target: high + span }
        : { response: measure.name, direction: "smaller", high: high + span, target: low - span },
    ],
    { factors: trial.sheet.factors },
    { seed: trial.sheet.seed },
  );
  return { best, answer: sayBest(best, trial.sheet.measures) };
}
