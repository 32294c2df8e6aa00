import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { NamedTin } from "@evencrumb/core/tins";
import { type Binding, type Hold, type Measure, type Question, type TrialPlan, trialFileOf } from "@evencrumb/core/trials";
import type { Cake, Trial } from "./documents.js";
import { type RunCake, runCake } from "./runs.js";

/** Each run of a plan as a formula, in the order of `plan.settings`. */
export function plannedCakes(
  plan: TrialPlan,
  standard: Formula,
  bindings: readonly Binding[],
  options: { readonly hold: Hold; readonly book: IngredientBook; readonly owned: readonly NamedTin[] },
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
  readonly also: readonly Measure[];
  readonly made: readonly RunCake[];
}): Trial {
  const { question, name, bindings, hold, allergens, mayContain, also, made } = words;
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
      words: { ...tasting.words, allergens, ...(mayContain.length === 0 ? {} : { mayContain }) },
      answers: [],
      cakes,
      question,
    };
  }
  const plan =
    made.length === 0 ? words.plan : { ...words.plan, settings: words.plan.settings.map((_, run) => made[run]!.setting) };
  const file = trialFileOf(question, plan, name, allergens);
  const measures = [...file.sheet.measures, ...also.filter((measure) => measure.name !== file.sheet.measures[0]!.name)];
  const measured = Object.fromEntries(measures.map((measure) => [measure.name, null]));
  const sheet = { ...file.sheet, measures, runs: file.sheet.runs.map((run) => ({ ...run, measured })) };
  return { ...file, sheet, name, cakes, bindings, hold, question };
}
