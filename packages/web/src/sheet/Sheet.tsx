import type { Component, Formula, Stage, Target } from "@evencrumb/core/formula";
import { displayName, type IngredientBook } from "@evencrumb/core/ingredients";
import { targetWords } from "@evencrumb/core/plan";
import type { TemperatureScale } from "@evencrumb/core/quantities";
import {
  type ClipboardEvent,
  type KeyboardEvent,
  type MouseEvent,
  memo,
  type PointerEvent,
  type ReactNode,
  useCallback,
  useEffect,
  useLayoutEffect,
  useMemo,
  useRef,
  useState,
} from "react";
import { Menu, type MenuHandle } from "../app/ActionButton.js";
import { actionForKey } from "../app/action.js";
import type { Settings } from "../app/house.js";
import type { CellPlace, ColumnName, FormulaSession, SessionState } from "../formula/session.js";
import { Aligned } from "../parts/Aligned.js";
import { menuFor, type SheetContext, type SheetDialog, sheetActions } from "./actions.js";
import { CellField, IngredientField, type Leave } from "./Cells.js";
import { cellsAsText, textAsCells } from "./clipboard.js";
import { type Entry, type EntryChoices, editFor } from "./entry.js";
import { pasteSteps } from "./paste.js";
import { COLUMNS, cellsBetween, nearestPlace, sheetRows, stepFrom } from "./rows.js";
import { type LineDifferences, type ShownComponent, type ShownUse, shownComponents } from "./shown.js";

interface Editing {
  readonly place: CellPlace;
  readonly initial: string;
  readonly mode: "replace" | "edit";
  readonly wrong: string | null;
}

export interface SheetProps {
  session: FormulaSession;
  state: SessionState;
  settings: Settings;
  choices: EntryChoices;
  showMethod: boolean;
  readOnly?: boolean;
  /** Against the revision it is compared with, by line. */
  differences?: LineDifferences;
  openDialog: (dialog: SheetDialog) => void;
  /** A list of ingredients was pasted where one name goes: it wants reading. */
  onPastedList?: (text: string, place: CellPlace) => void;
}

const samePlace = (a: CellPlace | null, b: CellPlace | null) =>
  a !== null && b !== null && a.component === b.component && a.stage === b.stage && a.use === b.use && a.column === b.column;
const cellId = (place: CellPlace) => `cell-${place.component}-${place.stage ?? ""}-${place.use ?? ""}-${place.column}`;

function focusCell(table: HTMLTableElement | null, place: CellPlace): void {
  const cell = table?.querySelector<HTMLElement>(`[data-cell="${cellId(place)}"]`);
  if (cell !== null && cell !== undefined && cell !== document.activeElement) cell.focus();
}

