import type { Formula } from "@evencrumb/core/formula";
import { useEffect, useState } from "react";
import { useHouse } from "../../app/useHouse.js";
import type { Tasting } from "../documents.js";

/** The formulas of the cakes that are tasted, as far as this device has them. */
export function useTastedFormulas({ cakes }: Tasting): readonly Formula[] {
  const house = useHouse();
  const [formulas, setFormulas] = useState<readonly Formula[]>([]);
  const key = JSON.stringify(cakes.map(({ formulaId, revisionId }) => [formulaId, revisionId]));
  useEffect(() => {
    let wanted = true;
    const all = JSON.parse(key) as readonly (readonly [string, string])[];
    // A formula that cannot be opened is left out: the page says what it can, and that local law and the packets decide.
    const open = all.map(([formulaId, revisionId]) => house.revision<Formula>(formulaId, revisionId).catch(() => undefined));
    void Promise.all(open).then((revisions) => {
      if (wanted) setFormulas(revisions.flatMap((revision) => (revision === undefined ? [] : [revision.body])));
    });
    return () => {
      wanted = false;
    };
  }, [house, key]);
  return formulas;
}
