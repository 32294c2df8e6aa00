import { type Question, USUAL_MEASURES } from "@evencrumb/core/trials";
import { Field } from "../../parts/Field.js";
import { type Form, OWN_MEASURE, usualDifference, type Wish } from "../asking.js";
import { Choices, NumberField } from "../parts.js";
import type { AskedProps } from "./fields.js";

/** What is measured, which difference matters, and what is wanted of other measures. */
export function MeasureAsked({ kind, form, set, unit }: AskedProps & { kind: Question["kind"]; unit: string }) {
  const measurable = USUAL_MEASURES.filter(({ typicalSd }) => typicalSd !== undefined);
  const chosen = USUAL_MEASURES.find(({ name }) => name === form.measure);
  // A best setting is sought only where settings move.
  const wishes = kind === "how much" || kind === "which blend";
  return (
    <section className="ask-part">
      <h2>What is measured</h2>
      {kind === "better" ? (
        <Choices
          legend="What the bakes are to show"
          value={form.aim}
          onValue={(aim) => set({ aim })}
          options={[
            ["better", "whether there is a difference"],
            ["no worse", "that the new one is no worse, within so much"],
            ["the same", "that the two are as good as the same, within so much"],
          ]}
        />
      ) : null}
      <Field label="The measure that decides" help={chosen?.how}>
        {(props) => (
          <select
            {...props}
            value={form.measure}
            onChange={(event) => {
              const { value } = event.currentTarget;
              set({ measure: value, matters: usualDifference(value), spread: "", repeats: "" });
            }}
          >
            {measurable.map(({ name }) => (
              <option key={name}>{name}</option>
            ))}
            <option>{OWN_MEASURE}</option>
          </select>
        )}
      </Field>
      {form.measure === OWN_MEASURE ? (
        <div className="row">
          <Field label="Its name">
            {(props) => (
              <input {...props} value={form.ownName} onChange={(event) => set({ ownName: event.currentTarget.value })} />
            )}
          </Field>
          <Field label="Its unit">
            {(props) => (
              <input
                {...props}
                className="short"
                value={form.ownUnit}
                onChange={(event) => set({ ownUnit: event.currentTarget.value })}
              />
            )}
          </Field>
          <Field label="Better is">
            {(props) => (
              <select
                {...props}
                value={form.ownBetter}
                onChange={(event) => set({ ownBetter: event.currentTarget.value as Form["ownBetter"] })}
              >
                <option value="">neither</option>
                <option value="larger">more</option>
                <option value="smaller">less</option>
              </select>
            )}
          </Field>
        </div>
      ) : null}
      <NumberField
        label={
          kind === "better" && form.aim !== "better"
            ? "So much would be too different"
            : "The smallest difference that would change what you bake"
        }
        value={form.matters}
        unit={unit}
        onValue={(matters) => set({ matters })}
      />
      <details className="more">
        <summary>Write down other measures as well{wishes ? ", and what is wanted of them" : ""}</summary>
        <fieldset className="ask-choices columns">
          <legend className="hidden-words">Other measures</legend>
          {USUAL_MEASURES.filter(({ name }) => name !== form.measure).map(({ name, unit: of }) => (
            <label key={name} className="choice">
              <input
                type="checkbox"
                checked={form.also.includes(name)}
                onChange={(event) =>
                  set({ also: event.currentTarget.checked ? [...form.also, name] : form.also.filter((one) => one !== name) })
                }
              />
              <span>
                {name}, {of}
              </span>
            </label>
          ))}
        </fieldset>
        {wishes ? <WishesAsked form={form} set={set} /> : null}
      </details>
    </section>
  );
}

const DIRECTIONS: Readonly<Record<Wish["direction"], string>> = { larger: "more", smaller: "less", target: "just so much" };

/** What is wanted of each measure, so that the best setting can please them all. Limits may stay open. */
function WishesAsked({ form, set }: Pick<AskedProps, "form" | "set">) {
  const own = form.measure === OWN_MEASURE;
  const measured = [
    ...(own
      ? [{ name: form.ownName.trim(), unit: form.ownUnit.trim() }]
      : USUAL_MEASURES.filter(({ name }) => name === form.measure)),
    ...USUAL_MEASURES.filter(({ name }) => form.also.includes(name) && name !== form.measure),
  ].filter(({ name }) => name !== "");
  const change = (name: string, wish: Wish | null) => {
    const { [name]: _before, ...others } = form.wishes;
    set({ wishes: wish === null ? others : { ...others, [name]: wish } });
  };
  return (
    <div className="stack tight">
      {measured.map(({ name, unit }) => {
        const wish = form.wishes[name];
        const text = (key: "limit" | "target", words: string) => (
          <label className="wish-limit">
            {words}{" "}
            <input
              className="short"
              inputMode="decimal"
              value={wish![key]}
              onChange={(event) => change(name, { ...wish!, [key]: event.currentTarget.value })}
            />{" "}
            <span className="muted">{unit}</span>
          </label>
        );
        return (
          <fieldset key={name} className="factor-edit">
            <legend>Wanted of {name}</legend>
            <select
              aria-label={`Wanted of ${name}`}
              value={wish?.direction ?? ""}
              onChange={(event) => {
                const direction = event.currentTarget.value as Wish["direction"] | "";
                change(name, direction === "" ? null : { direction, limit: "", target: "" });
              }}
            >
              <option value="">nothing in particular</option>
              {Object.entries(DIRECTIONS).map(([direction, words]) => (
                <option key={direction} value={direction}>
                  {words}
                </option>
              ))}
            </select>
            {wish === undefined ? null : wish.direction === "target" ? (
              text("target", "namely")
            ) : (
              <>
                {text("limit", wish.direction === "larger" ? "not below" : "not above")}
                {text("target", "good enough from")}
              </>
            )}
          </fieldset>
        );
      })}
    </div>
  );
}
