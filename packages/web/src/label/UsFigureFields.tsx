import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { addedSugarsOf } from "@evencrumb/core/label";
import { useMemo } from "react";
import { NumberField } from "../parts/NumberField.js";
import { type FieldsProps, Group, setInput, withNumber } from "./fieldParts.js";

/** Of the sugars of what was bought ready made, how much was added: asked by a US panel, and known to the packet alone. */
export function AddedSugarsFields({
  label,
  body,
  change,
  formula,
  book,
}: FieldsProps & { readonly formula: Formula; readonly book: IngredientBook }) {
  const { place, addedPercentOfSugars: given = {} } = body.inputs;
  const toAsk = useMemo(() => addedSugarsOf(formula, book, given).toAsk, [formula, book, given]);
  const row = label.nutrition?.rows.find(({ id }) => id === "addedSugars");
  const isOpen = row !== undefined && !(row.perPortion ?? row.per100g).known;
  // What was once answered stays, so that it can be mended; without an answer it is asked only where the line stands open.
  const wanted = isOpen || Object.keys(given).length > 0 ? toAsk : [];
  if (place !== "us" || wanted.length === 0) return null;
  return (
    <Group title="Added sugars of what you buy">
      <p className="muted small">
        How much of an ingredient's sugars was put in when it was made: 100 where all of it was, 0 where all of it is the fruit's
        or the milk's own. A packet that gives both helps: added sugars ÷ total sugars × 100. Otherwise ask the supplier.
      </p>
      <div className="row" data-field="added-sugars">
        {wanted.map(({ ingredient, name }) => (
          <NumberField
            key={ingredient}
            label={`${name}: of its sugars, added, %`}
            value={given[ingredient]}
            least={0}
            most={100}
            onValue={(percent) => change(setInput("addedPercentOfSugars", withNumber(given, ingredient, percent)))}
          />
        ))}
      </div>
    </Group>
  );
}

const STATED = [
  ["transFatGrams", "Trans fat, g", 100],
  ["cholesterolMg", "Cholesterol, mg", 10_000],
  ["vitaminDMcg", "Vitamin D, µg", 10_000],
  ["calciumMg", "Calcium, mg", 10_000],
  ["ironMg", "Iron, mg", 10_000],
  ["potassiumMg", "Potassium, mg", 10_000],
] as const;

/** What a laboratory states of the finished product, which stands before what is worked out. */
export function AnalysedFields({ body, change }: FieldsProps) {
  const { place, usStated: stated = {} } = body.inputs;
  if (place !== "us") return null;
  return (
    <Group title="Figures you had analysed" isOpen={false}>
      <p className="muted small">In 100 g of the finished product. A field left empty is worked out from the ingredients.</p>
      <div className="row" data-field="us-stated">
        {STATED.map(([name, words, most]) => (
          <NumberField
            key={name}
            label={words}
            id={`us-stated-${name}`}
            value={stated[name]}
            least={0}
            most={most}
            onValue={(value) => change(setInput("usStated", withNumber(stated, name, value)))}
          />
        ))}
      </div>
    </Group>
  );
}
