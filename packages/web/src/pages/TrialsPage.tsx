import { useEffect, useState } from "react";
import type { DocumentSummary } from "../api/types.js";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState, useOutboxState } from "../app/useHouse.js";
import { shortDate } from "../parts/dates.js";
import { QUESTIONS } from "../trials/questions.js";
import "../style/trials.css";

/** A question to start with, and the trials that are going on. */
export function TrialsPage() {
  const trials = useTrials();
  return (
    <div className="page narrow">
      <header>
        <div className="stack tight">
          <h1>Trials</h1>
          <p className="muted">Find out whether a change is really better, with the fewest bakes that can tell.</p>
        </div>
      </header>
      <section className="stack" aria-labelledby="start-with">
        <h2 id="start-with">Start with a question</h2>
        <ul className="questions">
          {QUESTIONS.map(({ kind, title, about }) => (
            <li key={kind}>
              <a href={addresses.ask(kind)}>
                <span className="question">{title}</span>
                <span className="muted">{about}</span>
              </a>
            </li>
          ))}
        </ul>
      </section>
      <section className="stack" aria-labelledby="going-on">
        <h2 id="going-on">Yours</h2>
        {trials === undefined ? (
          <p className="muted">Opening…</p>
        ) : trials.length === 0 ? (
          <p className="muted">None yet. A trial that you plan stands here, with its sheet and its answer.</p>
        ) : (
          <ul className="formula-list trial-list">
            {trials.map((trial) => (
              <li key={trial.id}>
                <a href={addresses.trial(trial.id)}>
                  <span className="formula-name">{trial.name}</span>
                  <span className="formula-note">{trial.latest.note}</span>
                  <span className="formula-facts figures">
                    <span>{shortDate(trial.latest.savedAt)}</span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
        )}
      </section>
    </div>
  );
}

/** All trials, newest work first; those that the server has not heard of yet as well. */
function useTrials(): readonly DocumentSummary[] | undefined {
  const house = useHouse();
  const { ready } = useHouseState();
  useOutboxState();
  const [kept, setKept] = useState<readonly DocumentSummary[]>();
  useEffect(() => {
    if (!ready) return;
    let wanted = true;
    const load = () =>
      void house
        .ask<readonly DocumentSummary[]>("trials", () => house.client.listDocuments("trial"), [])
        .then((documents) => {
          if (wanted) setKept(documents);
        });
    load();
    const stopHearing = house.onEvent(load);
    const stopSent = house.onSentChange(load);
    return () => {
      wanted = false;
      stopHearing();
      stopSent();
    };
  }, [house, ready]);
  if (kept === undefined) return undefined;
  const known = new Set(kept.map(({ id }) => id));
  const waiting = house.outbox.waiting();
  const made = waiting.flatMap((change): DocumentSummary[] => {
    if (change.does !== "create" || change.kind !== "trial" || known.has(change.documentId)) return [];
    const savedAt = new Date(change.madeAt).toISOString();
    const { documentId: id, revisionId, note } = change;
    return [
      {
        id,
        kind: "trial",
        name: (change.body as { readonly name: string }).name,
        demo: false,
        archived: false,
        createdAt: savedAt,
        latest: { id: revisionId, documentId: id, number: 1, parentId: null, savedAt, device: "", note },
        standardRevisionId: null,
        drafts: [],
      },
    ];
  });
  const gone = new Set(waiting.flatMap((change) => (change.does === "archive" ? [change.documentId] : [])));
  return [...made, ...kept]
    .filter(({ id }) => !gone.has(id))
    .toSorted((a, b) => b.latest.savedAt.localeCompare(a.latest.savedAt));
}
