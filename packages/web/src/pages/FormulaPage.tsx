import { composeFormula } from "@evencrumb/core/composition";
import { addComponent, changeFormula, type Edited, type Formula, freeComponentName, percentages } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { lazy, Suspense, useCallback, useEffect, useMemo, useRef, useState, useSyncExternalStore } from "react";
import type { DocumentDetail, Revision, RevisionSummary } from "../api/types.js";
import { ActionButton, ActionMenu } from "../app/ActionButton.js";
import { actionForKey, defineActions } from "../app/action.js";
import type { House } from "../app/house.js";
import { addresses, type FormulaView, go } from "../app/route.js";
import { useHouse, useHouseState, useOutboxState } from "../app/useHouse.js";
import { ComponentDialog, FormulaDialog, KeepDialog, SplitDialog, StageDialog } from "../formula/dialogs.js";
import { FormulaSession, type LocalDraft } from "../formula/session.js";
import { type KnotContext, Thread } from "../formula/Thread.js";
import { readSmall, removeSmall, writeSmall } from "../keep/storage.js";
import { Margin } from "../margin/Margin.js";
import { useOwnedTins } from "../parts/useOwnedTins.js";
import type { SheetDialog } from "../sheet/actions.js";
import { changeSentences, lineDifferences } from "../sheet/differences.js";
import { Sheet } from "../sheet/Sheet.js";
import { FormulaNotices } from "./FormulaNotices.js";

const ComparePage = lazy(() => import("./ComparePage.js").then((all) => ({ default: all.ComparePage })));
const ContainsPage = lazy(() => import("./ContainsPage.js").then((all) => ({ default: all.ContainsPage })));
const ScalePage = lazy(() => import("./ScalePage.js").then((all) => ({ default: all.ScalePage })));
const BatchPage = lazy(() => import("./BatchPage.js").then((all) => ({ default: all.BatchPage })));
const RebalancePage = lazy(() => import("./RebalancePage.js").then((all) => ({ default: all.RebalancePage })));
const BakePage = lazy(() => import("./BakePage.js").then((all) => ({ default: all.BakePage })));
const KeepPage = lazy(() => import("./KeepPage.js").then((all) => ({ default: all.KeepPage })));
const WriteUpPage = lazy(() => import("./WriteUpPage.js").then((all) => ({ default: all.WriteUpPage })));
const LabelPage = lazy(() => import("./LabelPage.js").then((all) => ({ default: all.LabelPage })));
const PricePage = lazy(() => import("./PricePage.js").then((all) => ({ default: all.PricePage })));
const RevisionPage = lazy(() => import("./RevisionPage.js").then((all) => ({ default: all.RevisionPage })));
const PasteDialog = lazy(() => import("./PasteDialog.js").then((all) => ({ default: all.PasteDialog })));

export interface OpenFormula {
  readonly detail: DocumentDetail<Formula>;
  readonly session: FormulaSession;
}

/** Loads a formula, what is kept of it on this device, and keeps both in step with the server. */
function useOpenFormula(house: House, id: string, book: IngredientBook, ready: boolean) {
  const [open, setOpen] = useState<OpenFormula | "opening" | "missing">("opening");
  // biome-ignore lint/correctness/useExhaustiveDependencies: the book matters for a session that is made; later ones are handed to it below
  useEffect(() => {
    if (!ready) return;
    let wanted = true;
    const load = async () => {
      const detail = await house.document<Formula>(id).catch(() => undefined);
      if (!wanted) return;
      if (detail === undefined) return setOpen((now) => (now === "opening" ? "missing" : now));
      const local = readSmall<LocalDraft>(`draft.${id}`);
      const draft = local === undefined ? detail.draft : undefined;
      const baseId = local?.baseRevisionId ?? draft?.baseRevisionId ?? detail.latest.id;
      const base = baseId === detail.latest.id ? detail.latest : await house.revision<Formula>(id, baseId).catch(() => undefined);
      if (!wanted) return;
      setOpen((now) => {
        if (typeof now === "object") return { ...now, detail };
        const session = new FormulaSession({
          documentId: id,
          baseRevisionId: base?.id ?? detail.latest.id,
          base: base?.body ?? detail.latest.body,
          draft: draft?.body,
          book,
          outbox: house.outbox,
        });
        return { detail, session };
      });
    };
    void load();
    const stopHearing = house.onEvent((event) => {
      if (event.id === id || event.type === "restored") void load();
    });
    const sent = house.onSentChange((change) => {
      if (change.documentId === id && change.does !== "draft" && change.does !== "drop-draft") void load();
    });
    return () => {
      wanted = false;
      stopHearing();
      sent();
    };
  }, [house, id, ready]);
  useEffect(() => {
    if (typeof open === "object") open.session.takeBook(book);
  }, [open, book]);
  return open;
}

