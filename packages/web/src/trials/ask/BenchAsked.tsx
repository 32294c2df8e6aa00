import { type Question, USUAL_MEASURES } from "@evencrumb/core/trials";
import { Field } from "../../parts/Field.js";
import { repeatsSpread } from "../asking.js";
import { Choices, NumberField } from "../parts.js";
import { SeedAsked } from "../SeedAsked.js";
import { plain } from "../settingWords.js";
import type { AskedProps } from "./fields.js";

/** How the bakes are done: side by side, how many a day, how much one varies. */
export function BenchAsked({ kind, form, set, unit }: AskedProps & { kind: Question["kind"]; unit: string }) {
  const chosen = USUAL_MEASURES.find(({ name }) => name === form.measure);
  const repeats = repeatsSpread(form.repeats);
  return (
    <section className="ask-part">
      <h2>How you bake</h2>
      {kind === "better" ? (
        <Choices
          legend="Side by side"
          value={form.pairing}
          onValue={(pairing) => set({ pairing })}
          options={[
            ["days", "one of each on every baking day"],
            ["shelves", "both in one oven, their shelves swapped from time to time"],
            ["apart", "each on its own days"],
          ]}
        />
      ) : null}
      <div className="row">
        {kind === "better" ? (
          <NumberField
            label="At most, of each"
            value={form.most}
            unit="bakes"
            onValue={(most) => set({ most })}
            placeholder="no limit"
          />
        ) : (
          <>
            <NumberField label="On one day" value={form.perDay} unit="bakes" onValue={(perDay) => set({ perDay })} />
            <NumberField
              label="In the oven together"
              value={form.perLoad}
              unit="cakes"
              onValue={(perLoad) => set({ perLoad })}
              placeholder="1"
            />
          </>
        )}
      </div>
      <details className="more" open={chosen?.typicalSd === undefined || undefined}>
        <summary>
          How much one bake varies:{" "}
          {form.spread.trim() !== ""
            ? `${form.spread} ${unit}, yours`
            : repeats !== undefined
              ? `${plain(repeats.sd, 2)} ${unit}, from your repeats`
              : chosen?.typicalSd === undefined
                ? "not known yet"
                : `${chosen.typicalSd.value} ${unit}, assumed`}
        </summary>
        <div className="row">
          <NumberField
            label="Your own spread"
            value={form.spread}
            unit={unit}
            onValue={(spread) => set({ spread })}
            help="Standard deviation of bakes that were meant to be the same."
          />
          <Field label="Or figures of such bakes" help="One day a line: 41 43 42.5" className="grow">
            {(props) => (
              <textarea
                {...props}
                rows={3}
                value={form.repeats}
                onChange={(event) => set({ repeats: event.currentTarget.value })}
              />
            )}
          </Field>
        </div>
      </details>
      <SeedAsked form={form} set={set} />
    </section>
  );
}
