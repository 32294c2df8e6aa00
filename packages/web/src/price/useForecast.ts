import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { predictedEnergyKwh } from "@evencrumb/core/price";
import { tinsOf } from "@evencrumb/core/tins";
import { useMemo } from "react";
import { type OwnOven, useKeptList } from "../bake/documents.js";
import { quickBakes } from "../bake/jobs.js";
import { bakedComponents, firstChoices, quickRequest, requestOf } from "../bake/setting.js";
import { useLatest } from "../bake/useLatest.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";

export interface Forecast {
  readonly component: string;
  readonly tins: number;
  readonly minutes: number;
  /** The oven heated once, and the heat that goes into the cakes of all tins [kWh]. */
  readonly kwh: number;
  /** The baker's oven of the kind that the formula bakes in, where there is one. */
  readonly oven: OwnOven | undefined;
}

/** How long the first baked part takes and what energy that is, by the bake model; null while it is worked out or where it cannot be. */
export function useForecast(formula: Formula, book: IngredientBook): Forecast | null {
  const { all: ovens } = useKeptList("oven");
  const owned = useOwnedTins();
  const component = bakedComponents(formula)[0];
  const choices = useMemo(
    () => (component === undefined || ovens === undefined ? undefined : firstChoices(component, ovens)),
    [component, ovens],
  );
  const request = useMemo(() => {
    if (choices === undefined || ovens === undefined) return null;
    const asked = requestOf(choices, formula, book, owned, ovens);
    return asked.request === null ? null : quickRequest(asked.request);
  }, [choices, formula, book, owned, ovens]);
  const answer = useLatest(quickBakes, "predict", request);
  if (answer === null || component === undefined || answer.answer.prediction.outcome !== "baked") return null;
  const { prediction } = answer.answer;
  const tins = Math.max(
    1,
    tinsOf(component, owned).value.reduce((sum, { count }) => sum + count, 0),
  );
  return {
    component: component.name,
    tins,
    minutes: Math.round(prediction.doneSeconds.likely / 60),
    kwh: predictedEnergyKwh(prediction, tins),
    oven: ovens?.find(({ id }) => id === choices?.oven)?.body,
  };
}