/** The formula as one grid: arrows run from its first line to its last. */
export function Sheet(props: SheetProps) {
  const { session, state, settings, choices, showMethod, readOnly = false, differences, openDialog, onPastedList } = props;
  const { formula, derived } = state;
  const rows = useMemo(() => sheetRows(formula), [formula]);
  // A component that did not change keeps its words, and React passes it over.
  const known = useMemo(
    () => ({ book: session.book, settings, basis: choices.basis, shown: new WeakMap<Component, ShownComponent>() }),
    [session.book, settings, choices.basis],
  );
  const components = useMemo(() => shownComponents(formula, derived, known), [formula, derived, known]);
  const [chosen, setChosen] = useState<CellPlace>({ component: 0, column: "name" });
  const [anchor, setAnchor] = useState<CellPlace | null>(null);
  const [editing, setEditing] = useState<Editing | null>(() => {
    const { typing } = session.state();
    return typing === null || readOnly ? null : { place: typing.place, initial: typing.text, mode: "edit", wrong: null };
  });
  const place = nearestPlace(rows, chosen);

  // From the edit to a page that says it, scripting alone: what the bench reads. Layout and paint are the browser's.
  useLayoutEffect(() => {
    if (performance.getEntriesByName("edit-start").length === 0) return;
    performance.measure("edit-to-sheet", "edit-start");
    performance.clearMarks("edit-start");
  });

  const table = useRef<HTMLTableElement>(null);
  const menu = useRef<MenuHandle<SheetContext>>(null);
  const takeFocus = useRef(false);
  const leaving = useRef(false);
  const moving = useRef(false);
  const wantedColumn = useRef<ColumnName>("name");

  const go = useCallback((to: CellPlace, extend = false) => {
    takeFocus.current = true;
    leaving.current = false;
    setAnchor((from) => (extend ? from : null));
    setChosen(to);
  }, []);

  useLayoutEffect(() => {
    if (!takeFocus.current || editing !== null || place === null) return;
    takeFocus.current = false;
    focusCell(table.current, place);
  });

  const textOf = useCallback(
    (at: CellPlace): string => cellText(at, formula, components, session.book, settings),
    [formula, components, session.book, settings],
  );

  const startEditing = useCallback(
    (at: CellPlace, mode: "replace" | "edit", initial?: string) => {
      if (readOnly) return;
      if (at.stage !== undefined && at.use === undefined && at.column === "note") {
        openDialog({ about: "stage", component: at.component, stage: at.stage });
        return;
      }
      session.forgetProblem();
      setAnchor(null);
      setChosen(at);
      setEditing({ place: at, initial: initial ?? textOf(at), mode, wrong: null });
    },
    [readOnly, session, textOf, openDialog],
  );

  const enter = useCallback(
    (at: CellPlace, entry: Entry, leave: Leave) => {
      const unchanged = entry.ingredient === undefined && entry.text.trim() === textOf(at).trim();
      const blankName = entry.text.trim() === "" && at.column === "name";
      const wasBlank =
        at.stage !== undefined &&
        at.use !== undefined &&
        at.use >= (session.state().formula.components[at.component]?.stages[at.stage]?.uses.length ?? 0);
      const step = leave === "down" ? { rows: 1 } : leave === "up" ? { rows: -1 } : { columns: leave === "right" ? 1 : -1 };
      // The next cell takes the focus while the page is still laid out: afterwards it would have to be laid out for it.
      moving.current = true;
      if (leave !== "stay" && !wasBlank) focusCell(table.current, stepFrom(rows, at, step, wantedColumn.current));
      moving.current = false;
      if (!unchanged && !blankName && !session.edit(editFor(at, entry, choices))) {
        const { problem } = session.state();
        table.current?.querySelector<HTMLElement>(".cell-field")?.focus();
        setEditing((now) => (now === null ? null : { ...now, wrong: `Expected ${problem?.expected}. ${problem?.remedy}` }));
        return;
      }
      session.type(null);
      setEditing(null);
      if (leave === "stay") return;
      const now = sheetRows(session.state().formula);
      go(wasBlank && !blankName ? { ...at, column: "grams" } : stepFrom(now, at, step, wantedColumn.current));
    },
    [session, choices, textOf, go, rows],
  );

  const giveUp = useCallback(() => {
    session.type(null);
    session.forgetProblem();
    takeFocus.current = true;
    setEditing(null);
  }, [session]);

  const context: SheetContext = {
    session,
    place,
    readOnly,
    select: go,
    openDialog,
    startEditing: () => setPendingEdit(true),
  };
  // An action that adds a line wants it edited, but the line exists only after the next render.
  const [pendingEdit, setPendingEdit] = useState(false);
  useEffect(() => {
    if (!pendingEdit || place === null) return;
    setPendingEdit(false);
    startEditing(place, "edit");
  }, [pendingEdit, place, startEditing]);

  const selected = useMemo(
    () => (anchor === null || place === null ? [] : cellsBetween(rows, anchor, place)),
    [rows, anchor, place],
  );
  const selectedIds = useMemo(() => new Set(selected.flat().map(cellId)), [selected]);

  const onKeyDown = (event: KeyboardEvent) => {
    if (editing !== null || place === null) return;
    if (!(event.target instanceof HTMLElement) || event.target.dataset.cell === undefined) return;
    const { key, shiftKey, ctrlKey, metaKey, altKey } = event;
    const action = actionForKey(Object.values(sheetActions), event, context);
    if (action !== undefined) {
      event.preventDefault();
      action.does(context);
      return;
    }
    const jump = ctrlKey || metaKey;
    const move = (step: { rows?: number; columns?: number }) => {
      event.preventDefault();
      if (shiftKey) setAnchor((from) => from ?? place);
      const to = stepFrom(rows, place, step, step.rows === undefined ? place.column : wantedColumn.current);
      if (step.columns !== undefined) wantedColumn.current = to.column;
      go(to, shiftKey);
    };
    switch (altKey ? "" : key) {
      case "ArrowDown":
        return move({ rows: jump ? rows.length : 1 });
      case "ArrowUp":
        return move({ rows: jump ? -rows.length : -1 });
      case "ArrowRight":
        return move({ columns: 1 });
      case "ArrowLeft":
        return move({ columns: -1 });
      case "Home":
        return move({ rows: jump ? -rows.length : 0, ...(jump ? {} : { columns: -1 }) });
      case "End":
        return move({ rows: jump ? rows.length : 0, ...(jump ? {} : { columns: 1 }) });
      case "PageDown":
        return move({ rows: 10 });
      case "PageUp":
        return move({ rows: -10 });
      case "Tab": {
        const to = stepFrom(rows, place, { columns: shiftKey ? -1 : 1 });
        // Past the last cell, and after Escape, Tab leaves the sheet: nobody is held here.
        if (leaving.current || samePlace(to, place)) return;
        event.preventDefault();
        wantedColumn.current = to.column;
        go(to);
        return;
      }
      case "Escape":
        leaving.current = true;
        setAnchor(null);
        return;
      case "Enter":
      case "F2":
        event.preventDefault();
        startEditing(place, "edit");
        return;
      case "Delete":
      case "Backspace":
        event.preventDefault();
        clearCells(selected.length > 0 ? selected.flat() : [place]);
        return;
      case "ContextMenu":
        event.preventDefault();
        menu.current?.open(event.target, context);
        return;
    }
    if (key.length === 1 && !jump && !altKey && !readOnly && key !== " ") {
      event.preventDefault();
      session.type({ place, text: key });
      startEditing(place, "replace", key);
    }
  };

  const clearCells = (cells: readonly CellPlace[]) => {
    if (readOnly) return;
    const steps = cells
      .filter((cell) => (cell.column === "grams" || cell.column === "note") && cell.use !== undefined)
      .filter((cell) => cell.use! < (formula.components[cell.component]?.stages[cell.stage!]?.uses.length ?? 0))
      .map((cell) => editFor(cell, { text: "" }, choices));
    if (steps.length > 0) session.edit(...steps);
  };

  const onCopy = (event: ClipboardEvent) => {
    if (editing !== null || place === null) return;
    event.preventDefault();
    const cells = selected.length > 0 ? selected : [[place]];
    event.clipboardData.setData("text/plain", cellsAsText(cells.map((line) => line.map(textOf))));
  };
  const onPaste = (event: ClipboardEvent) => {
    if (editing !== null || place === null || readOnly) return;
    event.preventDefault();
    const text = event.clipboardData.getData("text/plain");
    const cells = textAsCells(text);
    const isList = place.column === "name" && cells.length > 1 && cells.every((line) => line.length === 1) && /\d/.test(text);
    if (isList && onPastedList !== undefined) onPastedList(text, place);
    else session.edit(...pasteSteps(formula, session.book, place, cells, choices, settings.names));
  };

  // A finger that lands on a cell may be about to scroll: only a tap chooses. A mouse chooses at once.
  const pointer = useRef<string>("mouse");
  /** The cell that had the focus when the pointer came down: a tap moves the focus before it clicks. */
  const focusedBefore = useRef<Element | null>(null);
  const onPointerDown = (event: PointerEvent) => {
    pointer.current = event.pointerType;
    focusedBefore.current = document.activeElement;
    if (event.pointerType === "mouse") choose(event);
  };
  const onClick = (event: MouseEvent) => {
    if (pointer.current !== "mouse") choose(event);
  };
  const choose = (event: MouseEvent) => {
    const cell = (event.target as HTMLElement).closest<HTMLElement>("[data-cell]");
    if (cell === null || cell.dataset.cell === undefined || (event.target as HTMLElement).closest("input, button") !== null)
      return;
    const at = placeFromId(cell.dataset.cell);
    if (at === null || event.button !== 0) return;
    event.preventDefault();
    if (event.shiftKey) {
      setAnchor((from) => from ?? place);
      go(at, true);
      return;
    }
    const again = samePlace(at, place) && focusedBefore.current === cell;
    wantedColumn.current = at.column;
    if (again) startEditing(at, "edit");
    else {
      (document.activeElement as HTMLElement | null)?.blur();
      go(at);
    }
  };

  const openMenu = (at: CellPlace, opener: HTMLElement) => {
    setChosen(at);
    menu.current?.open(opener, { ...context, place: at });
  };

  const field = (at: CellPlace, now: Editing, label: string) => {
    const shared = {
      label,
      initial: now.initial,
      mode: now.mode,
      wrong: now.wrong,
      onText: (text: string) => session.type({ place: at, text }),
      onEnter: (entry: Entry, leave: Leave) => enter(at, entry, leave),
      onGiveUp: giveUp,
    };
    return at.column === "name" && at.use !== undefined ? (
      <IngredientField key="field" {...shared} book={session.book} names={settings.names} />
    ) : (
      <CellField key="field" {...shared} numeric={at.column !== "name" && at.column !== "note"} />
    );
  };

  const handlersNow = useRef<Handlers>({ field, openMenu, openDialog });
  handlersNow.current = { field, openMenu, openDialog };
  const handlers = useMemo(
    (): Handlers => ({
      field: (...request) => handlersNow.current.field(...request),
      openMenu: (...request) => handlersNow.current.openMenu(...request),
      openDialog: (dialog) => handlersNow.current.openDialog(dialog),
    }),
    [],
  );

  const compared = differences !== undefined;
  return (
    <div className="sheet" data-compared={compared}>
      <p id="sheet-keys" className="hidden-words">
        Arrows move, Enter or typing edits, Escape and then Tab leaves the sheet.
      </p>
      <table
        ref={table}
        // biome-ignore lint/a11y/noNoninteractiveElementToInteractiveRole: a grid is a table one can edit
        role="grid"
        aria-label={`${formula.name}: the sheet`}
        aria-describedby="sheet-keys"
        aria-readonly={readOnly}
        aria-multiselectable="true"
        onKeyDown={onKeyDown}
        onFocus={(event) => {
          // A screen reader moves the focus by itself: the chosen cell is where it is.
          const at = placeFromId(event.target.dataset.cell ?? "");
          if (at === null || moving.current || samePlace(at, place)) return;
          wantedColumn.current = at.column;
          setChosen(at);
        }}
        onCopy={onCopy}
        onCut={(event) => {
          onCopy(event);
          if (editing === null && place !== null) clearCells(selected.length > 0 ? selected.flat() : [place]);
        }}
        onPaste={onPaste}
        onPointerDown={onPointerDown}
        onClick={onClick}
      >
        <thead>
          <tr>
            <th scope="col" className="name">
              Ingredient
            </th>
            <th scope="col" className="note">
              Note
            </th>
            <th scope="col" className="figure grams">
              grams
            </th>
            <th scope="col" className="figure">
              {choices.basis === "batch" ? "% of batch" : "% of flour"}
            </th>
            <th scope="col" className="figure share">
              % of group
            </th>
            <th scope="col" className="more">
              <span className="hidden-words">Menu</span>
            </th>
          </tr>
        </thead>
        {formula.components.map((component, c) => (
          <ComponentRows
            // biome-ignore lint/suspicious/noArrayIndexKey: a component has no other identity than its place
            key={c}
            index={c}
            component={component}
            shown={components[c]!}
            active={place?.component === c ? place : null}
            picked={selected.some((line) => line[0]?.component === c) ? selectedIds : NONE}
            editing={editing?.place.component === c ? editing : null}
            handlers={handlers}
            settings={settings}
            showMethod={showMethod}
            readOnly={readOnly}
            differences={differences}
          />
        ))}
      </table>
      {formula.components.length === 0 ? (
        <div className="empty-sheet">
          <p>There is nothing in this formula yet.</p>
          {readOnly ? null : (
            <button type="button" className="button main" onClick={() => sheetActions.addComponent.does(context)}>
              Add a component
            </button>
          )}
        </div>
      ) : null}
      <Menu ref={menu} label="What can be done with this line" actions={menuFor} />
    </div>
  );
}

