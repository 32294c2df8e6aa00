import type { Formula } from "@evencrumb/core/formula";
import type { Binding, Hold, Measure, Question, SheetRun, TasterAnswer, TastingWords, TrialFile } from "@evencrumb/core/trials";

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

/** What others changed and what was changed here, laid over each other; where both changed the same, what was written here stays. */
export function merge<T>(base: T, theirs: T, mine: T): T {
  if (same(theirs, base)) return mine;
  if (same(mine, base)) return theirs;
  if (isRecord(base) && isRecord(theirs) && isRecord(mine)) {
    const merged: Record<string, unknown> = {};
    for (const key of new Set([...Object.keys(theirs), ...Object.keys(mine)])) {
      const value = merge(base[key], theirs[key], mine[key]);
      if (value !== undefined) merged[key] = value;
    }
    return merged as T;
  }
  if (Array.isArray(theirs) && Array.isArray(mine)) {
    const key = identityOf(theirs[0] ?? mine[0]);
    if (key !== undefined) {
      const find = (all: unknown, id: unknown) =>
        Array.isArray(all) ? (all as Record<string, unknown>[]).find((one) => one[key] === id) : undefined;
      const ids = new Set([...theirs, ...mine].map((one: Record<string, unknown>) => one[key]));
      return [...ids]
        .map((id) => merge(find(base, id), find(theirs, id), find(mine, id)))
        .filter((one) => one !== undefined) as T;
    }
  }
  return mine;
}

/** Runs are known by their number and answers by their taster. */
function identityOf(one: unknown): "number" | "taster" | undefined {
  if (!isRecord(one)) return undefined;
  return "number" in one && "setting" in one ? "number" : "taster" in one ? "taster" : undefined;
}

const same = (a: unknown, b: unknown): boolean => a === b || JSON.stringify(a) === JSON.stringify(b);
const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);
