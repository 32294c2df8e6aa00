import type { Formula } from "@evencrumb/core/formula";
import type { PriceDocument } from "@evencrumb/core/price";
import type { Problem } from "@evencrumb/core/quantities";
import { useEffect, useMemo, useRef, useState } from "react";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { useKeptList } from "../bake/documents.js";
import { useLiveDocument } from "../keep/useLiveDocument.js";
import { editable, firstPrice, type PriceBody, priceOf, readPrice } from "./body.js";

export interface OpenPrice {
  /** False while it is fetched: nothing is written over what is not here yet. */
  readonly ready: boolean;
  readonly body: PriceBody;
  readonly change: (how: (body: PriceBody) => PriceBody) => void;
  /** What another device began for the same product, for a person to settle. */
  readonly others: readonly Kept<PriceBody>[];
  readonly putAway: (id: string) => void;
}

/** The price of a formula's product. What is typed is kept here at once and sent when it can be; the first word makes the document. */
export function usePrice(formulaId: string, formula: Formula): OpenPrice {
  const house = useHouse();
  const { ready, settings } = useHouseState();
  const kept = useKeptList("price");
  const own = kept.all?.filter(({ body }) => body.formula === formulaId) ?? [];
  const id = priceOf(kept.all, formulaId)?.id;
  const open = useLiveDocument<PriceBody>(house, "price-work", id, ready);
  const session = typeof open === "object" && open.session.documentId === id ? open.session : undefined;
  // What is typed before there is a document, and while it is opened.
  const [fresh, setFresh] = useState<PriceBody>();
  const typed = useRef<PriceBody>(undefined);
  const isMaking = useRef(false);
  const [, draw] = useState(0);
  useEffect(() => session?.subscribe(() => draw((count) => count + 1)), [session]);
  useEffect(() => {
    const waiting = typed.current;
    if (session === undefined || waiting === undefined) return;
    typed.current = undefined;
    setFresh(undefined);
    session.edit(() => waiting);
  }, [session]);
  const first = useMemo(() => firstPrice(formulaId, formula, settings), [formulaId, formula, settings]);
  const raw = session?.body() ?? fresh ?? first;
  const body = useMemo(() => editable(raw), [raw]);
  return {
    ready: kept.all !== undefined && (id === undefined || session !== undefined || fresh !== undefined),
    body,
    change: (how) => {
      if (session !== undefined) return session.edit((now) => how(editable(now)));
      if (kept.all === undefined || (id !== undefined && typed.current === undefined)) return;
      const next = how(typed.current ?? body);
      typed.current = next;
      setFresh(next);
      if (isMaking.current) return;
      // Once and for all: the list learns of the document a moment after it is made.
      isMaking.current = true;
      void house.create("price", next);
    },
    others: own.slice(1),
    putAway: (other) => kept.putAway(other),
  };
}

/** The price documents of formulas as core takes them, for pages that only look; undefined while they are fetched. */
export function usePriceReader():
  | ((
      formulaId: string,
      formula: Formula,
    ) => { readonly document: PriceDocument; readonly problems: readonly Problem[]; readonly isKept: boolean })
  | undefined {
  const { settings } = useHouseState();
  const { all } = useKeptList("price");
  return useMemo(
    () =>
      all === undefined
        ? undefined
        : (formulaId, formula) => {
            const kept = priceOf(all, formulaId);
            return {
              // What nobody has said yet is no price.
              ...readPrice(kept?.body ?? unsold(firstPrice(formulaId, formula, settings)), settings),
              isKept: kept !== undefined,
            };
          },
    [all, settings],
  );
}

const unsold = ({ selling: _selling, ...body }: PriceBody): PriceBody => body;
