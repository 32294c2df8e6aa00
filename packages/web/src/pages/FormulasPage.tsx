import type { Formula } from "@evencrumb/core/formula";
import { lazy, Suspense, useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { readSmall } from "../keep/storage.js";
import { shortDate } from "../parts/dates.js";

const PasteDialog = lazy(() => import("./PasteDialog.js").then((all) => ({ default: all.PasteDialog })));

interface ListContext {
  readonly house: House;
  readonly openPaste: () => void;
}

const EMPTY: Formula = { name: "New formula", components: [{ name: "Cake", kind: "cake", stages: [{ name: "Mix", uses: [] }] }] };

export const listActions = defineActions<ListContext>()({
  newFormula: {
    label: "New formula",
    applies: () => true,
    does: ({ house }) => void house.create("formula", EMPTY).then((id) => go(addresses.formula(id))),
  },
  pasteList: { label: "Paste a list", applies: () => true, does: ({ openPaste }) => openPaste() },
});

/** All formulas, found by name, the one worked on last at the top. */
export function FormulasPage() {
  const house = useHouse();
  const { formulas, ready } = useHouseState();
  const [wanted, setWanted] = useState("");
  const [pasting, setPasting] = useState(() => readSmall<string>("pasted") !== undefined);
  const context: ListContext = { house, openPaste: () => setPasting(true) };
  const shown = useMemo(() => {
    const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
    return formulas
      .filter(({ name }) => words.every((word) => name.toLowerCase().includes(word)))
      .toSorted((a, b) => b.latest.savedAt.localeCompare(a.latest.savedAt) || a.name.localeCompare(b.name));
  }, [formulas, wanted]);

  return (
    <div className="page narrow">
      <header>
        <h1>Formulas</h1>
        <div className="buttons">
          <ActionButton action={listActions.pasteList} context={context} />
          <ActionButton action={listActions.newFormula} context={context} kind="main" />
        </div>
      </header>
      {formulas.length > 5 ? (
        <input
          type="search"
          className="search"
          aria-label="Find a formula by its name"
          placeholder="Find by name"
          value={wanted}
          onChange={(event) => setWanted(event.currentTarget.value)}
        />
      ) : null}
      {!ready ? (
        <p className="muted">Opening…</p>
      ) : formulas.length === 0 ? (
        <div className="empty">
          <p>There are no formulas yet. Paste an ingredient list as it stands in your notes, or begin with an empty sheet.</p>
        </div>
      ) : shown.length === 0 ? (
        <p className="muted">No formula has “{wanted}” in its name.</p>
      ) : (
        <ul className="formula-list">
          {shown.map((document) => {
            const standard = document.standardRevisionId;
            const hasDraft = readSmall(`draft.${document.id}`) !== undefined;
            return (
              <li key={document.id}>
                <a href={addresses.formula(document.id)}>
                  <span className="formula-name">{document.name}</span>
                  <span className="formula-note">{document.latest.note}</span>
                  <span className="formula-facts figures">
                    <span>
                      revision {document.latest.number}
                      {standard === document.latest.id
                        ? ", the standard"
                        : standard === null
                          ? ""
                          : ", standard is an earlier one"}
                    </span>
                    <span>{hasDraft ? "changed on this device" : shortDate(document.latest.savedAt)}</span>
                  </span>
                </a>
              </li>
            );
          })}
        </ul>
      )}
      {pasting ? (
        <Suspense fallback={null}>
          <PasteDialog
            onClose={() => setPasting(false)}
            onFormula={(formula) => {
              setPasting(false);
              void house.create("formula", formula, "From a pasted list.").then((id) => go(addresses.formula(id)));
            }}
          />
        </Suspense>
      ) : null}
    </div>
  );
}
