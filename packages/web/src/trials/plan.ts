import type { Formula } from "@evencrumb/core/formula";
import { type Binding, type Hold, type Question, type TrialPlan, trialFileOf } from "@evencrumb/core/trials";
import type { Cake, Trial } from "./documents.js";
import { type RunCake, type RunCakeOptions, runCake } from "./runs.js";

/** Each run of a plan as a formula, in the order of `plan.settings`. */
export function plannedCakes(
  plan: TrialPlan,
  standard: Formula,
  bindings: readonly Binding[],
  options: RunCakeOptions,
): readonly RunCake[] {
  return plan.settings.map((setting) => runCake(standard, plan.factors, bindings, setting, options));
}

/** A plan as the trial that is kept. `made`: the runs as formulas, whose real weights are what the reading should use. */
export function trialOf(words: {
  readonly question: Question;
  readonly plan: TrialPlan;
  readonly name: string;
  readonly cakes: readonly Cake[];
  readonly bindings: readonly Binding[];
  readonly hold: Hold;
  readonly allergens: readonly string[];
  readonly mayContain: readonly string[];
  readonly warnings?: readonly string[];
  readonly made: readonly RunCake[];
  /** Whether the rebalancer made the formulas: then they are kept with the trial. */
  readonly settled: boolean;
  /** What it holds, by key. */
  readonly held?: readonly string[];
}): Trial {
  const { question, name, bindings, hold, allergens, mayContain, made, settled } = words;
  const cakes = words.cakes.map(
    ({ name: cake, formulaId, formulaName, revisionId, revisionNumber, note }): Cake => ({
      name: cake,
      formulaId,
      formulaName,
      revisionId,
      revisionNumber,
      note,
    }),
  );
  const { tasting, summary, certainty, ifNothingIsSeen, cautions } = words.plan;
  if (tasting !== undefined) {
    return {
      shape: "evencrumb.taste/1",
      name,
      kind: question.kind,
      promise: { summary, certainty, ifNothingIsSeen, cautions },
      words: {
        ...tasting.words,
        allergens,
        ...(mayContain.length === 0 ? {} : { mayContain }),
        ...((words.warnings ?? []).length === 0 ? {} : { warnings: words.warnings! }),
      },
      answers: [],
      cakes,
      question,
    };
  }
  const plan =
    made.length === 0 ? words.plan : { ...words.plan, settings: words.plan.settings.map((_, run) => made[run]!.setting) };
  const file = trialFileOf(question, plan, name, allergens);
  const planned = made.map(({ formula, held, doubts }) => ({
    ...(settled && formula !== null ? { formula } : {}),
    held,
    doubts,
  }));
  const held = settled && words.held !== undefined ? { held: words.held } : {};
  return { ...file, name, cakes, bindings, hold, question, ...held, ...(planned.length === 0 ? {} : { planned }) };
}
