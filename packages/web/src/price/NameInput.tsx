import { useState } from "react";

/** The name of a line. It is never empty: what was cleared and left is there again. */
export function NameInput({
  value,
  onValue,
  ...input
}: {
  value: string;
  onValue: (name: string) => void;
  id?: string;
  placeholder?: string;
  "aria-label"?: string;
  "aria-describedby"?: string | undefined;
  "aria-invalid"?: boolean;
}) {
  const [text, setText] = useState(value);
  const [last, setLast] = useState(value);
  if (value !== last) {
    setLast(value);
    if (text.trim() !== value) setText(value);
  }
  return (
    <input
      {...input}
      value={text}
      maxLength={80}
      onChange={(event) => {
        setText(event.currentTarget.value);
        const name = event.currentTarget.value.trim();
        if (name === "") return;
        setLast(name);
        onValue(name);
      }}
      onBlur={() => {
        if (text.trim() === "") setText(value);
      }}
    />
  );
}