interface CellState {
  readonly id: string;
  readonly place: CellPlace;
  readonly active: boolean;
  readonly picked: boolean;
  readonly editing: Editing | null;
}

const cellProps = ({ id, active, picked, editing }: CellState) => ({
  "data-cell": id,
  tabIndex: active && editing === null ? 0 : -1,
  "aria-selected": active || picked,
  "data-active": active || undefined,
  "data-picked": picked || undefined,
  "data-editing": editing !== null || undefined,
});

/** Always the same functions, so that a row is drawn anew only when its own words change. */
interface Handlers {
  field(place: CellPlace, editing: Editing, label: string): ReactNode;
  openMenu(place: CellPlace, opener: HTMLElement): void;
  openDialog(dialog: SheetDialog): void;
}

const NONE: ReadonlySet<string> = new Set();

interface ComponentRowsProps {
  index: number;
  component: Component;
  shown: ShownComponent;
  /** The chosen cell, where it is in this component. */
  active: CellPlace | null;
  picked: ReadonlySet<string>;
  editing: Editing | null;
  handlers: Handlers;
  settings: Settings;
  showMethod: boolean;
  readOnly: boolean;
  differences: LineDifferences | undefined;
}

const ComponentRows = memo(function ComponentRows(props: ComponentRowsProps) {
  const { index, component, shown, active, picked, editing, handlers, settings, showMethod, readOnly, differences } = props;
  const { field, openMenu, openDialog } = handlers;
  const cell = (at: CellPlace): CellState => {
    const id = cellId(at);
    return {
      id,
      place: at,
      active: samePlace(at, active),
      picked: picked.has(id),
      editing: editing !== null && samePlace(at, editing.place) ? editing : null,
    };
  };
  const isOn = (other: CellPlace | null, s: number, u: number) => other !== null && other.stage === s && other.use === u;
  const name = cell({ component: index, column: "name" });
  return (
    <>
      <tbody className="component">
        <tr>
          <th scope="rowgroup" className="name" {...cellProps(name)}>
            {name.editing === null ? (
              <span className="component-name">{component.name}</span>
            ) : (
              field(name.place, name.editing, "Name of the component")
            )}
          </th>
          <td colSpan={4} className="about">
            <button
              type="button"
              className="words"
              tabIndex={-1}
              onClick={() => openDialog({ about: "component", component: index })}
              aria-label={`${component.name}: ${componentWords(component)}`}
            >
              {componentWords(component)}
            </button>
          </td>
          <MoreCell label={`More for ${component.name}`} onOpen={(opener) => openMenu(name.place, opener)} />
        </tr>
      </tbody>
      {component.stages.map((stage, s) => {
        const stageName = cell({ component: index, stage: s, column: "name" });
        const targets = cell({ component: index, stage: s, column: "note" });
        const blank = cell({ component: index, stage: s, use: stage.uses.length, column: "name" });
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: a stage has no other identity than its place
          <tbody key={s} className="stage" data-on={active?.stage === s || undefined}>
            <tr className="stage-head" data-on={(active?.stage === s && active.use === undefined) || undefined}>
              <th scope="row" className="name" {...cellProps(stageName)}>
                {stageName.editing === null ? (
                  <span className="stage-name">{stage.name}</span>
                ) : (
                  field(stageName.place, stageName.editing, "Name of the stage")
                )}
              </th>
              <td
                colSpan={4}
                className="targets"
                {...cellProps(targets)}
                aria-label={`Targets of ${stage.name}: ${targetsInWords(stage.targets, settings)}`}
              >
                {targetsInWords(stage.targets, settings)}
              </td>
              <MoreCell label={`More for ${stage.name}`} onOpen={(opener) => openMenu(stageName.place, opener)} />
            </tr>
            {showMethod && stage.method !== undefined ? (
              <tr className="method">
                <td colSpan={6}>{stage.method}</td>
              </tr>
            ) : null}
            {stage.uses.map((_, u) => (
              <UseRow
                // biome-ignore lint/suspicious/noArrayIndexKey: a line has no other identity than its place
                key={u}
                component={index}
                stage={s}
                use={u}
                shown={shown.stages[s]!.uses[u]!}
                active={isOn(active, s, u) ? active!.column : null}
                picked={
                  picked.size === 0
                    ? ""
                    : COLUMNS.filter((column) => picked.has(cellId({ component: index, stage: s, use: u, column }))).join(" ")
                }
                editing={editing !== null && isOn(editing.place, s, u) ? editing : null}
                handlers={handlers}
                difference={differences?.line(index, s, u)}
              />
            ))}
            {differences?.gone(index, s).map((line) => (
              <tr key={line.key} className="gone">
                <td className="name">{line.name}</td>
                <td className="note">no longer here</td>
                <td className="figure">
                  <Aligned text={line.grams} />
                  <span className="difference" />
                </td>
                <td colSpan={3} />
              </tr>
            ))}
            {readOnly ? null : (
              <tr className="blank">
                <td colSpan={6} className="name" {...cellProps(blank)} aria-label={`Add an ingredient to ${stage.name}`}>
                  {blank.editing === null ? (
                    <span className="add">add an ingredient</span>
                  ) : (
                    field(blank.place, blank.editing, "Ingredient")
                  )}
                </td>
              </tr>
            )}
          </tbody>
        );
      })}
      <tbody className="total">
        <tr>
          <td className="name" colSpan={2}>
            {component.name}
            {shown.finished === null ? null : <span className="after-loss">{shown.finished} g after its loss</span>}
            {shown.unweighed > 0 ? (
              <span className="unweighed">
                {" "}
                without {shown.unweighed} {shown.unweighed === 1 ? "line that is" : "lines that are"} not weighed
              </span>
            ) : null}
          </td>
          <td className="figure">
            <Aligned text={shown.total} />
            {differences === undefined ? null : <span className="difference">{differences.total(index)}</span>}
          </td>
          <td className="figure">{shown.percent === null ? null : <Aligned text={shown.percent} />}</td>
          <td colSpan={2} />
        </tr>
      </tbody>
    </>
  );
});

