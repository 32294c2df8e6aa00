import { type AllergenMatrix, allergenMatrix, allergenMatrixCsv, allergenMatrixHtml } from "@evencrumb/core/label";
import { useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { today } from "../parts/dates.js";
import { download } from "../parts/download.js";
import { printPage } from "../parts/printPage.js";
import { savePdf } from "../parts/savePdf.js";
import { useProducts } from "../parts/useProducts.js";
import "../style/papers.css";

interface AllergensContext {
  readonly house: House;
  readonly matrix: AllergenMatrix;
  readonly say: (words: string | null) => void;
}

export const allergensActions = defineActions<AllergensContext>()({
  print: {
    label: "Print",
    applies: () => true,
    does: ({ matrix }) => printPage(allergenMatrixHtml(matrix), "Allergens to print"),
  },
  pdf: {
    label: "Save as PDF",
    applies: () => true,
    does: ({ house, matrix, say }) =>
      savePdf(
        `allergens ${matrix.date}.pdf`,
        () => house.client.print("allergens", matrix),
        say,
        "Print makes the same sheet without it, and the table can be saved.",
      ),
  },
  table: {
    label: "Save as a table",
    applies: () => true,
    does: ({ matrix }) => download(`allergens ${matrix.date}.csv`, allergenMatrixCsv(matrix), "text/csv"),
  },
});

/** The fourteen allergens of everything that is made, from the standard of each formula, on one sheet of paper. */
export function AllergensPage() {
  const house = useHouse();
  const { book, settings } = useHouseState();
  const products = useProducts();
  const [said, say] = useState<string | null>(null);
  const { business, mayContain } = settings;
  const matrix = useMemo(
    () =>
      products === null
        ? null
        : allergenMatrix(products, book, {
            date: today(),
            ...(business === undefined || business.name.trim() === "" ? {} : { bakery: business.name }),
            ...(mayContain === undefined ? {} : { bakeryMayContain: mayContain }),
          }),
    [products, book, business, mayContain],
  );
  const isEmpty = matrix === null || matrix.rows.length === 0;
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formulas()}>
            ‹ Formulas
          </a>
          <h1>Allergens of everything</h1>
        </div>
        {isEmpty ? null : (
          <div className="buttons">
            <ActionButton action={allergensActions.table} context={{ house, matrix, say }} />
            <ActionButton action={allergensActions.pdf} context={{ house, matrix, say }} />
            <ActionButton action={allergensActions.print} context={{ house, matrix, say }} kind="main" />
          </div>
        )}
      </header>
      {said === null ? null : (
        <p className="caution-words" role="status">
          {said}
        </p>
      )}
      {matrix === null ? (
        <p className="muted">Opening the formulas…</p>
      ) : isEmpty ? (
        <p className="empty">There is no formula yet, and so nothing to declare.</p>
      ) : (
        <iframe
          className="paper-frame"
          title="Allergens of everything"
          srcDoc={allergenMatrixHtml(matrix)}
          sandbox="allow-same-origin allow-modals"
        />
      )}
    </div>
  );
}
