import { useEffect, useState, useSyncExternalStore } from "react";
import type { DocumentDetail, Revision } from "../api/types.js";
import type { House } from "../app/house.js";
import { LiveDocument } from "./liveDocument.js";
import type { Change } from "./outbox.js";

export interface Opened<Body> {
  readonly session: LiveDocument<Body>;
  readonly archived: boolean;
}

/** Loads a document and keeps it in step: what is written here goes out, what other devices add comes in at once. */
export function useLiveDocument<Body>(
  house: House,
  kind: string,
  id: string | undefined,
  ready: boolean,
): Opened<Body> | "opening" | "missing" {
  const [open, setOpen] = useState<Opened<Body> | "opening" | "missing">("opening");
  useEffect(() => {
    if (!ready || id === undefined) return setOpen("opening");
    let wanted = true;
    let session: LiveDocument<Body> | undefined;
    const load = async () => {
      const waited = unsentOf(house, id);
      const detail = await house.document<Body>(id).catch(() => undefined);
      if (!wanted) return;
      if (detail === undefined) return setOpen((now) => (now === "opening" ? "missing" : now));
      if (session === undefined) {
        const { revisionId, body } = newestHere(house, detail, waited);
        session = new LiveDocument<Body>({ kind, documentId: id, revisionId, body, outbox: house.outbox });
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
  }, [house, kind, id, ready]);
  return open;
}

/** The newest revision before `latest` whose content the session has. undefined where the line cannot be followed now. */
async function ancestorOf<Body>(
  house: House,
  latest: Revision<Body>,
  session: LiveDocument<Body>,
): Promise<Revision<Body> | undefined> {
  let at: Revision<Body> | undefined = latest;
  while (at !== undefined && (at === latest || !session.knows(at.id)))
    at = at.parentId === null ? undefined : await house.revision<Body>(latest.documentId, at.parentId);
  return at;
}

type Kept = Extract<Change, { readonly does: "keep" }>;

/** The newest work on a document that waits to be sent. */
const unsentOf = (house: House, id: string): Kept | undefined =>
  house.outbox.waitingFor(id).findLast((change): change is Kept => change.does === "keep");

/**
 * What was kept here and is still to be sent is newer than what the server last said; so is what went out while it was answering.
 *
 * @param waited  what waited to be sent when the server was asked
 */
function newestHere<Body>(
  house: House,
  detail: DocumentDetail<Body>,
  waited: Kept | undefined,
): { readonly revisionId: string; readonly body: Body } {
  const heardOf = waited !== undefined && detail.revisions.some(({ id }) => id === waited.revisionId);
  const newest = unsentOf(house, detail.document.id) ?? (heardOf ? undefined : waited);
  return newest === undefined
    ? { revisionId: detail.latest.id, body: detail.latest.body }
    : { revisionId: newest.revisionId, body: newest.body as Body };
}

export const useLiveBody = <Body>(session: LiveDocument<Body>): Body => useSyncExternalStore(session.subscribe, session.body);
