import type { BakeRecord, OvenDocument, PositionCalibration } from "@evencrumb/core/bake";
import type { LabelDocument } from "@evencrumb/core/label";
import { useEffect, useRef, useState } from "react";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState, useOutboxState } from "../app/useHouse.js";
import type { PriceBody } from "../price/body.js";

export type { BakeRecord, PositionCalibration } from "@evencrumb/core/bake";
/** An oven as it is kept. */
export type OwnOven = OvenDocument;

export const calibrationOf = (oven: OwnOven | undefined, position: string): PositionCalibration | undefined =>
  oven?.calibration?.find((one) => one.position === position);

interface Bodies {
  readonly oven: OwnOven;
  readonly bakeRecord: BakeRecord;
  readonly label: LabelDocument;
  readonly price: PriceBody;
}

export interface KeptList<Body> {
  /** undefined while they are fetched for the first time. */
  readonly all: readonly Kept<Body>[] | undefined;
  readonly add: (body: Body, note?: string) => Promise<string>;
  readonly change: (kept: Kept<Body>, body: Body, note?: string) => void;
  readonly putAway: (id: string) => void;
}

/** All documents of one kind with their newest bodies; those that the server has not heard of yet as well. */
export function useKeptList<Kind extends keyof Bodies>(kind: Kind): KeptList<Bodies[Kind]> {
  type Body = Bodies[Kind];
  const house = useHouse();
  const { ready } = useHouseState();
  useOutboxState(); // what waits to be sent is part of the list
  const [kept, setKept] = useState<readonly Kept<Body>[]>();
  useEffect(() => {
    if (!ready) return;
    let wanted = true;
    const fetchAll = async (): Promise<readonly Kept<Body>[]> => {
      const documents = await house.client.listDocuments(kind);
      const all = documents.map(async ({ id, latest }): Promise<Kept<Body>[]> => {
        const revision = await house.revision<Body>(id, latest.id);
        return revision === undefined ? [] : [{ id, revisionId: revision.id, body: revision.body }];
      });
      return (await Promise.all(all)).flat();
    };
    const load = () =>
      void house.ask<readonly Kept<Body>[]>(`all ${kind}`, fetchAll, []).then((found) => {
        if (wanted) setKept(found);
      });
    load();
    const stopHearing = house.onEvent(load);
    const stopSent = house.onSentChange((change) => {
      if (change.does !== "draft" && change.does !== "drop-draft") load();
    });
    return () => {
      wanted = false;
      stopHearing();
      stopSent();
    };
  }, [house, kind, ready]);

  const waiting = house.outbox.waiting();
  const all = new Map((kept ?? []).map((one) => [one.id, one]));
  for (const change of waiting) {
    if (change.does === "create" && change.kind === kind)
      all.set(change.documentId, { id: change.documentId, revisionId: change.revisionId, body: change.body as Body });
    if (change.does === "keep" && all.has(change.documentId))
      all.set(change.documentId, { id: change.documentId, revisionId: change.revisionId, body: change.body as Body });
    if (change.does === "archive") all.delete(change.documentId);
  }
  const list = kept === undefined ? undefined : [...all.values()];
  // The same list as long as nothing in it changed, so that nothing is worked out anew.
  const key = list?.map(({ revisionId }) => revisionId).join(" ");
  const last = useRef<{ readonly key: string | undefined; readonly list: readonly Kept<Body>[] | undefined }>({
    key: undefined,
    list: undefined,
  });
  if (last.current.key !== key) last.current = { key, list };
  return {
    all: last.current.list,
    add: (body, note = "") => house.create(kind, body, note),
    change: (old, body, note = "") =>
      house.outbox.add({
        does: "keep",
        documentId: old.id,
        revisionId: crypto.randomUUID(),
        parentId: old.revisionId,
        body,
        note,
        madeAt: Date.now(),
      }),
    putAway: (id) => house.archive(kind, id),
  };
}
