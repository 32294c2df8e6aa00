import { DISCRIMINATION_METHODS, type Question } from "@evencrumb/core/trials";
import { Field } from "../../parts/Field.js";
import type { allergensOf, Form } from "../asking.js";
import { NumberField } from "../parts.js";
import { SeedAsked } from "../SeedAsked.js";
import type { AskedProps } from "./fields.js";

/** How a tasting is served, and what every taster is told first. */
export function TastingAsked({
  kind,
  form,
  set,
  contained,
  allergens,
  mayContain,
}: AskedProps & {
  kind: Question["kind"];
  contained: ReturnType<typeof allergensOf>;
  allergens: readonly string[];
  mayContain: readonly string[];
}) {
  return (
    <>
      <section className="ask-part">
        <h2>Who tastes</h2>
        {kind === "can people tell" ? (
          <>
            <Field label="How it is served" help={METHOD_WORDS[form.method]}>
              {(props) => (
                <select
                  {...props}
                  value={form.method}
                  onChange={(event) => set({ method: event.currentTarget.value as Form["method"] })}
                >
                  {/* The tests that ask for one named property need it explained to the tasters; these do not. */}
                  {DISCRIMINATION_METHODS.filter((method) => !method.endsWith("AFC")).map((method) => (
                    <option key={method}>{method}</option>
                  ))}
                </select>
              )}
            </Field>
            <NumberField
              label="It matters when so many really notice"
              value={form.shareTelling}
              unit="% of people"
              onValue={(shareTelling) => set({ shareTelling })}
            />
          </>
        ) : null}
        <NumberField
          label="Tasters"
          value={form.tasters}
          onValue={(tasters) => set({ tasters })}
          placeholder={kind === "which is liked best" ? "" : "as needed"}
          help={kind === "which is liked best" ? undefined : "Leave it empty to be told how many it takes."}
        />
        <SeedAsked form={form} set={set} />
      </section>
      <section className="ask-part">
        <h2>What every taster is told first</h2>
        <Field
          label="Contains"
          help={
            contained.unknown.length > 0
              ? `Nothing is known of ${contained.unknown.join(", ")}: add what they bring.`
              : "As the formulas say; add what touches them on the table."
          }
        >
          {(props) => (
            <input
              {...props}
              value={form.allergens ?? allergens.join(", ")}
              onChange={(event) => set({ allergens: event.currentTarget.value })}
            />
          )}
        </Field>
        <Field
          label="May contain"
          help={contained.readPackets.length > 0 ? `Read the packets of ${contained.readPackets.join(", ")}.` : undefined}
        >
          {(props) => (
            <input
              {...props}
              value={form.mayContain ?? mayContain.join(", ")}
              onChange={(event) => set({ mayContain: event.currentTarget.value })}
            />
          )}
        </Field>
      </section>
    </>
  );
}

const METHOD_WORDS: Readonly<Record<Form["method"], string>> = {
  triangle: "Three samples, two of them the same: which one is different?",
  "duo-trio": "One of the two is served first: which of the next two is the same?",
  "2-AFC": "Two samples: which has more of one named property?",
  "3-AFC": "Three samples: which has the most of one named property?",
  tetrad: "Four samples, two of each: sort them into two pairs.",
};
