import type { OvenSettings } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { offeredSwap } from "@evencrumb/core/rebalance";
import type { NamedTin } from "@evencrumb/core/tins";
import type { Binding, TrialPlan } from "@evencrumb/core/trials";
import { useMemo } from "react";
import type { Kept } from "../app/house.js";
import { calibrationOf, type OwnOven } from "../bake/documents.js";
import { firstChoices } from "../bake/setting.js";
import { ingredientsFor } from "../work/bookOf.js";
import { useJob } from "../work/useJob.js";
import type { BakeCheck } from "./ask/PlanShown.js";
import type { Form } from "./asking.js";
import { settleWordsOf } from "./held.js";
import { runWork } from "./jobs.js";
import { plannedCakes } from "./plan.js";
import type { RunCake } from "./runs.js";

export interface PlannedRuns {
  readonly made: readonly RunCake[];
  /** "making" while the rebalancer works; "no solver" where it could not be fetched. */
  readonly state: "made" | "making" | "no solver";
  readonly done: number;
  readonly check: BakeCheck;
}

const NONE: PlannedRuns = { made: [], state: "made", done: 0, check: { state: "none" } };

/** The runs of a fresh plan as formulas that can be weighed, and what the bake model doubts about them. */
export function usePlannedRuns(words: {
  readonly plan: TrialPlan | null;
  readonly formula: Formula | undefined;
  readonly bindings: readonly Binding[];
  readonly form: Pick<Form, "hold" | "held">;
  readonly book: IngredientBook;
  readonly owned: readonly NamedTin[];
  readonly ovens: readonly Kept<OwnOven>[] | undefined;
}): PlannedRuns {
  const { plan, formula, bindings, form, book, owned, ovens } = words;
  const wanted = plan !== null && formula !== undefined && bindings.length > 0 && plan.tasting === undefined;
  const { hold } = form;
  const settles = hold === "more" && form.held.length > 0;
  // Bindings are made anew with every keystroke: what they say is compared.
  const key = JSON.stringify([bindings, form.held]);
  const ingredients = useMemo(() => {
    if (formula === undefined) return [];
    const swapped = (JSON.parse(key) as [Binding[], unknown])[0].flatMap((binding) =>
      binding.kind === "replace"
        ? [[binding.ingredient, binding.by] as const]
        : binding.kind === "swap"
          ? Object.values(binding.by).map((by) => [binding.ingredient, by] as const)
          : [],
    );
    const also = swapped.flatMap(([from, to]) => [to, ...(offeredSwap(from, [to])?.carries ?? [])]);
    return ingredientsFor(book, [formula], [...also, "water"]);
  }, [book, formula, key]);
  const atOnce = useMemo(() => {
    if (!wanted || settles) return [];
    const [bound] = JSON.parse(key) as [Binding[], unknown];
    return plannedCakes(plan, formula, bound, { hold: hold === "more" ? "others" : hold, book, owned });
  }, [wanted, settles, plan, formula, key, hold, book, owned]);
  const make = useJob(
    runWork,
    "make",
    wanted && settles
      ? {
          standard: formula,
          factors: plan.factors,
          bindings,
          settings: plan.settings,
          words: settleWordsOf(form.held),
          ingredients,
          owned,
        }
      : null,
    0,
  );
  const settled = make.state === "ready" && make.fresh ? make.answer : undefined;
  const made = settles ? (settled ?? []) : atOnce;
  const complete = made.length > 0 && made.every((cake) => cake.formula !== null);
  const bakes = useJob(
    runWork,
    "bakes",
    wanted && complete && ovens !== undefined
      ? {
          standard: formula,
          runs: made.map((cake) => cake.formula!),
          ingredients,
          owned,
          ovens: ovensOf(formula, ovens),
        }
      : null,
    600,
  );
  const judged = bakes.state === "ready" && bakes.fresh ? bakes.answer : undefined;
  const doubted = useMemo(
    () =>
      judged === undefined || judged.doubts.length !== made.length
        ? made
        : made.map((cake, index) => ({ ...cake, doubts: [...new Set([...cake.doubts, ...judged.doubts[index]!])] })),
    [made, judged],
  );
  if (!wanted) return NONE;
  const check: BakeCheck =
    bakes.state === "working"
      ? { state: "checking", done: bakes.progress?.done ?? 0, of: made.length, stop: bakes.finish }
      : judged === undefined
        ? { state: "none" }
        : { state: "checked", judged: judged.judged, of: made.length };
  const state = !settles || (settled !== undefined && settled !== null) ? "made" : settled === null ? "no solver" : "making";
  return { made: doubted, state, done: make.state === "working" ? (make.progress?.done ?? 0) : 0, check };
}

/** What is known of the oven that each component would be baked in: the first of the baker's own that bakes as the formula says. */
function ovensOf(formula: Formula, ovens: readonly Kept<OwnOven>[]): Readonly<Record<string, Partial<OvenSettings>>> {
  return Object.fromEntries(
    formula.components.map((component) => {
      const { oven, position } = firstChoices(component, ovens);
      const fitted = calibrationOf(ovens.find(({ id }) => id === oven)?.body, position)?.fit;
      return [component.name, fitted === undefined ? {} : { fitted }];
    }),
  );
}
