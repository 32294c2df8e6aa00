import { displayName, type IngredientBook, type NameStyle } from "@evencrumb/core/ingredients";
import { type ReactNode, useState } from "react";
import { IngredientField } from "../sheet/Cells.js";

/** One of several that may all be chosen: it looks chosen by its mark, not by colour alone. */
export function Chip({ checked, onChange, children }: { checked: boolean; onChange: () => void; children: ReactNode }) {
  return (
    <label className="chip">
      <input type="checkbox" checked={checked} onChange={onChange} />
      <span>{children}</span>
    </label>
  );
}

/** Ingredients by name, each of which can be taken out again, and one more by typing. */
export function IngredientPicker({
  label,
  add,
  ids,
  onIds,
  book,
  names,
}: {
  /** What the list is, for those who hear it: "what takes its place". */
  label: string;
  /** On the button. */
  add: string;
  ids: readonly string[];
  onIds: (ids: readonly string[]) => void;
  book: IngredientBook;
  names: NameStyle;
}) {
  const [typing, setTyping] = useState(false);
  const [unknown, setUnknown] = useState<string | null>(null);
  const nameOf = (id: string) => {
    const ingredient = book.get(id);
    return ingredient === undefined ? id : displayName(ingredient, names);
  };
  return (
    <fieldset className="picked bare-set" aria-label={label}>
      {ids.map((id) => (
        <span key={id} className="picked-one">
          {nameOf(id)}
          <button
            type="button"
            className="picked-out"
            aria-label={`Take out ${nameOf(id)}`}
            onClick={() => onIds(ids.filter((one) => one !== id))}
          >
            ×
          </button>
        </span>
      ))}
      {typing ? (
        <span className="picked-field">
          <IngredientField
            label={add}
            initial=""
            mode="replace"
            wrong={unknown}
            onText={() => setUnknown(null)}
            onGiveUp={() => setTyping(false)}
            onEnter={({ text, ingredient }) => {
              const words = text.trim();
              if (ingredient !== undefined) {
                if (!ids.includes(ingredient)) onIds([...ids, ingredient]);
              } else if (words !== "") {
                setUnknown(`"${words}" is not in your ingredients: choose one of the list, or add it there first.`);
                return;
              }
              setUnknown(null);
              setTyping(false);
            }}
            book={book}
            names={names}
          />
          {unknown === null ? null : (
            <span className="caution small" role="alert">
              {unknown}
            </span>
          )}
        </span>
      ) : (
        <button type="button" className="words accent" onClick={() => setTyping(true)}>
          {add}
        </button>
      )}
    </fieldset>
  );
}
