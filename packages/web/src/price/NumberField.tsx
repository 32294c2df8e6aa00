import { type ReactNode, useState } from "react";
import { Field } from "../parts/Field.js";

/**
 * A number as it is typed, with a point or a comma; what is no number is said and not taken. Empty is "not said".
 *
 * @param per  what one shown unit is of the value: 100 where pounds are shown and pence are kept
 */
export function NumberField({
  label,
  value,
  onValue,
  least = 0,
  most = 1e6,
  per = 1,
  needed = false,
  help,
  placeholder,
  isBare = false,
}: {
  label: string;
  value: number | undefined;
  onValue: (value: number | undefined) => void;
  least?: number;
  most?: number;
  per?: number;
  needed?: boolean;
  help?: ReactNode;
  placeholder?: string | undefined;
  /** Inside a table: the label is for those who do not see the heading. */
  isBare?: boolean;
}) {
  const [text, setText] = useState(() => shown(value, per));
  const [last, setLast] = useState(value);
  // Changed from elsewhere: by another device, or by a button.
  if (value !== last) {
    setLast(value);
    const typed = read(text, least, most, per);
    if (typed === "wrong" || typed !== value) setText(shown(value, per));
  }
  const now = read(text, least, most, per);
  const wrong =
    now === "wrong"
      ? `A number from ${shown(least * per, per)} to ${most.toLocaleString("en-GB")}.`
      : needed && now === undefined
        ? "A number is wanted here."
        : null;
  const input = (field: object) => (
    <input
      {...field}
      className="short"
      inputMode="decimal"
      placeholder={placeholder}
      value={text}
      onChange={(event) => {
        setText(event.currentTarget.value);
        const typed = read(event.currentTarget.value, least, most, per);
        if (typed === "wrong" || (needed && typed === undefined)) return;
        setLast(typed);
        onValue(typed);
      }}
      // Half a number that was left behind is no number: what counts is shown again.
      onBlur={() => {
        if (wrong !== null) setText(shown(value, per));
      }}
    />
  );
  if (isBare)
    return (
      <>
        {input({ "aria-label": label, "aria-invalid": wrong !== null })}
        {wrong === null ? null : (
          <span className="wrong" role="alert">
            {wrong}
          </span>
        )}
      </>
    );
  return (
    <Field label={label} wrong={wrong} {...(help === undefined ? {} : { help })}>
      {input}
    </Field>
  );
}

function read(text: string, least: number, most: number, per: number): number | undefined | "wrong" {
  if (text.trim() === "") return undefined;
  const value = Number(text.trim().replace(",", "."));
  if (!(value >= least && value <= most)) return "wrong";
  // 14.35 x 100 is 1434.9999999999998 in binary.
  return per === 1 ? value : Math.round(value * per * 1e5) / 1e5;
}

/** "14.50" for money in hundredths, else as few figures as say it. */
function shown(value: number | undefined, per: number): string {
  if (value === undefined) return "";
  const major = value / per;
  const digits = Math.round(Math.log10(per));
  return per > 1 && Number.isInteger(value) ? major.toFixed(digits) : String(Number(major.toFixed(6)));
}