interface UseRowProps {
  component: number;
  stage: number;
  use: number;
  shown: ShownUse;
  active: ColumnName | null;
  /** Columns that are selected, parted by spaces. */
  picked: string;
  editing: Editing | null;
  handlers: Handlers;
  difference: string | null | undefined;
}

const sameWords = (a: ShownUse, b: ShownUse) =>
  a === b || (Object.keys(a) as (keyof ShownUse)[]).every((field) => a[field] === b[field]);
const sameRow = (a: UseRowProps, b: UseRowProps) =>
  sameWords(a.shown, b.shown) &&
  a.active === b.active &&
  a.picked === b.picked &&
  a.editing === b.editing &&
  a.difference === b.difference &&
  a.component === b.component &&
  a.stage === b.stage &&
  a.use === b.use;

const UseRow = memo(function UseRow({
  component,
  stage,
  use,
  shown,
  active,
  picked,
  editing,
  handlers,
  difference,
}: UseRowProps) {
  const { field, openMenu } = handlers;
  const cell = (column: ColumnName): CellState => {
    const place = { component, stage, use, column };
    return {
      id: cellId(place),
      place,
      active: active === column,
      picked: picked.includes(column),
      editing: editing?.place.column === column ? editing : null,
    };
  };
  const [name, note, grams, percent, share] = [cell("name"), cell("note"), cell("grams"), cell("percent"), cell("share")];
  return (
    <tr className="use" data-unknown={shown.unknown || undefined} data-on={active !== null || undefined}>
      <th scope="row" className="name" {...cellProps(name)}>
        {name.editing === null ? (
          <>
            <span className="ingredient">{shown.name}</span>
            {shown.unknown ? <span className="unknown-words">not among the ingredients: choose one, or add it</span> : null}
          </>
        ) : (
          field(name.place, name.editing, "Ingredient")
        )}
      </th>
      <td className="note" {...cellProps(note)}>
        {note.editing === null ? shown.note : field(note.place, note.editing, `Note on ${shown.name}`)}
      </td>
      <td
        className="figure grams"
        {...cellProps(grams)}
        aria-label={shown.grams === null ? `${shown.name}: not weighed` : undefined}
      >
        {grams.editing !== null ? (
          field(grams.place, grams.editing, `Grams of ${shown.name}`)
        ) : shown.grams === null ? (
          <span className="not-weighed">not weighed</span>
        ) : (
          <Aligned text={shown.grams} />
        )}
        {difference === undefined ? null : <span className="difference">{difference}</span>}
      </td>
      <td className="figure" {...cellProps(percent)}>
        {percent.editing !== null ? (
          field(percent.place, percent.editing, `Percent of ${shown.name}`)
        ) : shown.percent === null ? null : (
          <Aligned text={shown.percent} />
        )}
      </td>
      <td className="figure share" {...cellProps(share)}>
        {share.editing !== null ? (
          field(share.place, share.editing, `Share of ${shown.name} in its group`)
        ) : shown.share === null ? null : (
          <>
            <Aligned text={shown.share} />
            <span className="group">{shown.group}</span>
          </>
        )}
      </td>
      <MoreCell label={`More for ${shown.name}`} onOpen={(opener) => openMenu(name.place, opener)} />
    </tr>
  );
}, sameRow);

