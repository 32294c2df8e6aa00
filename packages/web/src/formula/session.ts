import { composeFormula, type FormulaComposition } from "@evencrumb/core/composition";
import { type Edited, type Formula, type FormulaPercentages, percentages } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import type { Problem } from "@evencrumb/core/quantities";
import type { Change } from "../keep/outbox.js";
import { readSmall, removeSmall, type SmallStorage, writeSmall } from "../keep/storage.js";

/** A cell of the sheet by what it belongs to, so that a reload finds it again. */
export interface CellPlace {
  readonly component: number;
  /** Absent on the component's own heading. */
  readonly stage?: number;
  /** Absent on the stage's own heading; one past the last is the empty line at its end. */
  readonly use?: number;
  readonly column: ColumnName;
}
export type ColumnName = "name" | "note" | "grams" | "percent" | "share";

/** Text in a cell that has not been entered yet. */
export interface Typing {
  readonly place: CellPlace;
  readonly text: string;
}

/** Work that is kept on this device from the keystroke on. */
export interface LocalDraft {
  readonly baseRevisionId: string;
  readonly formula: Formula;
  /** [ms since 1970] */
  readonly changedAt: number;
}

export interface Derived {
  readonly percentages: FormulaPercentages;
  readonly composition: FormulaComposition;
}

export interface SessionState {
  readonly formula: Formula;
  readonly baseRevisionId: string;
  /** Differs from the revision it started from. */
  readonly changed: boolean;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
  readonly typing: Typing | null;
  /** Why the last edit could not be made. */
  readonly problem: Problem | null;
  readonly derived: Derived;
}

const UNDO_DEPTH = 300;

/** One open formula: what it is now, what it was, and what is being typed. */
export class FormulaSession {
  readonly documentId: string;
  readonly #outbox: { add(change: Change, delayMs?: number): void };
  readonly #storage: SmallStorage;
  readonly #listeners = new Set<() => void>();
  /** The bakery's book, and the one with what the formula itself brought. */
  #given: IngredientBook;
  #book: IngredientBook;
  #base: Formula;
  #undo: Formula[] = [];
  #redo: Formula[] = [];
  #state: SessionState;

