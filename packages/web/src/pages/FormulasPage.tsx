import type { Formula } from "@evencrumb/core/formula";
import type { Problem } from "@evencrumb/core/quantities";
import { lazy, Suspense, useMemo, useState } from "react";
import { listArchivedFormulas } from "../api/archived.js";
import { OfflineError } from "../api/client.js";
import type { DocumentSummary } from "../api/types.js";
import { ActionButton } from "../app/ActionButton.js";
import { defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, go } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { readSmall } from "../keep/storage.js";
import { Dialog } from "../parts/Dialog.js";
import { shortDate } from "../parts/dates.js";
import { ProblemList } from "../parts/Field.js";

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

/** What was put away is not gone: it can be brought back. */
function PutAway() {
  const house = useHouse();
  const [found, setFound] = useState<readonly DocumentSummary[] | "not asked" | "no network">("not asked");
  const look = () =>
    void listArchivedFormulas().then(setFound, (error: unknown) => {
      if (!(error instanceof OfflineError)) throw error;
      setFound("no network");
    });
  if (found === "not asked") {
    return (
      <div>
        <button type="button" className="words" onClick={look}>
          Show what was put away
        </button>
      </div>
    );
  }
  if (found === "no network") return <p className="muted">What was put away is with the server, which cannot be reached.</p>;
  if (found.length === 0) return <p className="muted">Nothing was put away.</p>;
  return (
    <section aria-label="Put away" className="stack tight">
      <h2>Put away</h2>
      <ul className="put-away">
        {found.map((document) => (
          <li key={document.id}>
            <span className="formula-name">{document.name}</span>
            <button
              type="button"
              className="button quiet"
              aria-label={`Bring back ${document.name}`}
              onClick={() =>
                void house.client.unarchive(document.id).then(async () => {
                  await house.refresh();
                  look();
                })
              }
            >
              Bring back
            </button>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** All formulas, found by name, the one worked on last at the top. */
export function FormulasPage() {
  const house = useHouse();
  const { formulas, ready, device } = useHouseState();
  const [wanted, setWanted] = useState("");
  const [pasting, setPasting] = useState(() => readSmall<string>("pasted") !== undefined);
  const context: ListContext = { house, openPaste: () => setPasting(true) };
  const [unread, setUnread] = useState<{ readonly name: string; readonly problems: readonly Problem[] } | null>(null);
  const openFile = async (file: File) => {
    const { openFormulaFile } = await import("../formula/openFile.js");
    const { value, problems } = await openFormulaFile(file);
    if (value === undefined || problems.length > 0) setUnread({ name: file.name, problems });
    else go(addresses.formula(await house.create("formula", value, `From the file ${file.name}.`)));
  };
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
          <label className="button quiet file">
            Open a file
            <input
              type="file"
              className="hidden-words"
              accept=".yaml,.yml,application/yaml"
              onChange={(event) => {
                const file = event.currentTarget.files?.[0];
                event.currentTarget.value = "";
                if (file !== undefined) void openFile(file);
              }}
            />
          </label>
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
            const elsewhere = document.drafts.find((draft) => draft.device !== device.name);
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
                    <span>
                      {hasDraft
                        ? "changed on this device"
                        : elsewhere !== undefined
                          ? `changed on ${elsewhere.device}`
                          : shortDate(document.latest.savedAt)}
                    </span>
                  </span>
                </a>
              </li>
            );
          })}
        </ul>
      )}
      {ready && formulas.length > 0 ? (
        <p>
          <a href={addresses.allergens()}>Allergens of everything, on one sheet</a>
        </p>
      ) : null}
      {ready ? <PutAway /> : null}
      {unread === null ? null : (
        <Dialog title={`${unread.name} cannot be opened`} onClose={() => setUnread(null)}>
          <ProblemList problems={unread.problems} />
          <footer>
            <button type="button" className="button main" onClick={() => setUnread(null)}>
              Close
            </button>
          </footer>
        </Dialog>
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
