import { formulaDoubts, type Setting, settableAs } from "@evencrumb/core/trials";
import { useMemo } from "react";
import { useHouseState } from "../app/useHouse.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { useJob } from "../work/useJob.js";
import { type BakingTrial, cakeOf } from "./documents.js";
import { settleWordsOf } from "./held.js";
import { trialWork } from "./jobs.js";
import { type RunCake, runCake } from "./runs.js";
import { useCakeFormulas } from "./useCakes.js";

/** The formula of each run by its number, as soon as the cakes' formulas are there. */
export function useRunCakes(trial: BakingTrial): ReadonlyMap<number, RunCake> {
  const { book } = useHouseState();
  const owned = useOwnedTins();
  const formulas = useCakeFormulas(trial.cakes);
  const { cakes, bindings, hold, sheet } = trial;
  return useMemo(() => {
    const standard = formulas.get(cakes[0]?.revisionId ?? "");
    if (standard === undefined) return new Map();
    return new Map(
      sheet.runs.flatMap((run): (readonly [number, RunCake])[] => {
        const planned = trial.planned?.[run.runIndex];
        if (planned?.formula !== undefined) {
          const { formula, held, doubts } = planned;
          return [[run.number, { formula, setting: run.setting, held, doubts, problems: [] }]];
        }
        if (bindings.length > 0) {
          const made = runCake(standard, sheet.factors, bindings, run.setting, { hold, book, owned });
          return [[run.number, { ...made, doubts: planned?.doubts ?? made.doubts }]];
        }
        const cake = cakeOf({ ...trial, cakes }, run);
        const formula = cake === undefined ? undefined : formulas.get(cake.revisionId);
        if (formula === undefined) return [];
        const doubts = formulaDoubts(formula, standard, book, owned);
        return [[run.number, { formula, setting: run.setting, held: [], doubts, problems: [] }]];
      }),
    );
    // What was measured does not change what is baked: only these do.
  }, [formulas, cakes, bindings, hold, sheet.runs, sheet.factors, book, owned, trial]);
}

/**
 * One setting of a trial as a formula that can be weighed; an oven and a clock are set to steps that they have. By the rebalancer
 * where the trial's runs were, so a moment later.
 */
export function useSettingCake(trial: BakingTrial, setting: Setting | undefined): RunCake | undefined {
  const { book, ownIngredients } = useHouseState();
  const owned = useOwnedTins();
  const formulas = useCakeFormulas(trial.cakes);
  const standard = formulas.get(trial.cakes[0]?.revisionId ?? "");
  const { bindings, hold, held, sheet } = trial;
  const { factors } = sheet;
  const wish = useMemo(() => (setting === undefined ? undefined : settableAs(setting, bindings)), [setting, bindings]);
  const asks = wish !== undefined && standard !== undefined && bindings.length > 0;
  const settles = held !== undefined && held.length > 0;
  const request =
    asks && settles
      ? {
          standard,
          factors,
          bindings,
          settings: [wish],
          words: settleWordsOf(held),
          ingredients: ownIngredients.map(({ body }) => body),
          owned,
        }
      : null;
  const job = useJob(trialWork, "make", request, 60);
  const plain = useMemo(
    () => (asks && !settles ? runCake(standard, factors, bindings, wish, { hold, book, owned }) : undefined),
    [asks, settles, standard, factors, bindings, wish, hold, book, owned],
  );
  return settles ? (job.state === "ready" && job.fresh ? job.answer?.[0] : undefined) : plain;
}
