import { type ReactNode, useEffect, useState } from "react";
import { Field } from "./Field.js";

/** A number that may be left out. What is typed and is none stays in the field, said to be wrong, and goes no further. */
export function NumberField({
  label,
  help,
  value,
  least,
  most,
  isWhole = false,
  id,
  onValue,
}: {
  label: string;
  help?: ReactNode;
  value: number | undefined;
  least: number;
  most: number;
  isWhole?: boolean;
  id?: string;
  onValue: (value: number | undefined) => void;
}) {
  const [text, setText] = useState(value === undefined ? "" : String(value));
  useEffect(() => {
    // Another device, or another label: what stands here follows, unless it says the same already.
    setText((now) => (numberIn(now) === value ? now : value === undefined ? "" : String(value)));
  }, [value]);
  const isFine = (number: number) => number >= least && number <= most && (!isWhole || Number.isInteger(number));
  const number = numberIn(text);
  const wrong =
    number === undefined || isFine(number) ? null : `A ${isWhole ? "whole " : ""}number from ${least} to ${most}, or nothing.`;
  return (
    <Field label={label} help={help} wrong={wrong}>
      {(field) => (
        <input
          {...field}
          data-field={id}
          className="short"
          inputMode={isWhole ? "numeric" : "decimal"}
          value={text}
          onChange={(event) => {
            const typed = event.currentTarget.value;
            setText(typed);
            const next = numberIn(typed);
            if (next === undefined || isFine(next)) onValue(next);
          }}
        />
      )}
    </Field>
  );
}

/** undefined for nothing, not-a-number for what is none. */
function numberIn(text: string): number | undefined {
  const trimmed = text.trim().replace(",", ".");
  if (trimmed === "") return undefined;
  return /^\d+(?:\.\d*)?$|^\.\d+$/.test(trimmed) ? Number(trimmed) : Number.NaN;
}
