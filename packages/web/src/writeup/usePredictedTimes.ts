import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Band } from "@evencrumb/core/quantities";
import type { NamedTin } from "@evencrumb/core/tins";
import { useMemo } from "react";
import { manyBakes } from "../bake/jobs.js";
import { bakedComponents, firstChoices, quickRequest, requestOf } from "../bake/setting.js";
import { useJob } from "../work/useJob.js";

export interface PredictedTimes {
  /** By component, as a write-up takes them. */
  readonly bakeSeconds: Readonly<Record<string, Band>>;
  readonly isWorking: boolean;
  /** Components whose bake cannot be predicted: they keep the formula's own minutes. */
  readonly without: readonly string[];
}

/** How long each part of a batch bakes, in a usual oven: the reader's own is not known. Worked out beside the page. */
export function usePredictedTimes(
  formula: Formula,
  book: IngredientBook,
  owned: readonly NamedTin[],
  isWanted: boolean,
): PredictedTimes {
  const asked = useMemo(() => {
    if (!isWanted) return { requests: [], without: [] };
    const baked = bakedComponents(formula).filter(({ bake }) => bake !== undefined);
    const made = baked.map((component) => ({
      name: component.name,
      request: requestOf(firstChoices(component, []), formula, book, owned, []).request,
    }));
    return {
      requests: made.flatMap(({ name, request }) =>
        request === null ? [] : [{ name, request: { ...quickRequest(request), accuracy: "full" as const } }],
      ),
      without: made.filter(({ request }) => request === null).map(({ name }) => name),
    };
  }, [formula, book, owned, isWanted]);
  const job = useJob(manyBakes, "tins", asked.requests.length === 0 ? null : asked.requests, 400);
  const answer = job.state === "ready" && job.fresh ? job.answer : undefined;
  return useMemo(
    () => ({
      bakeSeconds: Object.fromEntries(
        (answer ?? []).filter(({ outcome }) => outcome === "baked").map(({ name, doneS }) => [name, doneS]),
      ),
      isWorking: asked.requests.length > 0 && answer === undefined && job.state !== "stopped",
      without: [...asked.without, ...(answer ?? []).filter(({ outcome }) => outcome !== "baked").map(({ name }) => name)],
    }),
    [asked, answer, job.state],
  );
}