function MoreCell({ label, onOpen }: { label: string; onOpen: (opener: HTMLElement) => void }) {
  return (
    <td className="more no-print">
      <button
        type="button"
        className="more-button"
        tabIndex={-1}
        aria-label={label}
        aria-haspopup="menu"
        onClick={(event) => onOpen(event.currentTarget)}
      >
        <svg viewBox="0 0 20 20" width="18" height="18" aria-hidden="true">
          <circle cx="4" cy="10" r="1.7" />
          <circle cx="10" cy="10" r="1.7" />
          <circle cx="16" cy="10" r="1.7" />
        </svg>
      </button>
    </td>
  );
}

/** "cake · 2 × round 20x5 cm · 9 % lost in the oven (measured)" */
export function componentWords(component: Component): string {
  return [
    component.kind,
    component.tins?.map(({ count, tin }) => `${count} × ${tin}`).join(", "),
    component.loss === undefined ? undefined : `loses ${Number(component.loss.percent.toFixed(1))} % (${component.loss.basis})`,
  ]
    .filter((part) => part !== undefined && part !== "")
    .join(" · ");
}

export const temperatureScale = (settings: Settings): TemperatureScale =>
  settings.temperature === "gas-mark" ? "gas" : settings.temperature;

/** "pale and fluffy · 6 min" */
export function targetsInWords(targets: readonly Target[] | undefined, settings: Settings): string {
  return (targets ?? []).map((target) => targetWords(target, temperatureScale(settings))).join(" · ");
}

