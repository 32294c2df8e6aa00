import type { Problem } from "@evencrumb/core/quantities";
import { type RunState, readRunSheet, type SheetRun, writeRunSheet } from "@evencrumb/core/trials";
import { useRef, useState } from "react";
import { ActionButton, ActionMenu } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { download } from "../parts/download.js";
import { ProblemList } from "../parts/Field.js";
import type { BakingTrial } from "./documents.js";
import type { TrialSession } from "./session.js";
import { plain, settingWords } from "./settingWords.js";
import { useRunCakes } from "./useRunCakes.js";

interface SheetContext {
  readonly house: House;
  readonly session: TrialSession;
  readonly trial: BakingTrial;
  readonly askFile: () => void;
}

export const sheetActions = defineActions<SheetContext>()({
  answer: {
    label: "What it says",
    applies: () => true,
    does: ({ session }) => go(addresses.trial(session.documentId, "answer")),
  },
  saveCsv: {
    label: "Save as CSV",
    applies: () => true,
    does: ({ trial }) => download(`${trial.name}.csv`, writeRunSheet(trial.sheet), "text/csv"),
  },
  takeCsv: { label: "Take a filled-in CSV…", applies: () => true, does: ({ askFile }) => askFile() },
  print: { label: "Print this sheet", applies: () => true, does: () => window.print() },
  putAway: {
    label: "Put away",
    applies: () => true,
    does: ({ house, session }) => {
      session.keep();
      house.archive("trial", session.documentId);
      go(addresses.trials());
    },
  },
});

export const STATE_WORDS: Readonly<Record<RunState, string>> = {
  planned: "to bake",
  baked: "baked",
  spoiled: "spoiled",
  missed: "not baked",
};

/** All runs in the order of baking, day by day: what to bake next, and what is written down. */
export function RunSheetView({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const house = useHouse();
  const { ready } = useHouseState();
  const { sheet, promise } = trial;
  const file = useRef<HTMLInputElement>(null);
  const [problems, setProblems] = useState<readonly Problem[]>([]);
  const cakes = useRunCakes(trial);
  const context: SheetContext = { house, session, trial, askFile: () => file.current?.click() };
  const days = [...new Set(sheet.runs.map(({ day }) => day))];
  const settled = sheet.runs.filter(({ state }) => state !== "planned").length;
  const next = sheet.runs.find(({ state }) => state === "planned");
  const loaded = sheet.runs.some((run) => run.position > 0);
  return (
    <div className="page narrow trial">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.trials()}>
            ‹ Trials
          </a>
          <h1>{trial.name}</h1>
          <p>{promise.summary}</p>
        </div>
        <div className="buttons no-print">
          <ActionButton action={sheetActions.answer} context={context} kind={next === undefined ? "main" : "plain"} />
          <ActionMenu
            label="More"
            context={() => context}
            actions={[sheetActions.saveCsv, sheetActions.takeCsv, sheetActions.print, null, sheetActions.putAway]}
          />
        </div>
      </header>
      <input
        ref={file}
        type="file"
        hidden
        accept=".csv,text/csv"
        aria-label="A filled-in CSV"
        onChange={(event) => {
          const [chosen] = event.currentTarget.files ?? [];
          event.currentTarget.value = "";
          void chosen?.text().then((text) => {
            const read = readRunSheet(sheet, text);
            setProblems(read.problems);
            session.edit((body) => ({ ...(body as BakingTrial), sheet: read.value }));
          });
        }}
      />
      <ProblemList problems={problems} />
      {sheet.allergens.length === 0 ? null : (
        <p className="trial-allergens">
          <span className="muted">Contains</span> <b>{sheet.allergens.join(", ")}</b>
        </p>
      )}
      {!ready ? <p className="muted">Opening…</p> : null}
      {days.map((day) => (
        <section key={day} className="run-day" aria-label={`Day ${day + 1}`}>
          <h2>Day {day + 1}</h2>
          <ol className="runs">
            {sheet.runs
              .filter((run) => run.day === day)
              .map((run) => (
                <RunLine
                  key={run.number}
                  trial={trial}
                  run={run}
                  isNext={run === next}
                  loaded={loaded}
                  doubts={cakes.get(run.number)?.doubts ?? []}
                  address={addresses.trial(session.documentId, "run", run.number)}
                />
              ))}
          </ol>
        </section>
      ))}
      {promise.cautions.length === 0 ? null : (
        <details className="more">
          <summary>What the plan assumes</summary>
          <p>{promise.certainty}</p>
          <p>{promise.ifNothingIsSeen}</p>
          <ul className="plan-cautions">
            {promise.cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ul>
        </details>
      )}
      <p className="batch-progress figures no-print" role="status">
        {settled} of {sheet.runs.length} settled
        {next === undefined ? "" : `; next is run ${next.number}`}
      </p>
    </div>
  );
}

function RunLine({
  trial,
  run,
  isNext,
  loaded,
  doubts,
  address,
}: {
  trial: BakingTrial;
  run: SheetRun;
  isNext: boolean;
  loaded: boolean;
  doubts: readonly string[];
  address: string;
}) {
  const { sheet } = trial;
  const figures = sheet.measures.flatMap(({ name, unit }) => {
    const value = run.measured[name];
    return value === null || value === undefined ? [] : [`${plain(value, 3)} ${unit}`];
  });
  return (
    <li data-state={run.state} data-next={isNext || undefined}>
      <a href={address}>
        <span className="run-number figures">{run.number}</span>
        <span className="run-what">
          {settingWords(sheet.factors, run.setting)}
          {run.wholePlot === undefined ? null : <span className="muted small">from batter {run.wholePlot + 1}</span>}
          {loaded ? (
            <span className="muted small">
              load {run.load + 1}, place {run.position + 1}
            </span>
          ) : null}
          {doubts.length > 0 ? <span className="doubt">doubtful: {doubts.join(" ")}</span> : null}
          {run.notes === "" ? null : <span className="muted small">{run.notes}</span>}
          {(run.photos ?? []).length === 0 ? null : (
            <span className="muted small">{run.photos!.length === 1 ? "1 picture" : `${run.photos!.length} pictures`}</span>
          )}
        </span>
        <span className="run-state figures">
          {run.state === "baked" && figures.length > 0 ? (
            figures.slice(0, 3).map((figure) => <span key={figure}>{figure}</span>)
          ) : (
            <span className="muted">{isNext ? "next" : STATE_WORDS[run.state]}</span>
          )}
        </span>
      </a>
    </li>
  );
}
