import { bestPoint, sayBest, type TrialAnswer } from "@evencrumb/core/trials";
import type { BakingTrial } from "./documents.js";

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
