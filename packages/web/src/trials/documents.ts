import type { Formula } from "@evencrumb/core/formula";
import type { Binding, Hold, Measure, Question, SheetRun, TasterAnswer, TastingWords, TrialFile } from "@evencrumb/core/trials";

export { merge } from "../keep/merge.js";

/** A cake of a trial: one revision of one formula, under the name it goes by in the trial. */
export interface Cake {
  readonly name: string;
  readonly formulaId: string;
  readonly formulaName: string;
  readonly revisionId: string;
  readonly revisionNumber: number;
  /** What the revision says of itself: "Two fifths of the butter to oil." */
  readonly note: string;
}

/** What the baker made of the answer. */
export interface Decision {
  readonly cake: string;
  readonly formulaId: string;
  readonly revisionId: string;
  /** The answer as it stood when it was decided. */
  readonly evidence: string;
  /** The bakes that bore it out, where there were some. */
  readonly confirmation?: { readonly documentId: string; readonly sentence: string };
  /** ISO 8601. */
  readonly decidedAt: string;
}

interface Shared {
  readonly name: string;
  readonly cakes: readonly Cake[];
  readonly question: Question;
  readonly decision?: Decision;
}

/** Planned bakes and what was measured in them: what core reads, and how it hangs together with the formulas. */
export interface BakingTrial extends TrialFile, Shared {
  /** What each factor means in the formula; none where whole cakes are compared. */
  readonly bindings: readonly Binding[];
  readonly hold: Hold;
  /** Each run as it was planned, by its place in the design; the formula where the rebalancer made it. Fixed once the sheet is made. */
  readonly planned?: readonly {
    readonly formula?: Formula;
    readonly held: readonly string[];
    /** What the ratios, the tins and the bake model doubted. */
    readonly doubts: readonly string[];
  }[];
  /** What the rebalancer holds in every run, by key; only where it makes the formulas. */
  readonly held?: readonly string[];
  /** Confirmations that were planned from it: trials of their own. */
  readonly confirmations?: readonly { readonly documentId: string; readonly plannedAt: string }[];
}

/** A tasting: who is served what is drawn again from `words`, always the same. */
export interface Tasting extends Shared {
  readonly shape: "evencrumb.taste/1";
  readonly kind: Question["kind"];
  readonly promise: TrialFile["promise"];
  readonly words: TastingWords;
  readonly answers: readonly TasterAnswer[];
}

export type Trial = BakingTrial | Tasting;

export const isTasting = (trial: Trial): trial is Tasting => trial.shape === "evencrumb.taste/1";

/** The same trial as if it had been asked about another of its measures. */
export function readBy(trial: BakingTrial, measure: Measure): BakingTrial {
  const [first] = trial.sheet.measures;
  if (first?.name === measure.name) return trial;
  const { matters: _matters, ...rest } = trial;
  return {
    ...rest,
    sheet: { ...trial.sheet, measures: [measure, ...trial.sheet.measures.filter(({ name }) => name !== measure.name)] },
    ...(trial.model === undefined ? {} : { model: { ...trial.model, responses: [{ name: measure.name, unit: measure.unit }] } }),
  };
}

/** The cake a run is, where whole cakes are compared. */
export const cakeOf = (trial: BakingTrial, run: SheetRun): Cake | undefined =>
  trial.bindings.length > 0 ? undefined : trial.cakes.find(({ name }) => name === run.setting.cake);
