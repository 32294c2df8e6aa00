import { type RunState, recordRun, type SheetRun } from "@evencrumb/core/trials";
import { addresses } from "../app/route.js";
import { ProblemList } from "../parts/Field.js";
import { type BakingTrial, cakeOf } from "./documents.js";
import { AlsoMeasure, MeasureField } from "./MeasureFields.js";
import { RunPhotos } from "./RunPhotos.js";
import { STATE_WORDS } from "./RunSheetView.js";
import type { TrialSession } from "./session.js";
import { settingWords } from "./settingWords.js";
import { useRunCakes } from "./useRunCakes.js";
import "../style/runs.css";

/** One run at the bench: what it is, and large fields for what was measured. */
export function RunView({ trial, session, number }: { trial: BakingTrial; session: TrialSession; number: number }) {
  const { sheet } = trial;
  const cakes = useRunCakes(trial);
  const run = sheet.runs.find((candidate) => candidate.number === number);
  const back = addresses.trial(session.documentId);
  if (run === undefined) {
    return (
      <div className="page narrow">
        <h1>There is no such run</h1>
        <a href={back}>Go to the run sheet.</a>
      </div>
    );
  }
  const cake = cakes.get(number);
  const which = cakeOf(trial, run);
  const record = (entry: Parameters<typeof recordRun>[2]) =>
    session.edit((body) => {
      const now = body as BakingTrial;
      return { ...now, sheet: recordRun(now.sheet, number, entry).value };
    });
  return (
    <div className="page narrow trial run-page">
      <header>
        <div className="stack tight">
          <a className="back" href={back}>
            ‹ {trial.name}
          </a>
          <h1>
            Run {run.number} <span className="muted">of {sheet.runs.length}</span>
          </h1>
        </div>
        <div className="buttons">
          {cake?.formula == null ? null : (
            <a className="button plain" href={addresses.trial(session.documentId, "batch", number)}>
              Batch sheet
            </a>
          )}
        </div>
      </header>
      <p className="run-setting">{settingWords(sheet.factors, run.setting)}</p>
      {which === undefined || which.note === "" ? null : <p>{which.note}</p>}
      <p className="muted">
        {[
          `day ${run.day + 1}`,
          sheet.runs.some((other) => other.position > 0) ? `load ${run.load + 1}, place ${run.position + 1} in the oven` : null,
          cake === undefined || cake.held.length === 0 ? null : `held: ${cake.held.join("; ")}`,
        ]
          .filter((part) => part !== null)
          .join(" · ")}
      </p>
      {cake === undefined || cake.doubts.length === 0 ? null : (
        <div className="notice">
          <p>Doubtful before an egg is broken: {cake.doubts.join(" ")}</p>
        </div>
      )}
      <ProblemList problems={cake?.problems ?? []} />
      <section className="run-fields" aria-label="What was measured">
        {sheet.measures.map((measure) => (
          <MeasureField
            key={`${number} ${measure.name}`}
            measure={measure}
            value={run.measured[measure.name] ?? null}
            onValue={(value) => record({ measured: { [measure.name]: value } })}
          />
        ))}
      </section>
      <AlsoMeasure trial={trial} session={session} />
      <RunPhotos
        key={`photos ${number}`}
        trialId={session.documentId}
        trialName={trial.name}
        run={number}
        photos={run.photos ?? []}
        onPhotos={(change) =>
          session.edit((body) => {
            const now = body as BakingTrial;
            const there = now.sheet.runs.find((one) => one.number === number)?.photos ?? [];
            return { ...now, sheet: recordRun(now.sheet, number, { photos: change(there) }).value };
          })
        }
      />
      <RunStateFields key={number} run={run} record={record} />
      <nav className="batch-progress run-steps" aria-label="Runs">
        {number > 1 ? <a href={addresses.trial(session.documentId, "run", number - 1)}>‹ Run {number - 1}</a> : <span />}
        <a href={back}>All runs</a>
        {number < sheet.runs.length ? (
          <a href={addresses.trial(session.documentId, "run", number + 1)}>Run {number + 1} ›</a>
        ) : (
          <a href={addresses.trial(session.documentId, "answer")}>What it says ›</a>
        )}
      </nav>
    </div>
  );
}

const STATES: readonly RunState[] = ["planned", "baked", "spoiled", "missed"];

function RunStateFields({
  run,
  record,
}: {
  run: SheetRun;
  record: (entry: { readonly state?: RunState; readonly notes?: string }) => void;
}) {
  const lost = run.state === "spoiled" || run.state === "missed";
  return (
    <section className="stack">
      <fieldset className="segments">
        <legend className="hidden-words">How this run stands</legend>
        {STATES.map((state) => (
          <label key={state} className="segment">
            <input type="radio" name="state" checked={run.state === state} onChange={() => record({ state })} />
            <span>{STATE_WORDS[state]}</span>
          </label>
        ))}
      </fieldset>
      {run.state === "spoiled" ? <p className="muted">Its figures stay here and are not used in the answer.</p> : null}
      <label className="field">
        <span className="label">{lost ? "Why" : "Notes"}</span>
        <textarea
          rows={3}
          value={run.notes}
          placeholder={lost ? "Dropped, burnt, forgotten…" : "Anything that was not as it is written"}
          onChange={(event) => record({ notes: event.currentTarget.value })}
        />
      </label>
    </section>
  );
}
