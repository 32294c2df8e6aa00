import { displayName, furtherStatedOf, type Ingredient, stateFurther } from "@evencrumb/core/ingredients";
import { type FormEvent, useState } from "react";
import type { Kept } from "../app/house.js";
import { useHouse, useHouseState } from "../app/useHouse.js";
import { Dialog } from "../parts/Dialog.js";
import { FurtherFields, furtherFromTexts, furtherTexts } from "./FurtherFields.js";

/** What the supplier says of the figures that only a US panel asks for; of a shipped ingredient too, whose table may lack them. */
export function FurtherDialog({
  ingredient,
  kept,
  onClose,
}: {
  ingredient: Ingredient;
  kept: Kept<Ingredient> | null;
  onClose: () => void;
}) {
  const house = useHouse();
  const { settings } = useHouseState();
  const [texts, setTexts] = useState(() => furtherTexts(furtherStatedOf(ingredient)));
  const { value: body, problems } = stateFurther(ingredient, furtherFromTexts(texts));
  const save = (event: FormEvent) => {
    event.preventDefault();
    if (problems.length > 0) return;
    if (kept === null) void house.create("ingredient", body);
    else house.replace("ingredient", kept, body);
    onClose();
  };
  return (
    <Dialog title={`${displayName(ingredient, settings.names)}: what its supplier states`} onClose={onClose}>
      <form onSubmit={save} className="stack">
        <p className="muted">
          From the specification or a US packet. A figure here wins over the table; leave empty what is not stated.
        </p>
        <FurtherFields legend="In 100 g, not in a serving" texts={texts} problems={problems} onChange={setTexts} />
        <footer>
          <button type="button" className="button plain" onClick={onClose}>
            Cancel
          </button>
          <button type="submit" className="button main">
            Done
          </button>
        </footer>
      </form>
    </Dialog>
  );
}
