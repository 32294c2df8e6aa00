import { useEffect, useState, useSyncExternalStore } from "react";
import type { DocumentDetail, Revision } from "../api/types.js";
import type { House } from "../app/house.js";
import type { Trial } from "./documents.js";
import { TrialSession } from "./session.js";

export interface OpenTrial {
  readonly session: TrialSession;
  readonly archived: boolean;
}

/** Loads a trial and keeps it in step: what is written here goes out, what phones and other devices add comes in at once. */
export function useOpenTrial(house: House, id: string, ready: boolean): OpenTrial | "opening" | "missing" {
  const [open, setOpen] = useState<OpenTrial | "opening" | "missing">("opening");
  useEffect(() => {
    if (!ready) return;
    let wanted = true;
    let session: TrialSession | undefined;
    const load = async () => {
      const detail = await house.document<Trial>(id).catch(() => undefined);
      if (!wanted) return;
      if (detail === undefined) return setOpen((now) => (now === "opening" ? "missing" : now));
      if (session === undefined) {
        const { revisionId, body } = newestHere(house, detail);
        session = new TrialSession({ documentId: id, revisionId, body, outbox: house.outbox });
        setOpen({ session, archived: detail.document.archived });
      }
      const unsent = house.outbox
        .waitingFor(id)
        .flatMap((change) => (change.does === "keep" ? [{ id: change.revisionId, parentId: change.parentId }] : []));
      session.knowLine([...detail.revisions, ...unsent]);
      if (!session.knows(detail.latest.id)) {
        const ancestor = await ancestorOf(house, detail.latest, session);
        if (wanted && ancestor !== undefined) session.takeOver(detail.latest, ancestor.body);
      }
    };
    // One after the other: an answer that is looked up while another is laid in would be laid in twice.
    let queue = load();
    const again = () => {
      queue = queue.then(load);
    };
    const stopHearing = house.onEvent((event) => {
      if (event.id === id || event.type === "restored" || event.type === "line-restored") again();
    });
    const keep = () => session?.keep();
    const onHidden = () => {
      if (document.visibilityState === "hidden") keep();
    };
    document.addEventListener("visibilitychange", onHidden);
    return () => {
      wanted = false;
      keep();
      stopHearing();
      document.removeEventListener("visibilitychange", onHidden);
    };
  }, [house, id, ready]);
  return open;
}

/** The newest revision before `latest` whose content the session has. undefined where the line cannot be followed now. */
async function ancestorOf(house: House, latest: Revision<Trial>, session: TrialSession): Promise<Revision<Trial> | undefined> {
  let at: Revision<Trial> | undefined = latest;
  while (at !== undefined && (at === latest || !session.knows(at.id)))
    at = at.parentId === null ? undefined : await house.revision<Trial>(latest.documentId, at.parentId);
  return at;
}

/** What was kept here and is still to be sent is newer than what the server last said. */
function newestHere(house: House, detail: DocumentDetail<Trial>): { readonly revisionId: string; readonly body: Trial } {
  const waiting = house.outbox.waitingFor(detail.document.id).findLast((change) => change.does === "keep");
  return waiting?.does === "keep"
    ? { revisionId: waiting.revisionId, body: waiting.body as Trial }
    : { revisionId: detail.latest.id, body: detail.latest.body };
}

export const useTrialBody = (session: TrialSession): Trial => useSyncExternalStore(session.subscribe, session.body);
