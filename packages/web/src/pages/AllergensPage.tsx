import { allergenMatrix, allergenMatrixCsv, allergenMatrixHtml } from "@evencrumb/core/label";
import { useMemo, useRef } from "react";
import { addresses } from "../app/route.js";
import { useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { download } from "../parts/download.js";
import { useProducts } from "../parts/useProducts.js";
import "../style/papers.css";

/** The fourteen allergens of everything that is made, from the standard of each formula, on one sheet of paper. */
export function AllergensPage() {
  const { book } = useHouseState();
  const products = useProducts();
  const page = useRef<HTMLIFrameElement>(null);
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
