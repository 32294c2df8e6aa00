import { labelFor, labelSvg, layoutLabel, sheetOf } from "@evencrumb/core/label";
import { useDeferredValue, useMemo, useState } from "react";
import { ActionButton } from "../app/ActionButton.js";
import { addresses } from "../app/route.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { BakeryFields } from "../label/BakeryFields.js";
import { inputsOf } from "../label/documents.js";
import { Figures } from "../label/Figures.js";
import { Findings, goToField } from "../label/Findings.js";
import { IngredientFields } from "../label/IngredientFields.js";
import { LabelChoice } from "../label/LabelChoice.js";
import { LabelPaperView, SheetPicture } from "../label/LabelPaperView.js";
import { labelActions } from "../label/labelActions.js";
import { NutritionFields } from "../label/NutritionFields.js";
import { DateFields, PackFields } from "../label/PackFields.js";
import { PaperFields, type Run } from "../label/PaperFields.js";
import { SaleFields } from "../label/SaleFields.js";
import { AddedSugarsFields, AnalysedFields } from "../label/UsFigureFields.js";
import { useLabels } from "../label/useLabels.js";
import { today } from "../parts/dates.js";
import { useLabelFont } from "../parts/useLabelFont.js";
import "../style/papers.css";
import "../style/label.css";
import { type OpenFormula, useSessionState } from "./FormulaPage.js";

/** The label as it prints, while it is written; what is missing and where each figure comes from beside it. */
export function LabelPage({ open }: { open: OpenFormula }) {
  const { id } = open.detail.document;
  const { formula: typed } = useSessionState(open.session);
  const formula = useDeferredValue(typed);
  const house = useHouse();
  const { book, settings } = useHouseState();
  const labels = useLabels(id);
  const body = useDeferredValue(labels.body);
  const fontCss = useLabelFont();
  const [run, setRun] = useState<Run>({ skip: 0, count: undefined });
  const [said, say] = useState<string | null>(null);
  const label = useMemo(() => labelFor(formula, book, inputsOf(body, settings, today())), [formula, book, body, settings]);
  const { paper } = body;
  const layout = useMemo(() => layoutLabel(label, { widthMm: paper.widthMm, heightMm: paper.heightMm }), [label, paper]);
  const svg = useMemo(() => labelSvg(layout, { title: label.name, fontCss }), [layout, label, fontCss]);
  // One alone may grow until all of it fits; a sheet's labels are as they were cut.
  const isAlone = paper.rows === 1 && paper.columns === 1;
  const { value: sheet, problems } = useMemo(
    () => sheetOf(paper, isAlone ? layout.heightMm : paper.heightMm),
    [paper, isAlone, layout.heightMm],
  );
  const grid = isAlone || layout.fits ? sheet : undefined;
  const perSheet = grid === undefined ? 0 : grid.rows * grid.columns;
  const skip = Math.min(run.skip, Math.max(0, perSheet - 1));
  const count = run.count ?? Math.max(1, perSheet - skip);
  const context = { house, formula, label, body, layout, svg, fontCss, grid, skip, count, say };
  const fields = { label, body: labels.body, change: labels.change };
  return (
    <div className="page">
      <header>
        <div className="stack tight">
          <a className="back" href={addresses.formula(id)}>
            ‹ {formula.name}
          </a>
          <h1>Label</h1>
        </div>
        <div className="buttons">
          <ActionButton action={labelActions.words} context={context} />
          <ActionButton action={labelActions.page} context={context} />
          <ActionButton action={labelActions.drawing} context={context} />
          <ActionButton action={labelActions.pdf} context={context} />
          <ActionButton action={labelActions.print} context={context} kind="main" />
        </div>
      </header>
      {said === null ? null : (
        <p className="caution-words" role="status">
          {said}
        </p>
      )}
      <LabelChoice labels={labels} />
      {labels.isReady ? (
        <div className="label-view">
          <div className="label-paper">
            <LabelPaperView label={label} layout={layout} svg={svg} />
            {grid !== undefined && perSheet > 1 ? <SheetPicture grid={grid} skip={skip} count={count} /> : null}
            <Findings label={label} />
            {label.nutrition === undefined ? null : <Figures nutrition={label.nutrition} onField={goToField} />}
          </div>
          <div className="stack label-words">
            <SaleFields {...fields} />
            <PackFields {...fields} />
            <DateFields {...fields} />
            <BakeryFields label={label} house={house} settings={settings} />
            <IngredientFields {...fields} formula={formula} book={book} />
            <AddedSugarsFields {...fields} formula={formula} book={book} />
            <NutritionFields {...fields} />
            <AnalysedFields {...fields} />
            <PaperFields
              id={labels.id ?? `new-${id}`}
              body={labels.body}
              change={labels.change}
              run={run}
              onRun={setRun}
              problems={problems}
            />
          </div>
        </div>
      ) : (
        <p className="muted" role="status">
          Opening the label…
        </p>
      )}
    </div>
  );
}
