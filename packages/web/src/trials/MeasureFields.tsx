import { addMeasure, type Measure, meanOfFigures, USUAL_MEASURES } from "@evencrumb/core/trials";
import { useState } from "react";
import { typedNumber } from "./asking.js";
import type { BakingTrial } from "./documents.js";
import type { TrialSession } from "./session.js";
import { plain } from "./settingWords.js";

/** A large field for one measure: a figure, or several whose mean is recorded. */
export function MeasureField({
  measure,
  value,
  onValue,
}: {
  measure: Measure;
  value: number | null;
  onValue: (value: number | null) => void;
}) {
  const [text, setText] = useState(value === null ? "" : String(value));
  const several = meanOfFigures(text);
  const typed = several?.mean ?? typedNumber(text);
  const wrong = text.trim() !== "" && typed === undefined;
  // Another device may have written it meanwhile, or it follows from other figures.
  const shown = wrong || typed === value || (text.trim() === "" && value === null) ? text : String(value ?? "");
  return (
    <label className="run-field">
      <span className="run-field-name">
        {measure.name}
        {measure.how === undefined ? null : <span className="muted small">{measure.how}</span>}
      </span>
      <span className="with-unit">
        <input
          inputMode="decimal"
          value={shown}
          aria-invalid={wrong}
          className={shown.length > 8 ? "long" : undefined}
          onChange={(event) => {
            const next = event.currentTarget.value;
            setText(next);
            if (next.trim() === "") return onValue(null);
            const number = meanOfFigures(next)?.mean ?? typedNumber(next);
            if (number !== undefined) onValue(number);
          }}
        />
        <span className="muted">{measure.unit}</span>
      </span>
      {several !== undefined && shown === text ? (
        <span className="muted small run-field-mean" role="status">
          The mean of {several.figures.length} is recorded: {plain(several.mean, 3)} {measure.unit}
        </span>
      ) : null}
      {wrong ? (
        <span className="wrong" role="alert">
          “{text.trim()}” is no number. Write the number alone, or several with spaces between.
        </span>
      ) : null}
    </label>
  );
}

/** One more thing to measure in every run, thought of at the bench. */
export function AlsoMeasure({ trial, session }: { trial: BakingTrial; session: TrialSession }) {
  const known = new Set(trial.sheet.measures.map(({ name }) => name));
  const left = USUAL_MEASURES.filter(({ name }) => !known.has(name));
  if (left.length === 0) return null;
  return (
    <label className="also-measure no-print">
      <span className="muted">Also measure, in every run</span>
      <select
        value=""
        onChange={(event) => {
          const measure = left.find(({ name }) => name === event.currentTarget.value);
          if (measure === undefined) return;
          session.edit((body) => {
            const now = body as BakingTrial;
            if (now.sheet.measures.some(({ name }) => name === measure.name)) return now;
            return { ...now, sheet: addMeasure(now.sheet, measure) };
          });
        }}
      >
        <option value="">choose…</option>
        {left.map(({ name, unit }) => (
          <option key={name} value={name}>
            {name} [{unit}]
          </option>
        ))}
      </select>
    </label>
  );
}
