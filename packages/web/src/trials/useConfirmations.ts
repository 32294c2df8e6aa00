import { type ConfirmationReading, readConfirmation } from "@evencrumb/core/trials";
import { useEffect, useState } from "react";
import { useHouse } from "../app/useHouse.js";
import type { BakingTrial } from "./documents.js";

export interface KeptConfirmation {
  readonly documentId: string;
  readonly trial: BakingTrial;
  readonly reading: ConfirmationReading;
}

/** The confirmations that were planned from a trial, with what they say by now; those that cannot be opened are left out. */
export function useConfirmations(trial: BakingTrial): readonly KeptConfirmation[] {
  const house = useHouse();
  const [kept, setKept] = useState<readonly KeptConfirmation[]>([]);
  const key = (trial.confirmations ?? []).map(({ documentId }) => documentId).join(" ");
  useEffect(() => {
    if (key === "") return setKept([]);
    let wanted = true;
    const load = () =>
      void Promise.all(
        key.split(" ").map(async (documentId): Promise<KeptConfirmation | undefined> => {
          const detail = await house.document<BakingTrial>(documentId).catch(() => undefined);
          const waiting = house.outbox.waitingFor(documentId).findLast((change) => change.does === "keep");
          const body = (waiting?.does === "keep" ? (waiting.body as BakingTrial) : undefined) ?? detail?.latest.body;
          if (body?.confirms === undefined) return undefined;
          return { documentId, trial: body, reading: readConfirmation(body.confirms, body.sheet) };
        }),
      ).then((all) => {
        if (wanted) setKept(all.filter((one) => one !== undefined));
      });
    load();
    const stopHearing = house.onEvent(load);
    const stopSent = house.onSentChange(load);
    return () => {
      wanted = false;
      stopHearing();
      stopSent();
    };
  }, [house, key]);
  return kept;
}