function cellText(
  place: CellPlace,
  formula: Formula,
  components: readonly ShownComponent[],
  book: IngredientBook,
  settings: Settings,
): string {
  const component = formula.components[place.component];
  if (component === undefined) return "";
  if (place.stage === undefined) return component.name;
  const stage: Stage | undefined = component.stages[place.stage];
  if (stage === undefined) return "";
  if (place.use === undefined) return place.column === "name" ? stage.name : targetsInWords(stage.targets, settings);
  const use = stage.uses[place.use];
  const shown = components[place.component]?.stages[place.stage]?.uses[place.use];
  if (use === undefined || shown === undefined) return "";
  switch (place.column) {
    case "name": {
      const known = book.get(use.ingredient);
      return known === undefined ? use.ingredient : displayName(known, settings.names);
    }
    case "note":
      return use.note ?? "";
    case "grams":
      return shown.exactGrams;
    case "percent":
      return shown.percent ?? "";
    case "share":
      return shown.share ?? "";
  }
}

function placeFromId(id: string): CellPlace | null {
  const match = /^cell-(\d+)-(\d*)-(\d*)-(\w+)$/.exec(id);
  if (match === null) return null;
  const [, component, stage, use, column] = match;
  return {
    component: Number(component),
    ...(stage === "" ? {} : { stage: Number(stage) }),
    ...(use === "" ? {} : { use: Number(use) }),
    column: column as ColumnName,
  };
}
