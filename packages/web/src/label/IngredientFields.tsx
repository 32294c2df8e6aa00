import type { Formula } from "@evencrumb/core/formula";
import type { IngredientBook } from "@evencrumb/core/ingredients";
import { canBeReconstituted, type Label } from "@evencrumb/core/label";
import { NumberField } from "../parts/NumberField.js";
import { ingredientsOf, LANGUAGE_WORDS } from "./documents.js";
import { Choice, type FieldsProps, Group, setInput, Tick, withNumber } from "./fieldParts.js";

/** What a list cannot know: packets, names in another language, what evaporated, which quantities are promised. */
export function IngredientFields({
  label,
  body,
  change,
  formula,
  book,
}: FieldsProps & { readonly formula: Formula; readonly book: IngredientBook }) {
  const { inputs } = body;
  const { packets = {}, names = {}, leftGrams = {}, reconstitutedWithGrams: madeUp = {}, declareQuantityOf = [] } = inputs;
  const all = ingredientsOf(formula);
  const nameOf = (id: string) => book.get(id)?.name ?? id;
  const hasCheck = (kind: Label["checks"][number]["kind"], id: string) =>
    label.checks.some((check) => check.kind === kind && check.ingredient === id);
  // A field that was once asked for stays, so that its words can be mended.
  const wantPackets = all.filter((id) => packets[id] !== undefined || hasCheck("packet", id));
  const wantNames = (inputs.language ?? "en") === "en" ? [] : all;
  const wantLeft = all.filter((id) => leftGrams[id] !== undefined || hasCheck("volatile", id));
  // The rule is one of Great Britain and the European Union.
  const wantWater =
    inputs.place === "us"
      ? []
      : all.filter((id) => {
          const ingredient = book.get(id);
          return madeUp[id] !== undefined || (ingredient !== undefined && canBeReconstituted(ingredient));
        });
  return (
    <Group title="The ingredients">
      {wantPackets.length === 0 ? null : (
        <fieldset className="declared stack" data-field="packets">
          <legend>Lists as the packets print them</legend>
          {wantPackets.map((id) => (
            <label key={id} className="field">
              <span className="label">{nameOf(id)}</span>
              <textarea
                rows={2}
                maxLength={4000}
                value={packets[id] ?? ""}
                onChange={(event) => change(setInput("packets", withEntry(packets, id, event.currentTarget.value)))}
              />
            </label>
          ))}
        </fieldset>
      )}
      {wantNames.length === 0 ? null : (
        <fieldset className="declared stack" data-field="names">
          <legend>Names in {LANGUAGE_WORDS[inputs.language ?? "en"]}, with the allergen in them</legend>
          {wantNames.map((id) => (
            <label key={id} className="field">
              <span className="label">{nameOf(id)}</span>
              <input
                lang={inputs.language}
                maxLength={200}
                value={names[id] ?? ""}
                onChange={(event) => change(setInput("names", withEntry(names, id, event.currentTarget.value)))}
              />
            </label>
          ))}
        </fieldset>
      )}
      {wantLeft.length === 0 ? null : (
        <div className="row">
          {wantLeft.map((id) => (
            <NumberField
              key={id}
              label={`${nameOf(id)} left after heating, g`}
              value={leftGrams[id]}
              least={0}
              most={1_000_000}
              onValue={(grams) => change(setInput("leftGrams", withNumber(leftGrams, id, grams)))}
            />
          ))}
        </div>
      )}
      {wantWater.length === 0 ? null : (
        <fieldset className="declared stack" data-field="made-up">
          <legend>Dried, and made up with water before it goes in</legend>
          <p className="muted small">
            It may then stand in the list by the weight of both, as reconstituted. Give the water of the formula that goes into
            it; empty where it goes in dry.
          </p>
          <div className="row">
            {wantWater.map((id) => (
              <NumberField
                key={id}
                label={`${nameOf(id)} made up with water, g`}
                value={madeUp[id]}
                least={0}
                most={1_000_000}
                // No water is not made up.
                onValue={(grams) =>
                  change(setInput("reconstitutedWithGrams", withNumber(madeUp, id, grams === 0 ? undefined : grams)))
                }
              />
            ))}
          </div>
        </fieldset>
      )}
      <fieldset className="declared" data-field="quantities">
        <legend>Declare the quantity of what the name or a picture promises</legend>
        <div className="ticks">
          {all.map((id) => (
            <Tick
              key={id}
              isOn={declareQuantityOf.includes(id)}
              onTurn={(on) => {
                const next = on ? [...declareQuantityOf, id] : declareQuantityOf.filter((one) => one !== id);
                change(setInput("declareQuantityOf", next.length === 0 ? undefined : next));
              }}
            >
              {nameOf(id)}
            </Tick>
          ))}
        </div>
      </fieldset>
      {inputs.place === "us" ? null : (
        <Choice
          label="Additives"
          name="additives"
          value={inputs.additives ?? "name"}
          choices={[
            ["name", "by name"],
            ["number", "by E number"],
          ]}
          onValue={(additives) => change(setInput("additives", additives))}
        />
      )}
    </Group>
  );
}

function withEntry(
  all: Readonly<Record<string, string>>,
  id: string,
  value: string,
): Readonly<Record<string, string>> | undefined {
  const { [id]: _before, ...rest } = all;
  const next = value.trim() === "" ? rest : { ...rest, [id]: value };
  return Object.keys(next).length === 0 ? undefined : next;
}
