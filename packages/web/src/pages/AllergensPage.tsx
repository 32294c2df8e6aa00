import type { Formula } from "@evencrumb/core/formula";
import { allergenMatrix, allergenMatrixCsv, allergenMatrixHtml, type MatrixProduct } from "@evencrumb/core/label";
import { useEffect, useMemo, useRef, useState } from "react";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { download } from "../parts/download.js";
import "../style/papers.css";

/** The fourteen allergens of everything that is made, from the standard of each formula, on one sheet of paper. */
export function AllergensPage() {
  const house = useHouse();
  const { formulas, book, ready } = useHouseState();
  const [products, setProducts] = useState<readonly MatrixProduct[] | null>(null);
  const page = useRef<HTMLIFrameElement>(null);
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
  const matrix = useMemo(() => (products === null ? null : allergenMatrix(products, book, { date: today() })), [products, book]);
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formulas()}>
            ‹ Formulas
          </a>
          <h1>Allergens of everything</h1>
        </div>
        {matrix === null || matrix.rows.length === 0 ? null : (
          <div className="buttons">
            <button type="button" className="button main" onClick={() => page.current?.contentWindow?.print()}>
              Print
            </button>
            <button
              type="button"
              className="button"
              onClick={() => download("allergens.csv", allergenMatrixCsv(matrix), "text/csv")}
            >
              Save as a table
            </button>
          </div>
        )}
      </header>
      {matrix === null ? (
        <p className="muted">Opening the formulas…</p>
      ) : matrix.rows.length === 0 ? (
        <p className="empty">There is no formula yet, and so nothing to declare.</p>
      ) : (
        <iframe
          ref={page}
          className="paper-frame"
          title="Allergens of everything"
          srcDoc={allergenMatrixHtml(matrix)}
          sandbox="allow-same-origin allow-modals"
        />
      )}
    </div>
  );
}
