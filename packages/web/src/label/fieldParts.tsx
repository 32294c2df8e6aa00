import type { Label, LabelDocument } from "@evencrumb/core/label";
import type { ReactNode } from "react";
import { Field } from "../parts/Field.js";

type Inputs = LabelDocument["inputs"];
type Key = keyof Inputs;

export interface FieldsProps {
  readonly label: Label;
  readonly body: LabelDocument;
  readonly change: (how: (body: LabelDocument) => LabelDocument) => void;
}

/** Puts a value in, or takes the field out. */
export const setInput =
  <Name extends Key>(name: Name, value: Inputs[Name] | undefined) =>
  (body: LabelDocument): LabelDocument => {
    const { [name]: _before, ...rest } = body.inputs;
    return { ...body, inputs: (value === undefined ? rest : { ...rest, [name]: value }) as Inputs };
  };

/** A number that belongs to an ingredient, put in or taken out of such a record; undefined for an empty one. */
export function withNumber<Name extends string>(
  all: { readonly [Key in Name]?: number },
  name: Name,
  value: number | undefined,
): Readonly<Record<Name, number>> | undefined {
  const { [name]: _before, ...rest } = all;
  const next = value === undefined ? rest : { ...rest, [name]: value };
  return Object.keys(next).length === 0 ? undefined : (next as Readonly<Record<Name, number>>);
}

export function Group({ title, isOpen = true, children }: { title: string; isOpen?: boolean; children: ReactNode }) {
  return (
    <details className="label-group" open={isOpen}>
      <summary>{title}</summary>
      <div className="stack">{children}</div>
    </details>
  );
}

export function TextField({
  label,
  help,
  name,
  most,
  value,
  placeholder,
  onValue,
}: {
  label: string;
  help?: ReactNode;
  name: string;
  most: number;
  value: string | undefined;
  placeholder?: string;
  onValue: (value: string | undefined) => void;
}) {
  return (
    <Field label={label} help={help}>
      {(field) => (
        <input
          {...field}
          data-field={name}
          value={value ?? ""}
          maxLength={most}
          placeholder={placeholder}
          // Spaces alone are no words.
          onChange={(event) => onValue(event.currentTarget.value.trim() === "" ? undefined : event.currentTarget.value)}
        />
      )}
    </Field>
  );
}

export function Choice<Value extends string>({
  label,
  help,
  name,
  value,
  choices,
  onValue,
}: {
  label: string;
  help?: ReactNode;
  name: string;
  value: Value;
  choices: readonly (readonly [value: Value, words: string])[];
  onValue: (value: Value) => void;
}) {
  return (
    <Field label={label} help={help}>
      {(field) => (
        <select {...field} data-field={name} value={value} onChange={(event) => onValue(event.currentTarget.value as Value)}>
          {choices.map(([one, words]) => (
            <option key={one} value={one}>
              {words}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

export function Tick({
  name,
  isOn,
  onTurn,
  children,
}: {
  name?: string;
  isOn: boolean;
  onTurn: (on: boolean) => void;
  children: ReactNode;
}) {
  return (
    <label className="choice">
      <input type="checkbox" data-field={name} checked={isOn} onChange={(event) => onTurn(event.currentTarget.checked)} />
      {children}
    </label>
  );
}
