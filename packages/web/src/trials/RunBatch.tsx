import type { Formula } from "@evencrumb/core/formula";
import { useMemo } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { FormulaSession } from "../formula/session.js";
import { BatchPage } from "../pages/BatchPage.js";
import type { BakingTrial } from "./documents.js";
import { useRunCakes } from "./useRunCakes.js";

/** The batch sheet of one run: the same sheet as for any formula, with the weights of this run. */
export function RunBatch({ trial, id, number }: { trial: BakingTrial; id: string; number: number }) {
  const cake = useRunCakes(trial).get(number);
  if (cake === undefined) return <p className="page muted">Opening…</p>;
  if (cake.formula === null) {
    return (
      <div className="page narrow">
        <h1>Run {number} has no batch sheet</h1>
        <a href={addresses.trial(id, "run", number)}>Go back to the run.</a>
      </div>
    );
  }
  return <RunBatchOf key={number} formula={cake.formula} id={id} number={number} trial={trial} />;
}

function RunBatchOf({ formula, id, number, trial }: { formula: Formula; id: string; number: number; trial: BakingTrial }) {
  const { book } = useHouseState();
  const text = JSON.stringify(formula);
  const open = useMemo(() => {
    const base: Formula = { ...(JSON.parse(text) as Formula), name: `${formula.name}, run ${number}` };
    const documentId = `trial.${id}.${number}`;
    const revision = { id: documentId, documentId, number, parentId: null, savedAt: "", device: "", note: "" };
    const session = new FormulaSession({ documentId, baseRevisionId: documentId, base, book, outbox: { add: () => {} } });
    const document = {
      id: documentId,
      kind: "formula" as const,
      name: base.name,
      demo: false,
      archived: false,
      createdAt: "",
      standardRevisionId: null,
      drafts: [],
    };
    return { session, detail: { document, latest: { ...revision, body: base }, revisions: [] } };
  }, [text, formula.name, number, id, book]);
  return (
    <BatchPage
      open={open}
      query={new URLSearchParams()}
      from={{ href: addresses.trial(id, "run", number), words: `Run ${number} of ${trial.sheet.runs.length}` }}
    />
  );
}