export function FormulaPage({ id, view, query }: { id: string; view: FormulaView; query: URLSearchParams }) {
  const house = useHouse();
  const { book, ready } = useHouseState();
  const open = useOpenFormula(house, id, book, ready);
  if (open === "opening") return <p className="page muted">Opening…</p>;
  if (open === "missing") {
    return (
      <div className="page">
        <h1>This formula is not here</h1>
        <p>
          It may have been removed, or it was never opened on this device while the network was there.{" "}
          <a href={addresses.formulas()}>Go to the formulas.</a>
        </p>
      </div>
    );
  }
  switch (view) {
    case "sheet":
      return <SheetPage open={open} query={query} />;
    case "contains":
      return <ContainsPage open={open} />;
    case "compare":
      return <ComparePage open={open} query={query} />;
    case "scale":
      return <ScalePage open={open} />;
    case "writeup":
      return <WriteUpPage open={open} />;
    case "label":
      return <LabelPage open={open} />;
    case "price":
      return <PricePage open={open} />;
    case "rebalance":
      return <RebalancePage open={open} />;
    case "bake":
      return <BakePage open={open} />;
    case "keep":
      return <KeepPage open={open} />;
    case "batch":
      return <BatchPage open={open} query={query} />;
    case "revision":
      return <RevisionPage open={open} revisionId={query.get("id") ?? ""} />;
  }
}

export function useSessionState(session: FormulaSession) {
  return useSyncExternalStore(session.subscribe, session.state);
}

/** The revisions of the server and those kept here that are still to be sent, first to last. */
export function allRevisions(detail: DocumentDetail<Formula>, house: House): readonly RevisionSummary[] {
  const known = new Set(detail.revisions.map(({ id }) => id));
  let number = Math.max(0, ...detail.revisions.map((revision) => revision.number));
  const waiting = house.outbox.waitingFor(detail.document.id).flatMap((change): RevisionSummary[] => {
    if (change.does !== "keep" || known.has(change.revisionId)) return [];
    number += 1;
    return [
      {
        id: change.revisionId,
        documentId: change.documentId,
        number,
        parentId: change.parentId,
        savedAt: new Date(change.madeAt).toISOString(),
        device: house.state().device.name,
        note: change.note,
      },
    ];
  });
  return [...detail.revisions, ...waiting];
}

interface PageContext {
  readonly session: FormulaSession;
  readonly house: House;
  readonly id: string;
  readonly openDialog: (dialog: PageDialog) => void;
}
type PageDialog =
  | SheetDialog
  | { readonly about: "formula" }
  | { readonly about: "keep" }
  | { readonly about: "paste"; readonly text?: string };

