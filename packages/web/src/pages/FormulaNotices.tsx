import type { Formula } from "@evencrumb/core/formula";
import type { DocumentDetail, RevisionSummary } from "../api/types.js";
import { useHouse } from "../app/useHouse.js";
import type { FormulaSession } from "../formula/session.js";
import type { KnotContext } from "../formula/Thread.js";
import type { Alongside } from "../keep/outbox.js";
import { shortDate } from "../parts/dates.js";

/** What another device did meanwhile: told in words, with both works kept and the difference one step away. */
export function FormulaNotices({
  detail,
  session,
  revisions,
  alongside,
  knots,
}: {
  detail: DocumentDetail<Formula>;
  session: FormulaSession;
  revisions: readonly RevisionSummary[];
  alongside: readonly Alongside[];
  knots: Omit<KnotContext, "revision">;
}) {
  const house = useHouse();
  const { id } = detail.document;
  const here = revisions.find((revision) => revision.id === knots.hereId);
  const newer = detail.latest.number > (here?.number ?? detail.latest.number) ? detail.latest : null;
  const apart = alongside[0];
  if (apart !== undefined) {
    const theirs = apart.theirs.at(-1);
    return (
      <div className="notice" role="alert">
        <p>
          {theirs === undefined ? "Another device" : theirs.device || "Another device"} had already kept revision {theirs?.number}{" "}
          from the same start. Yours is kept beside it as {apart.mine.number}; nothing is lost.
        </p>
        {theirs === undefined ? null : (
          <button type="button" className="button plain" onClick={() => knots.openSideBySide(theirs.id)}>
            Show the difference
          </button>
        )}
        <button
          type="button"
          className="button quiet"
          onClick={() => {
            if (theirs !== undefined) session.passOver(theirs.id);
            house.settle(id);
          }}
        >
          Go on with mine
        </button>
        {theirs === undefined ? null : (
          <button
            type="button"
            className="button quiet"
            onClick={() => {
              session.passOver(apart.mine.id);
              knots.startFrom(theirs.id);
              house.settle(id);
            }}
          >
            Go on with theirs
          </button>
        )}
      </div>
    );
  }
  if (newer !== null && newer.device !== house.state().device.name) {
    return (
      <div className="notice" role="status">
        <p>
          {newer.device || "Another device"} kept revision {newer.number} ({shortDate(newer.savedAt)}) while revision{" "}
          {here?.number ?? "?"} is open here.
        </p>
        <button type="button" className="button plain" onClick={() => knots.openSideBySide(newer.id)}>
          Show the difference
        </button>
        <button type="button" className="button quiet" onClick={() => knots.startFrom(newer.id)}>
          {session.state().changed ? "Take theirs; mine stays one undo away" : "Take it"}
        </button>
      </div>
    );
  }
  return null;
}
