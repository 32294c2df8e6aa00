import { HELD } from "../held.js";
import { Choices } from "../parts.js";
import type { AskedProps } from "./fields.js";

/** What stays while the factors move: weights, or what the rebalancer can hold. */
export function HeldAsked({ form, set }: Pick<AskedProps, "form" | "set">) {
  return (
    <section className="ask-part">
      <h2>What is held</h2>
      <Choices
        legend="While they move, hold"
        value={form.hold}
        onValue={(hold) => set({ hold })}
        options={[
          ["others", "every other weight, so the batch grows and shrinks"],
          ["total", "the total weight, the other ingredients giving way in proportion"],
          ["more", "fat, water or sweetness: the rest changes as little as that allows"],
        ]}
      />
      {form.hold === "more" ? (
        <fieldset className="ask-choices columns">
          <legend>Held as in the formula, in every bake</legend>
          {HELD.map(({ key, words }) => (
            <label key={key} className="choice">
              <input
                type="checkbox"
                checked={form.held.includes(key)}
                onChange={(event) =>
                  set({
                    held: event.currentTarget.checked ? [...form.held, key] : form.held.filter((other) => other !== key),
                  })
                }
              />
              <span>{words}</span>
            </label>
          ))}
          <p className="muted small">Water may be added where that helps. Every run is worked out as a formula of its own.</p>
        </fieldset>
      ) : null}
    </section>
  );
}