export const formulaActions = defineActions<PageContext>()({
  undo: {
    label: "Undo",
    keys: ["Control+Z"],
    applies: ({ session }) => session.state().canUndo,
    does: ({ session }) => session.undo(),
  },
  redo: {
    label: "Redo",
    keys: ["Control+Y", "Control+Shift+Z"],
    applies: ({ session }) => session.state().canRedo,
    does: ({ session }) => session.redo(),
  },
  keep: {
    label: "Keep revision",
    keys: ["Control+S"],
    applies: ({ session }) => session.state().changed,
    does: ({ openDialog }) => openDialog({ about: "keep" }),
  },
  giveUp: {
    label: "Give up the changes",
    applies: ({ session }) => session.state().changed,
    does: ({ session }) => session.giveUpChanges(),
  },
  scale: { label: "Scale", applies: () => true, does: ({ id }) => go(addresses.formula(id, "scale")) },
  batchSheet: { label: "Batch sheet", applies: () => true, does: ({ id }) => go(addresses.formula(id, "batch")) },
  bake: { label: "How it bakes", applies: () => true, does: ({ id }) => go(addresses.formula(id, "bake")) },
  trial: {
    label: "Ask whether it is better…",
    applies: () => true,
    does: ({ id }) => go(addresses.ask("better", { formula: id })),
  },
  writeUp: { label: "Write-up", applies: () => true, does: ({ id }) => go(addresses.formula(id, "writeup")) },
  label: { label: "Label", applies: () => true, does: ({ id }) => go(addresses.formula(id, "label")) },
  price: { label: "Price", applies: () => true, does: ({ id }) => go(addresses.formula(id, "price")) },
  rebalance: { label: "Swap and rebalance", applies: () => true, does: ({ id }) => go(addresses.formula(id, "rebalance")) },
  about: { label: "Name, portions and notes…", applies: () => true, does: ({ openDialog }) => openDialog({ about: "formula" }) },
  paste: { label: "Paste a list as a component…", applies: () => true, does: ({ openDialog }) => openDialog({ about: "paste" }) },
  copy: {
    label: "Make a copy to work on",
    applies: () => true,
    does: ({ house, session }) => {
      const { formula } = session.state();
      void house
        .create("formula", { ...formula, name: `${formula.name} (copy)` }, `A copy of ${formula.name}.`)
        .then((id) => go(addresses.formula(id)));
    },
  },
  saveFile: {
    label: "Save as a file",
    applies: () => true,
    does: ({ session }) => {
      const { formula } = session.state();
      void import("../formula/saveFile.js").then(({ saveFormulaFile }) => saveFormulaFile(formula, session.book));
    },
  },
  print: { label: "Print this sheet", applies: () => true, does: () => window.print() },
  archive: {
    label: "Put away",
    applies: () => true,
    does: ({ house, id }) => {
      house.archive("formula", id);
      go(addresses.formulas());
    },
  },
});

/** How the sheet is read on this device. */
interface SheetView {
  readonly basis: "batch" | "bakers";
  readonly hold: "others" | "total";
  readonly showMethod: boolean;
}

