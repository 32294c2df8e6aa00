import { useMemo, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { FormulaSession } from "../formula/session.js";
import { Margin } from "../margin/Margin.js";
import { shortDate } from "../parts/dates.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import { Sheet } from "../sheet/Sheet.js";
import { type OpenFormula, useRevision } from "./FormulaPage.js";

/** An older revision as it was. It is read and copied from, and never altered. */
export function RevisionPage({ open, revisionId }: { open: OpenFormula; revisionId: string }) {
  const house = useHouse();
  const { id } = open.detail.document;
  const { book, settings } = useHouseState();
  const owned = useOwnedTins();
  const revision = useRevision(house, id, revisionId);
  const [basis, setBasis] = useState<"batch" | "bakers">("batch");
  const session = useMemo(
    () =>
      revision === null
        ? null
        : new FormulaSession({
            documentId: `revision ${revision.id}`,
            baseRevisionId: revision.id,
            base: revision.body,
            book,
            outbox: { add: () => {} },
          }),
    [revision, book],
  );
  const choices = useMemo(() => ({ basis, hold: "others" as const }), [basis]);
  if (revision === null || session === null) return <p className="page muted">Opening the revision…</p>;
  const state = session.state();
  return (
    <div className="formula-page">
      <div className="formula-head">
        <div className="title">
          <a className="back" href={addresses.formula(id)}>
            ‹ The sheet as it is now
          </a>
          <h1>
            {state.formula.name}, revision {revision.number}
          </h1>
          <p className="muted">
            {[revision.note, shortDate(revision.savedAt), revision.device].filter((part) => part !== "").join(" · ")}
          </p>
        </div>
        <div className="buttons">
          <button
            type="button"
            className="button plain"
            onClick={() => {
              open.session.startFrom(revision.id, revision.body);
              location.hash = addresses.formula(id);
            }}
          >
            Go on from this one
          </button>
        </div>
      </div>
      <div className="sheet-area">
        <div className="sheet-choices">
          <label className="pick">
            Percent of
            <select value={basis} onChange={(event) => setBasis(event.currentTarget.value as typeof basis)}>
              <option value="batch">the batch</option>
              <option value="bakers">the flour</option>
            </select>
          </label>
        </div>
        <Sheet session={session} state={state} settings={settings} choices={choices} showMethod readOnly openDialog={() => {}} />
      </div>
      <Margin
        id={id}
        formula={state.formula}
        derived={state.derived}
        compared={null}
        book={book}
        owned={owned}
        settings={settings}
      />
    </div>
  );
}
