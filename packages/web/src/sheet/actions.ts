import {
  addComponent,
  addStage,
  type Edited,
  type Formula,
  freeComponentName,
  moveComponent,
  moveStage,
  moveUse,
  removeComponent,
  removeStage,
  removeUse,
  type UsePlace,
} from "@evencrumb/core/formula";
import { defineActions } from "../app/action.js";
import type { CellPlace, FormulaSession } from "../formula/session.js";

/** What a dialogue of the sheet is about. */
export type SheetDialog =
  | { readonly about: "stage"; readonly component: number; readonly stage: number }
  | { readonly about: "component"; readonly component: number }
  | { readonly about: "split"; readonly component: number; readonly ingredient: string };

export interface SheetContext {
  readonly session: FormulaSession;
  readonly place: CellPlace | null;
  readonly readOnly: boolean;
  readonly select: (place: CellPlace) => void;
  readonly openDialog: (dialog: SheetDialog) => void;
  readonly startEditing: () => void;
}

const formulaOf = (context: SheetContext): Formula => context.session.state().formula;

function lineOf({ session, place }: SheetContext): UsePlace | null {
  if (place?.stage === undefined || place.use === undefined) return null;
  const stage = session.state().formula.components[place.component]?.stages[place.stage];
  return stage !== undefined && place.use < stage.uses.length
    ? { component: place.component, stage: place.stage, use: place.use }
    : null;
}

const stageOf = ({ place }: SheetContext) =>
  place?.stage === undefined ? null : { component: place.component, stage: place.stage };

/** A line one place up or down; past the end of its stage it goes into the next one. */
function neighbourOf(context: SheetContext, step: -1 | 1): UsePlace | null {
  const from = lineOf(context);
  if (from === null) return null;
  const { components } = formulaOf(context);
  const stages = components[from.component]!.stages;
  const within = from.use + step;
  if (within >= 0 && within < stages[from.stage]!.uses.length) return { ...from, use: within };
  let stage = from.stage + step;
  let component = from.component;
  if (stage < 0 || stage >= stages.length) {
    component += step;
    const next = components[component]?.stages;
    if (next === undefined || next.length === 0) return null;
    stage = step > 0 ? 0 : next.length - 1;
  }
  return { component, stage, use: step > 0 ? 0 : components[component]!.stages[stage]!.uses.length };
}

const edit = (context: SheetContext, step: (formula: Formula) => Edited) => context.session.edit(step);
const writable = (context: SheetContext) => !context.readOnly;

function moveLine(context: SheetContext, step: -1 | 1): void {
  const from = lineOf(context);
  const to = neighbourOf(context, step);
  if (from === null || to === null) return;
  if (edit(context, (formula) => moveUse(formula, from, to))) context.select({ ...to, column: context.place?.column ?? "name" });
}

function moveStageBy(context: SheetContext, step: -1 | 1): void {
  const from = stageOf(context);
  if (from === null) return;
  const to = { component: from.component, stage: from.stage + step };
  if (edit(context, (formula) => moveStage(formula, from, to))) context.select({ ...to, column: "name" });
}

