import type { ReactNode } from "react";
import { Field } from "../parts/Field.js";

/** A number as it is typed, with its unit behind it. */
export function NumberField({
  label,
  value,
  onValue,
  unit,
  help,
  placeholder,
  wrong,
}: {
  label: string;
  value: string;
  onValue: (value: string) => void;
  unit?: string | undefined;
  help?: ReactNode;
  placeholder?: string;
  wrong?: string | null;
}) {
  return (
    <Field label={label} help={help} wrong={wrong}>
      {(props) => (
        <span className="with-unit">
          <input
            {...props}
            className="short"
            inputMode="decimal"
            value={value}
            placeholder={placeholder}
            onChange={(event) => onValue(event.currentTarget.value)}
          />
          {unit === undefined || unit === "" ? null : <span className="muted">{unit}</span>}
        </span>
      )}
    </Field>
  );
}

/** One of a few, all in sight. */
export function Choices<Value extends string>({
  legend,
  value,
  options,
  onValue,
}: {
  legend: string;
  value: Value;
  options: readonly (readonly [Value, ReactNode])[];
  onValue: (value: Value) => void;
}) {
  return (
    <fieldset className="ask-choices">
      <legend>{legend}</legend>
      {options.map(([option, words]) => (
        <label key={option} className="choice">
          <input type="radio" name={legend} checked={value === option} onChange={() => onValue(option)} />
          <span>{words}</span>
        </label>
      ))}
    </fieldset>
  );
}
