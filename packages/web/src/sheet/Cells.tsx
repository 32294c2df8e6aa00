import { displayName, type IngredientBook, type NameStyle, searchIngredients } from "@evencrumb/core/ingredients";
import { type KeyboardEvent, useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from "react";
import { placeUnder } from "../app/ActionButton.js";
import type { Entry } from "./entry.js";

export type Leave = "down" | "up" | "right" | "left" | "stay";

interface FieldProps {
  label: string;
  initial: string;
  /** "replace": the first key typed over the cell, so arrows leave it. "edit": the cell was opened, so arrows move in the text. */
  mode: "replace" | "edit";
  wrong: string | null;
  onText: (text: string) => void;
  onEnter: (entry: Entry, leave: Leave) => void;
  onGiveUp: () => void;
}

/** What the keys of a field do: the same in a number and in a name. */
function leaveFor(event: KeyboardEvent, mode: "replace" | "edit"): Leave | null {
  if (event.key === "Enter") return event.shiftKey ? "up" : "down";
  if (event.key === "Tab") return event.shiftKey ? "left" : "right";
  if (mode === "edit") return null;
  if (event.key === "ArrowDown") return "down";
  if (event.key === "ArrowUp") return "up";
  return null;
}

/** The field that stands in a cell while it is typed in. */
export function CellField({
  label,
  initial,
  mode,
  wrong,
  onText,
  onEnter,
  onGiveUp,
  numeric,
}: FieldProps & { numeric: boolean }) {
  const field = useRef<HTMLInputElement>(null);
  const done = useRef(false);
  const id = useId();
  useLayoutEffect(() => {
    field.current?.focus();
    if (mode === "edit") field.current?.select();
  }, [mode]);
  // Refused: the words are still there, and may be entered again.
  useEffect(() => {
    if (wrong !== null) done.current = false;
  }, [wrong]);
  const enter = (leave: Leave) => {
    done.current = true;
    onEnter({ text: field.current?.value ?? "" }, leave);
    done.current = false;
  };
  return (
    <>
      <input
        ref={field}
        className={numeric ? "cell-field numeric" : "cell-field"}
        aria-label={label}
        aria-invalid={wrong !== null}
        aria-describedby={wrong === null ? undefined : id}
        defaultValue={initial}
        inputMode={numeric ? "decimal" : "text"}
        enterKeyHint="next"
        autoComplete="off"
        spellCheck={!numeric}
        onInput={(event) => onText(event.currentTarget.value)}
        onKeyDown={(event) => {
          event.stopPropagation();
          if (event.key === "Escape") {
            event.preventDefault();
            done.current = true;
            onGiveUp();
            return;
          }
          const leave = leaveFor(event, mode);
          if (leave === null) return;
          event.preventDefault();
          enter(leave);
        }}
        onBlur={() => {
          if (!done.current) enter("stay");
        }}
      />
      {wrong === null ? null : (
        <span id={id} className="cell-wrong" role="alert">
          {wrong}
        </span>
      )}
    </>
  );
}

/** The same for an ingredient: what it may be is listed as it is typed. */
export function IngredientField({
  label,
  initial,
  mode,
  wrong,
  onText,
  onEnter,
  onGiveUp,
  book,
  names,
}: FieldProps & { book: IngredientBook; names: NameStyle }) {
  const [text, setText] = useState(initial);
  const [picked, setPicked] = useState<number | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const list = useRef<HTMLDivElement>(null);
  const done = useRef(false);
  const touched = useRef(mode === "replace");
  const id = useId();
  const matches = useMemo(() => searchIngredients(book, text, { names, limit: 7 }), [book, text, names]);
  // A near miss is offered but not taken unasked: what was typed stays as it is until a line is picked.
  const sure = matches[0] !== undefined && (matches[0].exact || matches[0].score >= 0.8) ? 0 : null;
  const chosen = picked ?? (touched.current ? sure : null);
  const open = text.trim() !== "" && matches.length > 0;

  useLayoutEffect(() => {
    field.current?.focus();
    if (mode === "edit") field.current?.select();
  }, [mode]);
  useLayoutEffect(() => {
    const popup = list.current;
    if (popup === null) return;
    if (open && !popup.matches(":popover-open")) popup.showPopover();
    if (!open && popup.matches(":popover-open")) popup.hidePopover();
    if (open) placeUnder(field.current, popup);
  }, [open]);

  const enter = (leave: Leave, index: number | null = chosen) => {
    done.current = true;
    const match = index === null ? undefined : matches[index];
    const unchanged = text.trim() === initial.trim() && mode === "edit" && picked === null;
    if (unchanged) onGiveUpAndLeave(leave);
    else if (match === undefined) onEnter({ text }, leave);
    else onEnter({ text: displayName(match.ingredient, names), ingredient: match.ingredient.id }, leave);
    done.current = false;
  };
  // Nothing was changed: leaving must not turn a known ingredient into its bare name.
  const onGiveUpAndLeave = (leave: Leave) => onEnter({ text: "" }, leave);

  return (
    <>
      <input
        ref={field}
        className="cell-field"
        role="combobox"
        aria-label={label}
        aria-expanded={open}
        aria-controls={`${id}-list`}
        aria-activedescendant={open && chosen !== null ? `${id}-${chosen}` : undefined}
        aria-autocomplete="list"
        aria-invalid={wrong !== null}
        value={text}
        autoComplete="off"
        spellCheck={false}
        enterKeyHint="next"
        onChange={(event) => {
          touched.current = true;
          setText(event.currentTarget.value);
          setPicked(null);
          onText(event.currentTarget.value);
        }}
        onKeyDown={(event) => {
          event.stopPropagation();
          if (event.key === "Escape") {
            event.preventDefault();
            done.current = true;
            onGiveUp();
            return;
          }
          if (open && (event.key === "ArrowDown" || event.key === "ArrowUp")) {
            event.preventDefault();
            const from = chosen ?? -1;
            const next = event.key === "ArrowDown" ? from + 1 : from - 1;
            setPicked(Math.max(0, Math.min(matches.length - 1, next)));
            return;
          }
          const leave = leaveFor(event, mode);
          if (leave === null) return;
          event.preventDefault();
          enter(leave);
        }}
        onBlur={() => {
          if (!done.current) enter("stay", picked ?? (matches[0]?.exact ? 0 : null));
        }}
      />
      <div
        ref={list}
        id={`${id}-list`}
        popover="manual"
        className="menu suggestions"
        role="listbox"
        aria-label="Ingredients that it may be"
      >
        {matches.map((match, index) => (
          // biome-ignore lint/a11y/useFocusableInteractive: the field keeps the focus and names the option
          // biome-ignore lint/a11y/useKeyWithClickEvents: the field has the keys
          <div
            key={match.ingredient.id}
            id={`${id}-${index}`}
            role="option"
            aria-selected={index === chosen}
            onPointerDown={(event) => event.preventDefault()}
            onClick={() => enter("down", index)}
          >
            <span>{displayName(match.ingredient, names)}</span>
            {match.matchedName.toLowerCase() === displayName(match.ingredient, names).toLowerCase() ? null : (
              <span className="muted small">{match.matchedName}</span>
            )}
          </div>
        ))}
      </div>
    </>
  );
}
