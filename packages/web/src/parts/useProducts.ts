import type { Formula } from "@evencrumb/core/formula";
import type { MatrixProduct } from "@evencrumb/core/label";
import { useEffect, useState } from "react";
import { useHouse, useHouseState } from "../app/useHouse.js";

/** What the bakery makes: the standard of each formula, or its latest where none is chosen; null while they are opened. */
export function useProducts(): readonly MatrixProduct[] | null {
  const house = useHouse();
  const { formulas, ready } = useHouseState();
  const [products, setProducts] = useState<readonly MatrixProduct[] | null>(null);
  useEffect(() => {
    if (!ready) return;
    let wanted = true;
    const load = async () => {
      const all = await Promise.all(
        formulas.map(async ({ id, standardRevisionId }): Promise<MatrixProduct | undefined> => {
          const detail = await house.document<Formula>(id).catch(() => undefined);
          if (detail === undefined) return undefined;
          const standard = standardRevisionId ?? detail.latest.id;
          const revision =
            standard === detail.latest.id
              ? detail.latest
              : ((await house.revision<Formula>(id, standard).catch(() => undefined)) ?? detail.latest);
          return { id, formula: revision.body, revision: `revision ${revision.number}, ${revision.savedAt.slice(0, 10)}` };
        }),
      );
      if (wanted)
        setProducts(
          all
            .filter((one) => one !== undefined)
            .toSorted((one, other) => one.formula.name.localeCompare(other.formula.name, "en-GB")),
        );
    };
    void load();
    return () => {
      wanted = false;
    };
  }, [house, formulas, ready]);
  return products;
}