function SheetPage({ open, query }: { open: OpenFormula; query: URLSearchParams }) {
  const { detail, session } = open;
  const { id } = detail.document;
  const house = useHouse();
  const { settings, book, alongside } = useHouseState();
  useOutboxState(); // revisions that wait to be sent are on the thread
  const state = useSessionState(session);
  const { formula, derived, changed } = state;
  const owned = useOwnedTins();
  const [view, setViewState] = useState(
    (): SheetView => ({ basis: "batch", hold: "others", showMethod: true, ...readSmall<Partial<SheetView>>("view") }),
  );
  const setView = (change: Partial<SheetView>) => {
    const next = { ...view, ...change };
    setViewState(next);
    writeSmall("view", next);
  };
  const { basis, hold, showMethod } = view;
  // A dialogue that was open is open again after a reload, with what was typed into it.
  const [dialog, setDialogState] = useState(() => readSmall<PageDialog>(`dialog.${id}`) ?? null);
  const setDialog = useCallback(
    (next: PageDialog | null) => {
      setDialogState(next);
      if (next === null) removeSmall(`dialog.${id}`);
      else writeSmall(`dialog.${id}`, next);
    },
    [id],
  );
  const [standardId, setStandardId] = useState(detail.document.standardRevisionId);
  useEffect(() => setStandardId(detail.document.standardRevisionId), [detail.document.standardRevisionId]);

  const revisions = allRevisions(detail, house);
  const comparedId = query.get("with");
  const compared = useRevision(house, id, comparedId);
  const comparedFigures = useMemo(
    () =>
      compared === null
        ? null
        : {
            formula: compared.body,
            composition: composeFormula(compared.body, book),
            percentages: percentages(compared.body, book),
          },
    [compared, book],
  );
  const differences = useMemo(
    () => (compared === null ? undefined : lineDifferences(compared.body, formula, book, settings)),
    [compared, formula, book, settings],
  );
  const choices = useMemo(() => ({ basis, hold }), [basis, hold]);
  const openDialog: (next: PageDialog) => void = setDialog;
  const context: PageContext = { session, house, id, openDialog };
  const contextNow = useRef(context);
  contextNow.current = context;

  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented || document.querySelector("dialog[open]") !== null) return;
      const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
      const action = actionForKey(Object.values(formulaActions), event, contextNow.current);
      // In a field Ctrl+Z belongs to the field.
      if (action === undefined || (typing && action.name !== "keep")) return;
      event.preventDefault();
      action.does(contextNow.current);
    };
    window.addEventListener("keydown", onKey);
    return () => window.removeEventListener("keydown", onKey);
  }, []);

  const compareWith = (revisionId: string | null) =>
    go(addresses.formula(id, "sheet", revisionId === null ? {} : { with: revisionId }), true);
  const knots: Omit<KnotContext, "revision"> = {
    standardId,
    hereId: state.baseRevisionId,
    comparedId,
    compareWith,
    openSideBySide: (revisionId) => go(addresses.formula(id, "compare", { left: revisionId })),
    openRevision: (revisionId) => go(addresses.formula(id, "revision", { id: revisionId })),
    startFrom: (revisionId) =>
      void house.revision<Formula>(id, revisionId).then((revision) => {
        if (revision !== undefined) session.startFrom(revision.id, revision.body);
      }),
    makeStandard: (revisionId) => {
      setStandardId(revisionId);
      house.outbox.add({ does: "standard", documentId: id, revisionId });
    },
  };
  const base = revisions.find((revision) => revision.id === state.baseRevisionId);
  const nextNumber = Math.max(0, ...revisions.map(({ number }) => number)) + 1;
  const dialogProps = { session, formula, settings, owned, onClose: () => setDialog(null) };

  return (
    <div className="formula-page">
      <div className="formula-head">
        <div className="title">
          <h1>
            <TitleField
              key={formula.name}
              name={formula.name}
              onName={(name) => session.edit((now) => changeFormula(now, { name }))}
            />
          </h1>
          <button type="button" className="words about-words" onClick={() => setDialog({ about: "formula" })}>
            {[formula.portions === undefined ? null : `${formula.portions} portions`, formula.notes ?? null]
              .filter((part) => part !== null)
              .join(" · ") || "Say the portions and notes"}
          </button>
        </div>
        <div className="buttons no-print">
          <ActionButton action={formulaActions.scale} context={context} />
          <ActionButton action={formulaActions.batchSheet} context={context} />
          <ActionButton action={formulaActions.keep} context={context} kind="main" />
          <ActionMenu
            label="More"
            context={() => context}
            actions={[
              formulaActions.undo,
              formulaActions.redo,
              formulaActions.giveUp,
              null,
              formulaActions.about,
              formulaActions.paste,
              null,
              formulaActions.bake,
              formulaActions.rebalance,
              formulaActions.trial,
              null,
              formulaActions.price,
              formulaActions.label,
              formulaActions.writeUp,
              null,
              formulaActions.copy,
              formulaActions.saveFile,
              formulaActions.print,
              null,
              formulaActions.archive,
            ]}
          >
            <svg viewBox="0 0 20 20" width="20" height="20" fill="currentColor" aria-hidden="true">
              <circle cx="4" cy="10" r="1.8" />
              <circle cx="10" cy="10" r="1.8" />
              <circle cx="16" cy="10" r="1.8" />
            </svg>
          </ActionMenu>
        </div>
      </div>
      <section className="thread-area" aria-label="The thread of revisions">
        <FormulaNotices
          detail={detail}
          session={session}
          revisions={revisions}
          alongside={alongside.filter((one) => one.documentId === id)}
          knots={knots}
        />
        <Thread revisions={revisions} changed={changed} context={knots} />
        <p className="thread-words">
          {compared !== null ? (
            <>
              Compared with {compared.number}
              {compared.note === "" ? "" : `: ${compared.note}`}{" "}
              <button type="button" className="words accent" onClick={() => compareWith(null)}>
                stop comparing
              </button>
            </>
          ) : base === undefined ? null : (
            `${changed ? `Changed since ${base.number}` : base.number}${base.note === "" ? "" : `: ${base.note}`}`
          )}
        </p>
      </section>
      <div className="sheet-area">
        <div className="sheet-choices">
          <label className="pick">
            Percent of
            <select value={basis} onChange={(event) => setView({ basis: event.currentTarget.value as typeof basis })}>
              <option value="batch">the batch</option>
              <option value="bakers">the flour</option>
            </select>
          </label>
          <label className="pick">
            A typed percent holds
            <select value={hold} onChange={(event) => setView({ hold: event.currentTarget.value as typeof hold })}>
              <option value="others">the other weights</option>
              <option value="total">the total</option>
            </select>
          </label>
          <label className="pick">
            <input
              type="checkbox"
              checked={showMethod}
              onChange={(event) => setView({ showMethod: event.currentTarget.checked })}
            />
            method
          </label>
        </div>
        <Sheet
          session={session}
          state={state}
          settings={settings}
          choices={choices}
          showMethod={showMethod}
          {...(differences === undefined ? {} : { differences })}
          openDialog={openDialog}
          onPastedList={(text) => setDialog({ about: "paste", text })}
        />
      </div>
      <Margin
        id={id}
        formula={formula}
        derived={derived}
        compared={comparedFigures}
        book={book}
        owned={owned}
        settings={settings}
      />
      {dialog?.about === "formula" ? <FormulaDialog {...dialogProps} /> : null}
      {dialog?.about === "stage" ? <StageDialog {...dialogProps} component={dialog.component} stage={dialog.stage} /> : null}
      {dialog?.about === "component" ? <ComponentDialog {...dialogProps} component={dialog.component} /> : null}
      {dialog?.about === "split" ? (
        <SplitDialog {...dialogProps} component={dialog.component} ingredient={dialog.ingredient} />
      ) : null}
      {dialog?.about === "keep" ? (
        <KeepDialog
          documentId={id}
          number={nextNumber}
          sentences={changeSentences(session.base(), formula, book)}
          onClose={() => setDialog(null)}
          onKeep={(note) => {
            session.keep(note);
            setDialog(null);
          }}
        />
      ) : null}
      {dialog?.about === "paste" ? (
        <Suspense fallback={null}>
          <PasteDialog
            {...(dialog.text === undefined ? {} : { text: dialog.text })}
            into={formula.name}
            onClose={() => setDialog(null)}
            onFormula={(read) => {
              if (session.edit(...addComponents(read))) setDialog(null);
            }}
          />
        </Suspense>
      ) : null}
    </div>
  );
}

