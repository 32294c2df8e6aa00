import type { Form } from "./asking.js";
import { NumberField } from "./parts.js";

/** The number by which an order is drawn. */
export function SeedAsked({ form, set }: { form: Pick<Form, "seed">; set: (change: Pick<Form, "seed">) => void }) {
  return (
    <details className="more">
      <summary>The order is drawn by lot, with number {form.seed}</summary>
      <NumberField
        label="Number of the draw"
        value={form.seed}
        onValue={(seed) => set({ seed })}
        help="The same number draws the same order again."
      />
    </details>
  );
}
