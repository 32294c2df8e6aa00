import {
  type ConfirmationOf,
  confirmationSheet,
  expectBakes,
  MOST_CONFIRMATIONS,
  sayPrediction,
  settingBeside,
  settingOfFormula,
  TRIAL_SHAPE,
  type TrialAnswer,
  type TrialBest,
  wishesOf,
} from "@evencrumb/core/trials";
import { useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse } from "../app/useHouse.js";
import { ProblemList } from "../parts/Field.js";
import type { BakingTrial } from "./documents.js";
import type { TrialSession } from "./session.js";
import { settingWords, unbroken } from "./settingWords.js";
import { useCakeFormulas } from "./useCakes.js";
import type { KeptConfirmation } from "./useConfirmations.js";
import { useSettingCake } from "./useRunCakes.js";

const COUNTS = Array.from({ length: MOST_CONFIRMATIONS }, (_, index) => String(index + 1));

interface ConfirmContext {
  readonly house: House;
  readonly session: TrialSession;
  readonly trial: BakingTrial;
  readonly planned: BakingTrial;
}

export const confirmActions = defineActions<ConfirmContext>()({
  planConfirmation: {
    label: "Plan the confirmation bake",
    applies: () => true,
    does: ({ house, session, trial, planned }) => {
      const note = `Planned from the trial “${trial.name}”.`;
      void house.create("trial", planned, note).then((documentId) => {
        const kept = { documentId, plannedAt: new Date().toISOString() };
        session.edit((body) => {
          const now = body as BakingTrial;
          return { ...now, confirmations: [...(now.confirmations ?? []), kept] };
        });
        session.keep("A confirmation was planned.");
        go(addresses.trial(documentId));
      });
    },
  },
});

/** The setting that meets the wishes best, what to expect there, and the bakes that are to bear it out. */
export function BestView({
  trial,
  session,
  result,
  best: { best, answer },
  evidence,
  confirmations,
}: {
  trial: BakingTrial;
  session: TrialSession;
  result: TrialAnswer;
  best: TrialBest;
  evidence: string;
  confirmations: readonly KeptConfirmation[];
}) {
  const unitOf = (name: string) => trial.sheet.measures.find((measure) => measure.name === name)?.unit ?? "";
  return (
    <section className="stack" aria-labelledby="best">
      <h2 id="best">{best.responses.length > 1 ? "Where your wishes are met best" : "The best setting"}</h2>
      <p className="certainty">{unbroken(answer.sentence)}</p>
      {answer.verdict !== "yes" ? (
        <p>{answer.next.join(" ")}</p>
      ) : (
        <ul className="sentences">
          {best.responses.map(({ response, prediction, desirability }) => (
            <li key={response}>
              {unbroken(`${response}: ${sayPrediction(prediction, unitOf(response))}, on a day like those of the trial`)}
              {best.responses.length > 1 ? (
                <span className="muted"> · wish met to {Math.round(100 * desirability)} %</span>
              ) : null}
            </li>
          ))}
        </ul>
      )}
      {answer.verdict === "yes" && trial.bindings.length > 0 ? (
        <ConfirmSection
          trial={trial}
          session={session}
          result={result}
          best={best}
          evidence={evidence}
          confirmations={confirmations}
        />
      ) : null}
    </section>
  );
}

function ConfirmSection({
  trial,
  session,
  result,
  best,
  evidence,
  confirmations,
}: {
  trial: BakingTrial;
  session: TrialSession;
  result: TrialAnswer;
  best: TrialBest["best"];
  evidence: string;
  confirmations: readonly KeptConfirmation[];
}) {
  const house = useHouse();
  const [count, setCount] = useState("2");
  const formulas = useCakeFormulas(trial.cakes);
  const standard = formulas.get(trial.cakes[0]?.revisionId ?? "");
  const made = useSettingCake(trial, best.setting);
  const beside = useMemo(
    () => (standard === undefined ? undefined : settingBeside(trial.sheet, settingOfFormula(standard, trial.bindings))),
    [trial.sheet, trial.bindings, standard],
  );
  const isStandard = beside?.name === "the standard";
  const madeBeside = useSettingCake(trial, isStandard ? undefined : beside?.setting);
  const other = useMemo(
    () => (isStandard && standard !== undefined ? { formula: standard, held: [], doubts: [] } : madeBeside),
    [isStandard, standard, madeBeside],
  );
  const planned = useMemo(() => {
    if (beside === undefined || made?.formula == null || other?.formula == null) return undefined;
    const settings = [made.setting, beside.setting] as const;
    const analyses = best.responses.map(({ response }) => ({
      analysis: result.reading!.responses.find(({ name }) => name === response)!.analysis,
      unit: trial.sheet.measures.find(({ name }) => name === response)?.unit ?? "",
    }));
    const expected = expectBakes(analyses, settings);
    if (!expected.ok) return expected;
    const names: ConfirmationOf["names"] = ["the best setting", beside.name];
    const name = `${trial.name}: confirmation`;
    const file = confirmationSheet({ title: trial.name, sheet: trial.sheet }, expected.value, {
      title: name,
      evidence,
      names,
      settings,
      count: Number(count),
      seed: trial.sheet.seed + 1 + confirmations.length,
      documentId: session.documentId,
      goals: wishesOf(trial),
    });
    const { cakes, bindings, hold, question } = trial;
    // Both formulas are fixed with the plan: what is weighed is what was predicted. Even places are the best, odd ones the other.
    const formulas = [made, other].map(({ formula, held, doubts }) => ({ formula: formula!, held, doubts }));
    const value: BakingTrial = {
      ...{ shape: TRIAL_SHAPE, ...file, name, cakes, bindings, hold, question },
      planned: file.sheet.runs.map((_, place) => formulas[place % 2]!),
    };
    return { ok: true as const, value };
  }, [trial, session, beside, other, made, best, result, evidence, count, confirmations.length]);
  return (
    <div className="stack confirm-part">
      <h3>Confirm it</h3>
      <p>
        It is predicted and not baked. Bake it beside what you make now, on one day: days differ by themselves, and the difference
        of two cakes of one day does not.
      </p>
      {confirmations.length === 0 ? null : (
        <ul className="sentences">
          {confirmations.map(({ documentId, reading }) => (
            <li key={documentId}>
              <a href={addresses.trial(documentId, reading.answer.verdict === "cannot tell" ? "sheet" : "answer")}>
                {reading.confirmed ? "Confirmed" : reading.answer.verdict === "no" ? "Not confirmed" : "Planned"}
              </a>
              : {unbroken(reading.answer.sentence)}
            </li>
          ))}
        </ul>
      )}
      {planned === undefined ? (
        (made?.problems.length ?? 0) > 0 ? (
          <ProblemList problems={made!.problems} />
        ) : null
      ) : !planned.ok ? (
        <ProblemList problems={planned.error} />
      ) : (
        <>
          <p>
            As it is weighed: {unbroken(settingWords(trial.sheet.factors, planned.value.confirms!.settings[0]))}.{" "}
            {unbroken(planned.value.promise.certainty.replace("Not baked yet. ", ""))}
          </p>
          <div className="row">
            <label className="pick">
              Bakes of each
              <select value={count} onChange={(event) => setCount(event.currentTarget.value)}>
                {COUNTS.map((one) => (
                  <option key={one}>{one}</option>
                ))}
              </select>
            </label>
            <ActionButton
              action={confirmActions.planConfirmation}
              context={{ house, session, trial, planned: planned.value }}
              kind={confirmations.length === 0 ? "main" : "plain"}
            />
          </div>
        </>
      )}
    </div>
  );
}
