import type { Problem, Result } from "../quantities/index.js";
import type { BlendRule } from "./blendRegion.js";
import { checkQuestion } from "./checkQuestion.js";
import type { FractionWords, SearchProgress } from "./designPoints.js";
import type { DesignQuality } from "./designQuality.js";
import { cannotBeMade, type DesignName, type DesignWords } from "./designWords.js";
import type { AmountFactor, ChoiceFactor, Factor, Setting, ShareFactor } from "./factors.js";
import type { GoalWords } from "./goals.js";
import type { ModelName, Term } from "./model.js";
import { planBetter, planSeveral } from "./planCakes.js";
import { planFactors } from "./planFactors.js";
import type { PlacedRun } from "./runOrder.js";
import type { TastingPlan } from "./serving.js";
import type { Measure, Spread } from "./sheet.js";
import { planTastingQuestion, type TastingQuestion } from "./tastingQuestion.js";

/** What every question can say about the bench. */
export interface BenchWords {
  readonly seed: number;
  /** Bakes that one day can take; default 6. */
  readonly perDay?: number;
  /** Cakes that go into the oven together; default 1. */
  readonly perLoad?: number;
  /** Chance of a false alarm; default 0.05. */
  readonly alpha?: number;
  /** Chance to notice what matters; default 0.8. */
  readonly power?: number;
}

export interface MeasuredWords extends BenchWords {
  readonly measure: Measure;
  /** Smallest difference that would change what is baked, in the unit of the measure, above 0. */
  readonly matters: number;
  /** The baker's own spread of one bake within a day; without it the measure's typical one is taken, and said. */
  readonly spread?: Spread;
  /** Other measures that are written down in every bake. */
  readonly also?: readonly Measure[];
  /** What is wanted of the measures, when the best setting has to please more than one of them. */
  readonly goals?: readonly GoalWords[];
}

/** Which design, for those who want to choose it; what is left out is recommended. */
export interface DesignPick
  extends Pick<
    DesignWords,
    "runCount" | "centreCount" | "axial" | "steps" | "checkBlends" | "repeats" | "perBatter" | "shared" | "blockBy"
  > {
  readonly design?: DesignName;
  readonly model?: ModelName;
}

/** A baker's question. */
export type Question =
  | (MeasuredWords & {
      readonly kind: "better";
      /** "days": one of each on every baking day; "shelves": both in one oven, places swapped every other time; "apart": each on its own days. */
      readonly pairing: "days" | "shelves" | "apart";
      /**
       * "better": is there a difference; "no worse": is the second no worse than the first by more than `matters`; "the same": do they
       * differ by less than `matters` either way. Default "better".
       */
      readonly aim?: "better" | "no worse" | "the same";
      readonly names?: readonly [string, string];
      /** Most bakes of each that the baker is ready for. */
      readonly most?: number;
    })
  | (MeasuredWords &
      DesignPick & {
        readonly kind: "how much";
        readonly factors: readonly (AmountFactor | ChoiceFactor)[];
      })
  | (MeasuredWords &
      DesignPick & {
        readonly kind: "which blend";
        readonly shares: readonly ShareFactor[];
        readonly rules?: readonly BlendRule[];
        readonly process?: readonly (AmountFactor | ChoiceFactor)[];
      })
  | (MeasuredWords & { readonly kind: "which of several"; readonly names: readonly string[] })
  | TastingQuestion;

export type QuestionOf<K extends Question["kind"]> = Extract<Question, { kind: K }>;

/** A plan in words, and all that is needed to carry it out. */
export interface TrialPlan {
  readonly kind: Question["kind"];
  /** "Bake each on 8 days." */
  readonly summary: string;
  /** How sure the plan is, and on what assumption. */
  readonly certainty: string;
  /** What is learnt when nothing is seen. */
  readonly ifNothingIsSeen: string;
  readonly bakeCount: number;
  readonly tasterCount: number;
  readonly dayCount: number;
  /** Chance to notice what matters, or to show that nothing matters; undefined when it does not apply. */
  readonly power?: number;
  readonly factors: readonly Factor[];
  readonly settings: readonly Setting[];
  readonly order: readonly PlacedRun[];
  readonly model?: { readonly name: ModelName; readonly terms: readonly Term[] };
  readonly quality?: DesignQuality;
  readonly design?: PlannedDesign;
  readonly tasting?: TastingPlan;
  readonly cautions: readonly string[];
}

/** The design behind a plan. */
export interface PlannedDesign {
  readonly name: DesignName;
  /** "face-centred central composite in 2 factors": the field's own words. */
  readonly field: string;
  readonly fraction?: FractionWords;
  /** What is taken out of the comparison, when the bakes fill more than one. */
  readonly blockBy?: "day" | "load";
  /** What several bakes share, of a split plot. */
  readonly shared?: "batter" | "load";
  /** True when the search was stopped: the best plan that was found until then. */
  readonly stopped: boolean;
}

/**
 * From a question to a plan.
 *
 * @returns problems of the question (limits that no blend meets, nothing named), or the plan
 */
export function planTrial(question: Question): Result<TrialPlan, readonly Problem[]> {
  const steps = planTrialSteps(question);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

/**
 * `planTrial` step by step, for a worker that shows how far the search for an optimal design is. It may be told to "stop": then the
 * best plan found so far is the answer, and says so.
 */
export function* planTrialSteps(
  question: Question,
): Generator<SearchProgress, Result<TrialPlan, readonly Problem[]>, "go on" | "stop" | undefined> {
  const problems = checkQuestion(question);
  if (problems.length > 0) return { ok: false, error: problems };
  switch (question.kind) {
    case "better":
      return { ok: true, value: planBetter(question) };
    case "how much":
    case "which blend":
      try {
        return { ok: true, value: yield* planFactors(question) };
      } catch (error) {
        return { ok: false, error: [cannotBeMade(question.design ?? "recommended", error)] };
      }
    case "which of several":
      return { ok: true, value: planSeveral(question) };
    default:
      return { ok: true, value: planTastingQuestion(question) };
  }
}
