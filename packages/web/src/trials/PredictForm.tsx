import { type Analysis, centreOf, predictAt, sayPrediction, settingValues } from "@evencrumb/core/trials";
import { useState } from "react";
import { Field } from "../parts/Field.js";
import type { BakingTrial } from "./documents.js";
import { plain } from "./settingWords.js";

/** What one more bake should give, at any setting within the limits. */
export function PredictForm({ trial, analysis }: { trial: BakingTrial; analysis: Analysis }) {
  const measure = trial.sheet.measures[0]!;
  const { factors } = trial.sheet;
  const centre = centreOf(factors);
  const [setting, setSetting] = useState<Record<string, string>>(() =>
    Object.fromEntries(
      factors.map((factor, index) => [
        factor.name,
        factor.kind === "choice"
          ? factor.levels[0]!
          : factor.kind === "share"
            ? plain(centre[index]! * 100, 1)
            : plain(centre[index]!, 2),
      ]),
    ),
  );
  const values = settingValues(
    factors,
    Object.fromEntries(
      factors.map((factor) => {
        const text = setting[factor.name]!;
        const number = Number(text.replace(",", "."));
        return [factor.name, factor.kind === "choice" ? text : factor.kind === "share" ? number / 100 : number];
      }),
    ),
  );
  const shares = factors.flatMap((factor, index) => (factor.kind === "share" ? [values?.[index] ?? Number.NaN] : []));
  const whole = shares.length === 0 || Math.abs(shares.reduce((sum, share) => sum + share, 0) - 1) < 0.006;
  return (
    <details className="more figures-behind">
      <summary>What another setting should give</summary>
      <div className="row">
        {factors.map((factor) => (
          <Field key={factor.name} label={factor.name}>
            {(props) =>
              factor.kind === "choice" ? (
                <select
                  {...props}
                  value={setting[factor.name]}
                  onChange={(event) => setSetting({ ...setting, [factor.name]: event.currentTarget.value })}
                >
                  {factor.levels.map((level) => (
                    <option key={level}>{level}</option>
                  ))}
                </select>
              ) : (
                <span className="with-unit">
                  <input
                    {...props}
                    className="short"
                    inputMode="decimal"
                    value={setting[factor.name]}
                    onChange={(event) => setSetting({ ...setting, [factor.name]: event.currentTarget.value })}
                  />
                  <span className="muted">{factor.kind === "share" ? "%" : (factor.unit ?? "")}</span>
                </span>
              )
            }
          </Field>
        ))}
      </div>
      <p role="status">
        {!whole
          ? "The shares have to make up 100 % together."
          : values === undefined || values.some((value) => Number.isNaN(value))
            ? "Write a number for each."
            : `Predicted, not measured: ${sayPrediction(predictAt(analysis, values), measure.unit)}.`}
      </p>
    </details>
  );
}
