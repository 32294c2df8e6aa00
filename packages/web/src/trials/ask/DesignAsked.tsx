import { type DesignName, type Factor, offeredDesigns } from "@evencrumb/core/trials";
import { Field } from "../../parts/Field.js";
import { Choices, NumberField } from "../parts.js";
import { asksFor, modelsFor } from "../picking.js";
import type { AskedProps } from "./fields.js";

/** Which bakes are chosen: what is recommended, or any other design that fits, by its plain and its usual name. */
export function DesignAsked({ form, set, factors }: Pick<AskedProps, "form" | "set"> & { factors: readonly Factor[] }) {
  const offers = offeredDesigns(factors);
  const [usual] = offers;
  if (usual === undefined) return null;
  const chosen = offers.find(({ design }) => design === form.design) ?? usual;
  const asked = asksFor(chosen.design);
  return (
    <section className="ask-part">
      <h2>Which bakes</h2>
      <fieldset className="ask-choices">
        <legend className="hidden-words">The design</legend>
        <OfferChoice offer={usual} checked={chosen === usual} onPick={() => set({ design: "" })} />
        <details className="more" open={chosen !== usual || undefined}>
          <summary>Choose another design</summary>
          {offers.slice(1).map((offer) => (
            <OfferChoice
              key={offer.design}
              offer={offer}
              checked={chosen === offer}
              onPick={() => set({ design: offer.design })}
            />
          ))}
        </details>
      </fieldset>
      <details className="more">
        <summary>How many, and what they are read by</summary>
        <div className="row">
          {asked.runCount ? (
            <NumberField
              label="Bakes"
              value={form.runCount}
              onValue={(runCount) => set({ runCount })}
              placeholder="as needed"
              help={chosen.design === "two-level fraction" ? "A power of two: 8, 16, 32." : undefined}
            />
          ) : null}
          {asked.centreCount ? (
            <NumberField
              label={chosen.design === "central composite" ? "Bakes of the centre, twice" : "Bakes of the centre"}
              value={form.centreCount}
              onValue={(centreCount) => set({ centreCount })}
              placeholder="as usual"
              help="Centre points: they show a bend, and how much one bake varies."
            />
          ) : null}
          <NumberField
            label="The whole plan, times over"
            value={form.overAgain}
            onValue={(overAgain) => set({ overAgain })}
            placeholder="as needed"
          />
        </div>
        <Field label="Read by" help="The model: what the bakes have to be able to tell apart.">
          {(props) => (
            <select {...props} value={form.model} onChange={(event) => set({ model: event.currentTarget.value })}>
              <option value="">as usual for this design</option>
              {modelsFor(factors).map(([name, words]) => (
                <option key={name} value={name}>
                  {words}
                </option>
              ))}
            </select>
          )}
        </Field>
      </details>
      <HardToChange form={form} set={set} factors={factors} />
    </section>
  );
}

function OfferChoice({
  offer,
  checked,
  onPick,
}: {
  offer: {
    readonly design: DesignName;
    readonly title: string;
    readonly field: string;
    readonly why: string;
    readonly bakeCount?: number;
    readonly recommended: boolean;
  };
  checked: boolean;
  onPick: () => void;
}) {
  return (
    <label className="choice offer">
      <input type="radio" name="the design" checked={checked} onChange={onPick} />
      <span>
        <b>{offer.title}</b>
        {offer.recommended ? <span className="recommended"> recommended</span> : null}
        {offer.bakeCount === undefined ? null : <span className="figures">, {offer.bakeCount} bakes</span>}
        <span className="muted small offer-why">
          {offer.why} <i>({offer.field})</i>
        </span>
      </span>
    </label>
  );
}

/** One batter for several bakes, or one oven setting for several cakes: a split plot. And what days and loads do to the comparison. */
function HardToChange({ form, set, factors }: Pick<AskedProps, "form" | "set"> & { factors: readonly Factor[] }) {
  const movable = factors.filter(({ kind }) => kind !== "share");
  const hard = form.hard.filter((name) => movable.some((factor) => factor.name === name));
  const together = Number(form.perLoad) > 1;
  if (movable.length < 2 && !together) return null;
  return (
    <>
      {movable.length < 2 ? null : (
        <details className="more" open={hard.length > 0 || undefined}>
          <summary>
            {hard.length === 0
              ? "One batter or one oven setting for several bakes"
              : `The same for several bakes: ${hard.join(", ")}`}
          </summary>
          <fieldset className="ask-choices columns">
            <legend>What is too much trouble to change for every bake (split plot)</legend>
            {movable.map(({ name }) => (
              <label key={name} className="choice">
                <input
                  type="checkbox"
                  checked={hard.includes(name)}
                  // All of them would leave nothing that changes from bake to bake.
                  disabled={!hard.includes(name) && hard.length === movable.length - 1}
                  onChange={(event) =>
                    set({ hard: event.currentTarget.checked ? [...hard, name] : hard.filter((other) => other !== name) })
                  }
                />
                <span>{name}</span>
              </label>
            ))}
          </fieldset>
          {hard.length === 0 ? null : (
            <Choices
              legend="What those bakes share"
              value={form.shared}
              onValue={(shared) => set({ shared })}
              options={[
                ["batter", "one batter, divided"],
                ["load", "one oven load, in the oven together"],
              ]}
            />
          )}
        </details>
      )}
      {together && hard.length === 0 ? (
        <Choices
          legend="What is taken out of the comparison (blocks)"
          value={form.blockBy}
          onValue={(blockBy) => set({ blockBy })}
          options={[
            ["day", "how the days differ"],
            ["load", "how the oven loads differ, too: surer where they do, and it costs bakes"],
          ]}
        />
      ) : null}
    </>
  );
}