  constructor(request: {
    readonly documentId: string;
    readonly baseRevisionId: string;
    readonly base: Formula;
    /** The draft that the server has from this device; one that is kept here is newer and wins. */
    readonly draft?: Formula | undefined;
    readonly book: IngredientBook;
    readonly outbox: { add(change: Change, delayMs?: number): void };
    readonly storage?: SmallStorage;
  }) {
    this.documentId = request.documentId;
    this.#outbox = request.outbox;
    this.#storage = request.storage ?? localStorage;
    this.#given = request.book;
    this.#book = withOwn(request.book, request.base);
    this.#base = request.base;
    const local = readSmall<LocalDraft>(`draft.${request.documentId}`, this.#storage);
    const formula = local?.formula ?? request.draft ?? request.base;
    this.#state = {
      formula,
      baseRevisionId: local === undefined ? request.baseRevisionId : local.baseRevisionId,
      changed: local !== undefined || request.draft !== undefined,
      canUndo: false,
      canRedo: false,
      typing: readSmall<Typing>(`typing.${request.documentId}`, this.#storage) ?? null,
      problem: null,
      derived: derive(formula, this.#book),
    };
  }

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = (): SessionState => this.#state;

  get book(): IngredientBook {
    return this.#book;
  }

  /** What it started from. */
  base(): Formula {
    return this.#base;
  }

  takeBook(book: IngredientBook): void {
    if (book === this.#given) return;
    this.#given = book;
    this.#book = withOwn(book, this.#base);
    this.#set({ derived: derive(this.#state.formula, this.#book) });
  }

  /** Makes an edit, or says why it cannot be made. Several edits in one go undo in one go. */
  edit(...steps: ((formula: Formula, book: IngredientBook) => Edited)[]): boolean {
    performance.mark("edit-start");
    let formula = this.#state.formula;
    for (const step of steps) {
      const edited = step(formula, this.#book);
      if (!edited.ok) {
        this.#set({ problem: edited.error });
        return false;
      }
      formula = edited.value;
    }
    if (formula === this.#state.formula) {
      this.#set({ problem: null });
      return true;
    }
    this.#undo = [...this.#undo.slice(-UNDO_DEPTH), this.#state.formula];
    this.#redo = [];
    this.#show(formula);
    return true;
  }

  undo(): void {
    const formula = this.#undo.at(-1);
    if (formula === undefined) return;
    this.#undo = this.#undo.slice(0, -1);
    this.#redo = [...this.#redo, this.#state.formula];
    this.#show(formula);
  }

  redo(): void {
    const formula = this.#redo.at(-1);
    if (formula === undefined) return;
    this.#redo = this.#redo.slice(0, -1);
    this.#undo = [...this.#undo, this.#state.formula];
    this.#show(formula);
  }

  /** What stands in a cell that is being typed in; null when it was entered or given up. */
  type(typing: Typing | null): void {
    if (typing === null) removeSmall(`typing.${this.documentId}`, this.#storage);
    else writeSmall(`typing.${this.documentId}`, typing, this.#storage);
    // No listener needs to hear of a keystroke: the field shows it by itself.
    this.#state = { ...this.#state, typing };
  }

  forgetProblem(): void {
    if (this.#state.problem !== null) this.#set({ problem: null });
  }

  /** Keeps what is there as a revision of its own; later changes start from it. */
  keep(note: string): string {
    const revisionId = crypto.randomUUID();
    const { formula, baseRevisionId } = this.#state;
    const settlesId = readSmall<string>(`settles.${this.documentId}`, this.#storage);
    removeSmall(`settles.${this.documentId}`, this.#storage);
    this.#outbox.add({
      ...(settlesId === undefined ? {} : { settlesId }),
      does: "keep",
      documentId: this.documentId,
      revisionId,
      parentId: baseRevisionId,
      body: formula,
      note,
      madeAt: Date.now(),
    });
    removeSmall(`draft.${this.documentId}`, this.#storage);
    this.#base = formula;
    this.#set({ baseRevisionId: revisionId, changed: false });
    return revisionId;
  }

  /** Another device's revision is seen and passed over: the next one that is kept here joins the two lines of work. */
  passOver(revisionId: string): void {
    writeSmall(`settles.${this.documentId}`, revisionId, this.#storage);
  }

  /** Goes back to the revision it started from. It can be undone. */
  giveUpChanges(): void {
    this.#undo = [...this.#undo, this.#state.formula];
    this.#redo = [];
    removeSmall(`draft.${this.documentId}`, this.#storage);
    this.#outbox.add({ does: "drop-draft", documentId: this.documentId });
    this.#set({ formula: this.#base, changed: false, derived: derive(this.#base, this.#book), canUndo: true, canRedo: false });
  }

  /** Starts again from another revision: someone else's, or an older one. Unsaved work stays one undo away. */
  startFrom(revisionId: string, formula: Formula): void {
    if (this.#state.changed) this.#undo = [...this.#undo, this.#state.formula];
    this.#redo = [];
    this.#base = formula;
    removeSmall(`draft.${this.documentId}`, this.#storage);
    if (this.#state.changed) this.#outbox.add({ does: "drop-draft", documentId: this.documentId });
    this.#set({
      baseRevisionId: revisionId,
      formula,
      changed: false,
      derived: derive(formula, this.#book),
      canUndo: this.#undo.length > 0,
      canRedo: false,
    });
  }

  #show(formula: Formula): void {
    const { baseRevisionId } = this.#state;
    const draft: LocalDraft = { baseRevisionId, formula, changedAt: Date.now() };
    const changed = JSON.stringify(formula) !== JSON.stringify(this.#base);
    if (changed) {
      writeSmall(`draft.${this.documentId}`, draft, this.#storage);
      this.#outbox.add({ does: "draft", documentId: this.documentId, baseRevisionId, body: formula }, 1200);
    } else {
      removeSmall(`draft.${this.documentId}`, this.#storage);
      this.#outbox.add({ does: "drop-draft", documentId: this.documentId }, 1200);
    }
    this.#set({
      formula,
      changed,
      problem: null,
      derived: derive(formula, this.#book),
      canUndo: this.#undo.length > 0,
      canRedo: this.#redo.length > 0,
    });
  }

  #set(change: Partial<SessionState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

/** A formula that came from elsewhere brings the ingredients that this bakery may not have; the bakery's own win. */
function withOwn(book: IngredientBook, formula: Formula): IngredientBook {
  const brought = (formula.ingredients ?? []).filter(({ id }) => book.get(id) === undefined);
  if (brought.length === 0) return book;
  const byId = new Map(brought.map((ingredient) => [ingredient.id, ingredient]));
  return { all: [...book.all, ...brought], get: (id) => book.get(id) ?? byId.get(id) };
}

function derive(formula: Formula, book: IngredientBook): Derived {
  return { percentages: percentages(formula, book), composition: composeFormula(formula, book) };
}
