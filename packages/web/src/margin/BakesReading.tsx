import type { BakePrediction, BakeRequest } from "@evencrumb/core/bake";
import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { formatMinutes } from "@evencrumb/core/quantities";
import type { NamedTin } from "@evencrumb/core/tins";
import { useEffect, useMemo, useState } from "react";
import { useKeptList } from "../bake/documents.js";
import { quickBakes } from "../bake/jobs.js";
import { SectionPicture } from "../bake/SectionPicture.js";
import { bakedComponents, firstChoices, quickRequest, requestOf } from "../bake/setting.js";
import { useLatest } from "../bake/useLatest.js";
import { betweenMinutes, momentWords, settingWords } from "../bake/words.js";
import "../style/bake.css";
import { useHouseState } from "../app/useHouse.js";

/** The picture is of this share of the bake: late enough that much has set, early enough to see what has not. */
const SHOWN_SHARE = 0.65;

/** The first baked component on its way through the oven, and how long it takes; worked out beside the page. */
export function BakesReading({
  formula,
  compared,
  book,
  owned,
}: {
  formula: Formula;
  compared: Formula | null;
  book: IngredientBook;
  owned: readonly NamedTin[];
}) {
  const { settings } = useHouseState();
  const { all: ovens } = useKeptList("oven");
  const asked = useMemo(() => {
    const of = (one: Formula | null): BakeRequest | null => {
      const component = one === null ? undefined : bakedComponents(one)[0];
      if (one === null || component === undefined || ovens === undefined) return null;
      const { request } = requestOf(firstChoices(component, ovens), one, book, owned, ovens);
      return request === null ? null : quickRequest(request);
    };
    return { now: of(formula), before: of(compared) };
  }, [formula, compared, book, owned, ovens]);
  const calm = useCalm();
  const now = useLatest(quickBakes, "predict", calm ? asked.now : null);
  const before = useLatest(quickBakes, "predict", calm ? asked.before : null);
  const component = bakedComponents(formula)[0];
  if (asked.now === null)
    return ovens === undefined ? (
      <p className="muted bakes-reading">Working it out…</p>
    ) : (
      <p className="muted">Weigh a cake and name its tin, and its bake stands here.</p>
    );
  if (now === null) return <p className="muted bakes-reading">Working it out…</p>;
  const { prediction } = now.answer;
  const { setC, fan } = asked.now.oven;
  return (
    <div className="bakes-reading" data-settled={now.settled}>
      {prediction.section === undefined ? null : (
        <SectionPicture
          section={prediction.section}
          timeS={SHOWN_SHARE * prediction.outSeconds}
          doneC={prediction.doneC}
          tinDepthM={0}
          label={`${component?.name ?? ""} cut through after ${formatMinutes(SHOWN_SHARE * prediction.outSeconds)}: ${momentWords(prediction, SHOWN_SHARE * prediction.outSeconds)}`}
        />
      )}
      <p className="figures">
        {prediction.outcome === "never-done" ? (
          "Not done within four hours."
        ) : (
          <>
            <strong>{formatMinutes(prediction.doneSeconds.likely)}</strong>, {betweenMinutes(prediction.doneSeconds)} (predicted)
            {before === null ? null : <Difference now={prediction} before={before.answer.prediction} />}
          </>
        )}
      </p>
      <p className="small muted">
        {component?.name}, {settingWords(setC, settings.temperature)}
        {fan ? " fan" : ""}, {prediction.browning.words}, loses {prediction.weightLossPercent.likely.toFixed(0)} %
      </p>
    </div>
  );
}

/** Whether the page has come to rest once since it was opened: a worker that starts before takes the time of the sheet. */
function useCalm(): boolean {
  const [calm, setCalm] = useState(false);
  useEffect(() => {
    // Not every browser has idle callbacks.
    if (!("requestIdleCallback" in window)) {
      const timer = setTimeout(() => setCalm(true), 800);
      return () => clearTimeout(timer);
    }
    const id = requestIdleCallback(() => setCalm(true), { timeout: 3000 });
    return () => cancelIdleCallback(id);
  }, []);
  return calm;
}

function Difference({ now, before }: { now: BakePrediction; before: BakePrediction }) {
  const minutes = Math.round((now.doneSeconds.likely - before.doneSeconds.likely) / 60);
  return <span className="difference">{minutes === 0 ? " same" : ` ${minutes > 0 ? "+" : "−"}${Math.abs(minutes)} min`}</span>;
}
