import { lazy } from "react";
import { addresses, type TrialView } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { AnswerView } from "../trials/AnswerView.js";
import { ConfirmationView } from "../trials/ConfirmationView.js";
import { isTasting } from "../trials/documents.js";
import { RunBatch } from "../trials/RunBatch.js";
import { RunSheetView } from "../trials/RunSheetView.js";
import { RunView } from "../trials/RunView.js";
import { type OpenTrial, useOpenTrial, useTrialBody } from "../trials/useOpenTrial.js";
import { WorkingView } from "../trials/WorkingView.js";
import "../style/trials.css";

const TastePage = lazy(() => import("./TastePage.js").then((all) => ({ default: all.TastePage })));

/** One trial: its sheet, a run at the bench, the batch sheet of that run, what the results say. */
export function TrialPage({ id, view, query }: { id: string; view: TrialView; query: URLSearchParams }) {
  const house = useHouse();
  const { ready } = useHouseState();
  const open = useOpenTrial(house, id, ready);
  if (open === "opening") return <p className="page muted">Opening…</p>;
  if (open === "missing") {
    return (
      <div className="page narrow">
        <h1>This trial is not here</h1>
        <p>
          It may have been removed, or it was never opened on this device while the network was there.{" "}
          <a href={addresses.trials()}>Go to the trials.</a>
        </p>
      </div>
    );
  }
  return <Trial open={open} view={view} run={Number(query.get("run"))} />;
}

function Trial({ open: { session }, view, run }: { open: OpenTrial; view: TrialView; run: number }) {
  const body = useTrialBody(session);
  if (isTasting(body)) return <TastePage trial={body} session={session} />;
  switch (view) {
    case "sheet":
      return <RunSheetView trial={body} session={session} />;
    case "run":
      return <RunView trial={body} session={session} number={run} />;
    case "batch":
      return <RunBatch trial={body} id={session.documentId} number={run} />;
    case "answer":
      return body.kind === "confirmation" ? (
        <ConfirmationView trial={body} session={session} />
      ) : (
        <AnswerView trial={body} session={session} />
      );
    case "working":
      return <WorkingView trial={body} session={session} />;
  }
}