/** The components of a pasted list, one edit each, with names that are free. */
const addComponents = (read: Formula): ((formula: Formula) => Edited)[] =>
  read.components.map(
    (component) => (formula: Formula) =>
      addComponent(formula, { ...component, name: freeComponentName(formula, component.name) }),
  );

/** Another revision of the open formula, by its id. */
export function useRevision(house: House, id: string, revisionId: string | null): Revision<Formula> | null {
  const [revision, setRevision] = useState<Revision<Formula> | null>(null);
  useEffect(() => {
    let wanted = true;
    if (revisionId === null) setRevision(null);
    else
      void house.revision<Formula>(id, revisionId).then((found) => {
        if (wanted) setRevision(found ?? null);
      });
    return () => {
      wanted = false;
    };
  }, [house, id, revisionId]);
  return revision?.id === revisionId ? revision : null;
}

function TitleField({ name, onName }: { name: string; onName: (name: string) => boolean }) {
  const [text, setText] = useState(name);
  const enter = () => {
    if (text.trim() === "" || text.trim() === name || !onName(text.trim())) setText(name);
  };
  return (
    <input
      className="title-field"
      aria-label="Name of the formula"
      value={text}
      spellCheck={false}
      onChange={(event) => setText(event.currentTarget.value)}
      onBlur={enter}
      onKeyDown={(event) => {
        if (event.key === "Enter") event.currentTarget.blur();
        if (event.key === "Escape") {
          setText(name);
          event.currentTarget.blur();
        }
      }}
    />
  );
}