export const sheetActions = defineActions<SheetContext>()({
  undo: {
    label: "Undo",
    keys: ["Control+Z"],
    applies: (context) => writable(context) && context.session.state().canUndo,
    does: ({ session }) => session.undo(),
  },
  redo: {
    label: "Redo",
    keys: ["Control+Y", "Control+Shift+Z"],
    applies: (context) => writable(context) && context.session.state().canRedo,
    does: ({ session }) => session.redo(),
  },
  addLine: {
    label: "Add an ingredient here",
    keys: ["Insert"],
    applies: (context) => writable(context) && stageOf(context) !== null,
    does: (context) => {
      const stage = stageOf(context);
      if (stage === null) return;
      const uses = formulaOf(context).components[stage.component]!.stages[stage.stage]!.uses;
      context.select({ ...stage, use: uses.length, column: "name" });
      context.startEditing();
    },
  },
  removeLine: {
    label: "Remove this ingredient",
    keys: ["Control+Delete", "Control+Backspace"],
    applies: (context) => writable(context) && lineOf(context) !== null,
    does: (context) => {
      const place = lineOf(context);
      if (place !== null && edit(context, (formula) => removeUse(formula, place))) {
        context.select({ ...place, column: context.place?.column ?? "name" });
      }
    },
  },
  moveLineUp: {
    label: "Move up",
    keys: ["Alt+ArrowUp"],
    applies: (context) => writable(context) && neighbourOf(context, -1) !== null,
    does: (context) => moveLine(context, -1),
  },
  moveLineDown: {
    label: "Move down",
    keys: ["Alt+ArrowDown"],
    applies: (context) => writable(context) && neighbourOf(context, 1) !== null,
    does: (context) => moveLine(context, 1),
  },
  split: {
    label: "Split over stages…",
    applies: (context) => {
      const place = lineOf(context);
      return writable(context) && place !== null && formulaOf(context).components[place.component]!.stages.length > 1;
    },
    does: (context) => {
      const place = lineOf(context);
      if (place === null) return;
      const { ingredient } = formulaOf(context).components[place.component]!.stages[place.stage]!.uses[place.use]!;
      context.openDialog({ about: "split", component: place.component, ingredient });
    },
  },
  stageDetails: {
    label: "Method and targets…",
    applies: (context) => stageOf(context) !== null,
    does: (context) => {
      const stage = stageOf(context);
      if (stage !== null) context.openDialog({ about: "stage", ...stage });
    },
  },
  addStage: {
    label: "Add a stage after this",
    keys: ["Control+Shift+Enter"],
    applies: (context) => writable(context) && context.place !== null,
    does: (context) => {
      const { place } = context;
      if (place === null) return;
      const at = place.stage === undefined ? 0 : place.stage + 1;
      if (edit(context, (formula) => addStage(formula, place.component, { name: "Stage", uses: [] }, at))) {
        context.select({ component: place.component, stage: at, column: "name" });
        context.startEditing();
      }
    },
  },
  removeStage: {
    label: "Remove this stage",
    applies: (context) => writable(context) && stageOf(context) !== null,
    does: (context) => {
      const stage = stageOf(context);
      if (stage !== null && edit(context, (formula) => removeStage(formula, stage)))
        context.select({ component: stage.component, column: "name" });
    },
  },
  moveStageUp: {
    label: "Move the stage up",
    applies: (context) => writable(context) && (stageOf(context)?.stage ?? 0) > 0,
    does: (context) => moveStageBy(context, -1),
  },
  moveStageDown: {
    label: "Move the stage down",
    applies: (context) => {
      const stage = stageOf(context);
      return (
        writable(context) && stage !== null && stage.stage < formulaOf(context).components[stage.component]!.stages.length - 1
      );
    },
    does: (context) => moveStageBy(context, 1),
  },
  componentDetails: {
    label: "Kind, tins, loss and batter…",
    applies: (context) => context.place !== null,
    does: (context) => {
      if (context.place !== null) context.openDialog({ about: "component", component: context.place.component });
    },
  },
  addComponent: {
    label: "Add a component",
    applies: writable,
    does: (context) => {
      const at = context.place === null ? formulaOf(context).components.length : context.place.component + 1;
      const made = edit(context, (formula) => {
        const name = freeComponentName(formula, formula.components.length === 0 ? "Cake" : "Component");
        const kind = formula.components.length === 0 ? "cake" : "other";
        return addComponent(formula, { name, kind, stages: [{ name: "Mix", uses: [] }] }, at);
      });
      if (made) {
        context.select({ component: at, column: "name" });
        context.startEditing();
      }
    },
  },
  removeComponent: {
    label: "Remove this component",
    applies: (context) => writable(context) && context.place !== null,
    does: (context) => {
      const { place } = context;
      if (place !== null && edit(context, (formula) => removeComponent(formula, place.component)))
        context.select({ component: Math.max(0, place.component - 1), column: "name" });
    },
  },
  moveComponentUp: {
    label: "Move the component up",
    applies: (context) => writable(context) && (context.place?.component ?? 0) > 0,
    does: (context) => {
      const at = context.place?.component ?? 0;
      if (edit(context, (formula) => moveComponent(formula, at, at - 1))) context.select({ component: at - 1, column: "name" });
    },
  },
  moveComponentDown: {
    label: "Move the component down",
    applies: (context) =>
      writable(context) && context.place !== null && context.place.component < formulaOf(context).components.length - 1,
    does: (context) => {
      const at = context.place?.component ?? 0;
      if (edit(context, (formula) => moveComponent(formula, at, at + 1))) context.select({ component: at + 1, column: "name" });
    },
  },
});

/** What the menu of a line offers, by what the line is. */
export function menuFor(context: SheetContext) {
  const { place } = context;
  const a = sheetActions;
  if (place === null) return [a.addComponent];
  if (place.stage === undefined) {
    return [
      a.componentDetails,
      null,
      a.addStage,
      a.addComponent,
      null,
      a.moveComponentUp,
      a.moveComponentDown,
      null,
      a.removeComponent,
    ];
  }
  if (place.use === undefined) {
    return [a.stageDetails, a.addLine, null, a.addStage, a.moveStageUp, a.moveStageDown, null, a.removeStage];
  }
  return [a.split, a.addLine, null, a.moveLineUp, a.moveLineDown, null, a.removeLine];
}
