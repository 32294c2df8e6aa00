import { type DiscriminationMethod, type Question, USUAL_MEASURES } from "@evencrumb/core/trials";
import { Field } from "../../parts/Field.js";
import type { allergensOf, Form } from "../asking.js";
import { Choices, NumberField } from "../parts.js";
import { SeedAsked } from "../SeedAsked.js";
import { expectedOrder } from "./asking.js";
import "../../style/tasting.css";

/** Tests in which the odd one is found, or what is alike put together; those that ask for a property are a question of their own. */
const FINDING: readonly Exclude<DiscriminationMethod, "2-AFC" | "3-AFC">[] = ["triangle", "duo-trio", "tetrad"];
const METHOD_WORDS: Readonly<Record<(typeof FINDING)[number], string>> = {
  triangle: "Three samples, two of them the same: which one is different?",
  "duo-trio": "One of the two is served first: which of the next two is the same?",
  tetrad: "Four samples, two of each: sort them into two pairs.",
};

interface TastingAskedProps {
  readonly kind: Question["kind"];
  readonly form: Form;
  readonly set: (change: Partial<Form>) => void;
  readonly names: readonly string[];
}

/** What a tasting still needs to know: how it is served, what would matter, who tastes, and what they are told first. */
export function TastingAsked({
  contained,
  allergens,
  mayContain,
  warnings,
  ...asked
}: TastingAskedProps & {
  contained: ReturnType<typeof allergensOf>;
  allergens: readonly string[];
  mayContain: readonly string[];
  warnings: readonly string[];
}) {
  const { form, set } = asked;
  return (
    <>
      <section className="ask-part">
        <h2>What is asked</h2>
        <AskedOf {...asked} />
        <NumberField
          label="Tasters"
          value={form.tasters}
          onValue={(tasters) => set({ tasters })}
          placeholder="as needed"
          help="Leave it empty to be told how many it takes."
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
        <Field label="Also told to them" help="What is not for everybody: raw egg, alcohol. Parted by commas.">
          {(props) => (
            <input
              {...props}
              value={form.warnings ?? warnings.join(", ")}
              onChange={(event) => set({ warnings: event.currentTarget.value })}
            />
          )}
        </Field>
      </section>
    </>
  );
}

function AskedOf({ kind, form, set, names }: TastingAskedProps) {
  const method = form.method in METHOD_WORDS ? (form.method as keyof typeof METHOD_WORDS) : "triangle";
  const noticing = (label: string) => (
    <NumberField label={label} value={form.shareTelling} unit="% of people" onValue={(shareTelling) => set({ shareTelling })} />
  );
  switch (kind) {
    case "can people tell":
      return (
        <>
          <Choices
            legend="What is to be shown"
            value={form.telling}
            options={[
              ["difference", "That people can tell them apart"],
              ["likeness", "That hardly anybody notices, which takes many more people"],
            ]}
            onValue={(telling) => set({ telling, shareTelling: telling === "likeness" ? "30" : "50" })}
          />
          <Field label="How it is served" help={METHOD_WORDS[method]}>
            {(props) => (
              <select
                {...props}
                value={method}
                onChange={(event) => set({ method: event.currentTarget.value as Form["method"] })}
              >
                {FINDING.map((name) => (
                  <option key={name}>{name}</option>
                ))}
              </select>
            )}
          </Field>
          {noticing(
            form.telling === "likeness"
              ? "It is alike enough when at most so many notice"
              : "It matters when so many really notice",
          )}
        </>
      );
    case "which has more":
      return (
        <>
          <Field label="More of what" help="Say to the tasters beforehand what you mean by it.">
            {(props) => (
              <input
                {...props}
                value={form.property}
                placeholder="sweetness"
                onChange={(event) => set({ property: event.currentTarget.value })}
              />
            )}
          </Field>
          <Choices
            legend="What you expect"
            value={form.side}
            options={[
              ["either", "Either of them may have more"],
              ["second", `${names[1] ?? "The new one"} has more; only that is looked for`],
            ]}
            onValue={(side) => set({ side })}
          />
          {form.side === "either" ? null : (
            <Choices
              legend="How it is served"
              value={form.samples}
              options={[
                ["2-AFC", "Two samples, one of each"],
                ["3-AFC", "Three samples, two of the first: fewer guess right"],
              ]}
              onValue={(samples) => set({ samples })}
            />
          )}
          {noticing("It matters when so many really notice")}
        </>
      );
    case "which do they prefer":
      return (
        <NumberField
          label="It matters when so many prefer one"
          value={form.sharePreferring}
          unit="% of people"
          onValue={(sharePreferring) => set({ sharePreferring })}
        />
      );
    case "which is liked best":
      return (
        <>
          <NumberField
            label={
              form.expected.length > 0
                ? "It matters when so many place each before the next"
                : "It matters when so many place the best before another"
            }
            value={form.sharePreferring}
            unit="% of people"
            onValue={(sharePreferring) => set({ sharePreferring })}
          />
          {names.length > 2 && new Set(names).size === names.length ? <Expected form={form} set={set} names={names} /> : null}
        </>
      );
    case "how well is it liked": {
      const typical = USUAL_MEASURES.find(({ name }) => name === "liking")?.typicalSd;
      return (
        <>
          <NumberField
            label="Smallest difference in mean marks that would change what you bake"
            value={form.markMatters}
            unit="points of 9"
            onValue={(markMatters) => set({ markMatters })}
          />
          <NumberField
            label="How much one mark varies"
            value={form.markSpread}
            unit="points"
            placeholder={typical === undefined ? "" : String(typical.value)}
            onValue={(markSpread) => set({ markSpread })}
            help="From an earlier tasting; without it a typical figure is assumed."
          />
        </>
      );
    }
    default:
      return null;
  }
}

/** An order that is expected before anything is tasted. It takes fewer tasters, and must not be made up afterwards. */
function Expected({ form, set, names }: Omit<TastingAskedProps, "kind">) {
  const order = expectedOrder(form, names);
  const move = (place: number) => {
    const next = [...(order ?? names)];
    const [moved] = next.splice(place, 1);
    next.splice(place - 1, 0, moved!);
    set({ expected: next });
  };
  return (
    <fieldset className="ask-choices">
      <legend>An order you expect</legend>
      <label className="choice">
        <input type="checkbox" checked={order !== null} onChange={() => set({ expected: order === null ? names : [] })} />
        <span>I expect an order, and say it now; only whether they follow it is then tested</span>
      </label>
      {order === null ? null : (
        <ol className="expected-order">
          {order.map((name, place) => (
            <li key={name}>
              <span>{name}</span>
              {place === 0 ? (
                <span className="muted">the best</span>
              ) : (
                <button type="button" className="words accent" aria-label={`Move ${name} up`} onClick={() => move(place)}>
                  up
                </button>
              )}
            </li>
          ))}
        </ol>
      )}
    </fieldset>
  );
}
