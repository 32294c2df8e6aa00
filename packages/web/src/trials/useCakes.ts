import type { Formula } from "@evencrumb/core/formula";
import { useEffect, useState } from "react";
import type { RevisionSummary } from "../api/types.js";
import type { House } from "../app/house.js";
import { useHouse } from "../app/useHouse.js";
import type { PickedCake } from "./asking.js";
import type { Cake } from "./documents.js";

export interface OpenCake extends Cake {
  readonly formula: Formula;
  readonly revisions: readonly RevisionSummary[];
  readonly standardRevisionId: string | null;
}

/** The picked cakes with their formulas; null in the place of one that cannot be opened. undefined while they are looked up. */
export function usePickedCakes(picked: readonly PickedCake[]): readonly (OpenCake | null)[] | undefined {
  const house = useHouse();
  const [open, setOpen] = useState<{ readonly key: string; readonly cakes: readonly (OpenCake | null)[] }>();
  const key = JSON.stringify(picked);
  useEffect(() => {
    let wanted = true;
    const all = JSON.parse(key) as readonly PickedCake[];
    void Promise.all(all.map((one, place) => openCake(house, one, place, all.length))).then((cakes) => {
      if (wanted) setOpen({ key, cakes: named(cakes) });
    });
    return () => {
      wanted = false;
    };
  }, [house, key]);
  // What was open stays on the page while the next is looked up, so that nothing jumps.
  return open?.cakes;
}

async function openCake(house: House, picked: PickedCake, place: number, count: number): Promise<OpenCake | null> {
  if (picked.formulaId === "") return null;
  const detail = await house.document<Formula>(picked.formulaId).catch(() => undefined);
  if (detail === undefined) return null;
  const { revisions, latest, document } = detail;
  // The first is what is made now; the last is the newest of the others, and those between are the ones before it.
  const standard = document.standardRevisionId ?? revisions[0]?.id ?? latest.id;
  const others = revisions.filter(({ id }) => id !== standard);
  const usual = place === 0 ? standard : (others.at(place - count)?.id ?? latest.id);
  const revisionId = revisions.some(({ id }) => id === picked.revisionId) ? picked.revisionId : usual;
  const revision =
    revisionId === latest.id ? latest : await house.revision<Formula>(document.id, revisionId).catch(() => undefined);
  if (revision === undefined) return null;
  return {
    name: "",
    formulaId: document.id,
    formulaName: revision.body.name,
    revisionId,
    revisionNumber: revision.number,
    note: revision.note,
    formula: revision.body,
    revisions,
    standardRevisionId: document.standardRevisionId,
  };
}

/** "revision 3" among revisions of one formula, else the formula's name, with the revision where it is needed. */
function named(cakes: readonly (OpenCake | null)[]): readonly (OpenCake | null)[] {
  const known = cakes.filter((cake) => cake !== null);
  const formulas = new Set(known.map(({ formulaId }) => formulaId));
  return cakes.map((cake) => {
    if (cake === null) return null;
    const alone = known.filter(({ formulaId }) => formulaId === cake.formulaId).length === 1;
    const revision = `revision ${cake.revisionNumber}`;
    return { ...cake, name: formulas.size === 1 ? revision : alone ? cake.formulaName : `${cake.formulaName}, ${revision}` };
  });
}

/** The formulas of a kept trial's cakes, by revision. */
export function useCakeFormulas(cakes: readonly Cake[]): ReadonlyMap<string, Formula> {
  const house = useHouse();
  const [formulas, setFormulas] = useState<ReadonlyMap<string, Formula>>(new Map());
  const key = cakes.map(({ formulaId, revisionId }) => `${formulaId} ${revisionId}`).join(",");
  useEffect(() => {
    let wanted = true;
    const all = key === "" ? [] : key.split(",").map((pair) => pair.split(" ") as [string, string]);
    void Promise.all(
      all.map(
        async ([formulaId, revisionId]) => [revisionId, (await house.revision<Formula>(formulaId, revisionId))?.body] as const,
      ),
    ).then((found) => {
      if (wanted) setFormulas(new Map(found.flatMap(([id, body]) => (body === undefined ? [] : [[id, body] as const]))));
    });
    return () => {
      wanted = false;
    };
  }, [house, key]);
  return formulas;
}
