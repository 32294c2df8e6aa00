import type { LabelDocument } from "@evencrumb/core/label";
import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "react";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { useKeptList } from "../bake/documents.js";
import { readSmall, writeSmall } from "../keep/storage.js";
import { useLiveDocument } from "../keep/useLiveDocument.js";
import { firstLabel } from "./documents.js";
import { moveOldWords } from "./moveOldWords.js";

export interface Labels {
  /** undefined while they are fetched. */
  readonly all: readonly { readonly id: string; readonly name: string }[] | undefined;
  /** The one that is open; undefined before the first word of the first one. */
  readonly id: string | undefined;
  /** Whether the open one is here; before that nothing can be typed. */
  readonly isReady: boolean;
  readonly body: LabelDocument;
  readonly change: (how: (body: LabelDocument) => LabelDocument) => void;
  readonly choose: (id: string) => void;
  /** Another label of the same cake, begun from the open one. */
  readonly another: () => void;
  readonly putAway: () => void;
}

/** The labels of a formula, one of them open. What is typed is kept here at once and sent when it can be. */
export function useLabels(formulaId: string): Labels {
  const house = useHouse();
  const { ready } = useHouseState();
  const kept = useKeptList("label");
  // Made here: in the list from the start, and also in the moment between being sent and being heard of again.
  const [made, setMade] = useState<readonly { readonly id: string; readonly name: string }[]>([]);
  const listed = kept.all?.filter(({ body }) => body.formulaId === formulaId).map(({ id, body }) => ({ id, name: body.name }));
  const all =
    listed === undefined
      ? undefined
      : [...listed, ...made.filter(({ id }) => !listed.some((one) => one.id === id))].toSorted((one, other) =>
          one.name.localeCompare(other.name, "en-GB"),
        );
  const [chosen, setChosen] = useState(() => readSmall<string>(`label-open.${formulaId}`));
  const id = all?.find((one) => one.id === chosen)?.id ?? (all === undefined ? undefined : all[0]?.id);
  const open = useLiveDocument<LabelDocument>(house, "label-work", id, ready);
  const session = typeof open === "object" && open.session.documentId === id ? open.session : undefined;
  // What is typed before the first label is a document, and while one is opened.
  const [fresh, setFresh] = useState<LabelDocument>();
  const typed = useRef<LabelDocument>(undefined);
  const isMaking = useRef(false);
  const [, draw] = useState(0);
  useEffect(() => session?.subscribe(() => draw((count) => count + 1)), [session]);
  useEffect(() => {
    if (ready && kept.all !== undefined) void moveOldWords(house);
  }, [house, ready, kept.all]);
  // Before the next keystroke, which would else be laid under what was typed before it.
  useLayoutEffect(() => {
    const waiting = typed.current;
    if (session === undefined || waiting === undefined) return;
    typed.current = undefined;
    setFresh(undefined);
    session.edit(() => waiting);
  }, [session]);

  const choose = (next: string) => {
    session?.keep();
    writeSmall(`label-open.${formulaId}`, next);
    setChosen(next);
  };
  const make = (body: LabelDocument) => {
    isMaking.current = true;
    void house.create("label", body).then((id) => {
      isMaking.current = false;
      setMade((before) => [...before, { id, name: body.name }]);
      choose(id);
    });
  };
  const first = useMemo(() => firstLabel(formulaId), [formulaId]);
  const body = session?.body() ?? fresh ?? first;
  return {
    all,
    id,
    isReady: all !== undefined && (session !== undefined || id === undefined || fresh !== undefined),
    body,
    change: (how) => {
      if (session !== undefined) return session.edit(how);
      // Nothing is laid over a label that is not here yet.
      if (all === undefined || (id !== undefined && fresh === undefined)) return;
      const next = how(typed.current ?? body);
      typed.current = next;
      setFresh(next);
      if (!isMaking.current && id === undefined) make(next);
    },
    choose,
    another: () => make({ ...body, name: `${body.name}, another`.slice(0, 200) }),
    putAway: () => {
      if (id === undefined) return;
      setMade((before) => before.filter((one) => one.id !== id));
      kept.putAway(id);
    },
  };
}
